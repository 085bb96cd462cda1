package pdf

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"fieldheld/charts"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/layout"
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
	l.compose = func(f *layout.Flow) {
		p := &repeatPaper{Flow: f, report: r, setups: r.RepeatSetups()}
		l.headline(f, clean(r.Sheet.Report.Number), "Before the setup of the "+strings.TrimPrefix(clean(r.Sheet.Article.Name), "the ")+" is taken down")
		p.facts()
		for i := range p.setups {
			p.setup(&p.setups[i])
		}
		if len(p.setups) > 0 {
			p.FillIn("Repeated by", "Date, time", "Checked by")
		}
		p.cautions()
	}
	return l.write(w)
}

// repeatPaper is the paper of what to repeat while it is laid out.
type repeatPaper struct {
	*layout.Flow
	report *report.Report
	setups []report.RepeatSetup
}

// facts sets how much there is to repeat, and how each step is held.
func (p *repeatPaper) facts() {
	r := p.report
	answer := "Nothing is to be repeated."
	if n := len(r.Repeat); n > 0 {
		answer = fmt.Sprintf("%s with %s", plural(n, "step"), plural(len(p.setups), "setup"))
		if len(p.setups) > 1 {
			answer += ", in the order that changes the antenna least often, then its polarization, then its position"
		}
		answer += "."
	}
	p.Lines(layout.LeadStyle, answer, 0, 6)
	q := r.Requirement
	required := "Each is held " + seconds(q.Required()) + " at or above its limit, with " + q.Modulation.String()
	if q.Settle > 0 {
		required += "; the first " + seconds(q.Settle) + " do not count"
	}
	if !r.LastTest.IsZero() {
		required += ". The records end at " + moment(r.LastTest)
	}
	p.Paragraph(required + ".")
}

// setupName is how a setup is called: "Antenna AN-07, horizontal, position 1".
func setupName(s *report.RepeatSetup) string {
	antenna := "Antenna not stated by any run"
	if s.Antenna != "" {
		antenna = "Antenna " + s.Antenna
	}
	return fmt.Sprintf("%s, %s, position %d", antenna, s.Polarization, s.Position)
}

// setup sets what is to be repeated with one setup.
func (p *repeatPaper) setup(s *report.RepeatSetup) {
	p.Heading(layout.Heading{Level: 2, Text: fmt.Sprintf("%s: %s", clean(setupName(s)), plural(len(s.Entries), "step")), Outline: clean(setupName(s))})
	if len(p.report.Repeat) <= mostDetailed {
		p.Table(detailedRepeats(s))
		return
	}
	p.Table(p.closeRepeats(s))
}

// detailedRepeats lists frequencies one a line, with room for what was reached.
func detailedRepeats(s *report.RepeatSetup) *layout.Table {
	t := &layout.Table{Columns: []layout.Column{
		{Head: ""}, {Head: "Frequency", Unit: "MHz", Align: layout.Decimal}, {Head: "Limit", Unit: "V/m", Align: layout.Decimal},
		{Head: "Reached", Unit: "V/m", Align: layout.Decimal},
		{Head: "Forward for\nthe limit", Unit: "W", Align: layout.Decimal}, {Head: "Run", Wraps: true}, {Head: "Why", Wraps: true},
		{Head: "Held now", Unit: "V/m"}, {Head: "Time"}, {Head: "Remark"},
	}}
	decimals := entryDecimals(s.Entries)
	for i := range s.Entries {
		e := &s.Entries[i]
		d := fieldDecimals(e.Sustained, e.Limit)
		t.Add(layout.Texts(tickBox, fixedPoint(float64(e.Setting)/1e6, decimals), limitText(e.Limit, d), fixedPoint(float64(e.Sustained), d),
			power(e.Forward), orNone(e.Run), e.Why, layout.Blank(8), layout.Blank(8), layout.Blank(14)))
	}
	return t
}

// closeRepeats lists frequencies several a line.
func (p *repeatPaper) closeRepeats(s *report.RepeatSetup) *layout.Table {
	decimals := entryDecimals(s.Entries)
	var entries [][]layout.Cell
	for i := range s.Entries {
		e := &s.Entries[i]
		entries = append(entries, []layout.Cell{{Text: tickBox}, {Text: fixedPoint(float64(e.Setting)/1e6, decimals)}, {Text: e.Why, Quiet: true}})
	}
	return p.SideBySide([]layout.Column{{}, {Head: "Frequency", Unit: "MHz", Align: layout.Decimal}, {Head: "Why"}}, entries, 4)
}

// entryDecimals is how many decimals of a megahertz the frequencies need, to the hertz.
func entryDecimals(entries []report.RepeatEntry) int {
	var list []quantity.Frequency
	for i := range entries {
		list = append(list, entries[i].Setting)
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

// cautions sets the cautions close, so that they stay on the page.
func (p *repeatPaper) cautions() {
	p.Heading(layout.Heading{Level: 2, Text: "Cautions"})
	for _, block := range wording.Safety() {
		for _, item := range block.Items {
			const indent = 9
			s := layout.CaptionStyle.In(charts.Ink)
			lines := p.Wrap(s, item, p.Format.Measure()-indent)
			p.Reserve(float64(len(lines)) * s.Leading)
			p.Text(p.Format.Left(), p.Y+s.Size*1.05, s, "–")
			for _, line := range lines {
				p.Text(p.Format.Left()+indent, p.Y+s.Size*1.05, s, line)
				p.Y += s.Leading
			}
			p.Y += 1
		}
	}
}
