package notation

import (
	"strings"
	"time"

	"fieldheld/templates/wording"
)

// Layout is how times are said to be written, as Go writes layouts.
type Layout struct {
	Date  bool // it has year, month and day
	text  string
	clock bool // it has hour and minute
	zone  bool // it has the distance from UTC
}

// NewLayout looks at which parts of a time the layout has, or says what is
// wrong with it.
func NewLayout(text string) (Layout, wording.Text) {
	l := Layout{
		text:  text,
		Date:  varies(text, 24*time.Hour) && varies(text, 31*24*time.Hour) && varies(text, 366*24*time.Hour),
		clock: varies(text, time.Hour) && varies(text, time.Minute),
		zone:  strings.Contains(text, "Z07") || strings.Contains(text, "-07"),
	}
	switch {
	case strings.Contains(text, "MST"):
		return l, wording.Say("layout.zone-in-letters", nil)
	case !l.Date && !l.clock:
		return l, wording.Say("layout.no-time", nil)
	case l.zone && !l.Date:
		return l, wording.Say("layout.zone-without-date", nil)
	case (l.clock || strings.Contains(text, "03")) && !varies(text, 12*time.Hour): // 3:04 in the afternoon would be one of the night
		return l, wording.Say("layout.no-half-of-day", nil)
	}
	return l, wording.Text{}
}

// DateLayout is a layout that holds a date alone.
func DateLayout(text string) Layout { return Layout{text: text, Date: true} }

// varies reports whether times that are so far apart are written differently.
func varies(layout string, apart time.Duration) bool {
	t := time.Date(2001, 2, 3, 4, 5, 6, 0, time.UTC)
	return t.Format(layout) != t.Add(apart).Format(layout)
}

func (l Layout) parse(text []byte) (Stamp, bool) {
	t, err := time.Parse(l.text, string(text))
	if err != nil {
		return Stamp{}, false
	}
	switch {
	case !l.Date:
		return Stamp{int64(t.Sub(t.Truncate(24 * time.Hour))), TimeOfDay}, true
	case t.Year() < 1678 || t.Year() > 2261:
		return Stamp{}, false
	case !l.clock:
		return Stamp{t.UnixNano(), DateAlone}, true
	case l.zone:
		return Stamp{t.UnixNano(), Absolute}, true
	}
	return Stamp{t.UnixNano(), WallClock}, true
}

// LayoutsOfDate returns the two layouts that a date with an open order of day and
// month can have, for the message that asks which.
func LayoutsOfDate(cell []byte) (dayBefore, monthBefore string) {
	text := string(cell)
	_, an := LeadingNumber(cell)
	if an == 0 || an >= len(text) {
		return "2/1/2006 15:04:05", "1/2/2006 15:04:05"
	}
	separator := text[an : an+1]
	rest := ""
	if at := strings.IndexAny(text, " T"); at > 0 {
		rest = text[at:at+1] + "15:04:05"
		if strings.Count(text, ":") == 1 {
			rest = text[at:at+1] + "15:04"
		}
		if half, _ := dayHalf([]byte(text[max(0, len(text)-2):])); half != 0 {
			rest = strings.Replace(rest, "15", "3", 1) + " PM"
		}
	}
	date := func(a, b string) string { return a + separator + b + separator + "2006" + rest }
	return date("2", "1"), date("1", "2")
}

// digitLayouts are the ways of writing a date and a time of day without marks.
var digitLayouts = []string{
	"20060102150405", "02012006150405", "01022006150405",
	"200601021504", "060102150405", "020106150405", "010206150405", "020120061504", "010220061504",
	"0601021504", "0201061504", "0102061504",
}

// LayoutsOfDigits lists the layouts of time that digits without marks can have, as
// far as they tell a plausible time.
func LayoutsOfDigits(cell []byte, plausible func(time.Time) bool) []string {
	digits, fraction, cut := strings.Cut(string(cell), ".")
	if !OnlyDigits(digits) || !OnlyDigits(fraction) {
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
