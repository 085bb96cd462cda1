package report

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
)

func TestModulationFactorsOfAProbe(t *testing.T) {
	m := func(value quantity.Ratio, source string) evaluate.Factor {
		return evaluate.Factor{Name: "modulation", Source: source, Value: value, Modulation: true}
	}
	visit := func(factors ...evaluate.Factor) *Visit {
		return &Visit{Visit: &evaluate.Visit{Sources: []evaluate.SourceFigures{
			{Probe: 1, Ledger: []evaluate.Factor{m(9, "another probe")}},
			{Probe: 0, Ledger: append([]evaluate.Factor{{Name: "probe correction", Value: 1.03}}, factors...)},
		}}}
	}
	run := &Run{Run: check.Run{Visits: []*Visit{visit(m(1.4, "rms, pulse")), visit(m(1.4, "rms, pulse")), visit(m(1, "CW")), visit()}}}
	assert.Equal(t, []evaluate.Factor{m(1.4, "rms, pulse"), m(1, "CW")}, run.ModulationFactors(0))
	assert.Equal(t, []evaluate.Factor{m(9, "another probe")}, run.ModulationFactors(1))
	assert.Empty(t, run.ModulationFactors(2))

	unknown := m(quantity.Undefined[quantity.Ratio](), "not known")
	run.Visits = []*Visit{visit(unknown), visit(unknown), visit(m(1, "CW"))}
	assert.Len(t, run.ModulationFactors(0), 2, "what is not known is named once")
}

func TestUsualObservation(t *testing.T) {
	for _, test := range []struct {
		seen []string
		want string
	}{
		{nil, ""}, {[]string{"ok", "ALARM", "ok"}, "ok"}, {[]string{"", "", "ALARM"}, ""}, {[]string{"b", "a"}, "a"}, {[]string{"ALARM", "", "ALARM"}, "ALARM"},
	} {
		run := &Run{}
		for _, seen := range test.seen {
			v := &evaluate.Visit{}
			v.Record.Observation = seen
			run.Visits = append(run.Visits, &Visit{Visit: v})
		}
		assert.Equal(t, test.want, run.UsualObservation(), "%q", test.seen)
	}
}

func TestVisitsWithHarmonics(t *testing.T) {
	plain, stated := &Visit{Visit: &evaluate.Visit{}}, &Visit{Visit: &evaluate.Visit{Harmonics: []jobsheet.Harmonic{{Order: 2}}}}
	r := &Report{Runs: []Run{{Run: check.Run{Visits: []*Visit{plain}}}, {Run: check.Run{Visits: []*Visit{plain, stated}}}}}
	assert.Equal(t, []*Visit{stated}, r.WithHarmonics())
}

func TestChainOfTheExample(t *testing.T) {
	e := &Example{Raw: 50, Ledger: []evaluate.Factor{{Name: "probe correction", Value: 2}, {Name: "modulation", Value: 0.5}, {Name: "harmonics taken off", Value: 0.9}}, Final: 45}
	chain := e.Chain()
	assert.Equal(t, []quantity.FieldStrength{100, 50, 45}, []quantity.FieldStrength{chain[0].Field, chain[1].Field, chain[2].Field})
	assert.Equal(t, e.Final, chain[2].Field, "the chain ends at the field of the example")
	assert.Equal(t, "modulation", chain[1].Name)
	assert.Empty(t, (&Example{Raw: 50, Final: 50}).Chain())
}

func TestClockShifts(t *testing.T) {
	run := func(id string, probe, power time.Duration) Run {
		return Run{Sheet: &jobsheet.Run{ID: id, Dwell: table.Entry{File: "dwell.csv"}, Power: &table.Entry{File: "power.xlsx", ClockOffset: power},
			Probes: []jobsheet.Probe{{Log: table.Entry{File: "probe.csv", ClockOffset: probe}, Correction: &table.Entry{File: "fp03.csv", ClockOffset: time.Hour}}}}}
	}
	r := &Report{Runs: []Run{run("H1", 0, -800*time.Millisecond), run("H2", time.Second, -800*time.Millisecond), run("V1", 2*time.Second, 0)}}
	assert.ElementsMatch(t, []ClockShift{
		{"power.xlsx", -800 * time.Millisecond, []string{"H1", "H2"}},
		{"probe.csv", time.Second, []string{"H2"}}, {"probe.csv", 2 * time.Second, []string{"V1"}},
	}, r.ClockShifts(), "a table of corrections has no clock")
	assert.Equal(t, "power.xlsx", r.ClockShifts()[0].File)
	assert.Empty(t, (&Report{Runs: []Run{run("H1", 0, 0)}}).ClockShifts())
}

func TestAveraged(t *testing.T) {
	two := &Visit{Visit: &evaluate.Visit{Sources: make([]evaluate.SourceFigures, 2)}}
	r := &Report{Requirement: &Requirement{Sensors: requirement.MeanOfSensors}}
	assert.Equal(t, 2, r.Averaged(two))
	assert.Zero(t, r.Averaged(&Visit{Visit: &evaluate.Visit{Sources: make([]evaluate.SourceFigures, 1)}}))
	r.Requirement.Sensors = requirement.EverySensor
	assert.Zero(t, r.Averaged(two), "the lowest of the probes shows the level by itself")
}

func TestCites(t *testing.T) {
	r := &Report{Sheet: &Sheet{}, Requirement: &Requirement{Source: "MIL-STD-461G, 5.21"}}
	assert.True(t, r.Cites("MIL-STD-461"))
	r.Requirement.Source = "test specification OTS-88"
	assert.False(t, r.Cites("MIL-STD-461"))
	r.Requirement.Notes = []string{"Levels as in MIL-STD-461G."}
	assert.True(t, r.Cites("MIL-STD-461"))
	r.Requirement = nil
	assert.False(t, r.Cites("MIL-STD-461"))
	r.Sheet.Report.Procedure = "TP-31 after MIL-STD-461G"
	assert.True(t, r.Cites("MIL-STD-461"))
}
