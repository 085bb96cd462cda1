package record

import (
	"strings"

	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// settleStart finds what elapsed times and times of day count from: what the
// job sheet says, else a line above the header.
func (l *layout) settleStart(main table.Column) error {
	elapsed := l.clock.kind == elapsedUnits || l.clock.kind == elapsedClock
	dateless := l.times[0].date == nil && (l.clock.kind == dayTimes || l.clock.kind == statedLayout && !l.clock.layout.date)
	if !elapsed && !dateless {
		return nil
	}
	l.timeline.started = true
	if start := l.entry.Start; !start.IsZero() {
		l.timeline.start = stamp{start.UnixNano(), absolute}
		if dateless {
			_, offset := start.In(l.timeline.zone).Zone()
			l.timeline.start = stamp{start.UnixNano() + int64(offset)*second, wallClock}
		}
		return nil
	}
	if start, ok := l.startInPreamble(dateless); ok {
		l.timeline.start = start
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
func (l *layout) startInPreamble(dateOnly bool) (stamp, bool) {
	var date, clock stamp
	dated, clocked := false, false
	for i := range l.preamble {
		name, value := parted(l.preamble[i].Cells)
		s, evidence, ok := parseStamp([]byte(value), orderUnknown)
		if !ok || evidence.order() == orderUnknown && ambiguousDate([]byte(value)) {
			continue
		}
		switch {
		case oneOf(startWords, name) && (s.form == absolute || s.form == wallClock):
			return s, true
		case oneOf(startWords, name) && s.form == sinceDate && !dated:
			date, dated = s, true
		case oneOf(clockWords, name) && s.form == timeOfDay && !clocked:
			clock, clocked = s, true
		}
	}
	return stamp{date.ns + clock.ns, wallClock}, dated && (dateOnly || clocked)
}

func oneOf(words []string, name string) bool {
	for _, word := range words {
		if fold(word) == fold(name) {
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
