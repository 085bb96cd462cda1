package report

import (
	"fmt"
	"slices"
	"strings"
)

// Next is what to do next, the most pressing first: while the setup stands, what to
// repeat; then what is open and no step can mend; then the report.
func (r *Report) Next() []string {
	var list []string
	then := "Run"
	if files, n := r.ClocksFirst(); n > 0 {
		then = "If they are still open then, run"
		list = append(list, fmt.Sprintf("Settle the %s of %s before anything is run again: %s from it.", plural(len(files), "clock", "clocks"), strings.Join(files, ", "),
			counted(n, "open finding follows", "open findings follow")))
	}
	if n := len(r.Repeat); n > 0 {
		list = append(list, fmt.Sprintf("%s %s again before the setup is taken down; check --repeat FILE.pdf writes the list for the bench.", then, counted(n, "step", "steps")))
	}
	if n := r.unmended(); n > 0 {
		list = append(list, fmt.Sprintf("Settle %s that no step can mend: correct what the job sheet or the register says, or state the deviation that was agreed.", counted(n, "open finding", "open findings")))
	}
	if n := observations(r, Open); n > 0 {
		list = append(list, fmt.Sprintf("Take up %s of the dwell records as [[event]], or dismiss it.", counted(n, "observation", "observations")))
	}
	for i := range r.Events {
		if r.Events[i].BelowLimit {
			list = append(list, "Tell the customer what the article did below the limit; the field alone does not say whether it passed.")
			break
		}
	}
	if n := len(r.Missing); n > 0 {
		list = append(list, fmt.Sprintf("Complete the job sheet: the report lacks %s and would be a DRAFT; report DAY names them.", counted(n, "item", "items")))
	}
	if r.State != NotDemonstrated && len(r.Missing) == 0 {
		list = append(list, "Write the report: fieldheld report DAY.")
	}
	if len(list) == 0 {
		list = append(list, "Read the open findings; the report can be written as it is: fieldheld report DAY.")
	}
	return list
}

// ClocksFirst names the files from whose clocks open findings follow, and counts
// these.
func (r *Report) ClocksFirst() (files []string, open int) {
	for i := range r.Findings {
		f := &r.Findings[i]
		if f.State != Open || f.Follows == 0 {
			continue
		}
		open++
		if file := r.Findings[f.Follows-1].Evidence[0].File; !slices.Contains(files, file) {
			files = append(files, file)
		}
	}
	return files, open
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// unmended counts the open findings that concern no visit and no hole, as they are
// read, without observations, which are told apart.
func (r *Report) unmended() int {
	var indices []int
	for i := range r.Findings {
		if f := &r.Findings[i]; f.State == Open && f.Visit == (VisitRef{}) && f.Cell == 0 && f.Check != "observation" {
			indices = append(indices, i)
		}
	}
	return len(r.GroupFindings(indices))
}
