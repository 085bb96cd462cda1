package report_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/templates/demoday"
)

// A fault is one thing that can go wrong with a day. Planting it changes a clean
// day and returns the findings that it must give, worked out from what was
// planted and not by the evaluation. A fault that does not fit the day changes
// nothing and returns false.
type fault struct {
	name  string
	plant func(p *planter) ([]expectation, bool)
	// beside names the checks of notes that the fault may give as well, because
	// it changes what they look at.
	beside []string
	// drowned says that open findings of other checks are bound to come along.
	drowned bool
}

// expectation is a finding that has to be there.
type expectation struct {
	check    string
	note     bool
	asks     bool               // open, and decides nothing
	run      string             // "" where the finding names no run
	from, to quantity.Frequency // both 0: not looked at
	file     string             // of the evidence; "": not looked at
	rows     [2]int             // zero: not looked at
}

func (e expectation) state() string {
	if e.note {
		return string(report.Note)
	}
	return string(report.Open)
}

func (e expectation) String() string {
	return fmt.Sprintf("%s (%s) run %q %v to %v in %s %v", e.check, e.state(), e.run, e.from, e.to, e.file, e.rows)
}

// met reports whether a finding is the expected one.
func (e expectation) met(f report.Finding) bool {
	if f.Check != e.check || string(f.State) != e.state() || f.Run != e.run {
		return false
	}
	same := func(a, b quantity.Frequency) bool { return math.Abs(float64(a-b)) <= 1e-9*math.Abs(float64(b)) }
	if e.to != 0 && !(same(f.From, e.from) && same(f.To, e.to)) {
		return false
	}
	if e.file == "" {
		return true
	}
	for _, evidence := range f.Evidence {
		if evidence.File == e.file && (e.rows == [2]int{} || evidence.First == e.rows[0] && evidence.Last == e.rows[1]) {
			return true
		}
	}
	return false
}

// planter plants one fault in one day.
type planter struct {
	*rand.Rand
	day   *demoday.Day
	shape *demoday.Shape
}

func newPlanter(day *demoday.Day, seed uint64) *planter {
	return &planter{Rand: rand.New(rand.NewPCG(seed, 0xfa017)), day: day, shape: day.Shape}
}

// target is a visit with what belongs to it.
type target struct {
	run   *demoday.Run
	visit *demoday.Visit
	index int              // in the dwell record
	start quantity.Instant // of the visit, which no other one of the day shares
}

// targets returns every visit of the day.
func (p *planter) targets() []target {
	var list []target
	for _, run := range p.day.Runs {
		visits, indices := run.Visits()
		for i, v := range visits {
			list = append(list, target{run: run, visit: v, index: indices[i], start: v.Start})
		}
	}
	return list
}

// alone returns the visits whose step has no other visit.
func (p *planter) alone() []target {
	type step struct {
		polarization quantity.Polarization
		position     int
		frequency    quantity.Frequency
	}
	key := func(t target) step {
		return step{quantity.Polarization(string(t.visit.Polarization)), int(t.visit.Position), t.visit.Frequency}
	}
	count := map[step]int{}
	all := p.targets()
	for _, t := range all {
		count[key(t)]++
	}
	var list []target
	for _, t := range all {
		if count[key(t)] == 1 {
			list = append(list, t)
		}
	}
	return list
}

// pick chooses one of the targets that the condition allows.
func (p *planter) pick(list []target, allows func(target) bool) (target, bool) {
	var fitting []target
	for _, t := range list {
		if allows(t) {
			fitting = append(fitting, t)
		}
	}
	if len(fitting) == 0 {
		return target{}, false
	}
	return fitting[p.IntN(len(fitting))], true
}

func anyTarget(target) bool { return true }

// at says that a finding is of the target's visit, and shows the window of a log.
func (p *planter) at(check string, t target, log *demoday.ProbeLog) expectation {
	e := expectation{check: check, run: t.run.Sheet.ID, from: t.visit.Frequency, to: t.visit.Frequency}
	if log != nil {
		from, to := log.Window(t.visit, p.shape.Settle)
		e.file, e.rows = log.Entry.File, [2]int{log.Row(from), log.Row(to - 1)}
	}
	return e
}

// between returns a number between two others.
func (p *planter) between(low, high float64) float64 { return low + (high-low)*p.Float64() }

// affected returns the probes of a run that a fault must change to change the
// figure of a visit: one by chance, or all where their mean counts. The first is
// the one that decides.
func (p *planter) affected(run *demoday.Run) []*demoday.Probe {
	if p.shape.Sensors != "mean" {
		return []*demoday.Probe{&run.Probes[p.IntN(len(run.Probes))]}
	}
	var all []*demoday.Probe
	for i := range run.Probes {
		all = append(all, &run.Probes[i])
	}
	return all
}

// hold sets every reading of a probe in a visit's window to a corrected field.
func (p *planter) hold(probe *demoday.Probe, v *demoday.Visit, e quantity.FieldStrength) {
	reading := e / quantity.FieldStrength(probe.Factor(v.Frequency, v.Modulation))
	from, to := probe.Log.Window(v, p.shape.Settle)
	for i := from; i < to; i++ {
		probe.Log.Samples[i].SetReading(reading)
	}
}

// scalePower changes the power of a visit in proportion, so that the field per root
// watt stays what it was.
func (p *planter) scalePower(t target, factor quantity.Power) {
	if t.run.Power == nil {
		return
	}
	for _, i := range p.powerRows(t) {
		t.run.Power.Rows[i].Forward *= factor
		t.run.Power.Rows[i].Reflected *= factor
	}
}

// powerRows returns the indices of the rows of a visit.
func (p *planter) powerRows(t target) []int {
	var list []int
	power := t.run.Power
	for i := range power.Rows {
		inside := power.Rows[i].At >= t.visit.Start.Add(p.shape.Settle) && power.Rows[i].At < t.visit.End
		if inside || !power.Time && power.Rows[i].Frequency == t.visit.Frequency {
			list = append(list, i)
		}
	}
	return list
}

// gap is the longest distance of samples that counts as continuous: what the job
// sheet says, or three times the median of the distances.
func (p *planter) gap(log *demoday.ProbeLog) time.Duration {
	if p.shape.MaxGap > 0 {
		return p.shape.MaxGap
	}
	var distances []int
	for i := 1; i < len(log.Samples); i++ {
		if d := log.Samples[i].At - log.Samples[i-1].At; d > 0 {
			distances = append(distances, int(d))
		}
	}
	sort.Ints(distances)
	n := len(distances)
	return time.Duration(3 * (distances[(n-1)/2] + distances[n/2]) / 2)
}

// stretches returns how long the field of a visit was followed without a break,
// longest first.
func (p *planter) stretches(log *demoday.ProbeLog, v *demoday.Visit) []time.Duration {
	gap := p.gap(log)
	begin := v.Start.Add(p.shape.Settle)
	from, to := log.Window(v, p.shape.Settle)
	var list []time.Duration
	for i := from; i < to; {
		j := i
		for j+1 < to && log.Samples[j+1].At.Sub(log.Samples[j].At) <= gap {
			j++
		}
		first := max(begin, log.Samples[i].At.Add(-gap/2))
		last := min(v.End, log.Samples[j].At.Add(gap/2))
		list = append(list, last.Sub(first))
		i = j + 1
	}
	sort.Slice(list, func(a, b int) bool { return list[a] > list[b] })
	return list
}

// finest makes the logs of a run write readings with as many digits as a fault
// near a border needs.
func finest(run *demoday.Run) {
	for i := range run.Probes {
		run.Probes[i].Log.Layout.Digits = 12
	}
}

// serving returns the id of the run that serves a range alone, "" where several do.
func (p *planter) serving(polarization quantity.Polarization, position quantity.Position, r demoday.Range) string {
	id := ""
	for _, run := range p.day.Runs {
		if run.Sheet.Polarization != polarization || run.Sheet.Position != position {
			continue
		}
		visits, _ := run.Visits()
		for _, v := range visits {
			if v.Frequency.Within(r.From, r.To) {
				if id != "" && id != run.Sheet.ID {
					return ""
				}
				id = run.Sheet.ID
			}
		}
	}
	return id
}

// rangeOf returns the required range that holds a frequency.
func (p *planter) rangeOf(polarization quantity.Polarization, f quantity.Frequency) demoday.Range {
	for _, r := range p.shape.Ranges(quantity.Polarization(polarization)) {
		if f.Within(r.From, r.To) {
			return r
		}
	}
	return demoday.Range{}
}
