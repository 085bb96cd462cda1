package report_test

import (
	"math"
	"slices"
	"strings"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/templates/demoday"
)

// probeFaults are readings that cannot be trusted or do not belong to the visit.
func probeFaults() []fault {
	return []fault{
		{name: "no sample in a visit", plant: (*planter).noSamples},
		{name: "correction table ends early", plant: func(p *planter) ([]expectation, bool) { return p.shortCorrection(true) }},
		{name: "correction table begins late", plant: func(p *planter) ([]expectation, bool) { return p.shortCorrection(false) }},
		{name: "other modulation", plant: (*planter).otherModulation},
		{name: "overloaded through a visit", plant: func(p *planter) ([]expectation, bool) { return p.marked("OVERLOAD", true) }},
		{name: "overloaded for a moment", plant: func(p *planter) ([]expectation, bool) { return p.marked("OVL", false) }},
		{name: "reading outside the range of the probe", plant: (*planter).outOfRange},
		{name: "frozen through two visits", plant: (*planter).frozen, beside: []string{"linearity"}},
		{name: "log gives another frequency", plant: (*planter).otherFrequency},
		{name: "log gives a frequency within half a step", plant: (*planter).nearFrequency},
		{name: "log gives another frequency for a moment", plant: (*planter).momentaryFrequency},
		{name: "power file gives another frequency", plant: (*planter).otherPowerFrequency},
		{name: "level set before the modulation came on", plant: (*planter).levelled, beside: []string{"linearity"}},
	}
}

// dwellRow says that a finding of a visit shows its row in the dwell record.
func (p *planter) dwellRow(check string, t target) expectation {
	row := t.run.Dwell.Row(t.index)
	return expectation{check: check, run: t.run.Sheet.ID, from: t.visit.Frequency, to: t.visit.Frequency,
		file: t.run.Dwell.Entry.File, rows: [2]int{row, row}}
}

func (p *planter) noSamples() ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok {
		return nil, false
	}
	log := t.run.Probes[p.IntN(len(t.run.Probes))].Log
	from, to := log.Window(t.visit, p.shape.Settle)
	log.Samples = slices.Delete(log.Samples, from, to)
	return []expectation{p.dwellRow("samples", t)}, true
}

// shortCorrection cuts a correction table so that it misses the last steps, or
// the first ones.
func (p *planter) shortCorrection(end bool) ([]expectation, bool) {
	run := p.day.Runs[p.IntN(len(p.day.Runs))]
	table := run.Probes[p.IntN(len(run.Probes))].Correction
	if table == nil {
		return nil, false
	}
	if end {
		table.Points = table.Points[:len(table.Points)-1-p.IntN(2)]
	} else {
		table.Points = table.Points[1+p.IntN(2):]
	}
	low, high := table.Points[0].Frequency, table.Points[len(table.Points)-1].Frequency
	var expected []expectation
	for _, t := range p.targets() {
		uses := slices.ContainsFunc(t.run.Probes, func(probe demoday.Probe) bool { return probe.Correction == table })
		if uses && !t.visit.Frequency.Within(low, high) {
			expected = append(expected, expectation{check: "correction-range", run: t.run.Sheet.ID, from: t.visit.Frequency, to: t.visit.Frequency})
		}
	}
	return expected, len(expected) > 0 && len(table.Points) > 1
}

// otherModulation gives a visit another modulation and lets the carrier be the
// same: only the modulation is wrong.
func (p *planter) otherModulation() ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok || !t.run.Dwell.Modulation || !p.unambiguous() {
		return nil, false
	}
	choices := []quantity.Modulation{{Kind: quantity.CW}, {Kind: quantity.Pulse, Rate: 1e3, Amount: 0.5}, {Kind: quantity.Pulse, Rate: 2e3, Amount: 0.5},
		{Kind: quantity.Pulse, Rate: 1e3, Amount: 0.4}, {Kind: quantity.AM, Rate: 1e3, Amount: 0.8}, {Kind: quantity.AM, Rate: 1e3, Amount: 0.3}}
	other := choices[p.IntN(len(choices))]
	if other.Satisfies(p.shape.Modulation) || quantity.Defined(p.shape.Measured) && other.Kind != quantity.CW { // a factor was measured for one modulation
		return nil, false
	}
	for i := range t.run.Probes {
		probe := &t.run.Probes[i]
		ratio := probe.Factor(t.visit.Frequency, t.visit.Modulation) / probe.Factor(t.visit.Frequency, other)
		from, to := probe.Log.Window(t.visit, p.shape.Settle)
		for k := from; k < to; k++ {
			probe.Log.Samples[k].SetReading(probe.Log.Samples[k].Total * quantity.FieldStrength(ratio))
		}
	}
	t.visit.Modulation = other
	return []expectation{p.dwellRow("modulation", t)}, true
}

// unambiguous reports whether the factor of every modulation is known.
func (p *planter) unambiguous() bool {
	return p.shape.Detector != "" || p.shape.Unmodulated || quantity.Defined(p.shape.Measured)
}

// marked marks samples of a visit: all of them, or the first, which leaves
// enough.
func (p *planter) marked(mark string, all bool) ([]expectation, bool) {
	if !p.shape.Status {
		return nil, false
	}
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok {
		return nil, false
	}
	log := t.run.Probes[p.IntN(len(t.run.Probes))].Log
	from, to := log.Window(t.visit, p.shape.Settle)
	e := p.at("probe-fault", t, log)
	if all {
		for i := from; i < to; i++ {
			log.Samples[i].Mark = mark
		}
		return []expectation{e}, true
	}
	if from+2 >= to || t.visit.End.Sub(log.Samples[from+2].At) < p.shape.Required() {
		return nil, false
	}
	log.Samples[from].Mark = mark
	e.note = true
	return []expectation{e}, true
}

// outOfRange lets a probe show more than its range in all of a visit but its
// first readings.
func (p *planter) outOfRange() ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok {
		return nil, false
	}
	log := t.run.Probes[p.IntN(len(t.run.Probes))].Log
	from, to := log.Window(t.visit, p.shape.Settle)
	if to-from < 4 || log.Samples[from+2].At.Sub(t.visit.Start.Add(p.shape.Settle)) >= p.shape.Required()/2 {
		return nil, false
	}
	for i := from + 1; i < to; i++ {
		log.Samples[i].SetReading(quantity.FieldStrength(p.between(9001, 9500)))
	}
	return []expectation{p.at("probe-fault", t, log)}, true
}

// frozen lets one axis, or the total, stand still through two visits.
func (p *planter) frozen() ([]expectation, bool) {
	targets := p.alone()
	i := p.IntN(len(targets))
	if i+1 >= len(targets) || targets[i].run != targets[i+1].run || targets[i].index+1 != targets[i+1].index {
		return nil, false
	}
	first, second := targets[i], targets[i+1]
	log := first.run.Probes[p.IntN(len(first.run.Probes))].Log
	from, _ := log.Window(first.visit, p.shape.Settle)
	_, to := log.Window(second.visit, p.shape.Settle)
	axis := p.IntN(3)
	column, value := table.Field, log.Samples[from].Total
	if log.Axes {
		column, value = []table.Column{table.AxisX, table.AxisY, table.AxisZ}[axis], log.Samples[from].Axes[axis]
	}
	if digits := strings.Trim(log.Written(column, value), "-0."); to-from < 10 || len(strings.Replace(digits, ".", "", 1)) < 4 {
		return nil, false
	}
	for k := from; k < to; k++ {
		if log.Axes {
			log.Samples[k].Axes[axis] = value
		} else {
			log.Samples[k].SetReading(value)
		}
	}
	return []expectation{p.at("probe-fault", first, log), p.at("probe-fault", second, log)}, true
}

// otherFrequency lets the log note another frequency than the dwell record.
func (p *planter) otherFrequency() ([]expectation, bool) {
	return p.notedFrequency(p.between(1+1.01*float64(p.shape.Step)/2, 1.2), true)
}

// nearFrequency lets the log note a frequency that is still near enough.
func (p *planter) nearFrequency() ([]expectation, bool) {
	return p.notedFrequency(1+0.9*float64(p.shape.Step)/2, false)
}

func (p *planter) notedFrequency(ratio float64, found bool) ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok || !p.shape.LogSteps {
		return nil, false
	}
	if p.IntN(2) == 0 {
		ratio = 2 - ratio
	}
	log := t.run.Probes[p.IntN(len(t.run.Probes))].Log
	from, to := log.Window(t.visit, p.shape.Settle)
	for i := from; i < to; i++ {
		log.Samples[i].Frequency = quantity.Frequency(math.Round(float64(t.visit.Frequency) * ratio))
	}
	if !found {
		return nil, true
	}
	e := p.at("frequency-agreement", t, nil)
	return []expectation{e}, true
}

// momentaryFrequency lets the log note another frequency for the first reading of a
// visit, which leaves enough.
func (p *planter) momentaryFrequency() ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok || !p.shape.LogSteps {
		return nil, false
	}
	log := t.run.Probes[p.IntN(len(t.run.Probes))].Log
	from, to := log.Window(t.visit, p.shape.Settle)
	if from+2 >= to || t.visit.End.Sub(log.Samples[from+2].At) < p.shape.Required() {
		return nil, false
	}
	log.Samples[from].Frequency *= 1.1
	e := p.at("frequency-agreement", t, log)
	e.note = true
	return []expectation{e}, true
}

// levelled lets the first half of a visit read what an unmodulated field of the
// same level reads, as it does when the modulation comes on later.
func (p *planter) levelled() ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok || len(t.run.Probes) > 1 || p.shape.Unmodulated || p.shape.Modulation.Kind == quantity.CW || quantity.Defined(p.shape.ToleranceHigh) {
		return nil, false
	}
	probe := &t.run.Probes[0]
	factor := probe.Factor(t.visit.Frequency, t.visit.Modulation) / probe.Factor(t.visit.Frequency, quantity.Modulation{Kind: quantity.CW})
	from, to := probe.Log.Window(t.visit, p.shape.Settle)
	middle := (from + to) / 2
	if factor < 1.2 || to-from < 8 || probe.Log.Samples[middle-1].At.Sub(probe.Log.Samples[from].At) < 310*time.Millisecond ||
		probe.Log.Samples[to-1].At.Sub(probe.Log.Samples[middle].At) < 310*time.Millisecond {
		return nil, false
	}
	for i := from; i < middle; i++ {
		probe.Log.Samples[i].SetReading(probe.Log.Samples[i].Total * quantity.FieldStrength(factor))
	}
	return []expectation{p.at("levelling", t, probe.Log)}, true
}

// otherPowerFrequency lets a power file with times note another frequency.
func (p *planter) otherPowerFrequency() ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok || !p.shape.PowerTimes || !p.shape.PowerSteps {
		return nil, false
	}
	for _, i := range p.powerRows(t) {
		t.run.Power.Rows[i].Frequency *= quantity.Frequency(p.between(1.03, 1.1))
	}
	other, none := p.at("frequency-agreement", t, nil), p.at("power", t, nil)
	other.note, none.note = true, true
	return []expectation{other, none}, len(p.powerRows(t)) > 0
}
