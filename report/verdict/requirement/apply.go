package requirement

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/uncertainty"
	"fieldheld/templates/wording"
)

// The words of the decision rules.
const (
	ruleSimple  = "simple"
	ruleGuarded = "guarded"
)

// guardedRule is guarded acceptance; a guard band of U where no guard is given.
func guardedRule(guard quantity.Ratio) uncertainty.Rule {
	if !quantity.Defined(guard) {
		guard = 1
	}
	return uncertainty.Rule{Guarded: true, Guard: guard}
}

// Apply returns what a day has to show: the part of the requirement that the job
// sheet names, with what the sheet sets otherwise and what the article needs.
// Every key that differs from the requirement is listed in Overrides, with the
// sheet's reason. The error carries every problem of the sheet's entries.
func (r *Requirement) Apply(sheet jobsheet.Requirement, article jobsheet.Article) (*Requirement, error) {
	a := &application{r: r.clone(), sheet: sheet}
	a.include()
	a.choosePolarizations()
	a.choosePart()
	a.steps()
	a.times()
	a.tolerance()
	a.decision()
	a.sensors()
	a.minSamples()
	a.positions(article.Width)
	a.r.Response = article.ResponseTime
	if err := a.messages.Err(); err != nil {
		return nil, err
	}
	return a.r, nil
}

// application is one job sheet being applied to a requirement.
type application struct {
	r        *Requirement
	sheet    jobsheet.Requirement
	messages place.Messages
}

// refuse adds a problem of a key of [requirement].
func (a *application) refuse(key string, text wording.Text) {
	where := a.sheet.Place
	where.Key = "requirement." + key
	a.messages.Add(place.Message{Place: where, Text: text})
}

// note adds a sentence that a reader of the report must know.
func (a *application) note(format string, args ...any) {
	a.r.Notes = append(a.r.Notes, fmt.Sprintf(format, args...))
}

// include makes the optional ranges that the sheet names required, and notes
// those that it leaves out.
func (a *application) include() {
	var names []string
	for i, l := range a.r.Limits {
		if l.Optional == "" {
			continue
		}
		if !slices.Contains(names, l.Optional) {
			names = append(names, l.Optional)
		}
		if slices.Contains(a.sheet.Include, l.Optional) {
			a.r.Limits[i].Optional = ""
		}
	}
	for _, name := range a.sheet.Include {
		if !slices.Contains(names, name) {
			a.refuse("include", unknownOptional(name, names))
		} else if !slices.Contains(a.r.Included, name) {
			a.r.Included = append(a.r.Included, name)
		}
	}
	for _, name := range names {
		if !slices.Contains(a.r.Included, name) {
			a.note("The optional range %s is not part of this day.", name)
		}
	}
	a.override("include", "none", listOr(a.r.Included, "none"), asksNoLess)
}

func unknownOptional(name string, names []string) wording.Text {
	return wording.Say("requirement.unknown-optional", wording.Values{"found": name, "names": names, "near": place.Nearest(name, names)})
}

// choosePolarizations leaves the limits at the polarizations that the sheet
// names. It cannot give a limit to a polarization for which the document has none.
func (a *application) choosePolarizations() {
	chosen := a.sheet.Polarizations
	if chosen == nil {
		return
	}
	var stated []quantity.Polarization
	for _, polarization := range quantity.Polarizations() {
		if slices.ContainsFunc(a.r.Limits, func(l Limit) bool { return l.Applies(polarization) }) {
			stated = append(stated, polarization)
		}
	}
	for _, polarization := range chosen {
		if !slices.Contains(stated, polarization) {
			a.refuse("polarizations", wording.Say("requirement.no-limit-at-polarization", wording.Values{"found": polarization, "stated": polarizationsOrNone(stated)}))
		}
	}
	if len(chosen) == 0 {
		a.refuse("polarizations", wording.Say("requirement.no-polarization-chosen", wording.Values{"stated": polarizationsOrNone(stated)}))
	}
	for i := range a.r.Limits {
		l := &a.r.Limits[i]
		l.Polarizations = slices.DeleteFunc(l.Polarizations, func(p quantity.Polarization) bool { return !slices.Contains(chosen, p) })
	}
	asked := inOrder(chosen)
	a.override("polarizations", polarizationsOrNone(stated), polarizationsOrNone(asked), lessWhere(len(asked) < len(stated)))
}

// inOrder sorts polarizations as ranges are sorted.
func inOrder(list []quantity.Polarization) []quantity.Polarization {
	sorted := slices.Clone(list)
	slices.Sort(sorted)
	return slices.Compact(sorted)
}

// choosePart cuts the limits to the part between from and to.
func (a *application) choosePart() {
	ranges := a.r.Ranges()
	if len(ranges) == 0 {
		a.refuse("include", wording.Say("requirement.nothing-left", nil))
		return
	}
	start, end := ranges[0].From, ranges[0].To
	for _, rg := range ranges {
		start, end = min(start, rg.From), max(end, rg.To)
	}
	from, to := given(a.sheet.From, start), given(a.sheet.To, end)
	if to.AtOrBelow(from) && !(start == end && from == start && to == end) {
		a.refuse("from", wording.Say("requirement.part-backwards", wording.Values{"from": from, "to": to, "start": start, "end": end}))
		return
	}
	a.refuseOptionalPart("from", from, start)
	a.refuseOptionalPart("to", end, to)
	whole := a.r.Limits
	a.r.Limits, a.r.whole = cut(whole, from, to), whole
	if len(a.r.Ranges()) == 0 {
		a.refuse("from", wording.Say("requirement.no-limit-in-part", wording.Values{"from": from, "to": to, "start": start, "end": end}))
	}
	a.override("from", start.String(), from.String(), asksNoLess)
	a.override("to", end.String(), to.String(), asksNoLess)
	if !start.AtOrBelow(from) {
		a.note("The job sheet asks for a part from %s; the requirement has no limit below %s.", from, start)
	}
	if !to.AtOrBelow(end) {
		a.note("The job sheet asks for a part to %s; the requirement has no limit above %s.", to, end)
	}
}

// refuseOptionalPart refuses a part that reaches, between low and high, into an
// optional range that the sheet does not include: whoever writes it means to
// show that range too.
func (a *application) refuseOptionalPart(key string, low, high quantity.Frequency) {
	for _, l := range a.r.Limits {
		if l.Optional == "" || high.AtOrBelow(max(low, l.From)) || l.To.AtOrBelow(low) || high.AtOrBelow(low) {
			continue
		}
		a.refuse(key, wording.Say("requirement.optional-not-included", wording.Values{"found": l.Optional}))
	}
}

// given returns the frequency that the sheet gives, else the other.
func given(f, otherwise quantity.Frequency) quantity.Frequency {
	if f > 0 {
		return f
	}
	return otherwise
}

func (a *application) times() {
	a.overrideTime("dwell", &a.r.Dwell, a.sheet.Dwell, 1, func(was, is time.Duration) bool { return is < was })
	a.overrideTime("settle", &a.r.Settle, a.sheet.Settle, 0, settleAsksLess)
	a.overrideTime("max_gap", &a.r.MaxGap, a.sheet.MaxGap, 1, func(was, is time.Duration) bool { return was == 0 || is > was })
}

// settleAsksLess reports whether another settling time asks for less. A shorter
// one lets samples count that the requirement leaves out, so that a level may be
// shown by a field that had not settled. A longer one leaves fewer stretches to
// choose from, which can only lower what is shown.
func settleAsksLess(was, is time.Duration) bool { return is < was }

// overrideTime sets a time as the sheet has it; less says whether the new time
// asks for less than the one before.
func (a *application) overrideTime(key string, is, set *time.Duration, least time.Duration, less func(was, is time.Duration) bool) {
	if set == nil {
		return
	}
	if *set < least {
		a.refuse(key, wording.Say("requirement.time-too-short", wording.Values{"found": seconds(*set), "key": key}))
		return
	}
	was := seconds(*is)
	if key == "max_gap" && *is == 0 {
		was = "3 × the median distance of samples"
	}
	a.override(key, was, seconds(*set), lessWhere(less(*is, *set)))
	*is = *set
}

func (a *application) tolerance() {
	if low := a.sheet.ToleranceLow; quantity.Defined(low) {
		if low < -MostTolerance {
			a.refuse("tolerance.low", wording.Say("requirement.tolerance-without-field", wording.Values{"found": decibels(low)}))
		}
		if low > 0 {
			a.refuse("tolerance.low", wording.Say("requirement.lower-tolerance-above", wording.Values{"found": decibels(low)}))
		}
		a.override("tolerance.low", decibels(a.r.ToleranceLow), decibels(low), lessWhere(low < a.r.ToleranceLow))
		a.r.ToleranceLow = low
	}
	if high := a.sheet.ToleranceHigh; quantity.Defined(high) {
		if high > MostTolerance {
			a.refuse("tolerance.high", wording.Say("requirement.tolerance-of-any-field", wording.Values{"found": decibels(high)}))
		}
		if high <= 0 {
			a.refuse("tolerance.high", wording.Say("requirement.upper-tolerance-below", wording.Values{"found": decibels(high)}))
		}
		was := "none"
		if quantity.Defined(a.r.ToleranceHigh) {
			was = decibels(a.r.ToleranceHigh)
		}
		a.override("tolerance.high", was, decibels(high), lessWhere(high > a.r.ToleranceHigh))
		a.r.ToleranceHigh = high
	}
}

func (a *application) decision() {
	guard := a.sheet.Guard
	if quantity.Defined(guard) && !(guard >= 0 && !math.IsInf(float64(guard), 0)) {
		a.refuse("decision.guard", wording.Say("requirement.negative-guard", wording.Values{"found": number(guard)}))
		return
	}
	before := a.r.Rule
	switch a.sheet.DecisionRule {
	case ruleSimple:
		a.r.Rule = uncertainty.Rule{}
	case ruleGuarded:
		a.r.Rule = guardedRule(guard)
	case "":
		if !quantity.Defined(guard) {
			return
		}
		if !a.r.Rule.Guarded {
			a.refuse("decision.guard", wording.Say("requirement.guard-without-rule", wording.Values{"guard": number(guard)}))
			return
		}
		a.r.Rule.Guard = guard
	default:
		a.refuse("decision.rule", wording.Say("requirement.no-decision-rule", wording.Values{"found": a.sheet.DecisionRule}))
		return
	}
	a.override("decision", describeRule(before), describeRule(a.r.Rule), lessWhere(guardBand(a.r.Rule) < guardBand(before)))
}

// guardBand is the guard band of a rule as a part of U; none for simple acceptance.
func guardBand(rule uncertainty.Rule) quantity.Ratio {
	if !rule.Guarded {
		return 0
	}
	return rule.Guard
}

func describeRule(rule uncertainty.Rule) string {
	if !rule.Guarded {
		return ruleSimple
	}
	return fmt.Sprintf("%s, guard band %s × U", ruleGuarded, number(rule.Guard))
}

func (a *application) sensors() {
	switch a.sheet.Sensors {
	case "":
	case EverySensor, MeanOfSensors:
		a.override("sensors", a.r.Sensors, a.sheet.Sensors, lessWhere(a.sheet.Sensors == MeanOfSensors))
		a.r.Sensors = a.sheet.Sensors
	default:
		a.refuse("sensors", wording.Say("requirement.no-way-to-combine", wording.Values{"found": a.sheet.Sensors}))
	}
}

func (a *application) minSamples() {
	set := a.sheet.MinSamples
	switch {
	case set < 0:
		a.refuse("min_samples", wording.Say("requirement.no-number-of-samples", wording.Values{"found": set}))
	case set > 0:
		a.override("min_samples", strconv.Itoa(int(a.r.MinSamples)), strconv.Itoa(int(set)), lessWhere(set < a.r.MinSamples))
		a.r.MinSamples = set
	}
}

// seconds writes a duration in seconds: "0.5 s".
func seconds(d time.Duration) string {
	return strconv.FormatFloat(d.Seconds(), 'f', -1, 64) + " s"
}

// decibels writes a level with all its digits, so that a small change shows.
func decibels(d quantity.Decibel) string { return strconv.FormatFloat(float64(d), 'g', -1, 64) + " dB" }

func number(r quantity.Ratio) string { return strconv.FormatFloat(float64(r), 'g', -1, 64) }

// listOr joins a list, or says what an empty one means.
func listOr(list []string, empty string) string {
	if len(list) == 0 {
		return empty
	}
	return strings.Join(list, ", ")
}

func polarizationsOrNone(list []quantity.Polarization) string {
	if len(list) == 0 {
		return "none"
	}
	return quantity.Join(list, ", ")
}
