package audit

import (
	"fmt"
	"math"
	"sort"
	"strings"
)

// figureSlack is how far a figure may differ from the one inside, relative: other
// processors may round the last digits otherwise.
const figureSlack = 1e-9

// comparison finds where two JSON documents first differ, and how. Both are ""
// where they do not.
type comparison struct {
	// otherVersion says that another version of the program wrote the first
	// document: its sentences may be worded otherwise, and it may lack the keys
	// that were added since the first version.
	otherVersion bool
	where, how   string
	worded       []string // what another version says otherwise
}

// wording are the keys whose texts say in words what other keys state.
var wording = map[string]bool{"message": true, "answer": true, "answer_in_numbers": true, "behaviour": true, "why": true}

// added are the keys that reports of earlier versions do not have. Every other key
// is demanded of every version.
var added = map[string]bool{"revision": true, "draft": true, "manifest_sha256": true, "answer_in_numbers": true, "overrides": true, "steps_without_level": true, "why": true, "probes": true,
	"probe_times": true, "other_rows": true, "follows": true}

// compare compares what the report has with what the evaluation gives.
func (c *comparison) compare(path string, report, again any) {
	if c.how != "" {
		return
	}
	switch r := report.(type) {
	case map[string]any:
		if a, ok := again.(map[string]any); ok {
			c.objects(path, r, a)
			return
		}
	case []any:
		if a, ok := again.([]any); ok {
			c.lists(path, r, a)
			return
		}
	case float64:
		if a, ok := again.(float64); ok && math.Abs(r-a) <= figureSlack*math.Max(math.Abs(r), math.Abs(a)) {
			return
		}
	default:
		if report == again {
			return
		}
	}
	c.differ(path, fmt.Sprintf("the report says %v, the evaluation gives %v", report, again))
}

func (c *comparison) differ(path, how string) { c.where, c.how = path, how }

// words notes a text that another version words otherwise.
func (c *comparison) words(path string, report, again any) {
	const most = 3 // that are told
	if report != again && len(c.worded) < most {
		c.worded = append(c.worded, fmt.Sprintf("%s: the report says %q, the evaluation gives %q", path, report, again))
	}
}

func (c *comparison) lists(path string, report, again []any) {
	for i := range min(len(report), len(again)) {
		c.compare(path+element(i, report[i]), report[i], again[i])
	}
	if c.how == "" && len(report) != len(again) {
		c.differ(path, fmt.Sprintf("the report has %d entries, the evaluation gives %d", len(report), len(again)))
	}
}

// element names an entry of a list as a reader of the report would look for it.
func element(i int, value any) string {
	object, _ := value.(map[string]any)
	name := fmt.Sprint(i + 1)
	if id, ok := object["id"].(string); ok {
		name = id
	}
	if frequency, ok := object["frequency_hz"].(float64); ok {
		name += fmt.Sprintf(", at %g MHz", frequency/1e6)
	}
	return "[" + name + "]"
}

func (c *comparison) objects(path string, report, again map[string]any) {
	var keys []string
	for key := range report {
		keys = append(keys, key)
	}
	for key := range again {
		if _, both := report[key]; !both && !(c.otherVersion && added[key]) {
			keys = append(keys, key)
		}
	}
	sort.Strings(keys)
	for _, key := range keys {
		r, inReport := report[key]
		a, now := again[key]
		at := strings.TrimPrefix(path+"."+key, ".")
		switch {
		case c.how != "":
		case c.otherVersion && wording[key] && now && inReport:
			c.words(at, r, a)
		case !now:
			c.differ(at, fmt.Sprintf("the report says %v, the evaluation gives nothing", r))
		case !inReport:
			c.differ(at, fmt.Sprintf("the report says nothing, the evaluation gives %v", a))
		default:
			c.compare(at, r, a)
		}
	}
}
