package requirement

import (
	"cmp"
	"slices"

	"fieldheld/ingest/quantity"
)

// Part is a contiguous part of a required range.
type Part struct{ From, To quantity.Frequency }

// Swept returns the parts of a required range in which neighbours have to keep a step,
// ascending. What is left of the range asks for its listed frequencies and for nothing
// between them.
func (r *Requirement) Swept(rg Range) []Part {
	if !r.listsAny() {
		return []Part{{rg.From, rg.To}}
	}
	var parts []Part
	for _, l := range r.Limits {
		if !l.Applies(rg.Polarization) || l.lists() {
			continue
		}
		for _, rule := range r.Steps {
			part := Part{max(rg.From, l.From, rule.From), min(rg.To, l.To, rule.To)}
			if !rule.Lists() && !part.To.AtOrBelow(part.From) {
				parts = append(parts, part)
			}
		}
	}
	return contiguous(parts)
}

// contiguous makes one part of those that touch or overlap.
func contiguous(parts []Part) []Part {
	slices.SortFunc(parts, func(a, b Part) int { return cmp.Compare(a.From, b.From) })
	var whole []Part
	for _, part := range parts {
		if n := len(whole); n > 0 && part.From.AtOrBelow(whole[n-1].To) {
			whole[n-1].To = max(whole[n-1].To, part.To)
			continue
		}
		whole = append(whole, part)
	}
	return whole
}

// listsAny reports whether any frequency is asked for by name.
func (r *Requirement) listsAny() bool {
	return slices.ContainsFunc(r.Limits, Limit.lists) || slices.ContainsFunc(r.Steps, StepRule.Lists)
}

// Listed returns the frequencies of a required range that are asked for by name,
// ascending: those of its limits, and those of step rules where a limit applies.
func (r *Requirement) Listed(rg Range) []quantity.Frequency {
	var list []quantity.Frequency
	add := func(frequencies []quantity.Frequency, from, to quantity.Frequency) {
		for _, f := range frequencies {
			if f.Within(from, to) {
				list = append(list, f)
			}
		}
	}
	for _, l := range r.Limits {
		if !l.Applies(rg.Polarization) {
			continue
		}
		add(l.Frequencies, rg.From, rg.To)
		for _, rule := range r.Steps {
			if !l.lists() {
				add(rule.Frequencies, max(rg.From, l.From), min(rg.To, l.To))
			}
		}
	}
	return once(list)
}

// once sorts frequencies and leaves each of them once.
func once(list []quantity.Frequency) []quantity.Frequency {
	slices.Sort(list)
	return slices.CompactFunc(list, func(a, b quantity.Frequency) bool { return a.Within(b, b) })
}

// Range is the required range that is shown at one antenna position.
func (c CellRange) Range() Range { return Range{Polarization: c.Polarization, From: c.From, To: c.To} }

// Merged adds listed frequencies to others, ascending and each once.
func Merged(list, listed []quantity.Frequency) []quantity.Frequency {
	if len(listed) == 0 {
		return list
	}
	return once(slices.Concat(list, listed))
}
