package requirement

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"fieldheld/ingest/document"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/uncertainty"
	"fieldheld/templates/wording"
)

// Parse reads a requirement as TOML; file is the path that messages name. The
// error carries every problem of the file, each with its line and key.
func Parse(data []byte, file string) (*Requirement, error) {
	doc, err := document.Parse(data, file)
	if err != nil {
		return nil, err
	}
	root := doc.Root()
	r := readRequirement(root)
	r.File = file
	root.Close()
	checkStepsCover(root, r)
	if err := doc.Messages.Err(); err != nil {
		return nil, err
	}
	return r, nil
}

func readRequirement(t *document.Table) *Requirement {
	r := &Requirement{
		Title:      t.Text("title"),
		Source:     t.Text("source"),
		Edition:    t.Text("edition"),
		Clause:     t.Text("clause"),
		Notes:      t.Texts("notes"),
		Dwell:      document.Quantity(t, "dwell", 0, "3 s", positiveDuration),
		Settle:     document.Quantity(t, "settle", 0, "0.5 s", durationFromZero),
		MaxGap:     document.Quantity(t, "max_gap", 0, "1 s", positiveDuration),
		Modulation: document.Quantity(t, "modulation", quantity.Modulation{}, "pulse 1 kHz 50 %", quantity.ParseModulation),
		Sensors:    t.Choice("sensors", EverySensor, EverySensor, MeanOfSensors),
		OfPeak:     t.Choice("modulated_level", levelOfCarrier, levelOfCarrier, levelOfPeak) == levelOfPeak,
		MinSamples: quantity.Samples(t.Whole("min_samples", usualMinSamples, 1)),
		Harmonics:  document.Quantity(t, "harmonics", usualHarmonics, "6 dB", upperTolerance),
	}
	t.Require("title", "source", "dwell", "modulation", "limit")
	readTolerance(t.Table("tolerance"), r)
	r.Rule = readDecision(t.Table("decision"))
	readPositions(t, r)
	for _, limit := range t.Tables("limit") {
		r.Limits = append(r.Limits, readLimit(limit))
	}
	for _, step := range t.Tables("step") {
		r.Steps = append(r.Steps, jobsheet.ReadStep(step))
	}
	refuseEmpty(t, "limit", len(r.Limits), wording.Say("requirement.why-limit", nil))
	if !r.listsAlone() {
		t.Require("step")
	}
	refuseEmpty(t, "step", len(r.Steps), wording.Say("requirement.why-step", nil))
	refuseEmpty(t, "title", len(r.Title), wording.Say("requirement.why-title", nil))
	refuseEmpty(t, "source", len(r.Source), wording.Say("requirement.why-source", nil))
	return r
}

// usualHarmonics is how far a harmonic of the field has to lie below the
// fundamental where a requirement does not say it (IEC 61000-4-3, edition of 2006).
const usualHarmonics quantity.Decibel = 6

// usualMinSamples is how many samples of every probe a stretch needs to show a
// dwell where a requirement does not say it.
const usualMinSamples = 3

// The words for what a limit speaks of when the field is modulated.
const (
	levelOfCarrier = "carrier"
	levelOfPeak    = "peak"
)

// refuseEmpty adds a problem for a text or list that is written, but empty. One
// of a wrong type has its message already.
func refuseEmpty(t *document.Table, key string, length int, why wording.Text) {
	if length == 0 && (t.IsText(key) || t.IsList(key)) {
		t.Fail(key, wording.Say("requirement.empty", wording.Values{"why": why}))
	}
}

// positiveDuration reads a duration above zero.
func positiveDuration(text string) (time.Duration, error) {
	d, err := quantity.ParseDuration(text)
	if err == nil && d <= 0 {
		err = fmt.Errorf("%q is not above zero", text)
	}
	return d, err
}

// durationFromZero reads a duration that is not negative.
func durationFromZero(text string) (time.Duration, error) {
	d, err := quantity.ParseDuration(text)
	if err == nil && d < 0 {
		err = fmt.Errorf("%q is negative", text)
	}
	return d, err
}

// MostTolerance is more than a tolerance can be, to either side.
const MostTolerance quantity.Decibel = 100

// lowerTolerance reads a level that is not above 0 dB.
func lowerTolerance(text string) (quantity.Decibel, error) {
	d, err := quantity.ParseDecibel(text)
	switch {
	case err == nil && d > 0:
		err = fmt.Errorf("%q lies above the limit; a lower tolerance is 0 dB or below", text)
	case err == nil && d < -MostTolerance:
		err = fmt.Errorf("%q is no tolerance; no field would be left to show", text)
	}
	return d, err
}

// upperTolerance reads a level above 0 dB.
func upperTolerance(text string) (quantity.Decibel, error) {
	d, err := quantity.ParseDecibel(text)
	switch {
	case err == nil && d <= 0:
		err = fmt.Errorf("%q does not lie above the limit; an upper tolerance is above 0 dB", text)
	case err == nil && d > MostTolerance:
		err = fmt.Errorf("%q is no tolerance; any field would lie within it", text)
	}
	return d, err
}

// positiveField reads a field strength above zero.
func positiveField(text string) (quantity.FieldStrength, error) {
	e, err := quantity.ParseFieldStrength(text)
	if err == nil && e <= 0 {
		err = fmt.Errorf("%q is not above zero", text)
	}
	return e, err
}

// positiveLength reads a length above zero.
func positiveLength(text string) (quantity.Length, error) {
	l, err := quantity.ParseLength(text)
	if err == nil && l <= 0 {
		err = fmt.Errorf("%q is not above zero", text)
	}
	return l, err
}

func readTolerance(t *document.Table, r *Requirement) {
	r.ToleranceLow = document.Quantity(t, "low", 0, "0 dB", lowerTolerance)
	r.ToleranceHigh = document.Quantity(t, "high", quantity.Undefined[quantity.Decibel](), "6 dB", upperTolerance)
	t.Close()
}

// readDecision reads a decision rule; simple acceptance where none is given.
func readDecision(t *document.Table) uncertainty.Rule {
	word := t.Choice("rule", ruleSimple, ruleSimple, ruleGuarded)
	guard := quantity.Ratio(t.Number("guard", math.NaN()))
	t.Close()
	if word == ruleSimple {
		return uncertainty.Rule{}
	}
	return guardedRule(guard)
}

// readPositions reads either a number of antenna positions or a table that rules
// the number by the width of the article.
func readPositions(t *document.Table, r *Requirement) {
	if !t.IsTable("positions") {
		r.Positions = t.Whole("positions", 0, 1)
		if r.Positions > MostPositions {
			t.Fail("positions", tooManyPositions(r.Positions, ""))
		}
		return
	}
	rule := t.Table("positions")
	rule.Require("spacing", "up_to")
	r.PositionRule = &PositionRule{
		Spacing: document.Quantity(rule, "spacing", 0, "3 m", positiveLength),
		UpTo:    document.Quantity(rule, "up_to", 0, "200 MHz", quantity.ParseFrequency),
	}
	rule.Close()
}

func readLimit(t *document.Table) Limit {
	l := Limit{Optional: t.Text("optional"), Frequencies: jobsheet.ReadFrequencies(t)}
	t.Require("level")
	switch from, to := jobsheet.ReadBand(t); {
	case !t.Has("frequencies"):
		t.Require("from", "to")
		l.From, l.To = from, to
	case t.Has("from") || t.Has("to"):
		t.Fail("frequencies", wording.Say("requirement.listed-and-range", nil))
	case len(l.Frequencies) > 0:
		l.From, l.To = l.Frequencies[0], l.Frequencies[len(l.Frequencies)-1]
	}
	if t.IsList("level") {
		if levels := document.Quantities(t, "level", 2, "200 V/m", positiveField); levels != nil {
			l.LowLevel, l.HighLevel = levels[0], levels[1]
		}
	} else {
		l.LowLevel = document.Quantity(t, "level", 0, "200 V/m", positiveField)
		l.HighLevel = l.LowLevel
	}
	l.Polarizations = readPolarizations(t)
	t.Close()
	return l
}

// readPolarizations reads the polarizations of a limit; both where none are given.
func readPolarizations(t *document.Table) []quantity.Polarization {
	if !t.Has("polarizations") {
		return quantity.Polarizations()
	}
	var list []quantity.Polarization
	words := t.Texts("polarizations")
	if t.IsList("polarizations") && len(words) == 0 {
		t.Fail("polarizations", wording.Say("requirement.limit-without-polarization", nil))
	}
	for _, word := range words {
		polarization := quantity.Polarization(word)
		if !slices.Contains(quantity.Polarizations(), polarization) {
			near := place.Nearest(word, []string{string(quantity.Horizontal), string(quantity.Vertical)})
			t.Fail("polarizations", wording.Say("requirement.no-polarization", wording.Values{"found": word, "near": near}))
		} else if slices.Contains(list, polarization) {
			t.Fail("polarizations", wording.Say("requirement.polarization-twice", wording.Values{"found": word}))
		}
		list = append(list, polarization)
	}
	return list
}

// checkStepsCover reports every part of a limit at which no step rule says how
// far the next frequency may be. Limits and rules whose own reading failed are
// left out; they have their message already.
func checkStepsCover(root *document.Table, r *Requirement) {
	if len(r.Steps) == 0 || slices.ContainsFunc(r.Steps, func(s StepRule) bool { return !(s.From > 0 && (s.To > s.From || s.Lists())) }) {
		return
	}
	sorted := slices.SortedFunc(slices.Values(r.Steps), func(a, b StepRule) int { return cmp.Compare(a.From, b.From) })
	for i, l := range r.Limits {
		if !(l.From > 0 && l.To > l.From) || l.lists() {
			continue // its frequencies say themselves what has to be visited
		}
		for _, gap := range uncovered(l.From, l.To, sorted) {
			root.Fail(fmt.Sprintf("limit[%d].from", i+1), wording.Say("requirement.step-missing", wording.Values{"from": gap[0], "to": gap[1]}))
		}
	}
}

// uncovered returns the parts between from and to that no rule contains, ascending.
// The rules are sorted by their lower ends.
func uncovered(from, to quantity.Frequency, sorted []StepRule) [][2]quantity.Frequency {
	var gaps [][2]quantity.Frequency
	reached := from
	for _, rule := range sorted {
		if !rule.From.AtOrBelow(reached) {
			if !rule.From.AtOrBelow(to) {
				break
			}
			gaps = append(gaps, [2]quantity.Frequency{reached, rule.From})
		}
		reached = max(reached, rule.To)
	}
	if !to.AtOrBelow(reached) {
		gaps = append(gaps, [2]quantity.Frequency{reached, to})
	}
	return gaps
}
