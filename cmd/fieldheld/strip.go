package main

import (
	"math"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
)

// The letters of a strip.
const (
	stripMet       = '#'
	stripDeviation = '='
	stripNotMet    = '/'
	stripNotShown  = '?'
	stripWaiting   = '~'
	stripLeft      = '.'
	stripNotAsked  = ' ' // between listed frequencies
)

// stripRank orders the letters: of all that a letter of the strip stands for, the
// one that shows least is drawn, so that a narrow strip never looks better than the
// day.
const stripRank = string(stripMet) + string(stripDeviation) + string(stripWaiting) + string(stripLeft) + string(stripNotShown) + string(stripNotMet)

var stripColours = map[rune]colour{stripMet: good, stripDeviation: fair, stripNotMet: bad, stripNotShown: bad, stripWaiting: plain, stripLeft: faint}

// strip draws a cell in width letters over the logarithm of frequency.
func strip(c *report.Cell, progress *report.CellProgress, width int) string {
	from, to := math.Log(float64(c.From)), math.Log(float64(c.To))
	at := func(i int) quantity.Frequency {
		return quantity.Frequency(math.Exp(from + (to-from)*float64(i)/float64(width)))
	}
	var b strings.Builder
	for i := range width {
		b.WriteRune(stripLetter(c, progress, at(i), at(i+1), i == width-1))
	}
	return b.String()
}

// stripLetter is the letter for the frequencies from low up to high; the last one
// holds the end of the range as well.
func stripLetter(c *report.Cell, progress *report.CellProgress, low, high quantity.Frequency, last bool) rune {
	worst := rune(0)
	take := func(letter rune) {
		if worst == 0 || strings.IndexRune(stripRank, letter) > strings.IndexRune(stripRank, worst) {
			worst = letter
		}
	}
	below, above := -1, -1 // the steps around
	inside := false
	for i := range c.Steps {
		switch f := c.Steps[i].Frequency; {
		case !low.AtOrBelow(f):
			below = i
		case f < high || last:
			inside = true
			take(stripStep(c, progress, i))
		case above < 0:
			above = i
		}
	}
	if !inside && !c.Asks(low, high) {
		return stripNotAsked
	}
	if !inside { // between two steps that are near enough, or in a hole
		for _, i := range []int{below, above} {
			if i >= 0 {
				take(stripStep(c, progress, i))
			}
		}
	}
	for i := range c.Holes {
		if hole := &c.Holes[i]; hole.From < high && (low < hole.To || low == hole.From) {
			if hole.Accepted {
				take(stripDeviation)
			} else if !inside {
				return stripLeft
			} else {
				take(stripLeft)
			}
		}
	}
	if worst == 0 {
		return stripLeft
	}
	return worst
}

func stripStep(c *report.Cell, progress *report.CellProgress, i int) rune {
	switch c.Steps[i].State {
	case report.Met:
		return stripMet
	case report.MetWithDeviations:
		return stripDeviation
	}
	switch {
	case progress.Waiting[i]:
		return stripWaiting
	case c.Steps[i].State == report.NotMet:
		return stripNotMet
	}
	return stripNotShown
}

// painted colours a strip.
func painted(strip string) line {
	var l line
	for _, letter := range strip {
		c := stripColours[letter]
		if n := len(l); n > 0 && l[n-1].colour == c {
			l[n-1].text += string(letter)
		} else {
			l = append(l, piece{string(letter), c})
		}
	}
	return l
}
