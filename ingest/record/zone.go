package record

import (
	"fmt"
	"regexp"
	"strings"
	"time"

	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
	"fieldheld/ingest/zone"
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
	l.timeline.zone, l.zoneWhy = l.zone(), "none is written; the job sheet's time_zone will count"
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
		if !sameZone(c.zone, clues[0].zone) {
			return place.NewError(l.where(l.times[0]), wording.Say("log.two-zones", wording.Values{"zone": table.Clean(clues[0].text), "where": table.Clean(clues[0].where),
				"otherZone": table.Clean(c.text), "otherWhere": table.Clean(c.where)}))
		}
	}
	if len(clues) > 0 {
		l.timeline.zone, l.zoneWhy = clues[0].zone, "named in "+clues[0].where
	}
	return nil
}

// sameZone reports whether two zones are one, as far as the file can say it.
func sameZone(a, b *time.Location) bool {
	at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	_, winter := at.In(a).Zone()
	_, other := at.In(b).Zone()
	_, summer := at.AddDate(0, 6, 0).In(a).Zone()
	_, otherSummer := at.AddDate(0, 6, 0).In(b).Zone()
	return winter == other && summer == otherSummer
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
			if text := column.heading.remark; saysZone(text) {
				clues = append(clues, zoneClue{"the heading “" + column.heading.text + "”", text, parseZoneWord(text)})
			}
		}
	}
	if len(clues) > 0 && clues[0].zone == nil {
		return clues
	}
	for i := range l.preamble {
		if text, ok := zoneOfLine(l.preamble[i].Cells); ok {
			clues = append(clues, zoneClue{fmt.Sprintf("row %d", l.preamble[i].Number), text, parseZoneWord(text)})
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
		return value, !isLocal(value)
	}
	var texts []string
	for _, c := range cells {
		texts = append(texts, table.Text(c))
	}
	line := strings.TrimLeft(strings.Join(texts, ", "), "# ") // the delimiter may be part of the sentence
	if at := strings.IndexAny(line, ":="); at > 0 && oneOf(zoneNames, strings.TrimSpace(line[:at])) {
		value = strings.Trim(line[at+1:], ", ")
		return value, value != "" && !isLocal(value)
	}
	if found := timesIn.FindStringSubmatch(strings.Trim(line, ", ")); found != nil {
		return found[1], true
	}
	return "", false
}

var (
	capitals  = regexp.MustCompile(`^(?:[A-Z]{3}|[A-Z]{3,4}[TZ])$`) // nearly all longer ones end so
	ofLayouts = regexp.MustCompile(`^[YMDHS]+$`)
	fromUTC   = regexp.MustCompile(`(?i)^(?:utc|gmt|zulu)\b`)
	offset    = regexp.MustCompile(`^[+-]\d{1,2}(?::?\d{2})?$`)
	cityName  = regexp.MustCompile(`^[A-Z][A-Za-z_]+/[A-Za-z_/+\-0-9]+$`)
	wordsOf   = regexp.MustCompile(`(?i)\b(?:standard|daylight|summer|winter|sommer|normal)\s*(?:time|zeit)\b|\b(?:european|eastern|central|mountain|pacific|atlantic)\b`)
	noZones   = map[string]bool{"ISO": true, "RFC": true, "HMS": true, "YMD": true, "DMY": true, "MDY": true, "ABS": true, "REL": true, "LOCAL": true, "START": true, "STOP": true, "BEGIN": true, "END": true, "TIME": true, "DATE": true, "UNIX": true, "POSIX": true, "EPOCH": true}
	localWord = map[string]bool{"local": true, "localtime": true, "lt": true, "lokal": true, "lokalzeit": true, "ortszeit": true, "heurelocale": true, "horalocal": true, "oralocale": true}
)

func isLocal(text string) bool { return localWord[fold(text)] }

// saysZone reports whether the remark of a heading stands where a zone does: it
// counts from UTC, or is an abbreviation in capitals or a name of a zone.
func saysZone(text string) bool {
	switch {
	case text == "" || isLocal(text) || noZones[text]:
		return false
	case text == "Z", fromUTC.MatchString(text), offset.MatchString(text), cityName.MatchString(text):
		return true
	}
	_, known := zoneAbbreviations[text]
	return known || capitals.MatchString(text) && !ofLayouts.MatchString(text) || wordsOf.MatchString(text)
}

// parseZoneWord returns the zone that a text names; nil where it names none, or
// one of several.
func parseZoneWord(text string) *time.Location {
	text = strings.TrimSpace(text)
	upper := strings.ToUpper(strings.ReplaceAll(text, " ", ""))
	if hours, ok := zoneAbbreviations[text]; ok {
		return time.FixedZone(text, int(hours*3600))
	}
	if upper == "Z" || upper == "ZULU" {
		return time.UTC
	}
	if ns, ok := parseZone([]byte(upper)); ok {
		if ns == 0 {
			return time.UTC
		}
		return time.FixedZone(text, int(ns/second))
	}
	if cityName.MatchString(text) {
		if found, err := zone.Load(text); err == nil {
			return found
		}
	}
	return nil
}

// zoneAbbreviations are the abbreviations of the time zone database that stand for
// one distance from UTC, in hours, wherever they have been used since 2015, and
// those that German has for them (common practice, no source). CST, IST, PST and
// the like have several meanings and are not here.
var zoneAbbreviations = map[string]float64{
	"WET": 0, "WEST": 1, "CET": 1, "CEST": 2, "EET": 2, "EEST": 3, "MSK": 3,
	"EST": -5, "EDT": -4, "MDT": -6, "PDT": -7, "AKST": -9, "AKDT": -8, "HST": -10, "NST": -3.5, "NDT": -2.5,
	"JST": 9, "HKT": 8, "WIB": 7, "WITA": 8, "WIT": 9, "PKT": 5,
	"SAST": 2, "EAT": 3, "CAT": 2, "WAT": 1,
	"AEST": 10, "AEDT": 11, "ACST": 9.5, "ACDT": 10.5, "AWST": 8, "NZST": 12, "NZDT": 13,
	"MEZ": 1, "MESZ": 2,
}
