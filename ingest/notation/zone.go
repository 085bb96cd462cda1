package notation

import (
	"regexp"
	"strings"
	"time"

	"fieldheld/ingest/spelling"
	"fieldheld/ingest/zone"
)

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

// SaysLocal reports whether a text says that times are those of the place.
func SaysLocal(text string) bool { return localWord[spelling.Fold(text)] }

// SaysZone reports whether the remark of a heading stands where a zone does: it
// counts from UTC, or is an abbreviation in capitals or a name of a zone.
func SaysZone(text string) bool {
	switch {
	case text == "" || SaysLocal(text) || noZones[text]:
		return false
	case text == "Z", fromUTC.MatchString(text), offset.MatchString(text), cityName.MatchString(text):
		return true
	}
	_, known := zoneAbbreviations[text]
	return known || capitals.MatchString(text) && !ofLayouts.MatchString(text) || wordsOf.MatchString(text)
}

// ZoneNamed returns the zone that a text names; nil where it names none, or
// one of several.
func ZoneNamed(text string) *time.Location {
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

// SameZone reports whether two zones are one, as far as the file can say it.
func SameZone(a, b *time.Location) bool {
	at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	_, winter := at.In(a).Zone()
	_, other := at.In(b).Zone()
	_, summer := at.AddDate(0, 6, 0).In(a).Zone()
	_, otherSummer := at.AddDate(0, 6, 0).In(b).Zone()
	return winter == other && summer == otherSummer
}
