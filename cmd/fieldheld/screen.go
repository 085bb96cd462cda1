package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"
)

// screen shows what is seen of a day: on a terminal in the place of what was
// there before, else below it, and only what is new.
type screen struct {
	out    io.Writer
	dir    string
	colour bool
	size   func() (width, height int) // nil where out is no terminal that can be cleared
	shown  [2]int                     // size at the last drawing
	rung   map[string]bool            // silences that the bell has told
	before string                     // what was written last, where out is no terminal
	alarms string                     // likewise
}

func newScreen(out io.Writer, dir string) *screen {
	s := &screen{out: out, dir: dir, rung: map[string]bool{}}
	if terminal := escapable(out); terminal != nil {
		s.colour = os.Getenv("NO_COLOR") == ""
		s.size = func() (int, int) { return sizeOf(terminal) }
	}
	return s
}

// Sequences for a terminal.
const (
	clearScreen  = "\x1b[H\x1b[2J"
	topOfScreen  = "\x1b[H"
	clearLine    = "\x1b[K"
	clearBelow   = "\x1b[J"
	bell         = "\a"
	usualWidth   = 80
	usualHeight  = 24
	widestScreen = 160
)

// show shows a sight. Looked says that the day was evaluated again.
func (s *screen) show(v *sight, looked bool) error {
	if s.size == nil {
		return s.append(v, looked)
	}
	width, height := s.size()
	if width <= 0 || height <= 0 {
		width, height = usualWidth, usualHeight
	}
	var b strings.Builder
	if s.shown != [2]int{width, height} {
		s.shown = [2]int{width, height}
		b.WriteString(clearScreen)
	}
	b.WriteString(topOfScreen)
	for i, l := range fit(v, s.dir, min(width, widestScreen), height) {
		if i > 0 {
			b.WriteString("\r\n")
		}
		b.WriteString(l.text(s.colour) + clearLine)
	}
	b.WriteString(clearBelow)
	if s.ring(v) {
		b.WriteString(bell)
	}
	_, err := io.WriteString(s.out, b.String())
	return err
}

// ring reports whether a silence is new, which is told with the bell: once each.
func (s *screen) ring(v *sight) bool {
	loud := false
	now := map[string]bool{}
	for _, silent := range v.silences {
		key := silent.file + "|" + silent.since.String()
		now[key] = true
		loud = loud || !s.rung[key]
	}
	s.rung = now
	return loud
}

// append writes what is new below what was written before. Between two looks only
// a silence, or its end, is new.
func (s *screen) append(v *sight, looked bool) error {
	alarms := strings.Join(v.alarms(), "\n")
	if !looked && alarms == s.alarms {
		return nil
	}
	told := s.alarms
	s.alarms = alarms
	if !looked {
		if alarms == "" {
			alarms = "every log grows again; before: " + told
		}
		_, err := fmt.Fprintf(s.out, "%s  %s\n\n", clockTime(v.at), alarms)
		return err
	}
	var b strings.Builder
	for _, l := range v.lines(usualWidth, v.hasSteps, true) {
		b.WriteString(l.text(false) + "\n")
	}
	news := b.String()
	if news == s.before {
		news = "nothing new\n"
	} else {
		s.before = news
	}
	_, err := fmt.Fprintf(s.out, "%s\n%s\n", v.looked(), news)
	return err
}

// leave puts the cursor below what is shown.
func (s *screen) leave() {
	if s.size != nil && s.shown != [2]int{} {
		fmt.Fprintln(s.out)
	}
}

// clockTime writes a time of the machine's clock.
func clockTime(t time.Time) string { return t.Format("15:04:05") }
