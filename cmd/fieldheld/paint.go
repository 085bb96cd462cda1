package main

import (
	"strings"
	"unicode/utf8"

	"fieldheld/ingest/place"
	"fieldheld/report"
)

// colour is how a terminal is asked to show a text; the zero value is as always.
type colour string

// The colours: few, and never the only thing that tells two states apart.
const (
	plain  colour = ""
	strong colour = "1"
	faint  colour = "2"
	bad    colour = "31"
	good   colour = "32"
	fair   colour = "36"
	alarm  colour = "1;7;31" // cannot be overlooked
)

// colours are those of the states. What is not shown has none of its own: nothing
// can be said of it.
var colours = map[report.State]colour{report.Met: good, report.MetWithDeviations: fair, report.NotMet: bad}

// dayColour is the colour of a verdict.
func dayColour(s report.DayState) colour {
	switch s {
	case report.Demonstrated:
		return good
	case report.DemonstratedWithDeviations:
		return fair
	}
	return bad
}

// piece is a part of a line in one colour.
type piece struct {
	text   string
	colour colour
}

// line is one line of a screen.
type line []piece

// line makes a line of one colour, with nothing in it that steers the terminal.
func (c colour) line(text string) line { return line{{place.OneLine(text), c}} }

// cut keeps as much of the line as stands in width letters; where something is
// left out, it ends in three dots.
func (l line) cut(width int) line {
	if l.width() <= width {
		return l
	}
	var short line
	room := max(0, width-3)
	for _, s := range l {
		letters := []rune(s.text)
		if len(letters) > room {
			letters = letters[:room]
		}
		room -= len(letters)
		short = append(short, piece{string(letters), s.colour})
	}
	return append(short, piece{strings.Repeat(".", min(3, width)), plain})
}

func (l line) width() int {
	n := 0
	for _, s := range l {
		n += utf8.RuneCountInString(s.text)
	}
	return n
}

// text writes the line, in colour where the terminal has it.
func (l line) text(coloured bool) string {
	var b strings.Builder
	for _, s := range l {
		if coloured && s.colour != plain && s.text != "" {
			b.WriteString("\x1b[" + string(s.colour) + "m" + s.text + "\x1b[0m")
		} else {
			b.WriteString(s.text)
		}
	}
	return b.String()
}
