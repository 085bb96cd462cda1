package requirement

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/uncertainty"
)

// winch is a requirement with a vertical-only part, an optional part and a gap.
func winch() *Requirement {
	return &Requirement{
		Title: "Winch controllers",
		Limits: []Limit{
			{From: 2e6, To: 30e6, LowLevel: 10, HighLevel: 10, Polarizations: []quantity.Polarization{quantity.Vertical}, Optional: "2-30 MHz"},
			{From: 30e6, To: 200e6, LowLevel: 100, HighLevel: 200, Polarizations: []quantity.Polarization{quantity.Horizontal, quantity.Vertical}},
			{From: 300e6, To: 1e9, LowLevel: 50, HighLevel: 50, Polarizations: []quantity.Polarization{quantity.Vertical}},
		},
		Steps:         []StepRule{{From: 2e6, To: 1e9, Max: 0.01}},
		Dwell:         3 * time.Second,
		Sensors:       EverySensor,
		MinSamples:    3,
		ToleranceHigh: quantity.Undefined[quantity.Decibel](),
		PositionRule:  &PositionRule{UpTo: 200e6, Spacing: 3},
		Notes:         []string{"The winch is loaded."},
	}
}

func duration(d time.Duration) *time.Duration { return &d }

// Each case sets something in the job sheet; change and want describe what that
// makes of the requirement.
func TestApplyOverrides(t *testing.T) {
	for _, c := range []struct {
		name string
		set  func(*jobsheet.Requirement)
		want []Override
		then func(*testing.T, *Requirement)
	}{
		{"nothing", func(*jobsheet.Requirement) {}, nil, func(t *testing.T, r *Requirement) {
			assert.Equal(t, []Range{{quantity.Horizontal, 30e6, 200e6}, {quantity.Vertical, 30e6, 200e6}, {quantity.Vertical, 300e6, 1e9}}, r.Ranges())
		}},
		{"the same as the requirement", func(s *jobsheet.Requirement) {
			s.Dwell, s.Sensors, s.ToleranceLow, s.DecisionRule, s.MinSamples = duration(3*time.Second), EverySensor, 0, "simple", 3
			s.Polarizations = []quantity.Polarization{quantity.Vertical, quantity.Horizontal}
		}, nil, func(t *testing.T, r *Requirement) { assert.Equal(t, 3*time.Second, r.Dwell) }},
		{"dwell with its reason", func(s *jobsheet.Requirement) {
			s.Dwell, s.Reasons = duration(5500*time.Millisecond), map[string]string{"dwell": "slow article"}
		}, []Override{{Key: "dwell", Was: "3 s", Is: "5.5 s", Reason: "slow article"}}, func(t *testing.T, r *Requirement) {
			assert.Equal(t, 5500*time.Millisecond, r.Required())
		}},
		{"settle and gap", func(s *jobsheet.Requirement) {
			s.Settle, s.MaxGap = duration(300*time.Millisecond), duration(time.Second)
		},
			[]Override{{Key: "settle", Was: "0 s", Is: "0.3 s"}, {Key: "max_gap", Was: "3 × the median distance of samples", Is: "1 s", Relaxation: true}},
			func(t *testing.T, r *Requirement) { assert.Equal(t, time.Second, r.MaxGap) }},
		{"sensors", func(s *jobsheet.Requirement) { s.Sensors = MeanOfSensors },
			[]Override{{Key: "sensors", Was: "every", Is: "mean", Relaxation: true}},
			func(t *testing.T, r *Requirement) { assert.Equal(t, MeanOfSensors, r.Sensors) }},
		{"lower tolerance alone", func(s *jobsheet.Requirement) {
			s.ToleranceLow, s.Reasons = -1.0001, map[string]string{"tolerance": "agreed"}
		}, []Override{{Key: "tolerance.low", Was: "0 dB", Is: "-1.0001 dB", Reason: "agreed", Relaxation: true}}, func(t *testing.T, r *Requirement) {
			assert.False(t, quantity.Defined(r.ToleranceHigh), "the other key stays")
		}},
		{"upper tolerance alone", func(s *jobsheet.Requirement) { s.ToleranceHigh = 6 },
			[]Override{{Key: "tolerance.high", Was: "none", Is: "6 dB"}},
			func(t *testing.T, r *Requirement) { assert.Equal(t, quantity.Decibel(6), r.ToleranceHigh) }},
		{"guarded, guard of U", func(s *jobsheet.Requirement) { s.DecisionRule = "guarded" },
			[]Override{{Key: "decision", Was: "simple", Is: "guarded, guard band 1 × U"}},
			func(t *testing.T, r *Requirement) {
				assert.Equal(t, uncertainty.Rule{Guarded: true, Guard: 1}, r.Rule)
			}},
		{"guarded, its own guard", func(s *jobsheet.Requirement) { s.DecisionRule, s.Guard = "guarded", 0.83 },
			[]Override{{Key: "decision", Was: "simple", Is: "guarded, guard band 0.83 × U"}},
			func(t *testing.T, r *Requirement) { assert.Equal(t, quantity.Ratio(0.83), r.Rule.Guard) }},
		{"a part", func(s *jobsheet.Requirement) { s.From, s.To = 50e6, 400e6 },
			[]Override{{Key: "from", Was: "30 MHz", Is: "50 MHz"}, {Key: "to", Was: "1 GHz", Is: "400 MHz"}},
			func(t *testing.T, r *Requirement) {
				assert.Equal(t, []Range{{quantity.Horizontal, 50e6, 200e6}, {quantity.Vertical, 50e6, 200e6}, {quantity.Vertical, 300e6, 400e6}}, r.Ranges())
			}},
		{"a part that begins in a gap", func(s *jobsheet.Requirement) { s.From = 250e6 },
			[]Override{{Key: "from", Was: "30 MHz", Is: "250 MHz"}},
			func(t *testing.T, r *Requirement) {
				assert.Equal(t, []Range{{quantity.Vertical, 300e6, 1e9}}, r.Ranges())
			}},
		{"one polarization", func(s *jobsheet.Requirement) { s.Polarizations = []quantity.Polarization{quantity.Horizontal} },
			[]Override{{Key: "polarizations", Was: "horizontal, vertical", Is: "horizontal", Relaxation: true}},
			func(t *testing.T, r *Requirement) {
				assert.Equal(t, []Range{{quantity.Horizontal, 30e6, 200e6}}, r.Ranges())
				assert.False(t, quantity.Defined(r.Limit(100e6, quantity.Vertical)))
			}},
		{"an optional range", func(s *jobsheet.Requirement) { s.Include = []string{"2-30 MHz"} },
			[]Override{{Key: "include", Was: "none", Is: "2-30 MHz"}},
			func(t *testing.T, r *Requirement) {
				assert.Equal(t, []Range{{quantity.Horizontal, 30e6, 200e6}, {quantity.Vertical, 2e6, 200e6}, {quantity.Vertical, 300e6, 1e9}}, r.Ranges())
				assert.Equal(t, quantity.FieldStrength(10), r.Limit(10e6, quantity.Vertical))
				assert.Equal(t, []string{"2-30 MHz"}, r.Included)
			}},
		{"positions", func(s *jobsheet.Requirement) { s.Positions = 4 },
			[]Override{{Key: "positions", Was: "1 up to 200 MHz", Is: "4"}},
			func(t *testing.T, r *Requirement) {
				assert.Len(t, r.CellsOf(Range{quantity.Vertical, 300e6, 1e9}), 4, "a stated number counts for every range")
			}},
	} {
		t.Run(c.name, func(t *testing.T) {
			sheet := nothingSet()
			c.set(&sheet)
			before := winch()
			r, err := before.Apply(sheet, jobsheet.Article{Width: 1})
			require.NoError(t, err)
			assert.Equal(t, c.want, r.Overrides)
			c.then(t, r)
			assert.Equal(t, winch().Limits, before.Limits, "the requirement itself stays as it was")
			assert.Equal(t, winch().Notes, before.Notes, "the requirement itself stays as it was")
		})
	}
}

// What decides less than a reader may think is said in the notes.
func TestApplyNotes(t *testing.T) {
	for _, c := range []struct {
		name  string
		set   func(*jobsheet.Requirement)
		width quantity.Length
		says  string
	}{
		{"optional range left out", func(*jobsheet.Requirement) {}, 1, "The optional range 2-30 MHz is not part of this day."},
		{"a part that ends above the requirement", func(s *jobsheet.Requirement) { s.To = 2e9 }, 1, "no limit above 1 GHz"},
		{"a part that begins below it", func(s *jobsheet.Requirement) { s.From = 1e6; s.Include = []string{"2-30 MHz"} }, 1, "no limit below 2 MHz"},
	} {
		t.Run(c.name, func(t *testing.T) {
			sheet := nothingSet()
			c.set(&sheet)
			r, err := winch().Apply(sheet, jobsheet.Article{Width: c.width})
			require.NoError(t, err)
			assert.Contains(t, joined(r.Notes), c.says)
			assert.Contains(t, r.Notes, "The winch is loaded.")
		})
	}
	r, err := winch().Apply(nothingSet(), jobsheet.Article{Width: 2})
	require.NoError(t, err)
	assert.NotContains(t, joined(r.Notes), "width", "a stated width needs no note")
}

func joined(notes []string) string {
	text := ""
	for _, note := range notes {
		text += note + "\n"
	}
	return text
}

func TestApplyProblems(t *testing.T) {
	for _, c := range []struct {
		name string
		set  func(*jobsheet.Requirement)
		key  string
		says string
	}{
		{"unknown optional range", func(s *jobsheet.Requirement) { s.Include = []string{"2-30MHz"} }, "include", `did you mean "2-30 MHz"`},
		{"part upside down", func(s *jobsheet.Requirement) { s.From, s.To = 100e6, 50e6 }, "from", "from 100 MHz to 50 MHz"},
		{"part of one frequency", func(s *jobsheet.Requirement) { s.From, s.To = 50e6, 50e6 }, "from", "does not end above"},
		{"part without a limit", func(s *jobsheet.Requirement) { s.From, s.To = 210e6, 290e6 }, "from", "no limit in this part"},
		{"part above everything", func(s *jobsheet.Requirement) { s.From = 2e9 }, "from", "does not end above"},
		{"part into an optional range", func(s *jobsheet.Requirement) { s.From = 2e6 }, "from", `include = ["2-30 MHz"]`},
		{"polarization without a limit", func(s *jobsheet.Requirement) {
			s.Polarizations = []quantity.Polarization{quantity.Vertical, "circular"}
		}, "polarizations", "circular"},
		{"dwell of nothing", func(s *jobsheet.Requirement) { s.Dwell = duration(0) }, "dwell", "too short"},
		{"negative settling", func(s *jobsheet.Requirement) { s.Settle = duration(-time.Second) }, "settle", "-1 s"},
		{"gap of nothing", func(s *jobsheet.Requirement) { s.MaxGap = duration(0) }, "max_gap", "too short"},
		{"lower tolerance", func(s *jobsheet.Requirement) { s.ToleranceLow = 1 }, "tolerance.low", "0 dB or below"},
		{"upper tolerance", func(s *jobsheet.Requirement) { s.ToleranceHigh = 0 }, "tolerance.high", "above 0 dB"},
		{"decision", func(s *jobsheet.Requirement) { s.DecisionRule = "strict" }, "decision.rule", `"simple" or "guarded"`},
		{"negative guard", func(s *jobsheet.Requirement) { s.DecisionRule, s.Guard = "guarded", -1 }, "decision.guard", "negative"},
		{"guard without its rule", func(s *jobsheet.Requirement) { s.Guard = 1 }, "decision.guard", "needs the guarded rule"},
		{"sensors", func(s *jobsheet.Requirement) { s.Sensors = "best" }, "sensors", `"every" or "mean"`},
		{"positions", func(s *jobsheet.Requirement) { s.Positions = -2 }, "positions", "-2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			sheet := nothingSet()
			sheet.Place = place.Place{File: "job.toml", Row: 12, Key: "requirement"}
			c.set(&sheet)
			r, err := winch().Apply(sheet, jobsheet.Article{Width: 1})
			assert.Nil(t, r)
			message := only(t, err)
			assert.Equal(t, place.Place{File: "job.toml", Row: 12, Key: "requirement." + c.key}, message.Place)
			assert.Contains(t, message.String(), c.says)
		})
	}
}

func TestApplyReportsEverythingAtOnce(t *testing.T) {
	sheet := nothingSet()
	sheet.Dwell, sheet.ToleranceLow, sheet.Sensors, sheet.From, sheet.To = duration(0), 3, "best", 9e6, 8e6
	_, err := winch().Apply(sheet, jobsheet.Article{})
	var problems *place.Error
	require.True(t, errors.As(err, &problems))
	assert.Len(t, problems.Messages, 4, "%v", err)
}

// A day on which nothing has to be shown would be demonstrated by showing nothing.
func TestApplyRefusesADayOfNothing(t *testing.T) {
	r := winch()
	r.Limits = r.Limits[:1]
	_, err := r.Apply(nothingSet(), jobsheet.Article{})
	assert.Contains(t, only(t, err).String(), "nothing is left to show")

	sheet := nothingSet()
	sheet.Polarizations = []quantity.Polarization{}
	_, err = winch().Apply(sheet, jobsheet.Article{})
	assert.ErrorContains(t, err, "nothing")
}
