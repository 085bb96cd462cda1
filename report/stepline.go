package report

import (
	"slices"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/requirement"
)

// StepLine is what a rule asks for between two frequencies.
type StepLine struct {
	From, To quantity.Frequency
	Max      quantity.Ratio // as a part of the frequency; 0 for a step in hertz and for a list
	Text     string         // "0.5 %", "1 MHz", or the frequencies that alone are visited
}

// StepLines returns the step rules of what the day shows; relative is true where every one
// is a part of the frequency.
func (r *Report) StepLines() (lines []StepLine, relative bool) {
	for _, s := range r.StepRules() {
		lines = append(lines, StepLine{s.From, s.To, s.Max, requirement.StepRuleText(s)})
	}
	return lines, !slices.ContainsFunc(lines, func(l StepLine) bool { return l.Max == 0 })
}

// FrequencyList writes frequencies one after the other.
func FrequencyList(list []quantity.Frequency) string {
	words := make([]string, len(list))
	for i, f := range list {
		words[i] = f.String()
	}
	return strings.Join(words, ", ")
}
