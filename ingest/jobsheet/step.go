package jobsheet

import (
	"fmt"
	"slices"

	"fieldheld/ingest/document"
	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

// StepRule says which frequencies of a range have to be visited, in one of three ways:
// neighbours at most Max of the frequency apart, at most Size apart, or those listed
// and nothing between them.
type StepRule struct {
	From, To    quantity.Frequency
	Max         quantity.Ratio
	Size        quantity.Frequency
	Frequencies []quantity.Frequency // ascending
}

// Lists reports whether the rule lists frequencies and asks for nothing between them.
func (s StepRule) Lists() bool { return len(s.Frequencies) > 0 }

// smallestStep is the smallest step that a rule may ask for. A smaller one is a
// slip of the pen, and would ask for millions of frequencies.
const smallestStep quantity.Ratio = 1e-5

// mostListed is how many frequencies a rule may list.
const mostListed = 10000

// ReadStep reads a step rule and closes its table. A list needs no range: without one
// it rules from its first frequency to its last.
func ReadStep(t *document.Table) StepRule {
	s := StepRule{
		Max:         document.Quantity(t, "max", 0, "0.5 %", largestStep),
		Size:        document.Quantity(t, "size", 0, "1 MHz", quantity.ParseFrequency),
		Frequencies: ReadFrequencies(t),
	}
	if !t.Has("frequencies") || t.Has("from") || t.Has("to") {
		t.Require("from", "to")
	}
	s.From, s.To = ReadBand(t)
	var ways []string
	for _, way := range []string{"max", "size", "frequencies"} {
		if t.Has(way) {
			ways = append(ways, way)
		}
	}
	if len(ways) != 1 {
		t.Fail("max", wording.Say("step.one-way", wording.Values{"found": ways}))
	}
	if s.Lists() && !t.Has("from") && !t.Has("to") {
		s.From, s.To = s.Frequencies[0], s.Frequencies[len(s.Frequencies)-1]
	}
	s.refuse(t)
	t.Close()
	return s
}

// refuse adds a problem for a size that is no step of its range, and for a listed
// frequency outside it.
func (s StepRule) refuse(t *document.Table) {
	if !(s.From > 0 && s.To >= s.From) {
		return // has its message already
	}
	if s.Size > 0 && (s.Size < quantity.Frequency(smallestStep)*s.To || s.Size > s.To) {
		t.Fail("size", wording.Say("step.too-many-sizes", wording.Values{"found": s.Size, "from": s.From, "to": s.To}))
	}
	for _, f := range s.Frequencies {
		if !f.Within(s.From, s.To) {
			t.Fail("frequencies", wording.Say("step.listed-outside", wording.Values{"found": f, "from": s.From, "to": s.To}))
		}
	}
}

// ReadFrequencies reads a list of frequencies, in whatever order they stand; nil where
// there is none.
func ReadFrequencies(t *document.Table) []quantity.Frequency {
	list := document.List(t, "frequencies", "30 MHz", quantity.ParseFrequency)
	if len(list) > mostListed {
		t.Fail("frequencies", wording.Say("step.too-many-listed", wording.Values{"found": len(list), "most": mostListed}))
		return nil
	}
	slices.Sort(list)
	for i := 1; i < len(list); i++ {
		if list[i].AtOrBelow(list[i-1]) {
			t.Fail("frequencies", wording.Say("step.listed-twice", wording.Values{"found": list[i]}))
		}
	}
	return list
}

// ReadBand reads from and to, the lower one first.
func ReadBand(t *document.Table) (from, to quantity.Frequency) {
	from = document.Quantity(t, "from", 0, "30 MHz", quantity.ParseFrequency)
	to = document.Quantity(t, "to", 0, "200 MHz", quantity.ParseFrequency)
	if from > 0 && to > 0 && to.AtOrBelow(from) {
		t.Fail("to", wording.Say("requirement.band-backwards", wording.Values{"from": from, "to": to}))
	}
	return from, to
}

// largestStep reads the largest step of a rule.
func largestStep(text string) (quantity.Ratio, error) {
	s, err := quantity.ParsePercent(text)
	if err == nil && !(s >= smallestStep && s <= 1) {
		err = fmt.Errorf("%q is no step from 0.001 %% to 100 %% of the frequency", text)
	}
	return s, err
}
