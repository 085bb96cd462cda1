// Package notation reads numbers and times as logs write them: decimal commas and
// groups of digits, dates in the orders of day and month, clocks that count from a
// start or from 1970, zones by name. It reads cells and knows nothing of the files
// and columns that they stand in; what a cell leaves open it tells, and its caller asks.
package notation

import (
	"bytes"
	"math"
	"strconv"
	"strings"
)

// Number is a number as a cell writes it.
type Number struct {
	Value  float64
	Digits int // from the first digit that is not zero to the last one written
	Places int // decimal places written; below zero where an exponent hides digits
}

// Numbers says how a file writes its numbers.
type Numbers struct {
	Decimal  byte // '.' or ','
	Workbook bool // numbers of a workbook
}

// powersOfTen holds those that a float64 holds exactly.
var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// Parse reads a number. Plain digits with one decimal mark take the short way:
// up to 15 digits and a power of ten are both exact, so that one division
// rounds as strconv does. Everything else takes the long way.
func (n Numbers) Parse(cell []byte) (Number, bool) {
	i, negative := 0, false
	if len(cell) > 0 && (cell[0] == '-' || cell[0] == '+') {
		i, negative = 1, cell[0] == '-'
	}
	mantissa, digits, places, marked, first := uint64(0), 0, 0, false, i
	for ; i < len(cell); i++ {
		d := cell[i] - '0'
		switch {
		case d <= 9:
			mantissa = mantissa*10 + uint64(d)
			if mantissa != 0 {
				digits++
			}
			if marked {
				places++
			}
		case cell[i] == n.Decimal && !marked:
			marked = true
		default:
			return n.parseLong(cell)
		}
	}
	if digits > 15 || places > 22 || i == first || marked && i == first+1 || n.Workbook && marked {
		return n.parseLong(cell)
	}
	value := float64(mantissa)
	if places > 0 {
		value /= powersOfTen[places]
	}
	if negative {
		value = -value
	}
	return Number{value, digits, places}, true
}

// parseLong reads numbers with an exponent, with digits in groups of three, or
// with more digits than fit the short way.
func (n Numbers) parseLong(cell []byte) (Number, bool) {
	if n.Workbook {
		return parseBinary(cell)
	}
	plain, ok := n.plain(cell)
	if !ok {
		return Number{}, false
	}
	value, err := strconv.ParseFloat(plain, 64)
	if err != nil || math.IsInf(value, 0) || math.IsNaN(value) {
		return Number{}, false
	}
	digits, places := written(plain)
	return Number{value, digits, places}, true
}

// parseBinary reads a number of a workbook: as the file stores it, or a text
// cell that writes a number with a decimal comma beyond doubt.
func parseBinary(cell []byte) (Number, bool) {
	if bytes.IndexByte(cell, ',') >= 0 || bytes.IndexByte(cell, ' ') >= 0 {
		mark, _ := ShowsMark(cell)
		if mark == 0 {
			return Number{}, false
		}
		return Numbers{Decimal: mark}.parseLong(cell)
	}
	text := string(cell)
	value, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(value, 0) || math.IsNaN(value) || strings.ContainsAny(text, "xX_pP") {
		return Number{}, false
	}
	digits, places := written(strconv.FormatFloat(value, 'f', -1, 64))
	return Number{value, digits, places}, true
}

// written counts the significant digits and the decimal places of a plain number.
func written(plain string) (digits, places int) {
	mantissa, exponent, _ := strings.Cut(strings.ToLower(plain), "e")
	whole, fraction, _ := strings.Cut(strings.TrimLeft(mantissa, "+-"), ".")
	digits = len(strings.TrimLeft(whole+fraction, "0"))
	places = len(fraction)
	if e, err := strconv.Atoi(exponent); err == nil {
		places -= e
	}
	return digits, places
}

// plain returns the number as strconv reads it: a decimal point, no groups.
func (n Numbers) plain(cell []byte) (string, bool) {
	text := strings.ReplaceAll(string(cell), "−", "-")
	mantissa, exponent := text, ""
	if at := strings.IndexAny(text, "eE"); at >= 0 {
		mantissa, exponent = text[:at], text[at:]
		if !isExponent(exponent[1:]) {
			return "", false
		}
	}
	sign := ""
	if mantissa != "" && (mantissa[0] == '-' || mantissa[0] == '+') {
		sign, mantissa = mantissa[:1], mantissa[1:]
	}
	whole, fraction, marked := strings.Cut(mantissa, string(n.Decimal))
	if !OnlyDigits(fraction) || whole == "" && fraction == "" {
		return "", false
	}
	whole, ok := joinGroups(whole, n.Decimal)
	if !ok {
		return "", false
	}
	if marked {
		whole += "." + fraction
	}
	return sign + whole + exponent, true
}

// joinGroups takes the marks between groups of three digits out: blanks,
// apostrophes, or the mark of the two that is not the decimal one. A number has
// one kind of them, a first group of one to three digits, and no leading zero.
func joinGroups(whole string, decimal byte) (string, bool) {
	if OnlyDigits(whole) {
		return whole, true
	}
	separators := []string{"'", "’", " ", "\u00a0", "\u202f", "\u2009", "\xa0"}
	if decimal == '.' {
		separators = append(separators, ",")
	} else {
		separators = append(separators, ".")
	}
	for _, separator := range separators {
		groups := strings.Split(whole, separator)
		if len(groups) < 2 || len(groups[0]) == 0 || len(groups[0]) > 3 || groups[0][0] == '0' {
			continue
		}
		ok := OnlyDigits(groups[0])
		for _, g := range groups[1:] {
			ok = ok && len(g) == 3 && OnlyDigits(g)
		}
		if ok {
			return strings.Join(groups, ""), true
		}
	}
	return "", false
}

// OnlyDigits reports whether a text holds nothing but digits, as an empty one does.
func OnlyDigits(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] < '0' || text[i] > '9' {
			return false
		}
	}
	return true
}

func isExponent(text string) bool {
	if text != "" && (text[0] == '-' || text[0] == '+') {
		text = text[1:]
	}
	return text != "" && len(text) <= 4 && OnlyDigits(text)
}
