package report

import (
	"cmp"
	"slices"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
	"fieldheld/templates/wording"
)

// uncertaintyOf is what the job sheet states of the uncertainty; nil where it states
// nothing.
func uncertaintyOf(u *jobsheet.Uncertainty) *uncertainty.Statement {
	if u == nil {
		return nil
	}
	var contributions []uncertainty.Contribution
	for _, c := range u.Contributions {
		contributions = append(contributions, uncertainty.Contribution{Name: c.Name, Value: c.Value, Distribution: c.Distribution,
			Divisor: c.Divisor, Sensitivity: c.Sensitivity, DegreesOfFreedom: c.DegreesOfFreedom, From: c.From, To: c.To, Probe: c.Probe})
	}
	return uncertainty.State(contributions, u.CoverageFactor)
}

// budgets lists where which budget holds of a statement that varies, over what was
// tested with each probe; nil for one budget. The messages name what is not covered.
func budgets(sheet *jobsheet.Sheet, s *uncertainty.Statement, tested []testedRange) ([]uncertainty.Piece, place.Messages) {
	if !s.Varies() {
		return nil, nil
	}
	var problems place.Messages
	for _, probe := range s.Probes() {
		if !slices.ContainsFunc(tested, func(t testedRange) bool { return t.probe == probe }) {
			problems.Add(place.Message{Place: contributionPlace(sheet, func(c *jobsheet.Contribution) bool { return c.Probe == probe }),
				Text: wording.Say("uncertainty.unknown-probe", wording.Values{"probe": probe})})
		}
	}
	byProbe := map[string][]uncertainty.Piece{}
	var probes []string
	for _, t := range tested {
		for _, gap := range s.Gaps(t.from, t.to, t.probe) {
			problems.Add(place.Message{Place: contributionPlace(sheet, func(c *jobsheet.Contribution) bool { return c.Name == gap.Name }),
				Text: wording.Say("uncertainty.part-not-stated", wording.Values{"name": gap.Name, "from": gap.From, "to": gap.To, "probe": t.probe})})
		}
		if !slices.Contains(probes, t.probe) {
			probes = append(probes, t.probe)
		}
		byProbe[t.probe] = append(byProbe[t.probe], s.Pieces(t.from, t.to, t.probe)...)
	}
	if len(problems) > 0 {
		return nil, problems
	}
	alike := len(probes) > 0
	for _, probe := range probes {
		alike = alike && uncertainty.Same(byProbe[probe], byProbe[probes[0]])
	}
	var list []uncertainty.Piece
	for i, probe := range probes {
		for _, piece := range byProbe[probe] {
			if alike {
				piece.Probe = ""
			}
			list = append(list, piece)
		}
		if alike && i == 0 {
			break
		}
	}
	return list, nil
}

// contributionPlace is where the first contribution of a kind stands.
func contributionPlace(sheet *jobsheet.Sheet, is func(*jobsheet.Contribution) bool) place.Place {
	for i := range sheet.Uncertainty.Contributions {
		if c := &sheet.Uncertainty.Contributions[i]; is(c) {
			return c.Place
		}
	}
	return place.Place{}
}

// largest is the budget with the largest expanded uncertainty of all that hold.
func largest(s *uncertainty.Statement, pieces []uncertainty.Piece) *uncertainty.Budget {
	if !s.Varies() {
		return s.For(0)
	}
	var found *uncertainty.Budget
	for i := range pieces {
		if b := pieces[i].Budget; found == nil || b.Expanded > found.Expanded {
			found = b
		}
	}
	return found
}

// testedRange is a part of a required range in which visits rest on a probe.
type testedRange struct {
	probe    string
	from, to quantity.Frequency
}

// testedWith lists, for each probe of the runs, what of the required ranges its runs
// visited, from the lowest to the highest of their frequencies.
func testedWith(day *ingest.Day, r *requirement.Requirement) []testedRange {
	var hulls []testedRange
	for i := range day.Runs {
		run := &day.Runs[i]
		if len(run.Visits) == 0 {
			continue
		}
		from, to := run.Visits[0].Frequency, run.Visits[0].Frequency
		for k := range run.Visits {
			from, to = min(from, run.Visits[k].Frequency), max(to, run.Visits[k].Frequency)
		}
		for k := range run.Sheet.Probes {
			probe := run.Sheet.Probes[k].Asset
			at := slices.IndexFunc(hulls, func(t testedRange) bool { return t.probe == probe })
			if at < 0 {
				hulls = append(hulls, testedRange{probe, from, to})
				continue
			}
			hulls[at].from, hulls[at].to = min(hulls[at].from, from), max(hulls[at].to, to)
		}
	}
	var tested []testedRange
	for _, hull := range hulls {
		for _, rg := range requiredRanges(r) {
			if from, to := max(hull.from, rg.From), min(hull.to, rg.To); from <= to {
				tested = append(tested, testedRange{hull.probe, from, to})
			}
		}
	}
	return tested
}

// requiredRanges are the required ranges of whatever polarization, ascending.
func requiredRanges(r *requirement.Requirement) []requirement.Range {
	ranges := r.Ranges()
	slices.SortFunc(ranges, func(a, b requirement.Range) int { return cmp.Compare(a.From, b.From) })
	whole := ranges[:0] // of whatever polarization
	for _, rg := range ranges {
		if n := len(whole); n > 0 && rg.From.AtOrBelow(whole[n-1].To) {
			whole[n-1].To = max(whole[n-1].To, rg.To)
			continue
		}
		whole = append(whole, rg)
	}
	return whole
}
