package check

import (
	"slices"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
)

// Verdict is what findings make of a day.
type Verdict struct {
	Findings []Finding
	Repeat   []Repeat
	Runs     []Run
	Cells    []Cell
	State    State   // Met, MetWithDeviations or NotMet: demonstrated or not
	Acting   [][]int // for each cell, the indices of the findings that act on it
}

// Repeat is one frequency that has to be run again before the setup is taken down.
type Repeat struct {
	Polarization quantity.Polarization
	Position     quantity.Position
	Frequency    quantity.Frequency
	Setting      quantity.Frequency // what a generator is set to for it: Frequency, rounded where it fills a hole
	Why          string             // name of the first open check of the step
	Hole         bool               // it fills a hole; else its step was visited
}

// Judge runs the suite, lets the findings decide the states of visits, steps and
// cells, applies the deviations, and lists what to repeat.
func Judge(s *Subject) Verdict {
	j := &judge{Subject: s, findings: Find(s), rank: map[string]int{}, weight: map[string]Weight{}}
	for i, c := range Suite() {
		j.rank[c.Name], j.weight[c.Name] = i, c.Weight
	}
	j.runs, j.cells = unjudged(s.Evaluated)
	j.byVisit = map[VisitRef][]int{}
	for i, f := range j.findings {
		if f.Visit != (VisitRef{}) {
			j.byVisit[f.Visit] = append(j.byVisit[f.Visit], i)
		}
	}
	j.judgeVisits()
	j.retireNotes()
	notes := s.applyDeviations(j.findings)
	var acting [][]int
	for i := range j.cells {
		cell := &j.cells[i]
		j.judgeSteps(cell)
		acts := j.actingOn(i)
		j.judgeCell(cell, acts)
		acting = append(acting, acts)
	}
	findings := append(j.findings, notes...)
	s.follow(findings)
	group(findings, s.Evaluated)
	return Verdict{Findings: findings, Repeat: j.repeats(), Runs: j.runs, Cells: j.cells, State: dayState(j.cells), Acting: acting}
}

type judge struct {
	*Subject
	runs     []Run
	cells    []Cell
	findings []Finding
	byVisit  map[VisitRef][]int // indices into findings
	rank     map[string]int
	weight   map[string]Weight
}

func refOf(v *evaluate.Visit) VisitRef { return VisitRef{Run: v.Run + 1, Visit: v.Index + 1} }

// judgeVisits sets the state of every required visit: not shown while evidence
// is missing, else not met while something failed, else met.
func (j *judge) judgeVisits() {
	for i := range j.runs {
		for _, v := range j.runs[i].Visits {
			if v.IsRequired() {
				v.State = j.stateOf(v)
			}
		}
	}
}

func (j *judge) stateOf(v *Visit) State {
	state := Met
	for _, i := range j.byVisit[refOf(v.Visit)] {
		f := &j.findings[i]
		weight := j.weight[f.Check]
		if f.State != Open || !weight.Decides() {
			continue
		}
		if leaves := weight.Leaves(); leaves == NotShown || state == Met {
			state = leaves
		}
	}
	return state
}

// goodness orders the states of visits from worst to best for a step.
func goodness(s State) int {
	switch s {
	case Met:
		return 2
	case NotMet:
		return 1
	default:
		return 0
	}
}

// better reports whether a visit stands for its step rather than another: by its
// state, then by its margin.
func better(a, b *Visit) bool {
	if goodness(a.State) != goodness(b.State) {
		return goodness(a.State) > goodness(b.State)
	}
	return a.Margin > b.Margin || quantity.Defined(a.Margin) && !quantity.Defined(b.Margin)
}

// retireNotes picks the best visit of every step. Where that one is met, what
// decided the other visits decides nothing any more.
func (j *judge) retireNotes() {
	for i := range j.cells {
		cell := &j.cells[i]
		for k := range cell.Steps {
			step := &cell.Steps[k]
			step.Best = step.Visits[0]
			for _, v := range step.Visits {
				if better(v, step.Best) {
					step.Best = v
				}
			}
			if step.Best.State != Met {
				continue
			}
			for _, v := range step.Visits {
				for _, n := range j.byVisit[refOf(v.Visit)] {
					j.findings[n].State = Note
				}
			}
		}
	}
}

// judgeSteps sets the state of each step: that of its best visit, or met with
// deviations where all of its findings that decide are accepted.
func (j *judge) judgeSteps(cell *Cell) {
	cell.StepsMet = 0
	for k := range cell.Steps {
		step := &cell.Steps[k]
		step.State = step.Best.State
		if step.State == Met {
			cell.StepsMet++
			continue
		}
		if open, accepted := j.count(step); open == 0 && accepted > 0 {
			step.State = MetWithDeviations
		}
	}
}

// count returns how many findings of a step are open and how many accepted.
func (j *judge) count(step *Step) (open, accepted int) {
	for _, v := range step.Visits {
		for _, n := range j.byVisit[refOf(v.Visit)] {
			switch j.findings[n].State {
			case Open:
				open++
			case Accepted:
				accepted++
			}
		}
	}
	return open, accepted
}

// actingOn returns the indices of the findings that act on a cell: those of its
// visits and holes and of the whole cell, of the runs that serve it, and of the
// whole day.
func (j *judge) actingOn(index int) []int {
	cell := &j.cells[index]
	in := map[VisitRef]bool{}
	for _, step := range cell.Steps {
		for _, v := range step.Visits {
			in[refOf(v.Visit)] = true
		}
	}
	serves := map[string]bool{}
	for _, i := range cell.Runs {
		serves[j.Evaluated.Runs[i].ID] = true
	}
	var acts []int
	for i := range j.findings {
		if j.acts(&j.findings[i], index, in, serves) {
			acts = append(acts, i)
		}
	}
	return acts
}

func (j *judge) acts(f *Finding, index int, in map[VisitRef]bool, serves map[string]bool) bool {
	cell := &j.Evaluated.Cells[index]
	switch {
	case f.Visit != (VisitRef{}):
		return in[f.Visit]
	case f.Cell > 0:
		return f.Cell == index+1
	case f.ActsOn != nil:
		return slices.ContainsFunc(f.ActsOn, func(run int) bool { return slices.Contains(cell.Runs, run) })
	case f.Run != "":
		return serves[f.Run]
	case f.Polarization != "": // the number of positions is not known
		return cell.Unknown && cell.Polarization == f.Polarization
	}
	return true
}

// judgeCell sets the state of a cell and marks its accepted holes.
func (j *judge) judgeCell(cell *Cell, acts []int) {
	failed, missing, accepted := false, false, false
	note := func(state State) {
		failed = failed || state == NotMet
		missing = missing || state == NotShown
		accepted = accepted || state == MetWithDeviations
	}
	for _, step := range cell.Steps {
		note(step.State)
	}
	for _, i := range acts {
		f := &j.findings[i]
		if f.Visit != (VisitRef{}) || !j.weight[f.Check].Decides() {
			continue // it acts through its step, or not at all
		}
		switch f.State {
		case Open:
			note(j.weight[f.Check].Leaves())
		case Accepted:
			accepted = true
			if f.Hole > 0 {
				cell.Holes[f.Hole-1].Accepted = true
			}
		}
	}
	for _, hole := range cell.Holes {
		missing = missing || !hole.Accepted
	}
	switch {
	case failed:
		cell.State = NotMet
	case missing:
		cell.State = NotShown
	case accepted:
		cell.State = MetWithDeviations
	default:
		cell.State = Met
	}
}

// dayState is Met when every cell is, MetWithDeviations when some are so, else
// NotMet. A day without a cell shows nothing.
func dayState(cells []Cell) State {
	state := Met
	for i := range cells {
		switch cells[i].State {
		case Met:
		case MetWithDeviations:
			state = MetWithDeviations
		default:
			return NotMet
		}
	}
	if len(cells) == 0 {
		return NotMet
	}
	return state
}

// repeats lists, cell by cell and ascending, every step that is not met or not
// shown and the frequencies that fill every hole.
func (j *judge) repeats() []Repeat {
	var list []Repeat
	for i := range j.cells {
		list = append(list, j.repeatsOf(&j.cells[i])...)
	}
	return list
}
