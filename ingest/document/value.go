package document

import (
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"

	"fieldheld/ingest/place"
	"fieldheld/templates/wording"
)

// The lengths up to which names and texts are read, in letters. Longer ones would be
// cut where they are shown.
const (
	longestName = 200
	longestText = 8000
)

// Name reads the name of something, on one line; "" where it is absent. A report
// is told from others by its names: what could make two of them look alike, or one
// look like more, is refused.
func (t *Table) Name(key string) string {
	text := t.Text(key)
	switch {
	case strings.ContainsAny(text, "\n\t"):
		t.Fail(key, wording.Say("document.name-of-lines", wording.Values{"found": text}))
		return ""
	case utf8.RuneCountInString(text) > longestName:
		t.Fail(key, wording.Say("document.long-name", wording.Values{"letters": utf8.RuneCountInString(text), "most": longestName}))
		return ""
	}
	return text
}

// Text reads a text without hidden letters; "" where it is absent.
func (t *Table) Text(key string) string {
	v, ok := t.value(key)
	if !ok {
		return ""
	}
	text, isText := v.(string)
	if !isText {
		t.wrongType(key, v, wording.Say("document.a-text", wording.Values{"key": key}))
		return ""
	}
	return t.printable(key, text)
}

// printable refuses texts with letters that cannot be seen, and texts that no page
// holds.
func (t *Table) printable(key, text string) string {
	if i := strings.IndexFunc(text, place.Hidden); i >= 0 {
		t.Fail(key, wording.Say("document.hidden-letter", wording.Values{"found": text[i:min(len(text), i+20)]}))
		return ""
	}
	if n := utf8.RuneCountInString(text); n > longestText {
		t.Fail(key, wording.Say("document.long-text", wording.Values{"letters": n, "most": longestText}))
		return ""
	}
	return strings.TrimSpace(text)
}

// Texts reads a list of texts; nil where it is absent.
func (t *Table) Texts(key string) []string {
	v, ok := t.value(key)
	if !ok {
		return nil
	}
	list, isList := v.([]any)
	texts := make([]string, 0, len(list))
	for _, item := range list {
		text, isText := item.(string)
		isList = isList && isText
		texts = append(texts, t.printable(key, text))
	}
	if !isList {
		t.wrongType(key, v, wording.Say("document.a-list-of-texts", wording.Values{"key": key}))
		return nil
	}
	return texts
}

// TextsByKey reads a table whose keys are free and whose values are texts.
func (t *Table) TextsByKey(key string) map[string]string {
	sub := t.Table(key)
	if len(sub.values) == 0 {
		return nil
	}
	texts := map[string]string{}
	for _, name := range sub.Keys() {
		texts[name] = sub.Text(name)
	}
	return texts
}

// Choice reads a text that must be one of the choices; fallback where absent.
func (t *Table) Choice(key, fallback string, choices ...string) string {
	if !t.Has(key) {
		t.value(key)
		return fallback
	}
	text := t.Text(key)
	for _, choice := range choices {
		if strings.EqualFold(text, choice) {
			return choice
		}
	}
	if text != "" {
		t.Fail(key, wording.Say("document.unknown-word", wording.Values{"found": text, "known": choices, "near": place.Nearest(text, choices)}))
	}
	return fallback
}

// Whole reads a whole number of at least least; fallback where it is absent.
func (t *Table) Whole(key string, fallback, least int) int {
	v, ok := t.value(key)
	if !ok {
		return fallback
	}
	n, isWhole := v.(int64)
	if !isWhole || n < int64(least) || n > math.MaxInt32 {
		t.wrongType(key, v, wording.Say("document.a-whole-number", wording.Values{"key": key, "least": least, "example": max(least, 1)}))
		return fallback
	}
	return int(n)
}

// Number reads a plain number above zero; fallback where it is absent.
func (t *Table) Number(key string, fallback float64) float64 {
	v, ok := t.value(key)
	if !ok {
		return fallback
	}
	x := math.NaN()
	switch n := v.(type) {
	case int64:
		x = float64(n)
	case float64:
		x = n
	}
	if !(x > 0) || math.IsInf(x, 0) {
		t.wrongType(key, v, wording.Say("document.a-number", wording.Values{"key": key}))
		return fallback
	}
	return x
}

// Date reads a date; the zero time where it is absent, else midnight UTC.
func (t *Table) Date(key string) time.Time {
	v, ok := t.value(key)
	if !ok {
		return time.Time{}
	}
	date, isDate := v.(toml.LocalDate)
	if !isDate {
		t.wrongType(key, v, wording.Say("document.a-date", wording.Values{"key": key}))
		return time.Time{}
	}
	return t.possible(key, date.AsTime(time.UTC))
}

// possible refuses dates that no test has.
func (t *Table) possible(key string, at time.Time) time.Time {
	const first, last = 1950, 2199
	if year := at.Year(); year < first || year > last {
		t.Fail(key, wording.Say("document.impossible-date", wording.Values{"found": at.Format(time.DateOnly), "first": first, "last": last}))
		return time.Time{}
	}
	return at
}

// DateTime reads a date with a time, in zone where it carries none; the zero
// time where it is absent.
func (t *Table) DateTime(key string, zone *time.Location) time.Time {
	v, ok := t.value(key)
	if !ok {
		return time.Time{}
	}
	switch at := v.(type) {
	case time.Time:
		return t.possible(key, at)
	case toml.LocalDateTime:
		return t.possible(key, at.AsTime(zone))
	}
	t.wrongType(key, v, wording.Say("document.a-date-and-time", wording.Values{"key": key}))
	return time.Time{}
}

// Quantity reads a text with a unit through parse; fallback where it is absent.
// Example is how such a value is written.
func Quantity[T any](t *Table, key string, fallback T, example string, parse func(string) (T, error)) T {
	v, ok := t.value(key)
	if !ok {
		return fallback
	}
	x, good := quantityOf(t, key, v, example, parse)
	if !good {
		return fallback
	}
	return x
}

// Quantities reads a list of exactly n texts with units; nil where it is absent.
func Quantities[T any](t *Table, key string, n int, example string, parse func(string) (T, error)) []T {
	v, ok := t.value(key)
	if !ok {
		return nil
	}
	list, isList := v.([]any)
	if !isList || len(list) != n {
		t.wrongType(key, v, wording.Say("document.a-list-of", wording.Values{"key": key, "count": n, "example": example}))
		return nil
	}
	values := make([]T, n)
	for i, item := range list {
		x, good := quantityOf(t, key, item, example, parse)
		if !good {
			return nil
		}
		values[i] = x
	}
	return values
}

// List reads a list of texts with units, of any number but none; nil where it is absent.
func List[T any](t *Table, key, example string, parse func(string) (T, error)) []T {
	v, ok := t.value(key)
	if !ok {
		return nil
	}
	list, isList := v.([]any)
	if !isList || len(list) == 0 {
		t.wrongType(key, v, wording.Say("document.a-list-of-any", wording.Values{"key": key, "example": example}))
		return nil
	}
	var values []T
	for _, item := range list {
		x, good := quantityOf(t, key, item, example, parse)
		if !good {
			return nil
		}
		values = append(values, x)
	}
	return values
}

func quantityOf[T any](t *Table, key string, v any, example string, parse func(string) (T, error)) (T, bool) {
	var none T
	text, isText := v.(string)
	if !isText {
		problem := wording.Say("document.quantity-of-wrong-type", wording.Values{"found": Describe(v), "key": key, "example": example})
		switch v.(type) {
		case int64, float64:
			problem = wording.Say("document.number-without-unit", wording.Values{"found": Describe(v), "key": key, "example": example})
		}
		t.Fail(key, problem)
		return none, false
	}
	x, err := parse(text)
	if err != nil {
		t.Fail(key, wording.Say("document.unreadable-quantity", wording.Values{"error": err, "key": key, "example": example}))
		return none, false
	}
	return x, true
}

// IsText reports whether the key is written as a text, without reading it.
func (t *Table) IsText(key string) bool { _, ok := t.values[key].(string); return ok }

// Character reads a text as it stands, blanks and tabs kept; "" where it is absent.
func (t *Table) Character(key string) string {
	v, ok := t.value(key)
	if !ok {
		return ""
	}
	text, isText := v.(string)
	if !isText || text == "" {
		t.wrongType(key, v, wording.Say("document.a-character", wording.Values{"key": key}))
	}
	return text
}
