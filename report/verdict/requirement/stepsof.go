package requirement

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

// steps puts the step rules of the sheet in the place of the requirement's own, each
// in its range, and refuses a day of which a part asks for no frequency at all.
func (a *application) steps() {
	ranges := a.r.Ranges()
	if rules := a.sheet.Steps; len(rules) > 0 && len(ranges) > 0 {
		a.replaceSteps(rules, ranges)
	}
	for _, rg := range ranges {
		a.noteListed(rg)
		if len(a.r.Swept(rg)) == 0 && len(a.r.Listed(rg)) == 0 {
			a.refuse("step", wording.Say("requirement.nothing-to-visit", wording.Values{"from": rg.From, "to": rg.To, "polarization": rg.Polarization}))
		}
	}
}

// noteListed says where nothing but listed frequencies is asked for, so that nobody
// takes the range for one that was gone through.
func (a *application) noteListed(rg Range) {
	listed := a.r.Listed(rg)
	if len(listed) == 0 {
		return
	}
	reached := rg.From
	for _, part := range append(a.r.Swept(rg), Part{rg.To, rg.To}) {
		if !part.From.AtOrBelow(reached) {
			a.note("From %s to %s (%s) nothing but listed frequencies is asked for; nothing is said of what lies between them.",
				reached, part.From, rg.Polarization)
		}
		reached = part.To
	}
}

func (a *application) replaceSteps(rules []StepRule, ranges []Range) {
	start, end := ranges[0].From, ranges[0].To
	for _, rg := range ranges {
		start, end = min(start, rg.From), max(end, rg.To)
	}
	before := a.r.Steps
	after := slices.Clone(before)
	for _, rule := range rules {
		if end < rule.From || rule.To < start {
			a.refuse("step", wording.Say("requirement.step-outside", wording.Values{"from": rule.From, "to": rule.To, "start": start, "end": end}))
			continue
		}
		after = append(without(after, rule), rule)
	}
	slices.SortStableFunc(after, func(x, y StepRule) int { return cmp.Compare(x.From, y.From) })
	a.r.Steps = after
	less := false
	for _, rg := range ranges {
		less = less || asksForLess(before, after, rg)
	}
	a.override("step", stepsText(before, start, end), stepsText(after, start, end), lessWhere(less))
}

// without leaves of rules what lies outside the range of another.
func without(rules []StepRule, taken StepRule) []StepRule {
	var left []StepRule
	for _, rule := range rules {
		low, high := max(rule.From, taken.From), min(rule.To, taken.To)
		if touches := high.AtOrBelow(low) && rule.From < rule.To; high < low || touches {
			left = append(left, rule)
			continue
		}
		for _, part := range []Part{{rule.From, min(rule.To, taken.From)}, {max(rule.From, taken.To), rule.To}} {
			if rest, some := narrowed(rule, part); some {
				left = append(left, rest)
			}
		}
	}
	return left
}

// narrowed is a rule in a part of its range; some is false where nothing is left.
func narrowed(rule StepRule, part Part) (rest StepRule, some bool) {
	if part.To.AtOrBelow(part.From) {
		return rule, false
	}
	rest = rule
	rest.From, rest.To = part.From, part.To
	if rule.Lists() {
		rest.Frequencies = slices.DeleteFunc(slices.Clone(rule.Frequencies), func(f quantity.Frequency) bool { return !f.Within(part.From, part.To) })
		return rest, rest.Lists()
	}
	return rest, true
}

// asksForLess reports whether rules ask for less than others anywhere in a range: a
// larger step, listed frequencies in the place of steps, or fewer of them. A step of
// one kind less that of the other only rises or only falls over frequency: where it is
// larger anywhere, it is so just within an end of a part in which no rule changes.
func asksForLess(before, after []StepRule, rg Range) bool {
	was, is := &Requirement{Steps: before}, &Requirement{Steps: after}
	borders := []quantity.Frequency{rg.From, rg.To}
	for _, rule := range slices.Concat(before, after) {
		for _, f := range []quantity.Frequency{rule.From, rule.To} {
			if f > rg.From && f < rg.To {
				borders = append(borders, f)
			}
		}
	}
	slices.Sort(borders)
	for i := 1; i < len(borders); i++ {
		low, high := borders[i-1]*(1+beyondBorder), borders[i]*(1-beyondBorder)
		for _, f := range []quantity.Frequency{low, high} {
			if low < high && exceeds(is.StepWidth(f), was.StepWidth(f)) {
				return true
			}
		}
	}
	for _, rule := range before {
		for _, f := range rule.Frequencies {
			if f.Within(rg.From, rg.To) && !slices.ContainsFunc(after, func(s StepRule) bool { return names(s, f) }) {
				return true
			}
		}
	}
	return false
}

// names reports whether a rule lists a frequency.
func names(rule StepRule, f quantity.Frequency) bool {
	return slices.ContainsFunc(rule.Frequencies, func(listed quantity.Frequency) bool { return listed.Within(f, f) })
}

// exceeds reports whether a step is larger than another; 0 is none at all, so that
// whatever lies between listed frequencies is not asked for.
func exceeds(step, other quantity.Frequency) bool {
	switch {
	case !(other > 0):
		return false
	case !(step > 0):
		return true
	}
	return step > other*(1+quantity.Slack)
}

// stepsText writes step rules as far as they reach into a range: "1 % up to 80 MHz,
// 1 MHz up to 1 GHz".
func stepsText(rules []StepRule, start, end quantity.Frequency) string {
	var parts []string
	for _, rule := range rules {
		if rule.To < start || end < rule.From {
			continue
		}
		parts = append(parts, fmt.Sprintf("%s from %s to %s", StepRuleText(rule), max(rule.From, start), min(rule.To, end)))
	}
	return listOr(parts, "none")
}

// StepRuleText writes what a rule asks for, without its range: "0.5 %", "1 MHz", or
// the frequencies that it lists.
func StepRuleText(rule StepRule) string {
	const most = 6
	switch {
	case rule.Size > 0:
		return rule.Size.String()
	case !rule.Lists():
		return percent(rule.Max)
	case len(rule.Frequencies) > most:
		return fmt.Sprintf("%d listed frequencies", len(rule.Frequencies))
	}
	words := make([]string, len(rule.Frequencies))
	for i, f := range rule.Frequencies {
		words[i] = f.String()
	}
	return "only " + strings.Join(words, ", ")
}
