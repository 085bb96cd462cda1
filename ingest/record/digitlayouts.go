package record

import (
	"strings"
	"time"
)

// digitLayouts are the ways of writing a date and a time of day without marks.
var digitLayouts = []string{
	"20060102150405", "02012006150405", "01022006150405",
	"200601021504", "060102150405", "020106150405", "010206150405", "020120061504", "010220061504",
	"0601021504", "0201061504", "0102061504",
}

// layoutsOfDigits lists the layouts of time that digits without marks can have, as
// far as they tell a plausible time.
func layoutsOfDigits(cell []byte, plausible func(time.Time) bool) []string {
	digits, fraction, cut := strings.Cut(string(cell), ".")
	if !onlyDigits(digits) || !onlyDigits(fraction) {
		return nil
	}
	var fitting []string
	for _, text := range digitLayouts {
		at, err := time.Parse(text, digits)
		if len(text) != len(digits) || err != nil || !plausible(at) {
			continue
		}
		if cut && strings.HasSuffix(text, "05") {
			text += "." + strings.Repeat("0", len(fraction))
		}
		fitting = append(fitting, text)
	}
	return fitting
}
