package report

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
)

// stated is a report of two polarizations from 30 MHz to 200 MHz, all met.
func stated(change func(*Report)) *Report {
	u := uncertainty.Combine([]uncertainty.Contribution{{Value: 0.6, Divisor: 1, Sensitivity: 1, DegreesOfFreedom: math.Inf(1)}}, 2)
	r := &Report{State: Demonstrated, Budget: &u, Sheet: &Sheet{}, Requirement: &Requirement{Title: "Winch", Source: "OTS-88", Limits: []requirement.Limit{
		{From: 30e6, To: 200e6, LowLevel: 100, HighLevel: 100, Polarizations: []quantity.Polarization{"horizontal", "vertical"}}}}}
	for i, polarization := range []string{"horizontal", "vertical"} {
		c := Cell{Cell: check.Cell{State: Met, Cell: evaluate.Cell{Polarization: quantity.Polarization(polarization), Position: 1, From: 30e6, To: 200e6}}}
		for _, f := range []quantity.Frequency{30e6, 100e6, 200e6} {
			c.Steps = append(c.Steps, Step{State: Met, Step: evaluate.Step{Frequency: f}})
		}
		c.Statistics.LeastMargin = Extreme{Value: 0.361 + float64(i), Frequency: 63.607e6, Run: []string{"H1", "V1"}[i]}
		c.Statistics.Risk = 0.27
		r.Cells = append(r.Cells, c)
	}
	change(r)
	return r
}

func override(key, was, is string, relaxation bool) requirement.Override {
	return requirement.Override{Key: key, Was: was, Is: is, Relaxation: relaxation}
}

func TestAnswer(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Report)
		want   string
	}{
		{"all of it", func(*Report) {}, "The test field met the requirement “Winch” (OTS-88) from 30 MHz to 200 MHz, horizontal and vertical, " +
			"at antenna position 1, by the decision rule of simple acceptance."},
		{"a part", func(r *Report) {
			r.Requirement.Overrides = []requirement.Override{override("to", "18 GHz", "200 MHz", false)}
		},
			"The test field met the requirement “Winch” (OTS-88) from 30 MHz to 200 MHz, horizontal and vertical, at antenna position 1, " +
				"by the decision rule of simple acceptance; the requirement itself reaches from 30 MHz to 18 GHz."},
		{"asked for more", func(r *Report) {
			r.Requirement.Overrides = []requirement.Override{override("dwell", "3 s", "5 s", false)}
		},
			"The test field met the requirement “Winch” (OTS-88), with dwell 5 s instead of 3 s as the job sheet sets it, from 30 MHz to 200 MHz, " +
				"horizontal and vertical, at antenna position 1, by the decision rule of simple acceptance."},
		{"asked for less", func(r *Report) {
			r.Requirement.Overrides = []requirement.Override{override("dwell", "4 s", "2 s", true), override("tolerance.low", "0 dB", "-30 dB", true)}
		}, "The test field met the requirement as changed by the job sheet, “Winch” (OTS-88) with dwell 2 s instead of 4 s and lower tolerance " +
			"-30 dB instead of 0 dB, from 30 MHz to 200 MHz, horizontal and vertical, at antenna position 1, by the decision rule of simple acceptance."},
		{"with deviations, guarded", func(r *Report) {
			r.State, r.Cells[1].State, r.Requirement.Rule = DemonstratedWithDeviations, MetWithDeviations, uncertainty.Rule{Guarded: true, Guard: 1}
		}, "The test field met the requirement “Winch” (OTS-88) from 30 MHz to 200 MHz, horizontal and vertical, at antenna position 1, but for the " +
			"accepted deviations in section 9, by the decision rule of guarded acceptance with a guard band of 1 times the expanded uncertainty."},
		{"half of it, changed", func(r *Report) {
			r.State, r.Cells[1].State = NotDemonstrated, NotMet
			r.Requirement.Overrides = []requirement.Override{override("dwell", "4 s", "2 s", true)}
		}, "It was not demonstrated that the test field met the requirement as changed by the job sheet, “Winch” (OTS-88) with dwell 2 s instead of 4 s: " +
			"it is shown for 1 of 2 combinations of range, polarization and position (from 30 MHz to 200 MHz, horizontal, at antenna position 1), " +
			"by the decision rule of simple acceptance."},
		{"nothing", func(r *Report) { r.State, r.Cells[0].State, r.Cells[1].State = NotDemonstrated, NotShown, NotMet },
			"It was not demonstrated that the test field met the requirement “Winch” (OTS-88): it is shown for none of 2 combinations of range, " +
				"polarization and position, by the decision rule of simple acceptance."},
	} {
		assert.Equal(t, c.want, answer(stated(c.change)), c.name)
	}
}

func TestPartsOf(t *testing.T) {
	cell := func(polarization string, position int, from, to quantity.Frequency) *Cell {
		return &Cell{Cell: check.Cell{Cell: evaluate.Cell{Polarization: quantity.Polarization(polarization), Position: quantity.Position(position), From: from, To: to}}}
	}
	for want, cells := range map[string][]*Cell{
		"": nil,
		"from 30 MHz to 1 GHz, horizontal and vertical, at antenna positions 1 and 2": {cell("horizontal", 1, 30e6, 1e9), cell("horizontal", 2, 30e6, 1e9),
			cell("vertical", 1, 30e6, 1e9), cell("vertical", 2, 30e6, 1e9)},
		"from 30 MHz to 1 GHz, horizontal, at antenna position 1, and vertical, at antenna positions 1, 2 and 3": {cell("horizontal", 1, 30e6, 1e9),
			cell("vertical", 1, 30e6, 1e9), cell("vertical", 2, 30e6, 1e9), cell("vertical", 3, 30e6, 1e9)},
		"from 30 MHz to 1 GHz, horizontal, at antenna position 1; from 2 MHz to 30 MHz, vertical, at antenna position 1": {cell("horizontal", 1, 30e6, 1e9),
			cell("vertical", 1, 2e6, 30e6)},
	} {
		assert.Equal(t, want, partsOf(cells))
	}
}

func TestInNumbers(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Report)
		want   string
	}{
		{"the least of all cells", func(*Report) {}, "Least margin 0.36 dB, at 63.607 MHz (run H1); expanded uncertainty U = 1.2 dB (k = 2); " +
			"the risk that the level was not reached at that step is 27 %."},
		{"the other cell", func(r *Report) { r.Cells[1].Statistics.LeastMargin.Value = -3.21 }, "Least margin -3.21 dB, at 63.607 MHz (run V1); " +
			"expanded uncertainty U = 1.2 dB (k = 2); the risk that the level was not reached at that step is 27 %."},
		{"just failed", func(r *Report) { r.Cells[1].Statistics.LeastMargin.Value = -0.0012 }, "Least margin -0.001 dB, at 63.607 MHz (run V1); " +
			"expanded uncertainty U = 1.2 dB (k = 2); the risk that the level was not reached at that step is 27 %."},
		{"guarded", func(r *Report) { r.Requirement.Rule = uncertainty.Rule{Guarded: true, Guard: 0.5} }, "Least margin 0.36 dB where 0.60 dB is asked for, " +
			"at 63.607 MHz (run H1); expanded uncertainty U = 1.2 dB (k = 2); the risk that the level was not reached at that step is 27 %."},
		{"no uncertainty", func(r *Report) { r.Budget, r.Cells[0].Statistics.Risk = nil, math.NaN() }, "Least margin 0.36 dB, at 63.607 MHz (run H1); " +
			"no uncertainty of the field is stated, so that the risk at that step is not known."},
		{"steps without a level", func(r *Report) { r.Cells[1].Statistics.NoLevel = 119 }, "Least margin –: 119 steps held no level for the required dwell; " +
			"expanded uncertainty U = 1.2 dB (k = 2)."},
		{"a cell that is not shown", func(r *Report) { r.Cells[1].State = NotShown }, "Least margin of the steps that were held 0.36 dB, at 63.607 MHz (run H1); " +
			"expanded uncertainty U = 1.2 dB (k = 2); the risk that the level was not reached at that step is 27 %."},
		{"nothing held", func(r *Report) {
			r.Cells[0].Statistics.LeastMargin.Value, r.Cells[1].Statistics.LeastMargin.Value = math.NaN(), math.NaN()
		}, "Least margin –: no step has a level; expanded uncertainty U = 1.2 dB (k = 2)."},
	} {
		assert.Equal(t, c.want, inNumbers(stated(c.change)), c.name)
	}
}

func TestPercentInWords(t *testing.T) {
	for p, want := range map[float64]string{0: "below 0.01 %", 0.00012: "0.012 %", 0.0232: "2.3 %", 0.5: "50 %", 0.9999: "above 99.9 %"} {
		assert.Equal(t, want, percentInWords(p))
	}
}

// What asks for less needs a reason and an agreement, which nobody can waive.
func TestRelaxationsAreMissed(t *testing.T) {
	bare := requirement.Override{Key: "tolerance.low", Was: "0 dB", Is: "-30 dB", Relaxation: true}
	assert.Equal(t, []string{"the reason for lower tolerance -30 dB, which asks for less than the requirement (0 dB): requirement.reasons.tolerance.low",
		"who agreed to lower tolerance -30 dB, which asks for less than the requirement (0 dB): requirement.agreed_by"}, lacksOf(bare))
	bare.Reason = "the customer wants it"
	assert.Len(t, lacksOf(bare), 1)
	bare.AgreedBy = "I. Orrevik"
	assert.Empty(t, lacksOf(bare))
}

func TestBehaviour(t *testing.T) {
	event := func(limit, threshold quantity.FieldStrength, below bool) Event {
		return Event{Event: jobsheet.Event{Threshold: threshold}, Limit: limit, BelowLimit: below}
	}
	none := quantity.Undefined[quantity.FieldStrength]()
	all := "No susceptibility of the article was observed where the field was shown, from 30 MHz to 200 MHz, horizontal and vertical, at antenna position 1."
	observation := func(state FindingState) Finding { return Finding{Check: "observation", State: state} }
	for _, c := range []struct {
		name   string
		change func(*Report)
		want   string
	}{
		{"nothing seen", func(*Report) {}, all},
		{"not shown in one cell", func(r *Report) { r.State, r.Cells[1].State = NotDemonstrated, NotShown },
			"No susceptibility of the article was observed where the field was shown, from 30 MHz to 200 MHz, horizontal, at antenna position 1. " +
				"Nothing is said of the rest: from 30 MHz to 200 MHz, vertical, at antenna position 1 (not shown)."},
		{"accepted parts", func(r *Report) {
			c := &r.Cells[1]
			c.State, c.Steps[1].State = MetWithDeviations, MetWithDeviations
			c.Holes = []Hole{{Hole: evaluate.Hole{From: 88e6, To: 91e6}, Accepted: true}}
		}, all + " Nothing is said of the rest: the accepted hole from 88 MHz to 91 MHz (vertical, position 1); the accepted step at 100 MHz (vertical, position 1)."},
		{"shown nowhere", func(r *Report) { r.State, r.Cells[0].State, r.Cells[1].State = NotDemonstrated, NotShown, NotMet },
			"Nothing can be said of the article's behaviour, because the field was shown in no cell."},
		{"below the limit", func(r *Report) { r.Events = []Event{event(100, 40, true), event(none, 40, false)} },
			"The article did not withstand the required field: one event has a threshold below the limit; one event cannot be compared with the limit; see section 10."},
		{"outside the range", func(r *Report) { r.Events = []Event{event(none, 40, false)} },
			"The article was susceptible: one event cannot be compared with the limit, so that it was not shown to withstand the required field; see section 10."},
		{"no threshold", func(r *Report) { r.Events = []Event{event(100, none, false), event(100, none, false)} },
			"The article was susceptible: 2 events have a threshold that was not determined, so that it was not shown to withstand the required field; see section 10."},
		{"above the limit", func(r *Report) { r.Events = []Event{event(100, 120, false)} },
			"Susceptibility of the article was observed one time, at thresholds that are not below the limit; see section 10."},
		{"dismissed", func(r *Report) {
			r.Events = []Event{{Event: jobsheet.Event{Dismissed: "a lamp of the chamber", Threshold: 40}, Limit: 100}}
		},
			all + " One observation was dismissed as no susceptibility; the reason stands in section 10."},
		{"not taken up", func(r *Report) { r.Findings = []Finding{observation(Open), observation(Note)} },
			"No statement about the article's behaviour is made: the dwell records hold one observation that no event of the job sheet takes up or dismisses; see section 9."},
		{"accepted without an event", func(r *Report) { r.Findings = []Finding{observation(Accepted)} },
			all + " One observation in the dwell records is accepted by a deviation and taken up by no event; see section 9."},
	} {
		r := stated(c.change)
		assert.Equal(t, c.want, behaviour(r), c.name)
		assert.Equal(t, strings.HasPrefix(c.want, "No statement"), r.Unanswered(), c.name)
	}
}

func TestWhy(t *testing.T) {
	r := &Report{Findings: []Finding{{Check: "level", State: Open}, {Check: "level", State: Open}, {Check: "level", State: Note}, {Check: "coverage", State: Open},
		{Check: "dwell", State: Accepted}, {Check: "observation", State: Open}}}
	c := &Cell{Cell: check.Cell{State: NotMet}, Findings: []int{0, 1, 2, 3, 4, 5}}
	assert.Equal(t, "level (2), coverage", r.Why(c))
	c.State = Met
	assert.Empty(t, r.Why(c))
}
