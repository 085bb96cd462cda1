package layout

import (
	"regexp"
	"strings"
)

// withUnits finds a number with the unit behind it, and a factor with its value.
var withUnits = regexp.MustCompile(`([0-9]) (dB|Hz|kHz|MHz|GHz|V/m|W|kW|s|%|m|cm)\b|([0-9]) %|\b([kU]) = `)

// JoinUnits joins numbers with their units, so that no line ends between them.
func JoinUnits(text string) string {
	return withUnits.ReplaceAllStringFunc(text, func(found string) string { return strings.ReplaceAll(found, " ", "\u00a0") })
}

// wrap cuts a text into lines that are no wider than width. It breaks at blanks,
// and in a word that is too long (a path, a digest) after punctuation, or else
// where the line ends. A newline in the text begins a new line. An empty text
// is one empty line. A line that ends at a blank keeps it, unseen, so that who hears
// the text read hears two words.
func (t *Typefaces) wrap(s Style, text string, width float64) []string {
	if !strings.Contains(text, "\n") && t.width(s, text) <= width {
		return []string{text}
	}
	var lines []string
	for i, paragraph := range strings.Split(text, "\n") {
		if i > 0 {
			lines[len(lines)-1] += " "
		}
		lines = append(lines, t.wrapParagraph(s, paragraph, width)...)
	}
	return lines
}

func (t *Typefaces) wrapParagraph(s Style, text string, width float64) []string {
	width = max(width, 1) // in no width at all, each character stands on a line
	var lines []string
	line := ""
	blank := t.width(s, " ")
	lineWidth := 0.0
	for _, word := range breakable(text) {
		wordWidth := t.width(s, word)
		if line != "" && lineWidth+blank+wordWidth <= width+0.01 {
			line += " " + word
			lineWidth += blank + wordWidth
			continue
		}
		if line != "" {
			lines = append(lines, line+" ")
		}
		for wordWidth > width+0.01 {
			head := t.breakWord(s, word, width)
			lines = append(lines, head)
			word = word[len(head):]
			wordWidth = t.width(s, word)
		}
		line, lineWidth = word, wordWidth
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// breakWord returns the part of a word that fits into the width, at least one
// character; the cut is after punctuation where some stands in its second half.
func (t *Typefaces) breakWord(s Style, word string, width float64) string {
	fits, after := 0, 0
	for i, c := range word {
		end := i + len(string(c))
		if i > 0 && t.width(s, word[:end]) > width {
			break
		}
		fits = end
		if strings.ContainsRune("/\\-_.,;:=&?", c) && !inNumber(word, i, end) {
			after = end
		}
	}
	if after > fits/2 {
		return word[:after]
	}
	return word[:fits]
}

// inNumber reports whether a mark of punctuation stands between two digits, as in
// 08:30:00 or 0.36: no line ends there.
func inNumber(word string, at, behind int) bool {
	digit := func(i int) bool { return i >= 0 && i < len(word) && word[i] >= '0' && word[i] <= '9' }
	return digit(at-1) && digit(behind)
}

// fit shortens a text to the width, with an ellipsis where something is cut.
func (t *Typefaces) fit(s Style, text string, width float64) string {
	if t.width(s, text) <= width {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 && t.width(s, string(runes)+"…") > width {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimRight(string(runes), " ") + "…"
}

// longestWord is the width below which a text has to break words.
func (t *Typefaces) longestWord(s Style, text string) float64 {
	widest := 0.0
	for _, word := range breakable(text) {
		widest = max(widest, t.width(s, word))
	}
	return widest
}

// widestLine is the width of the longest line of a text.
func (t *Typefaces) widestLine(s Style, text string) float64 {
	if !strings.Contains(text, "\n") {
		return t.width(s, text)
	}
	widest := 0.0
	for _, line := range strings.Split(text, "\n") {
		widest = max(widest, t.width(s, line))
	}
	return widest
}

// breakable parts a text at its blanks, but not at those that must not break.
func breakable(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\r' })
}

// Width is how wide a text is in a style.
func (f *Flow) Width(s Style, text string) Points { return f.types.width(s, text) }

// Wrap cuts a text into lines that are no wider than width. It breaks at blanks, and
// in a word that is wider after punctuation, or else where the line ends. A newline
// begins a new line; an empty text is one empty line.
func (f *Flow) Wrap(s Style, text string, width Points) []string {
	return f.types.wrap(s, text, width)
}

// Fit shortens a text to the width, with an ellipsis where something is cut.
func (f *Flow) Fit(s Style, text string, width Points) string { return f.types.fit(s, text, width) }
