package notation

import (
	"strings"
	"unicode/utf8"
)

// ShowsMark returns the decimal mark that a cell shows beyond doubt, or 0. The
// second result is true for a number whose single mark may as well part
// thousands: 1,234.
func ShowsMark(cell []byte) (mark byte, doubtful bool) {
	text := string(cell)
	if at := strings.IndexAny(text, "eE"); at > 0 && isExponent(text[at+1:]) {
		text = text[:at]
	}
	text = strings.TrimLeft(text, "+-−")
	points, commas := strings.Count(text, "."), strings.Count(text, ",")
	last := strings.LastIndexAny(text, ".,")
	if last < 0 || !NumberLike(text) {
		return 0, false
	}
	mark = text[last]
	other := byte('.' + ',' - mark)
	switch {
	case points > 0 && commas > 0:
		if strings.Count(text, string(mark)) > 1 || !inGroups(text[:last], other) {
			return 0, false
		}
		return mark, false
	case points+commas > 1:
		if !inGroups(text, mark) {
			return 0, false // 12..5 is no number and shows nothing
		}
		return other, false
	}
	before, after := text[:last], text[last+1:]
	if len(after) == 3 && len(before) >= 1 && len(before) <= 3 && before[0] != '0' {
		return 0, true
	}
	return mark, false
}

// inGroups reports whether the mark parts the digits of a whole number in groups
// of three.
func inGroups(whole string, mark byte) bool {
	groups := strings.Split(whole, string(mark))
	for i, group := range groups {
		if !OnlyDigits(group) || i > 0 && len(group) != 3 || i == 0 && (len(group) < 1 || len(group) > 3) {
			return false
		}
	}
	return true
}

// NumberLike reports whether the text holds digits, and nothing but digits,
// marks and what parts groups.
func NumberLike(text string) bool {
	digit := false
	for len(text) > 0 {
		r, size := utf8.DecodeRuneInString(text)
		if r >= '0' && r <= '9' {
			digit = true
		} else if !strings.ContainsRune(".,'’ \u00a0\u202f\u2009", r) && text[0] != 0xA0 {
			return false
		}
		text = text[size:]
	}
	return digit
}
