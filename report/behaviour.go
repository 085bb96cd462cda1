package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"fieldheld/ingest/quantity"
)

// observationCheck is the check that asks for a look at an observation.
const observationCheck = "observation"

// Comparison is how the threshold of an event compares with the requirement's
// limit. The zero value is that nothing can be said, which is never withstood.
type Comparison int

// The comparisons of an event's threshold with the limit.
const (
	NotComparable Comparison = iota // no frequency, or one outside the required range
	NoThreshold                     // the threshold was not determined
	BelowLimit                      // the article did not withstand the field
	NotBelowLimit
	Dismissed // what was observed is no susceptibility
)

// Comparison compares the threshold of the event with the limit.
func (e *Event) Comparison() Comparison {
	switch {
	case e.Dismissed != "":
		return Dismissed
	case !quantity.Defined(e.Limit):
		return NotComparable
	case !quantity.Defined(e.Threshold):
		return NoThreshold
	case e.BelowLimit:
		return BelowLimit
	}
	return NotBelowLimit
}

// behaviour says what the article did, and of what it says nothing. It speaks
// only of what is met: elsewhere the field was not shown, so silence proves
// nothing. While an observation of a dwell record is not taken up there is no
// statement at all.
func behaviour(r *Report) string {
	if n := observations(r, Open); n > 0 {
		return fmt.Sprintf("No statement about the article's behaviour is made: the dwell records hold %s that no event of the job sheet takes up or dismisses; see section 9.",
			counted(n, "observation", "observations")) + changes(r)
	}
	statement := observed(r)
	if n := observations(r, Accepted); n > 0 {
		statement += fmt.Sprintf(" %s taken up by no event; see section 9.",
			capital(counted(n, "observation in the dwell records is accepted by a deviation and", "observations in the dwell records are accepted by a deviation and")))
	}
	if n := count(r, Dismissed); n > 0 {
		statement += fmt.Sprintf(" %s as no susceptibility; the reason stands in section 10.", capital(counted(n, "observation was dismissed", "observations were dismissed")))
	}
	return statement + changes(r)
}

// Unanswered reports whether an observation of a dwell record waits for an event
// that takes it up or dismisses it, so that nothing is said of the article.
func (r *Report) Unanswered() bool { return observations(r, Open) > 0 }

// observations counts the findings of observations in a state.
func observations(r *Report, state FindingState) int {
	n := 0
	for i := range r.Findings {
		if f := &r.Findings[i]; f.Check == observationCheck && f.State == state {
			n++
		}
	}
	return n
}

func count(r *Report, comparison Comparison) int {
	n := 0
	for i := range r.Events {
		if r.Events[i].Comparison() == comparison {
			n++
		}
	}
	return n
}

// observed says what the events of the job sheet say, or their absence.
func observed(r *Report) string {
	below, unknown, apart, above := count(r, BelowLimit), count(r, NoThreshold), count(r, NotComparable), count(r, NotBelowLimit)
	shown := cellsIn(r, Met, MetWithDeviations)
	var others []string
	if unknown > 0 {
		others = append(others, counted(unknown, "event has a threshold that was not determined", "events have a threshold that was not determined"))
	}
	if apart > 0 {
		others = append(others, counted(apart, "event cannot be compared with the limit", "events cannot be compared with the limit"))
	}
	switch {
	case below > 0:
		statement := fmt.Sprintf("The article did not withstand the required field: %s a threshold below the limit", counted(below, "event has", "events have"))
		return strings.Join(append([]string{statement}, others...), "; ") + "; see section 10." + silence(r)
	case len(others) > 0:
		return fmt.Sprintf("The article was susceptible: %s, so that it was not shown to withstand the required field; see section 10.", inWords(others))
	case above > 0:
		return fmt.Sprintf("Susceptibility of the article was observed %s, at thresholds that are not below the limit; see section 10.%s",
			counted(above, "time", "times"), silence(r))
	case len(shown) > 0:
		return fmt.Sprintf("No susceptibility of the article was observed where the field was shown, %s.%s", partsOf(shown), silence(r))
	}
	return "Nothing can be said of the article's behaviour, because the field was shown in no cell."
}

// mostParts is how many parts a statement names; section 10 has every cell.
const mostParts = 6

// silence names the parts of which a statement about the article says nothing.
func silence(r *Report) string {
	var parts []string
	for _, state := range []State{NotMet, NotShown} {
		if cells := cellsIn(r, state); len(cells) > 0 {
			parts = append(parts, fmt.Sprintf("%s (%s)", partsOf(cells), state))
		}
	}
	for _, c := range cellsIn(r, MetWithDeviations) {
		parts = append(parts, acceptedParts(c)...)
	}
	if len(parts) == 0 {
		return ""
	}
	if more := len(parts) - mostParts; more > 0 {
		parts = append(parts[:mostParts], counted(more, "more accepted part", "more accepted parts"))
	}
	return fmt.Sprintf(" Nothing is said of the rest: %s.", strings.Join(parts, "; "))
}

// acceptedParts names the holes and steps of a cell that a deviation accepts: the
// field was not shown there.
func acceptedParts(c *Cell) []string {
	var parts []string
	where := fmt.Sprintf("%s, position %d", c.Polarization, c.Position)
	for _, h := range c.Holes {
		switch {
		case !h.Accepted:
		case h.IsListed():
			parts = append(parts, fmt.Sprintf("the listed frequency %s, which was not visited (%s)", h.From, where))
		default:
			parts = append(parts, fmt.Sprintf("the accepted hole from %s to %s (%s)", h.From, h.To, where))
		}
	}
	var steps []quantity.Frequency
	for i := range c.Steps {
		if c.Steps[i].State == MetWithDeviations {
			steps = append(steps, c.Steps[i].Frequency)
		}
	}
	switch n := len(steps); {
	case n == 1:
		parts = append(parts, fmt.Sprintf("the accepted step at %s (%s)", steps[0], where))
	case n > 1:
		parts = append(parts, fmt.Sprintf("%d accepted steps between %s and %s (%s)", n, steps[0], steps[n-1], where))
	}
	return parts
}

func capital(text string) string {
	if text == "" {
		return ""
	}
	_, size := utf8.DecodeRuneInString(text)
	return strings.ToUpper(text[:size]) + text[size:]
}

// Susceptibilities returns the events that were not dismissed.
func (r *Report) Susceptibilities() []*Event {
	var list []*Event
	for i := range r.Events {
		if e := &r.Events[i]; e.Comparison() != Dismissed {
			list = append(list, e)
		}
	}
	return list
}

// SearchRecorded reports whether the job sheet records of any event how its threshold
// was found.
func (r *Report) SearchRecorded() bool {
	return slices.ContainsFunc(r.Susceptibilities(), func(e *Event) bool { return e.Search != nil })
}

// EventsIn returns the events, without dismissed ones, that may have happened in a
// cell. One whose run or frequency is not stated may have happened anywhere: silence
// clears no cell.
func (r *Report) EventsIn(c *Cell) []*Event {
	return slices.DeleteFunc(r.Susceptibilities(), func(e *Event) bool { return !r.concerns(e, c) })
}

func (r *Report) concerns(e *Event, c *Cell) bool {
	if quantity.Defined(e.Frequency) && !e.Frequency.Within(c.From-c.Resolution, c.To+c.Resolution) {
		return false
	}
	return e.Run == "" || slices.ContainsFunc(c.Runs, func(index int) bool { return r.Runs[index].ID == e.Run })
}

// BehaviourIn says what can be said of the article in a cell. That nothing was
// observed is said only of what is met: where the field was not shown, silence proves
// nothing.
func (r *Report) BehaviourIn(c *Cell) string {
	switch n := len(r.EventsIn(c)); {
	case n == 1:
		return "1 event"
	case n > 1:
		return fmt.Sprintf("%d events", n)
	case r.Unanswered():
		return "no statement: an observation is taken up by no event"
	case c.State == MetWithDeviations:
		return "no susceptibility was observed where the steps are met; nothing is said of what is accepted"
	case c.State == Met:
		return "no susceptibility was observed"
	default:
		return "nothing can be said: the field was not shown"
	}
}
