package report

import "fmt"

// InShort is the last line of a check: how much of the field is shown, what is to
// be repeated, and with the same weight what the article did. It names no more than
// Answer and Behaviour say.
func (r *Report) InShort() string {
	met := 0
	for i := range r.Cells {
		if s := r.Cells[i].State; s == Met || s == MetWithDeviations {
			met++
		}
	}
	field := fmt.Sprintf("Field: %s, %d of %d combinations met", r.State, met, len(r.Cells))
	if n := len(r.Repeat); n > 0 {
		field += fmt.Sprintf(", %s to repeat", counted(n, "step", "steps"))
	}
	below, other := count(r, BelowLimit), count(r, NotBelowLimit)+count(r, NoThreshold)+count(r, NotComparable)
	article := "no susceptibility where the field was shown"
	switch {
	case observations(r, Open) > 0:
		article = counted(observations(r, Open), "observation", "observations") + " not taken up, so that nothing is said"
	case below > 0 && other > 0:
		article = fmt.Sprintf("%s below the limit, %s", counted(below, "susceptibility", "susceptibilities"), counted(other, "other event", "other events"))
	case below > 0:
		article = counted(below, "susceptibility", "susceptibilities") + " below the limit"
	case other > 0:
		article = counted(other, "event", "events")
	case met == 0:
		article = "nothing can be said"
	}
	return field + ". Article: " + article + "."
}
