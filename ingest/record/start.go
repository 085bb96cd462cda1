package record

import (
	"strings"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/place"
	"fieldheld/ingest/spelling"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// settleStart finds what elapsed times and times of day count from: what the
// job sheet says, else a line above the header.
func (l *layout) settleStart(main table.Column) error {
	elapsed := l.clock.Kind == notation.ElapsedUnits || l.clock.Kind == notation.ElapsedClock
	dateless := l.times[0].date == nil && (l.clock.Kind == notation.DayTimes || l.clock.Kind == notation.StatedLayout && !l.clock.Layout.Date)
	if !elapsed && !dateless {
		return nil
	}
	l.timeline.Started = true
	if start := l.entry.Start; !start.IsZero() {
		l.timeline.Start = notation.StampOf(start)
		if dateless {
			l.timeline.Start = notation.WallStampOf(start.In(l.timeline.Zone))
		}
		return nil
	}
	if start, ok := l.startInPreamble(dateless); ok {
		l.timeline.Start = start
		return nil
	}
	if dateless {
		return place.NewError(l.where(l.columns[main]), wording.Say("log.no-date", nil))
	}
	return place.NewError(l.where(l.columns[main]), wording.Say("log.no-start", nil))
}

// startWords are the names that preambles give to the begin of a log.
var startWords = []string{"Start", "Start time", "Start date", "Started", "Log start", "Begin", "Date/Time", "Date", "Date and time",
	"Recorded", "Created", "Beginn", "Startzeit", "Startdatum", "Datum", "Datum/Zeit", "Datum/Uhrzeit", "Début", "Date de début",
	"Date/Heure", "Inicio", "Fecha", "Inizio", "Data", "Starttid", "Dato", "Päivämäärä"}

// clockWords are the names that preambles give to the time of day of the begin,
// where the date stands in a line of its own.
var clockWords = []string{"Time", "Start time", "Uhrzeit", "Startzeit", "Zeit", "Heure", "Hora", "Ora", "Klokkeslett", "Klockslag", "Tid", "Kellonaika"}

// startInPreamble looks for a date, with a time where one is needed, behind one
// of the start words above the header.
func (l *layout) startInPreamble(dateOnly bool) (notation.Stamp, bool) {
	var date, clock notation.Stamp
	dated, clocked := false, false
	for i := range l.preamble {
		name, value := parted(l.preamble[i].Cells)
		s, evidence, ok := notation.ParseStamp([]byte(value), notation.OrderUnknown)
		if !ok || evidence.Order() == notation.OrderUnknown && notation.AmbiguousDate([]byte(value)) {
			continue
		}
		switch {
		case oneOf(startWords, name) && (s.Form == notation.Absolute || s.Form == notation.WallClock):
			return s, true
		case oneOf(startWords, name) && s.Form == notation.DateAlone && !dated:
			date, dated = s, true
		case oneOf(clockWords, name) && s.Form == notation.TimeOfDay && !clocked:
			clock, clocked = s, true
		}
	}
	return notation.Stamp{Nanoseconds: date.Nanoseconds + clock.Nanoseconds, Form: notation.WallClock}, dated && (dateOnly || clocked)
}

func oneOf(words []string, name string) bool {
	for _, word := range words {
		if spelling.Fold(word) == spelling.Fold(name) {
			return true
		}
	}
	return false
}

// parted splits a line of the preamble into the name before a colon or a cell
// border, and the value behind.
func parted(cells [][]byte) (name, value string) {
	var texts []string
	for _, c := range cells {
		if len(c) > 0 {
			texts = append(texts, table.Text(c))
		}
	}
	if len(texts) > 1 {
		return strings.Trim(texts[0], "#:= "), strings.Join(texts[1:], " ")
	}
	line := strings.TrimLeft(strings.Join(texts, " "), "# ")
	if at := strings.IndexAny(line, ":="); at >= 0 {
		name, value = line[:at], line[at+1:]
	}
	return strings.TrimSpace(name), strings.TrimSpace(value)
}
