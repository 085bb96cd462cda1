package demoday

import (
	"math"
	"strconv"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// sheetText builds a TOML document as people write it: the keys of a table in
// order, those without a value left out.
type sheetText struct{ strings.Builder }

func (s *sheetText) table(name string) { s.head("[" + name + "]") }
func (s *sheetText) entry(name string) { s.head("[[" + name + "]]") }

func (s *sheetText) head(text string) {
	if s.Len() > 0 {
		s.WriteByte('\n')
	}
	s.WriteString(text + "\n")
}

// raw writes a key with a value that is TOML already; "" leaves the key out.
func (s *sheetText) raw(key, value string) {
	if value != "" {
		s.WriteString(key + " = " + value + "\n")
	}
}

// text writes a key with a text; "" leaves the key out.
func (s *sheetText) text(key, value string) {
	if value != "" {
		s.raw(key, quote(value))
	}
}

// texts writes a key with a list of texts; an empty list leaves the key out.
func (s *sheetText) texts(key string, values []string) {
	if len(values) > 0 {
		s.raw(key, list(values))
	}
}

func (s *sheetText) polarizations(values []quantity.Polarization) {
	var words []string
	for _, value := range values {
		words = append(words, string(value))
	}
	s.texts("polarizations", words)
}

func list(values []string) string {
	quoted := make([]string, len(values))
	for i, value := range values {
		quoted[i] = quote(value)
	}
	return "[" + strings.Join(quoted, ", ") + "]"
}

func quote(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\t", `\t`).Replace(text) + `"`
}

// inline builds an inline table.
type inline []string

func (t *inline) raw(key, value string) {
	if value != "" {
		*t = append(*t, key+" = "+value)
	}
}

func (t *inline) text(key, value string) {
	if value != "" {
		t.raw(key, quote(value))
	}
}

func (t inline) String() string { return "{ " + strings.Join(t, ", ") + " }" }

// with writes a number with its unit, "" where it is not defined.
func with[T quantity.Number](x T, scale float64, unit string) string {
	if !quantity.Defined(x) {
		return ""
	}
	// Fourteen digits take off what a division by a power of ten leaves behind.
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(float64(x)/scale, 'g', 14, 64), 64)
	if err != nil {
		return ""
	}
	return shortest(rounded) + " " + unit
}

func frequencyText(f quantity.Frequency) string     { return with(f, 1e6, "MHz") }
func fieldText(e quantity.FieldStrength) string     { return with(e, 1, "V/m") }
func powerText(p quantity.Power) string             { return with(p, 1, "W") }
func decibelText(d quantity.Decibel) string         { return with(d, 1, "dB") }
func lengthText(l quantity.Length) string           { return with(l, 1, "m") }
func temperatureText(t quantity.Temperature) string { return with(t, 1, "°C") }
func percentText(r quantity.Ratio) string           { return with(r, 0.01, "%") }
func pressureText(p quantity.Pressure) string       { return with(p, 100, "hPa") }

func durationText(d time.Duration) string { return with(quantity.Ratio(d.Seconds()), 1, "s") }

// numberText writes a plain number, "" where it is not defined or not finite.
func numberText[T quantity.Number](x T) string {
	if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
		return ""
	}
	text := shortest(float64(x))
	if !strings.Contains(text, ".") {
		text += ".0"
	}
	return text
}

// countText writes a whole number, "" for zero.
func countText(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// dateText writes a date, "" where there is none.
func dateText(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}

// timeText writes the local date and time of the zone, "" where there is none.
func timeText(t time.Time, zone *time.Location) string {
	if t.IsZero() {
		return ""
	}
	return t.In(zone).Format("2006-01-02T15:04:05.999999999")
}

// rangeText writes a lower and an upper limit as a list.
func rangeText[T quantity.Number](r jobsheet.Range[T], write func(T) string) string {
	if !quantity.Defined(r.Low) {
		return ""
	}
	return list([]string{write(r.Low), write(r.High)})
}
