package report

import (
	"cmp"
	"slices"
)

// FindingCount is how many findings there are of a check, by their states.
type FindingCount struct {
	Check                 string // "" for all checks together
	Open, Accepted, Notes int
}

// All counts the findings of every state.
func (c *FindingCount) All() int { return c.Open + c.Accepted + c.Notes }

func (c *FindingCount) add(state FindingState) {
	switch state {
	case Open:
		c.Open++
	case Accepted:
		c.Accepted++
	case Note:
		c.Notes++
	}
}

// CountFindings counts the findings of each check, checks in alphabetical order, and
// of all together.
func (r *Report) CountFindings() (checks []FindingCount, all FindingCount) {
	for i := range r.Findings {
		f := &r.Findings[i]
		k, found := slices.BinarySearchFunc(checks, f.Check, func(c FindingCount, check string) int { return cmp.Compare(c.Check, check) })
		if !found {
			checks = slices.Insert(checks, k, FindingCount{Check: f.Check})
		}
		checks[k].add(f.State)
		all.add(f.State)
	}
	return checks, all
}
