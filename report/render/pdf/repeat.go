package pdf

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"fieldheld/charts"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/templates/wording"
)

// tickBox is ticked by hand when a frequency was run again.
const tickBox = "☐"

// mostDetailed is how many frequencies are listed one a line, with what is known
// of each, so that list and cautions fit on one page. More are set close.
const mostDetailed = 26

// WriteRepeat writes what to repeat as a paper for the bench: one page where the
// list is short enough. The error is a MissingGlyphs where it holds characters
// that the fonts lack. Nothing is written then.
func WriteRepeat(w io.Writer, r *report.Report) error {
	l := &leaflet{title: "To repeat", sheet: r.Sheet, program: r.Program, date: r.LastTest,
		subject: "What to repeat before the setup is taken down: " + clean(r.Sheet.Article.Name)}
	setups := r.RepeatSetups()
	l.compose = func(f *flow) {
		l.headline(f, clean(r.Sheet.Report.Number), "Before the setup of the "+strings.TrimPrefix(clean(r.Sheet.Article.Name), "the ")+" is taken down")
		f.repeatFacts(r, setups)
		for i := range setups {
			f.repeatSetup(r, &setups[i], len(r.Repeat) <= mostDetailed)
		}
		if len(setups) > 0 {
			f.byHand("Repeated by", "Date, time", "Checked by")
		}
		f.smallCautions()
	}
	return l.write(w)
}

func (f *flow) repeatFacts(r *report.Report, setups []report.RepeatSetup) {
	answer := "Nothing is to be repeated."
	if n := len(r.Repeat); n > 0 {
		answer = fmt.Sprintf("%s with %s", plural(n, "step"), plural(len(setups), "setup"))
		if len(setups) > 1 {
			answer += ", in the order that changes the antenna least often, then its polarization, then its position"
		}
		answer += "."
	}
	f.lines(answerStyle, answer, 0, 6)
	q := r.Requirement
	required := "Each is held " + seconds(q.Required()) + " at or above its limit, with " + q.Modulation.String()
	if q.Settle > 0 {
		required += "; the first " + seconds(q.Settle) + " do not count"
	}
	if !r.LastTest.IsZero() {
		required += ". The records end at " + moment(r.LastTest)
	}
	f.paragraph(required + ".")
}

// setupName is how a setup is called: "Antenna AN-07, horizontal, position 1".
func setupName(s *report.RepeatSetup) string {
	antenna := "Antenna not stated by any run"
	if s.Antenna != "" {
		antenna = "Antenna " + s.Antenna
	}
	return fmt.Sprintf("%s, %s, position %d", antenna, s.Polarization, s.Position)
}

func (f *flow) repeatSetup(r *report.Report, s *report.RepeatSetup, detailed bool) {
	f.heading(head{level: 2, text: fmt.Sprintf("%s: %s", clean(setupName(s)), plural(len(s.Entries), "step")), bookmark: clean(setupName(s))})
	if detailed {
		f.table(detailedRepeats(s))
		return
	}
	f.table(f.closeRepeats(s))
}

// detailedRepeats lists frequencies one a line, with room for what was reached.
func detailedRepeats(s *report.RepeatSetup) *table {
	t := &table{columns: []column{
		{head: ""}, {head: "Frequency", unit: "MHz", align: decimal}, {head: "Limit", unit: "V/m", align: decimal},
		{head: "Reached", unit: "V/m", align: decimal},
		{head: "Forward for\nthe limit", unit: "W", align: decimal}, {head: "Run", wraps: true}, {head: "Why", wraps: true},
		{head: "Held now", unit: "V/m"}, {head: "Time"}, {head: "Remark"},
	}}
	decimals := entryDecimals(s.Entries)
	for i := range s.Entries {
		e := &s.Entries[i]
		d := fieldDecimals(e.Sustained, e.Limit)
		t.add(texts(tickBox, fixedPoint(float64(e.Frequency)/1e6, decimals), limitText(e.Limit, d), fixedPoint(float64(e.Sustained), d),
			power(e.Forward), orNone(e.Run), e.Why, handRule(8), handRule(8), handRule(14)))
	}
	return t
}

// handRule is a line to write on, about as wide as n letters.
func handRule(n int) string { return strings.Repeat("_", n) }

// closeRepeats lists frequencies several a line.
func (f *flow) closeRepeats(s *report.RepeatSetup) *table {
	decimals := entryDecimals(s.Entries)
	var entries [][]cell
	for i := range s.Entries {
		e := &s.Entries[i]
		entries = append(entries, []cell{{text: tickBox}, {text: fixedPoint(float64(e.Frequency)/1e6, decimals)}, {text: e.Why, quiet: true}})
	}
	return f.sideBySide([]column{{}, {head: "Frequency", unit: "MHz", align: decimal}, {head: "Why"}}, entries, 4)
}

// entryDecimals is how many decimals of a megahertz the frequencies need, to the hertz.
func entryDecimals(entries []report.RepeatEntry) int {
	var list []quantity.Frequency
	for i := range entries {
		list = append(list, entries[i].Frequency)
	}
	return decimalsOfMegahertz(list)
}

func decimalsOfMegahertz(list []quantity.Frequency) int {
	most := 0
	for _, f := range list {
		text := strings.TrimRight(strconv.FormatFloat(float64(f)/1e6, 'f', 6, 64), "0")
		most = max(most, len(text)-strings.IndexByte(text, '.')-1)
	}
	return most
}

// byHand sets lines to be filled in by hand, each behind its label.
func (f *flow) byHand(labels ...string) {
	const height = 22
	f.reserve(height)
	f.y += height
	width := f.format.body() / float64(len(labels))
	for i, label := range labels {
		x := f.format.left() + float64(i)*width
		x += f.text(x, f.y, labelStyle, label)
		f.rule(x+4, f.format.left()+float64(i+1)*width-10, f.y+1, 0.4, charts.Quiet)
	}
	f.y += 14
}

// smallCautions sets the cautions close, so that they stay on the page.
func (f *flow) smallCautions() {
	f.heading(head{level: 2, text: "Cautions"})
	for _, block := range wording.Safety() {
		for _, item := range block.Items {
			const indent = 9
			s := captionStyle.in(charts.Ink)
			lines := f.types.wrap(s, item, f.format.body()-indent)
			f.reserve(float64(len(lines)) * s.leading)
			f.text(f.format.left(), f.y+s.size*1.05, s, "–")
			for _, line := range lines {
				f.text(f.format.left()+indent, f.y+s.size*1.05, s, line)
				f.y += s.leading
			}
			f.y += 1
		}
	}
}
