package evaluate

import (
	"errors"
	"math"
	"runtime"
	"slices"
	"sync"
	"time"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
)

// evaluator holds what every visit of a day is judged by.
type evaluator struct {
	requirement *requirement.Requirement
	budget      *uncertainty.Budget
}

// Evaluate computes the figures of every visit of a day and sorts the visits
// into steps and cells.
//
// The budget may be nil. The error says which input the figures cannot be
// computed from.
func Evaluate(day *ingest.Day, r *requirement.Requirement, budget *uncertainty.Budget) (*Day, error) {
	e := &evaluator{requirement: r, budget: budget}
	evaluated := &Day{Budget: budget}
	for i := range day.Runs {
		evaluated.Runs = append(evaluated.Runs, e.plainRun(i, &day.Runs[i]))
	}
	evaluated.Cells = e.cells(day, evaluated)
	e.share(evaluated)
	if err := e.runs(day, evaluated); err != nil {
		return nil, err
	}
	return evaluated, nil
}

// share tells each visit which of its time another visit claims too.
func (e *evaluator) share(evaluated *Day) {
	shared := sharedTimes(evaluated.Runs)
	for i := range evaluated.Runs {
		for _, v := range evaluated.Runs[i].Visits {
			if parts := v.whole().within(shared); len(parts) > 0 {
				v.SharedTime = parts
			}
		}
	}
}

// runs computes the figures of the runs, as many at a time as there are processors.
func (e *evaluator) runs(day *ingest.Day, evaluated *Day) error {
	errs := make([]error, len(day.Runs))
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	var group sync.WaitGroup
	for i := range day.Runs {
		slots <- struct{}{}
		group.Go(func() {
			defer func() { <-slots }()
			errs[i] = e.run(&day.Runs[i], &evaluated.Runs[i])
		})
	}
	group.Wait()
	return errors.Join(errs...)
}

// plainRun lists the visits of a run without limits and figures.
func (e *evaluator) plainRun(index int, run *ingest.Run) Run {
	plain := Run{ID: run.Sheet.ID, Polarization: run.Sheet.Polarization, Position: run.Sheet.Position}
	for i := range run.Visits {
		plain.Visits = append(plain.Visits, e.plainVisit(index, i, run, &run.Visits[i]))
	}
	for i := range run.OtherRows {
		plain.OtherRows = append(plain.OtherRows, e.plainVisit(index, len(run.Visits)+i, run, &run.OtherRows[i]))
	}
	return plain
}

// plainVisit is a row of a run's dwell record without limits and figures.
func (e *evaluator) plainVisit(run, index int, of *ingest.Run, row *record.Visit) *Visit {
	undefined := quantity.Undefined[quantity.FieldStrength]()
	return &Visit{Run: run, Index: index, Record: *row, DwellFile: of.Dwell.File.Path,
		Modulation: modulationOf(of, row, e.requirement), Required: e.requirement.Required(),
		Limit: undefined, Lowest: undefined, Highest: undefined, Resolution: of.Dwell.Resolution,
		ofPeak: e.requirement.OfPeak, half: e.requirement.StepWidth(row.Frequency) / 2}
}

// ModulationOf returns the modulation of a run's visit: the dwell record's, else
// the run's, else the requirement's.
func ModulationOf(run *ingest.Run, i int, r *requirement.Requirement) quantity.Modulation {
	return modulationOf(run, &run.Visits[i], r)
}

func modulationOf(run *ingest.Run, row *record.Visit, r *requirement.Requirement) quantity.Modulation {
	switch {
	case row.Modulation != nil:
		return *row.Modulation
	case run.Sheet.Modulation != nil:
		return *run.Sheet.Modulation
	default:
		return r.Modulation
	}
}

// assign gives a visit the limit of the cell that it belongs to, of which the
// index plus one is given.
func (e *evaluator) assign(v *Visit, cell int, limit quantity.FieldStrength) {
	v.Cell = cell
	v.Limit = limit
	v.Lowest = limit.Plus(e.requirement.ToleranceLow)
	v.Highest = limit.Plus(e.requirement.ToleranceHigh)
}

// Near is how far a frequency that another file writes for the visit may lie from
// the visit's own: the coarsest of both resolutions and of half a step.
func (v *Visit) Near(resolution quantity.Frequency) quantity.Frequency {
	return max(v.Resolution, resolution, v.half) + quantity.Slack*v.Frequency()
}

// whole is the window in which a visit may not share time with another.
func (v *Visit) whole() window { return window{start: v.Record.Start, end: v.Record.End} }

// settled is the window in which samples and power rows count.
func (v *Visit) settled(settle time.Duration) window {
	return window{start: v.Record.Start.Add(settle), end: v.Record.End}
}

func (e *evaluator) run(run *ingest.Run, evaluated *Run) error {
	windows := make([]window, 0, len(evaluated.Visits)+len(evaluated.OtherRows))
	for _, v := range evaluated.Visits {
		windows = append(windows, v.settled(e.requirement.Settle))
	}
	for _, v := range evaluated.OtherRows { // a probe that is frozen is so through them too
		windows = append(windows, v.settled(e.requirement.Settle))
	}
	sources := sourcesOf(run, windows)
	evaluated.IdleHarmonics = assignHarmonics(run.Sheet.Harmonics, evaluated.Visits)
	n := len(sources)
	figures := make([]SourceFigures, n*len(evaluated.Visits)) // of all visits in one piece
	judge := &judgement{evaluator: e, sources: sources}
	for i, v := range evaluated.Visits {
		v.Sources = figures[i*n : (i+1)*n : (i+1)*n]
		for j, s := range sources {
			var err error
			if v.Sources[j], err = s.figures(v, windows[i]); err != nil {
				return err
			}
		}
		judge.visit(v)
		v.Power = powerOf(run, v, windows[i])
	}
	judge.otherRows(run, evaluated, windows)
	evaluated.Uses = usesOf(run, windows[:len(evaluated.Visits)])
	return nil
}

// otherRows computes what the rows of a run show that are no test steps. They have no
// limit, and where their figures need something that is not known, they have none.
func (j *judgement) otherRows(run *ingest.Run, evaluated *Run, windows []window) {
	for _, v := range evaluated.OtherRows {
		v.Sources = make([]SourceFigures, len(j.sources))
		known := true
		for k, s := range j.sources {
			var err error
			v.Sources[k], err = s.figures(v, windows[v.Index])
			known = known && err == nil
		}
		if !known {
			for k := range v.Sources { // the factor of its modulation is not known
				v.Sources[k] = nothingRead()
			}
		}
		j.visit(v)
		v.Power = powerOf(run, v, windows[v.Index])
	}
}

// judgement puts the figures of a visit together from those of its sources.
type judgement struct {
	*evaluator
	sources []source
	record  levels    // of the visit at hand
	series  []*series // likewise
}

// visit computes the figures of one visit, whose readings the sources have laid
// out.
func (j *judgement) visit(v *Visit) {
	undefined := quantity.Undefined[quantity.FieldStrength]()
	v.Sustained, v.Available, v.Held = undefined, undefined, quantity.Undefined[quantity.Seconds]()
	v.Margin, v.Conformance = quantity.Undefined[quantity.Decibel](), math.NaN()
	j.merge(v)
	var usable []int
	for i := range v.Sources {
		v.Samples += v.Sources[i].Samples
		if v.Sources[i].usable() {
			usable = append(usable, i)
		}
	}
	level, at := j.judgeTime(v)
	switch {
	case len(usable) < len(v.Sources):
		j.combine(usable, false)
	case at >= 0:
		v.Sustained = quantity.FieldStrength(level)
		j.decide(v, usable, at)
	}
	if len(usable) == len(v.Sources) && quantity.Defined(v.Lowest) {
		v.Held = quantity.Seconds(j.record.held(float64(v.Lowest.Plus(-quantity.LevelSlack))) / 1e9)
	}
	if len(usable) > 0 && !quantity.Defined(v.Sustained) {
		longest := j.record.longest()
		if level, at := j.record.sustained(longest-float64(time.Millisecond), 0); at >= 0 {
			v.Available = quantity.FieldStrength(level)
			j.decide(v, usable, at)
		}
	}
	j.finish(v)
}

// usable reports whether a probe gives a level for the visit.
func (p *SourceFigures) usable() bool {
	return p.Samples > 0 && quantity.Defined(p.Factor) && !p.NoField
}

// combine makes the record of some of the probes.
func (j *judgement) combine(probes []int, everything bool) {
	j.series = j.series[:0]
	if len(probes) == 0 {
		j.record = levels{}
		return
	}
	for _, i := range probes {
		j.series = append(j.series, j.sources[i].series())
	}
	j.record.combine(j.series, j.mean(), everything)
}

func (j *judgement) mean() bool { return j.requirement.Sensors == requirement.MeanOfSensors }

// judgeTime finds out, by time and number of samples alone, whether the record of
// all probes holds a stretch as long as the required dwell, and whether it would
// if every sample could be trusted. It leaves the record of all probes, and returns
// its sustained level and the element that decides it, -1 for none.
func (j *judgement) judgeTime(v *Visit) (level float64, element int) {
	probes := make([]int, len(v.Sources))
	invalid, silent := false, len(v.Sources) == 0
	for i := range v.Sources {
		probes[i] = i
		invalid = invalid || v.Sources[i].Invalid > 0
		silent = silent || v.Sources[i].Samples+v.Sources[i].Invalid == 0
	}
	if silent {
		v.Dwell = DwellUnknown
		return math.NaN(), -1
	}
	need := float64(v.Required - time.Millisecond)
	if invalid {
		j.combine(probes, true)
		if _, at := j.record.sustained(need, j.requirement.MinSamples); at < 0 {
			v.Dwell = j.lack(need)
		} else {
			v.Dwell = DwellTaken
		}
	}
	if len(probes) > 1 {
		j.ownStretches(v)
	}
	j.combine(probes, false)
	longest := j.record.longest()
	v.Sources[0].ValidStretch = max(v.Sources[0].ValidStretch, quantity.Seconds(longest/1e9))
	v.ValidStretch, v.Continuous = quantity.Seconds(longest/1e9), longest >= need && len(j.record.stretches) > 0
	if level, element = j.record.sustained(need, j.requirement.MinSamples); element >= 0 {
		v.Dwell = DwellShown
	} else if v.Continuous || !invalid {
		v.Dwell = j.lack(need)
	}
	return level, element
}

// ownStretches notes the longest valid stretch of each probe by itself.
func (j *judgement) ownStretches(v *Visit) {
	for i := range v.Sources {
		j.combine([]int{i}, false)
		v.Sources[i].ValidStretch = quantity.Seconds(j.record.longest() / 1e9)
	}
}

// lack says why the record at hand shows no dwell.
func (j *judgement) lack(need float64) Dwell {
	if j.record.longest() >= need && len(j.record.stretches) > 0 {
		return DwellTooFew
	}
	return DwellTooShort
}

// decide notes which reading gives the level of a visit. Sources are the indices of
// those whose record it is.
func (j *judgement) decide(v *Visit, probes []int, element int) {
	from := j.record.source(element)
	v.Deciding = probes[from.probe]
	p := &v.Sources[v.Deciding]
	part, row, raw := j.sources[v.Deciding].reading(v, from.sample)
	if len(p.Parts) > 0 {
		p.Parts[part].LowestRow, p.Parts[part].LowestRaw = row, raw
		p.speakAs(&p.Parts[part])
	}
	p.LowestRow, p.LowestRaw = row, raw
}

// finish derives what follows from the level. A required visit without a level
// held it for no time.
func (j *judgement) finish(v *Visit) {
	if quantity.Defined(v.Limit) && !quantity.Defined(v.Held) {
		v.Held = 0
	}
	v.Margin = v.Sustained.Over(v.Lowest)
	if j.budget != nil {
		v.Conformance = j.budget.ConformanceProbability(v.Margin)
	}
}

// merge combines minimum, median and maximum of the probes: the worst of each, or
// the mean where the requirement says so. A figure that one probe lacks is
// undefined, but for the highest that is known, on which the upper tolerance is
// judged.
func (j *judgement) merge(v *Visit) {
	lowest := func(figure func(*SourceFigures) quantity.FieldStrength) quantity.FieldStrength {
		return j.over(v.Sources, figure, func(a, b float64) float64 { return min(a, b) })
	}
	v.Minimum = lowest(func(p *SourceFigures) quantity.FieldStrength { return p.Minimum })
	v.Median = lowest(func(p *SourceFigures) quantity.FieldStrength { return p.Median })
	highest := func(a, b float64) float64 { return max(a, b) }
	v.Maximum = j.over(v.Sources, func(p *SourceFigures) quantity.FieldStrength { return p.Maximum }, highest)
	v.Known = v.Maximum
	if !quantity.Defined(v.Maximum) {
		known := slices.DeleteFunc(slices.Clone(v.Sources), func(p SourceFigures) bool { return !p.usable() })
		v.Known = j.over(known, func(p *SourceFigures) quantity.FieldStrength { return p.Maximum }, highest)
	}
}

// over combines one figure of the probes of a visit.
func (j *judgement) over(probes []SourceFigures, figure func(*SourceFigures) quantity.FieldStrength, choose func(a, b float64) float64) quantity.FieldStrength {
	if len(probes) == 0 {
		return quantity.Undefined[quantity.FieldStrength]()
	}
	value := float64(figure(&probes[0]))
	for i := range probes[1:] {
		if other := float64(figure(&probes[i+1])); j.mean() {
			value += other
		} else {
			value = choose(value, other)
		}
	}
	if j.mean() {
		value /= float64(len(probes))
	}
	return quantity.FieldStrength(value)
}
