package requirement

import (
	"math"
	"strconv"

	"fieldheld/ingest/quantity"
)

// Step returns s, the largest step that the requirement allows at f as a part
// of f: the largest of the rules that contain f, with the slack of frequencies,
// so that on the border of two rules either may be used. Outside every rule the
// nearest one counts. It is 0 where nothing but listed frequencies is asked for.
// Undefined (NaN) only without any rule.
func (r *Requirement) Step(f quantity.Frequency) quantity.Ratio {
	rule, known := r.stepRule(f)
	if !known {
		return quantity.Undefined[quantity.Ratio]()
	}
	return ratio(rule, f)
}

// ratio is the step of a rule at f as a part of f; 0 for a list.
func ratio(rule StepRule, f quantity.Frequency) quantity.Ratio {
	if rule.Size > 0 {
		return quantity.Ratio(rule.Size / f)
	}
	return rule.Max
}

// width is the step of a rule at f; 0 for a list.
func width(rule StepRule, f quantity.Frequency) quantity.Frequency {
	if rule.Size > 0 {
		return rule.Size
	}
	return f * quantity.Frequency(rule.Max)
}

// stepRule returns the rule whose step counts at f; known is false without any rule.
func (r *Requirement) stepRule(f quantity.Frequency) (rule StepRule, known bool) {
	listed := false
	for _, candidate := range r.Steps {
		switch {
		case !f.Within(candidate.From, candidate.To):
		case candidate.Lists():
			listed = true
		case !known || ratio(candidate, f) > ratio(rule, f):
			rule, known = candidate, true
		}
	}
	if known || listed {
		return rule, true
	}
	nearest := math.Inf(1)
	for _, candidate := range r.Steps {
		if candidate.Lists() {
			listed = true
		} else if away := distance(candidate, f); away < nearest || away == nearest && ratio(candidate, f) < ratio(rule, f) {
			nearest, rule, known = away, candidate, true
		}
	}
	return rule, known || listed
}

// distance is how far f lies outside a rule, in units of the logarithm of frequency.
func distance(rule StepRule, f quantity.Frequency) float64 {
	return math.Max(math.Log(float64(rule.From/f)), math.Log(float64(f/rule.To)))
}

// StepWidth is the largest step at f in hertz; 0 where nothing but listed frequencies
// is asked for, undefined (NaN) without any rule.
func (r *Requirement) StepWidth(f quantity.Frequency) quantity.Frequency {
	rule, known := r.stepRule(f)
	if !known {
		return quantity.Undefined[quantity.Frequency]()
	}
	return width(rule, f)
}

// IsAbsolute reports whether the step at f is given in hertz.
func (r *Requirement) IsAbsolute(f quantity.Frequency) bool {
	rule, _ := r.stepRule(f)
	return rule.Size > 0
}

// percent writes a step with four significant digits.
func percent(step quantity.Ratio) string {
	return strconv.FormatFloat(float64(step)*100, 'g', 4, 64) + " %"
}

// Reach is the highest frequency that may follow f: f·(1 + s(f)).
func (r *Requirement) Reach(f quantity.Frequency) quantity.Frequency {
	if r.IsAbsolute(f) {
		return f + r.StepWidth(f)
	}
	return f * (1 + quantity.Frequency(r.Step(f)))
}

// Sequence returns the frequencies from from to to, both included, each the
// largest allowed step above the one before: f·(1 + s(f)).
func (r *Requirement) Sequence(from, to quantity.Frequency) []quantity.Frequency {
	var list []quantity.Frequency
	for f := from; !to.AtOrBelow(f); {
		list = append(list, f)
		s := r.StepWidth(f)
		if !(s > 0) {
			break
		}
		f += s
	}
	return append(list, to)
}

// Fill returns the fewest frequencies between a and b, both excluded, that leave
// no step larger than the requirement allows: a·(b/a)^(k/n), k = 1 … n−1, with
// the smallest n for which every step is within s. It is empty where one step
// suffices.
func (r *Requirement) Fill(a, b quantity.Frequency) []quantity.Frequency {
	if !(a > 0) || b.AtOrBelow(a) {
		return nil
	}
	n := r.fewestSteps(a, b)
	list := make([]quantity.Frequency, 0, n-1)
	for k := 1; k < n; k++ {
		list = append(list, between(a, b, k, n))
	}
	return list
}

// between is a·(b/a)^(k/n).
func between(a, b quantity.Frequency, k, n int) quantity.Frequency {
	return a * quantity.Frequency(math.Pow(float64(b/a), float64(k)/float64(n)))
}

// fewestSteps finds the smallest number of equal ratios from a to b that the
// step rules allow. The number that the most generous rule would allow is where
// the search begins; the number for the strictest rule always suffices.
func (r *Requirement) fewestSteps(a, b quantity.Frequency) int {
	smallest, largest := r.stepBounds()
	if !(smallest > 0) {
		return 1
	}
	first, last := stepsWithin(a, b, largest), stepsWithin(a, b, smallest)
	obstacle := a // where the last number tried failed: the next one mostly fails there too
	for n := first; n < last; n++ {
		nearby := int(float64(n) * math.Log(float64(obstacle/a)) / math.Log(float64(b/a)))
		if r.tooWide(a, b, nearby, n) {
			continue
		}
		failed := 0
		for failed < n && !r.tooWide(a, b, failed, n) {
			failed++
		}
		if failed == n {
			return n
		}
		obstacle = between(a, b, failed, n)
	}
	return last
}

// tooWide reports whether step k of n equal ratios from a to b is larger than
// the requirement allows.
func (r *Requirement) tooWide(a, b quantity.Frequency, k, n int) bool {
	step := quantity.Ratio(math.Expm1(math.Log(float64(b/a)) / float64(n)))
	return step > r.Step(between(a, b, k, n))+quantity.Slack
}

// stepBounds are the smallest and the largest relative step of all rules.
func (r *Requirement) stepBounds() (smallest, largest quantity.Ratio) {
	smallest = quantity.Ratio(math.Inf(1))
	for _, rule := range r.Steps {
		if rule.Max > 0 {
			smallest, largest = min(smallest, rule.Max), max(largest, rule.Max)
		}
	}
	if math.IsInf(float64(smallest), 1) {
		return 0, 0
	}
	return smallest, largest
}

// stepsWithin is the smallest n with (b/a)^(1/n) − 1 ≤ s, with the slack of steps.
func stepsWithin(a, b quantity.Frequency, s quantity.Ratio) int {
	n := math.Ceil(math.Log(float64(b/a)) / math.Log1p(float64(s)+quantity.Slack))
	return max(int(n), 1)
}
