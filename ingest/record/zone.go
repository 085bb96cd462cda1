package record

import (
	"fmt"
	"regexp"
	"strings"
	"time"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// zoneClue is what one place of a file says about the zone of its times.
type zoneClue struct {
	where string         // for people
	text  string         // as written
	zone  *time.Location // nil where it is not understood
}

// settleZone finds the zone of times that carry none: the job sheet's entry, else
// what the headings of times say, else a line above the header, else the report's
// (day.md, what a cell means). A zone that is not understood is asked, never
// ignored, and so are two that differ.
func (l *layout) settleZone() error {
	l.timeline.Zone, l.zoneWhy = l.zone(), "none is written; the job sheet's time_zone will count"
	switch {
	case l.entry.Zone != nil:
		l.zoneWhy = "stated in the job sheet's entry"
		return nil
	case l.settings.Zone != nil:
		l.zoneWhy = "the report's"
	}
	clues := l.zoneClues()
	for _, c := range clues {
		if c.zone == nil {
			return place.NewError(l.where(l.times[0]), wording.Say("log.unknown-zone", wording.Values{"zone": table.Clean(c.text), "where": table.Clean(c.where)}))
		}
		if !notation.SameZone(c.zone, clues[0].zone) {
			return place.NewError(l.where(l.times[0]), wording.Say("log.two-zones", wording.Values{"zone": table.Clean(clues[0].text), "where": table.Clean(clues[0].where),
				"otherZone": table.Clean(c.text), "otherWhere": table.Clean(c.where)}))
		}
	}
	if len(clues) > 0 {
		l.timeline.Zone, l.zoneWhy = clues[0].zone, "named in "+clues[0].where
	}
	return nil
}

// zoneClues lists what headings and the lines above them say about the zone.
func (l *layout) zoneClues() []zoneClue {
	var clues []zoneClue
	seen := map[int]bool{}
	for _, c := range l.times {
		for _, column := range []*column{c, c.date} {
			if column == nil || seen[column.index] {
				continue
			}
			seen[column.index] = true
			if text := column.heading.remark; notation.SaysZone(text) {
				clues = append(clues, zoneClue{"the heading “" + column.heading.text + "”", text, notation.ZoneNamed(text)})
			}
		}
	}
	if len(clues) > 0 && clues[0].zone == nil {
		return clues
	}
	for i := range l.preamble {
		if text, ok := zoneOfLine(l.preamble[i].Cells); ok {
			clues = append(clues, zoneClue{fmt.Sprintf("row %d", l.preamble[i].Number), text, notation.ZoneNamed(text)})
		}
	}
	return clues
}

// zoneNames are the names that preambles give to the zone of a log.
var zoneNames = []string{"Time zone", "Timezone", "TZ", "UTC offset", "GMT offset", "Offset from UTC", "Zeitzone", "Fuseau horaire",
	"Zona horaria", "Fuso orario", "Tidssone", "Tidszone", "Tidszon", "Aikavyöhyke"}

// timesIn is a sentence of a preamble such as “All times in UTC”.
var timesIn = regexp.MustCompile(`(?i)^\W*(?:all\s+)?(?:times?(?:stamps?)?|(?:alle\s+)?zeiten|uhrzeiten?)\s+(?:are\s+|is\s+|given\s+|sind\s+)*(?:in\s+|as\s+)?((?-i:[A-Z]{3,5})(?:\s*[+-]\s*[\d:]+)?)\W*$`)

// zoneOfLine returns what a line of the preamble gives as the zone of the times.
func zoneOfLine(cells [][]byte) (text string, ok bool) {
	name, value := parted(cells)
	if value != "" && oneOf(zoneNames, name) {
		return value, !notation.SaysLocal(value)
	}
	var texts []string
	for _, c := range cells {
		texts = append(texts, table.Text(c))
	}
	line := strings.TrimLeft(strings.Join(texts, ", "), "# ") // the delimiter may be part of the sentence
	if at := strings.IndexAny(line, ":="); at > 0 && oneOf(zoneNames, strings.TrimSpace(line[:at])) {
		value = strings.Trim(line[at+1:], ", ")
		return value, value != "" && !notation.SaysLocal(value)
	}
	if found := timesIn.FindStringSubmatch(strings.Trim(line, ", ")); found != nil {
		return found[1], true
	}
	return "", false
}
