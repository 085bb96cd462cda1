package report

import (
	"fmt"
	"slices"

	"fieldheld/ingest/quantity"
)

// FindingGroup is findings that are read as one: of one check, run and cause over
// neighbouring steps or rows; of one asset and cause over the runs that use it; or
// one finding that stands alone.
type FindingGroup struct {
	Findings []int              // indices of Report.Findings, at least one
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
// the order of the first of each group.
func (r *Report) GroupFindings(indices []int) []FindingGroup {
	var groups []FindingGroup
	at := map[any]int{} // what joins findings → index in groups
	for _, i := range indices {
		f := &r.Findings[i]
		key := joinsBy(f)
		k, known := at[key]
		if key == nil || !known {
			k = len(groups)
			if key != nil {
				at[key] = k
			}
			groups = append(groups, FindingGroup{From: f.From, To: f.To})
		}
		g := &groups[k]
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
	return groups
}

// assetFault is what joins findings about one asset: each run that uses it has one,
// and a reader has one thing to mend.
type assetFault struct {
	check, asset, text string // text: code and values
	state              FindingState
	deviation          int
}

// joinsBy is what a finding shares with those that are read with it; nil for one
// that stands alone.
func joinsBy(f *Finding) any {
	switch {
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
		for _, i := range g.Findings {
			heads[i] = g.First()
		}
	}
	return heads
}
