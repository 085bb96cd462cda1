package compare

import (
	"fmt"
	"math"
)

// figure is how a figure of a visit is called, and its unit.
type figure struct{ name, unit string }

// figureNames are the figures by their keys in the results. One that is not
// listed is called by its key.
var figureNames = map[string]figure{
	"limit_v_per_m": {"limit", "V/m"}, "required_s": {"required dwell", "s"}, "sustained_v_per_m": {"sustained field", "V/m"},
	"minimum_v_per_m": {"lowest field", "V/m"}, "median_v_per_m": {"median field", "V/m"}, "maximum_v_per_m": {"highest field", "V/m"},
	"held_s": {"held dwell", "s"}, "samples": {"samples", ""}, "margin_db": {"margin", "dB"},
	"conformance_probability": {"conformance probability", ""}, "forward_w": {"forward power", "W"},
	"reflected_w": {"reflected power", "W"}, "vswr": {"VSWR", ""}, "state": {"state", ""}, "end": {"end", ""},
}

// visit is a visit as the results have it, by key.
type visit = map[string]any

// visitKey is what makes two visits the same one.
type visitKey struct{ frequency, start any }

func keyOf(v visit) visitKey { return visitKey{v["frequency_hz"], v["start"]} }

// figures adds, for each run, which visits came and went and which figures of
// the others differ: each figure once, with the visit where it differs most.
func (l *list) figures(old, now *results) {
	before, after := map[string][]visit{}, map[string][]visit{}
	for _, run := range old.Runs {
		before[run.ID] = run.Visits
	}
	for _, run := range now.Runs {
		after[run.ID] = run.Visits
	}
	for _, run := range names(before, after) {
		l.run("run "+run+": ", before[run], after[run])
	}
}

func (l *list) run(prefix string, before, after []visit) {
	known := map[visitKey]visit{}
	for _, v := range before {
		known[keyOf(v)] = v
	}
	differences := map[string]*difference{}
	var added []visit
	for _, v := range after {
		was, both := known[keyOf(v)]
		if !both {
			added = append(added, v)
			continue
		}
		delete(known, keyOf(v))
		for _, key := range names(was, v) {
			note(differences, key, was, v)
		}
	}
	var gone []visit
	for _, v := range before {
		if _, left := known[keyOf(v)]; left {
			gone = append(gone, v)
		}
	}
	l.add(prefix+"visits", some(gone), some(added))
	for _, name := range names(differences, nil) {
		d := differences[name]
		l.add(fmt.Sprintf("%s%s of %s, most at %s", prefix, name, counted(d.count), frequencyOf(d.at)), d.before, d.after)
	}
}

// some describes visits that the other report lacks; "" for none.
func some(visits []visit) string {
	if len(visits) == 0 {
		return ""
	}
	return fmt.Sprintf("%s that the other report lacks, the first at %s", counted(len(visits)), frequencyOf(visits[0]))
}

func counted(visits int) string {
	if visits == 1 {
		return "1 visit"
	}
	return fmt.Sprintf("%d visits", visits)
}

func frequencyOf(v visit) string {
	frequency, ok := v["frequency_hz"].(float64)
	if !ok {
		return "an unknown frequency"
	}
	return megahertz(frequency)
}

// difference is where a figure differs most, and how often it does.
type difference struct {
	count         int
	most          float64
	at            visit
	before, after string
}

// note adds a figure of a visit to the differences where it differs.
func note(differences map[string]*difference, key string, was, is visit) {
	if was[key] == is[key] {
		return
	}
	f, known := figureNames[key]
	if !known {
		f.name = key
	}
	name := f.name
	if key == "state" { // each change of state counts by itself
		name = fmt.Sprintf("state (%v, then %v)", was[key], is[key])
	}
	d := differences[name]
	if d == nil {
		d = &difference{most: -1}
		differences[name] = d
	}
	d.count++
	if by := distance(was[key], is[key]); by > d.most {
		d.most, d.at, d.before, d.after = by, is, f.text(was[key]), f.text(is[key])
	}
}

// distance is how far two values lie apart; what is no number on both sides lies
// farthest.
func distance(a, b any) float64 {
	x, first := a.(float64)
	y, second := b.(float64)
	if !first || !second {
		return math.MaxFloat64
	}
	return math.Abs(x - y)
}

// text writes a value with its unit; what a report does not define has none.
func (f figure) text(value any) string {
	switch v := value.(type) {
	case nil:
		return "not defined"
	case float64:
		text := fmt.Sprintf("%.6g", v)
		if f.unit != "" {
			text += " " + f.unit
		}
		return text
	default:
		return fmt.Sprint(v)
	}
}
