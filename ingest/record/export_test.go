package record

import "maps"

// ZoneAbbreviations are the abbreviations of zones that are understood, in hours
// from UTC.
func ZoneAbbreviations() map[string]float64 { return maps.Clone(zoneAbbreviations) }
