package requirement

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/uncertainty"
)

// Each case is a value on one side of the requirement's own: what asks for less
// is a relaxation and carries who agreed to it, what asks for more is not.
func TestRelaxations(t *testing.T) {
	guarded := func(guard quantity.Ratio) func(*Requirement) {
		return func(r *Requirement) { r.Rule = uncertainty.Rule{Guarded: true, Guard: guard} }
	}
	upper := func(r *Requirement) { r.ToleranceHigh, r.ToleranceLow = 6, -1 }
	as := func(*Requirement) {}
	for _, c := range []struct {
		name    string
		has     func(*Requirement)
		set     func(*jobsheet.Requirement)
		key     string
		relaxed bool
	}{
		{"shorter dwell", as, func(s *jobsheet.Requirement) { s.Dwell = duration(2999 * time.Millisecond) }, "dwell", true},
		{"longer dwell", as, func(s *jobsheet.Requirement) { s.Dwell = duration(3001 * time.Millisecond) }, "dwell", false},
		{"shorter settling", func(r *Requirement) { r.Settle = time.Second }, func(s *jobsheet.Requirement) { s.Settle = duration(0) }, "settle", true},
		{"longer settling", as, func(s *jobsheet.Requirement) { s.Settle = duration(time.Second) }, "settle", false},
		{"longer settling below an upper tolerance", upper, func(s *jobsheet.Requirement) { s.Settle = duration(time.Second) }, "settle", false},
		{"a gap where there is none", as, func(s *jobsheet.Requirement) { s.MaxGap = duration(time.Millisecond) }, "max_gap", true},
		{"longer gap", func(r *Requirement) { r.MaxGap = time.Second }, func(s *jobsheet.Requirement) { s.MaxGap = duration(2 * time.Second) }, "max_gap", true},
		{"shorter gap", func(r *Requirement) { r.MaxGap = time.Second }, func(s *jobsheet.Requirement) { s.MaxGap = duration(time.Second / 2) }, "max_gap", false},
		{"fewer polarizations", as, func(s *jobsheet.Requirement) { s.Polarizations = []quantity.Polarization{quantity.Vertical} }, "polarizations", true},
		{"mean of the probes", as, func(s *jobsheet.Requirement) { s.Sensors = MeanOfSensors }, "sensors", true},
		{"each probe", func(r *Requirement) { r.Sensors = MeanOfSensors }, func(s *jobsheet.Requirement) { s.Sensors = EverySensor }, "sensors", false},
		{"lower lower tolerance", upper, func(s *jobsheet.Requirement) { s.ToleranceLow = -30 }, "tolerance.low", true},
		{"higher lower tolerance", upper, func(s *jobsheet.Requirement) { s.ToleranceLow = 0 }, "tolerance.low", false},
		{"higher upper tolerance", upper, func(s *jobsheet.Requirement) { s.ToleranceHigh = 6.5 }, "tolerance.high", true},
		{"lower upper tolerance", upper, func(s *jobsheet.Requirement) { s.ToleranceHigh = 5.5 }, "tolerance.high", false},
		{"upper tolerance where there is none", as, func(s *jobsheet.Requirement) { s.ToleranceHigh = 6 }, "tolerance.high", false},
		{"simple instead of guarded", guarded(1), func(s *jobsheet.Requirement) { s.DecisionRule = "simple" }, "decision", true},
		{"smaller guard", guarded(1), func(s *jobsheet.Requirement) { s.Guard = 0.9 }, "decision", true},
		{"larger guard", guarded(1), func(s *jobsheet.Requirement) { s.Guard = 1.1 }, "decision", false},
		{"guarded instead of simple", as, func(s *jobsheet.Requirement) { s.DecisionRule = "guarded" }, "decision", false},
		{"fewer samples", as, func(s *jobsheet.Requirement) { s.MinSamples = 2 }, "min_samples", true},
		{"more samples", as, func(s *jobsheet.Requirement) { s.MinSamples = 4 }, "min_samples", false},
		{"fewer positions", func(r *Requirement) { r.Positions, r.PositionRule = 3, nil }, func(s *jobsheet.Requirement) { s.Positions = 2 }, "positions", true},
		{"more positions", func(r *Requirement) { r.Positions, r.PositionRule = 3, nil }, func(s *jobsheet.Requirement) { s.Positions = 4 }, "positions", false},
		{"fewer positions than the width asks for", func(r *Requirement) { r.PositionRule.Spacing = 0.5 }, func(s *jobsheet.Requirement) { s.Positions = 1 }, "positions", true},
		{"a part", as, func(s *jobsheet.Requirement) { s.From = 40e6 }, "from", false},
		{"an optional range", as, func(s *jobsheet.Requirement) { s.Include = []string{"2-30 MHz"} }, "include", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, sheet := winch(), nothingSet()
			c.has(r)
			c.set(&sheet)
			sheet.AgreedBy = "I. Orrevik"
			applied, err := r.Apply(sheet, jobsheet.Article{Width: 1})
			require.NoError(t, err)
			require.Len(t, applied.Overrides, 1)
			got := applied.Overrides[0]
			assert.Equal(t, c.key, got.Key)
			assert.Equal(t, c.relaxed, got.Relaxation, "%+v", got)
			assert.Equal(t, c.relaxed, got.AgreedBy != "", "the agreement is to what asks for less")
			assert.Equal(t, c.relaxed, len(applied.Relaxations()) == 1)
		})
	}
}

func TestMinSamplesOfTheSheet(t *testing.T) {
	sheet := nothingSet()
	sheet.MinSamples = 5
	r, err := winch().Apply(sheet, jobsheet.Article{Width: 1})
	require.NoError(t, err)
	assert.EqualValues(t, 5, r.MinSamples)
	sheet.MinSamples = 0
	r, err = winch().Apply(sheet, jobsheet.Article{Width: 1})
	require.NoError(t, err)
	assert.EqualValues(t, 3, r.MinSamples)
}

// What of a range has to be shown at which position, and where the number of
// positions is not known. The rule of winch counts up to 200 MHz, for each 3 m.
func TestCellsOf(t *testing.T) {
	unstated := quantity.Length(math.NaN())
	all := Range{quantity.Vertical, 30e6, 1e9}
	at := func(position quantity.Position, positions int, from, to quantity.Frequency, known bool) CellRange {
		return CellRange{Polarization: quantity.Vertical, Position: position, Positions: positions, From: from, To: to, Known: known}
	}
	for _, c := range []struct {
		name      string
		rule      *PositionRule
		width     quantity.Length
		positions int // of the job sheet
		rg        Range
		want      []CellRange
	}{
		{"no rule, nothing stated", nil, unstated, 0, all, []CellRange{at(1, 1, 30e6, 1e9, true)}},
		{"stated for the whole range", nil, unstated, 2, all, []CellRange{at(1, 2, 30e6, 1e9, true), at(2, 2, 30e6, 1e9, true)}},
		{"by width, below the rule's end", &PositionRule{UpTo: 200e6, Spacing: 3}, 4, 0, Range{quantity.Vertical, 30e6, 200e6},
			[]CellRange{at(1, 2, 30e6, 200e6, true), at(2, 2, 30e6, 200e6, true)}},
		{"by width, and above it not known", &PositionRule{UpTo: 200e6, Spacing: 3}, 7, 0, all,
			[]CellRange{at(1, 3, 30e6, 1e9, false), at(2, 3, 30e6, 200e6, true), at(3, 3, 30e6, 200e6, true)}},
		{"narrow, and above the rule not known", &PositionRule{UpTo: 200e6, Spacing: 3}, 1, 0, all, []CellRange{at(1, 1, 30e6, 1e9, false)}},
		{"above the rule altogether", &PositionRule{UpTo: 200e6, Spacing: 3}, 7, 0, Range{quantity.Vertical, 200e6, 1e9}, []CellRange{at(1, 1, 200e6, 1e9, false)}},
		{"width not stated", &PositionRule{UpTo: 200e6, Spacing: 3}, unstated, 0, Range{quantity.Vertical, 30e6, 100e6}, []CellRange{at(1, 1, 30e6, 100e6, false)}},
		{"width not stated, number stated", &PositionRule{UpTo: 200e6, Spacing: 3}, unstated, 2, all,
			[]CellRange{at(1, 2, 30e6, 1e9, true), at(2, 2, 30e6, 1e9, true)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := winch()
			r.PositionRule, r.Limits[2].From = c.rule, 200e6
			sheet := nothingSet()
			sheet.Positions = c.positions
			applied, err := r.Apply(sheet, jobsheet.Article{Width: c.width})
			require.NoError(t, err)
			assert.Equal(t, c.want, applied.CellsOf(c.rg))
		})
	}
}

func TestUnknownPositions(t *testing.T) {
	unstated := quantity.Length(math.NaN())
	for _, c := range []struct {
		name     string
		width    quantity.Length
		set      func(*jobsheet.Requirement)
		from, to quantity.Frequency // of vertical; 0 where the number is known
	}{
		{"width stated: from the first range above the rule", 1, func(*jobsheet.Requirement) {}, 300e6, 1e9},
		{"width stated, below the rule's end", 1, func(s *jobsheet.Requirement) { s.To = 200e6 }, 0, 0},
		{"width not stated", unstated, func(*jobsheet.Requirement) {}, 30e6, 1e9},
		{"number stated", unstated, func(s *jobsheet.Requirement) { s.Positions = 1 }, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			sheet := nothingSet()
			c.set(&sheet)
			r, err := winch().Apply(sheet, jobsheet.Article{Width: c.width})
			require.NoError(t, err)
			from, to, unknown := r.UnknownPositions(quantity.Vertical)
			assert.Equal(t, c.to > 0, unknown)
			assert.Equal(t, []quantity.Frequency{c.from, c.to}, []quantity.Frequency{from, to})
		})
	}
	r, err := winch().Apply(nothingSet(), jobsheet.Article{Width: 1})
	require.NoError(t, err)
	_, _, unknown := r.UnknownPositions(quantity.Horizontal)
	assert.False(t, unknown, "horizontal ends at 200 MHz")
}

func TestTooManyPositions(t *testing.T) {
	for _, c := range []struct {
		name  string
		set   func(*jobsheet.Requirement)
		width quantity.Length
		says  string
	}{
		{"stated", func(s *jobsheet.Requirement) { s.Positions = 65 }, 1, "65"},
		{"by a width in the wrong unit", func(*jobsheet.Requirement) {}, 1200, "width of the article, 1200 m"},
		{"by an endless width", func(*jobsheet.Requirement) {}, quantity.Length(math.Inf(1)), "width of the article"},
	} {
		sheet := nothingSet()
		c.set(&sheet)
		_, err := winch().Apply(sheet, jobsheet.Article{Width: c.width})
		assert.Contains(t, only(t, err).String(), c.says, c.name)
	}
	sheet := nothingSet()
	sheet.Positions = 64
	r, err := winch().Apply(sheet, jobsheet.Article{Width: 1})
	require.NoError(t, err)
	assert.Len(t, r.CellsOf(Range{quantity.Vertical, 300e6, 1e9}), 64)
	_, err = Parse([]byte("positions = 65\n"+shortest), "requirement.toml")
	assert.Contains(t, only(t, err).String(), "at most 64")
}
