package report

import (
	"fmt"
	"slices"
	"strings"

	"fieldheld/ingest/quantity"
)

// FindingGroup is findings that are read as one: of one check, run and cause over
// neighbouring steps or rows; of one asset and cause over the runs that use it; of
// files whose clocks are apart by the same; or one finding that stands alone.
type FindingGroup struct {
	Findings []int              // indices of Report.Findings, at least one
	Follow   []int              // indices of the findings that follow from them and are read with them: see Finding.Follows
	From, To quantity.Frequency // over all of them; NaN where none has a frequency
	Evidence []Evidence         // joined where files are the same
	Runs     []string           // ids of the runs concerned, in the order of the findings
}

// First is the index of the finding that stands for the group.
func (g *FindingGroup) First() int { return g.Findings[0] }

// Name is the group's number in the list of findings: "F3", or "F3–F14".
func (g *FindingGroup) Name() string {
	first, last := g.Findings[0], g.Findings[len(g.Findings)-1]
	switch {
	case first == last:
		return fmt.Sprintf("F%d", first+1)
	case last-first == len(g.Findings)-1:
		return fmt.Sprintf("F%d–F%d", first+1, last+1)
	}
	return fmt.Sprintf("F%d and %d more", first+1, len(g.Findings)-1)
}

// GroupFindings joins findings, given by their indices, that are read as one, in
// the order of the first of each group. A clock with what follows from it comes
// before all others: what follows is read when the clock is right.
func (r *Report) GroupFindings(indices []int) []FindingGroup {
	var groups []FindingGroup
	at := map[any]int{}      // what joins findings → index in groups
	clocks := map[int]int{}  // index of a finding → index in groups
	listed := map[int]bool{} // indices
	for _, i := range indices {
		listed[i] = true
	}
	for _, i := range indices {
		f := &r.Findings[i]
		if f.Follows > 0 && listed[f.Follows-1] {
			continue
		}
		key := joinsBy(f)
		k, known := at[key]
		if key == nil || !known {
			k = len(groups)
			if key != nil {
				at[key] = k
			}
			groups = append(groups, FindingGroup{From: f.From, To: f.To})
		}
		groups[k].add(r, i)
		clocks[i] = k
	}
	for _, i := range indices {
		if f := &r.Findings[i]; f.Follows > 0 && listed[f.Follows-1] {
			k := clocks[f.Follows-1]
			groups[k].Follow = append(groups[k].Follow, i)
		}
	}
	slices.SortStableFunc(groups, func(a, b FindingGroup) int { return a.order() - b.order() })
	return groups
}

// order is that of the lists: what others follow from comes first.
func (g *FindingGroup) order() int {
	if len(g.Follow) > 0 {
		return 0
	}
	return 1
}

// add takes a finding into the group.
func (g *FindingGroup) add(r *Report, i int) {
	f := &r.Findings[i]
	g.Findings = append(g.Findings, i)
	if f.Run != "" && !slices.Contains(g.Runs, f.Run) {
		g.Runs = append(g.Runs, f.Run)
	}
	if f.From < g.From {
		g.From = f.From
	}
	if f.To > g.To {
		g.To = f.To
	}
	for _, e := range f.Evidence {
		g.join(e)
	}
}

// Following says how many findings of which checks follow from a group, and how many
// of them are open: "240 findings, all open: level 120, power 120"; "" where none do.
func (r *Report) Following(g *FindingGroup) string {
	if len(g.Follow) == 0 {
		return ""
	}
	counts, checks := map[string]int{}, []string{}
	for _, i := range g.Follow {
		name := r.Findings[i].Check
		if counts[name]++; counts[name] == 1 {
			checks = append(checks, name)
		}
	}
	for i, name := range checks {
		checks[i] = fmt.Sprintf("%s %d", name, counts[name])
	}
	state := "none open"
	switch open := r.OpenFollowing(g); {
	case open == len(g.Follow):
		state = "all open"
	case open > 0:
		state = fmt.Sprintf("%d of them open", open)
	}
	return fmt.Sprintf("%s, %s: %s", counted(len(g.Follow), "finding", "findings"), state, strings.Join(checks, ", "))
}

// OpenFollowing is how many of the findings that follow from a group are open.
func (r *Report) OpenFollowing(g *FindingGroup) int {
	open := 0
	for _, i := range g.Follow {
		if r.Findings[i].State == Open {
			open++
		}
	}
	return open
}

// assetFault is what joins findings about one asset: each run that uses it has one,
// and a reader has one thing to mend.
type assetFault struct {
	check, asset, text string // text: code and values
	state              FindingState
	deviation          int
}

// clockFault is what joins the findings on files whose clocks are apart by the same.
type clockFault struct{ cause string }

// consequence is what joins the findings of a check that follow from a clock which
// is not in the list.
type consequence struct {
	check string
	state FindingState
	clock int
}

// joinsBy is what a finding shares with those that are read with it; nil for one
// that stands alone.
func joinsBy(f *Finding) any {
	switch {
	case f.Check == "clock" && f.Cause != "":
		return clockFault{f.Cause}
	case f.Follows > 0:
		return consequence{f.Check, f.State, f.Follows}
	case f.Group != 0:
		return f.Group
	case f.Asset != "" && f.Visit == (VisitRef{}) && f.Cell == 0:
		return assetFault{f.Check, f.Asset, fmt.Sprint(f.Text.Code, f.Text.Values), f.State, f.Deviation}
	}
	return nil
}

// join adds evidence to that of the same file, where there is any: the first and
// the last row that the group means.
func (g *FindingGroup) join(e Evidence) {
	for i := range g.Evidence {
		own := &g.Evidence[i]
		if own.File != e.File || own.Sheet != e.Sheet {
			continue
		}
		if len(g.Findings) > 1 || e.First == own.First && e.Last == own.Last {
			own.First, own.Last = min(own.First, e.First), max(own.Last, e.Last)
			return
		}
	}
	g.Evidence = append(g.Evidence, e)
}

// AllFindings are the indices of every finding of the report.
func (r *Report) AllFindings() []int {
	indices := make([]int, len(r.Findings))
	for i := range indices {
		indices[i] = i
	}
	return indices
}

// CoveredBy returns the findings that a deviation covers, as they are read. Deviations
// count from 1, in the order of the job sheet.
func (r *Report) CoveredBy(deviation int) []FindingGroup {
	return r.GroupFindings(slices.DeleteFunc(r.AllFindings(), func(i int) bool { return r.Findings[i].Deviation != deviation }))
}

// GroupHeads gives for every finding, by its index, the one that stands for its group
// among all findings.
func (r *Report) GroupHeads() map[int]int {
	heads := map[int]int{}
	for _, g := range r.GroupFindings(r.AllFindings()) {
		for _, i := range slices.Concat(g.Findings, g.Follow) {
			heads[i] = g.First()
		}
	}
	return heads
}
