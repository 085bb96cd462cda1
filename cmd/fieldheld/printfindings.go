package main

import (
	"fmt"
	"slices"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/verdict/check"
)

// counts says how many findings are read, and of how many single ones they are made.
func counts(r *report.Report, indices []int) string {
	groups := len(r.GroupFindings(indices))
	if groups == len(indices) {
		return fmt.Sprint(groups)
	}
	return fmt.Sprintf("%d, made of %d", groups, len(indices))
}

// clocks prints the clocks from which other findings follow, before all others: what
// follows is not worth reading until they are right.
func (p *printer) clocks(r *report.Report, only *selection) {
	var all []int
	for i := range r.Findings {
		if f := &r.Findings[i]; (f.Check == clockCheck || f.Follows > 0) && only.finding(r, i) {
			all = append(all, i)
		}
	}
	groups := slices.DeleteFunc(r.GroupFindings(all), func(g report.FindingGroup) bool { return len(g.Follow) == 0 })
	if len(groups) == 0 {
		return
	}
	p.line("")
	p.head("Look first at the clocks")
	for i := range groups {
		p.line("")
		p.finding(r, &groups[i])
		p.wrapped(6, "What follows from it as the times stand is not listed below (--json lists every one): "+r.Following(&groups[i])+".")
	}
}

// clockCheck is the name of the check whose findings others follow from.
const clockCheck = "clock"

// toldWithItsClock reports whether a finding follows from a clock, or is a clock from
// which others follow: such a one is printed with the clocks.
func toldWithItsClock(r *report.Report, i int) bool {
	return r.Findings[i].Follows > 0 || r.Findings[i].Check == clockCheck &&
		slices.ContainsFunc(r.Findings, func(f report.Finding) bool { return f.Follows == i+1 })
}

// findings prints the findings of one state by check, those that are read as one
// together; of a selection those that concern it.
func (p *printer) findings(r *report.Report, state check.FindingState, title string, only *selection) {
	byCheck := map[string][]int{}
	var all []int
	for i := range r.Findings {
		if f := &r.Findings[i]; f.State == state && only.finding(r, i) && !toldWithItsClock(r, i) {
			byCheck[f.Check] = append(byCheck[f.Check], i)
			all = append(all, i)
		}
	}
	if len(all) == 0 {
		return
	}
	p.line("")
	p.head("%s: %s", title, counts(r, all))
	for _, c := range check.Suite() {
		indices := byCheck[c.Name]
		if len(indices) == 0 {
			continue
		}
		p.line("")
		p.wrapped(2, fmt.Sprintf("%s (%s): %s", c.Name, counts(r, indices), c.Doc))
		groups := r.GroupFindings(indices)
		for i := range groups {
			if i == mostListed {
				p.wrapped(4, fmt.Sprintf("... and %d more of this kind; --json lists every one.", len(groups)-mostListed))
				break
			}
			p.finding(r, &groups[i])
		}
	}
}

// mostListed is how many findings of one kind the terminal lists.
const mostListed = 25

// finding prints a finding, or the first of several that are read as one.
func (p *printer) finding(r *report.Report, g *report.FindingGroup) {
	f := &r.Findings[g.First()]
	text := f.Message()
	if n := len(g.Findings); n > 1 {
		text = fmt.Sprintf("%d of one kind; the first, %s %s", n, where(f, f.From, f.To), text)
	}
	place := where(f, g.From, g.To)
	if len(g.Runs) > 1 {
		place = strings.Join(g.Runs, ", ") + ":"
		text = f.Message()
	}
	if n := len(g.Findings); n > 1 && f.Check == clockCheck {
		text = fmt.Sprintf("%d files alike; the first: %s", n, f.Message())
	}
	p.wrapped(4, strings.TrimSpace(place+"  "+text))
	if meaning := f.Meaning(); meaning != "" {
		p.wrapped(6, meaning)
	}
	for _, line := range strings.Split(f.Text.Part("line"), "\n") {
		if line != "" {
			p.line("%s%s", strings.Repeat(" ", 8), line) // as it is written into the job sheet
		}
	}
	for _, e := range g.Evidence {
		p.wrapped(6, "see "+e.String())
	}
}

// where says which run a finding is about, and between which frequencies.
func where(f *report.Finding, from, to quantity.Frequency) string {
	var parts []string
	if f.Run != "" {
		parts = append(parts, f.Run)
	} else if f.Polarization != "" {
		parts = append(parts, string(f.Polarization)+",")
		if f.Position > 0 {
			parts = append(parts, fmt.Sprintf("position %d,", f.Position))
		}
	}
	switch {
	case !quantity.Defined(from):
	case from == to:
		parts = append(parts, "at "+from.String())
	default:
		parts = append(parts, span(from, to))
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, " ") + ":"
}
