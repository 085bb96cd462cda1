package pdf

import (
	"fmt"
	"math"
	"strings"

	"fieldheld/charts"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
)

// front sets the front page: who tested what for whom, what was shown, and how
// much of the proof is there.
func (b *book) front() {
	r, left := b.report, b.format.left()
	b.mention("front")
	b.bookmark(0, "Front page", b.y)
	b.y += 8
	b.text(left, b.y+titleStyle.size, titleStyle, "Test report")
	number := clean(r.Sheet.Report.Number)
	b.textRight(b.format.right(), b.y+titleStyle.size, titleStyle, number)
	b.y += titleStyle.leading + 4
	subject := "Radiated susceptibility"
	if name := clean(r.Sheet.Article.Name); name != "" {
		const most = 3 // lines; the whole name stands below
		subject = b.types.fit(headStyle, subject+" of the "+strings.TrimPrefix(name, "the "), (most-0.3)*b.format.body())
	}
	b.lines(headStyle, subject, 0, 10)

	b.identity()
	b.amends()
	b.answer()
	if len(r.Cells) > 0 {
		b.wholeStrip()
		b.matrix()
	}
	b.closing()
}

// identity sets the facts of the front page in two columns.
func (b *book) identity() {
	s, r := b.report.Sheet, b.report
	left := []fact{
		{label: "Laboratory", value: list("\n", s.Laboratory.Name, s.Laboratory.Address, s.Laboratory.Contact,
			prefixed("Accreditation ", s.Laboratory.Accreditation))},
		{label: "Place of the test", value: list(", ", s.Site.Name, s.Site.Chamber)},
	}
	right := []fact{
		{label: "Customer", value: list("\n", s.Customer.Name, s.Customer.Address, s.Customer.Contact, prefixed("Order ", s.Customer.Order))},
		{label: "Article", customer: true, value: list("\n", s.Article.Name, prefixed("Part number ", s.Article.PartNumber),
			prefixed("Serial number ", s.Article.Serial))},
	}
	dates := undefined
	if !r.FirstTest.IsZero() {
		dates = date(r.FirstTest)
		if last := date(r.LastTest); last != dates {
			dates += " to " + last
		}
		dates += ", from the logs"
	}
	left = append(left, fact{label: "Dates of the test", value: dates})
	right = append(right, fact{label: "Date of issue", value: strings.Trim(date(s.Report.Issued), undefined)})
	b.rule(b.format.left(), b.format.right(), b.y, 0.8, charts.Accent)
	b.y += 5
	const gap = 18
	width := (b.format.body() - gap) / 2
	for i := range left {
		b.y += max(b.factAt(b.format.left(), width, left[i]), b.factAt(b.format.left()+width+gap, width, right[i])) + 3
	}
	if digest := b.report.ManifestDigest; digest != "" {
		// Above all that can grow, so that it stands on page 1, where an audit reads it.
		b.y += b.factAt(b.format.left(), b.format.body(), fact{label: "Evidence", value: "SHA-256 of the manifest in appendix C:\n" + digest}) + 3
	}
	b.y += 4
	b.rule(b.format.left(), b.format.right(), b.y, 0.8, charts.Accent)
	b.y += 14
}

func prefixed(before, value string) string {
	if value == "" {
		return ""
	}
	return before + value
}

// factAt sets a fact into a column of the front page and returns its height.
func (b *book) factAt(x, width float64, f fact) float64 {
	label := f.label
	if f.customer {
		label += " " + dagger
	}
	value, s := clean(f.value), tableStyle
	s.size, s.leading = textStyle.size, 12
	if value == "" {
		value, s = notStated, s.in(charts.Quiet)
	}
	const labels = 74
	b.text(x, b.y+s.size, labelStyle, label)
	lines := b.types.wrap(s, value, width-labels)
	for i, line := range lines {
		b.text(x+labels, b.y+s.size+float64(i)*s.leading, s, line)
	}
	return float64(len(lines)) * s.leading
}

// answer sets what was shown, and apart from it what the article did.
func (b *book) answer() {
	const indent = 22
	b.mark(dayProof(b.report), b.format.left()+1, b.y+answerStyle.size+0.5, 10.5)
	b.lines(answerStyle, joined(b.report.Answer), indent, 5)
	b.lines(textStyle, joined(b.report.InNumbers), indent, 5)
	if text := b.report.NotSteps(); text != "" {
		b.lines(textStyle, joined(text), indent, 5)
	}
	if changed := overridesText(b.report.Requirement.Overrides); changed != "" {
		b.lines(textStyle, joined(changed), indent, 5)
	}
	b.lines(textStyle, joined(b.report.Behaviour), indent, 14)
}

// amends says what a revision replaces, why, and what it changes in words
// (ISO/IEC 17025:2017, 7.8.8).
func (b *book) amends() {
	s := b.report.Sheet.Report
	if s.Revision == 0 {
		return
	}
	text := fmt.Sprintf("Amendment. This is revision %d; it replaces %s: %s", s.Revision, orNotStated(s.Replaces), sentence(orNotStated(s.Reason)))
	const most = 3 // section 2 has all of them
	told := 0
	for _, c := range b.report.Changes {
		if !c.Digest && told < most {
			text += fmt.Sprintf(" %s: %s instead of %s.", capital(c.What), orNone(c.After), orNone(c.Before))
			told++
		}
	}
	if more := len(b.report.Changes) - told; more > 0 {
		text += fmt.Sprintf(" %s in section 2.", plural(more, "more change"))
	}
	b.lines(textStyle, text, 0, 10)
}

// sentence ends a text with one full stop.
func sentence(text string) string {
	if strings.HasSuffix(text, ".") || strings.HasSuffix(text, "!") || strings.HasSuffix(text, "?") {
		return text
	}
	return text + "."
}

// overridesText names in a sentence what the job sheet changes of the
// requirement; "" where it changes nothing.
func overridesText(list []report.Override) string {
	if len(list) == 0 {
		return ""
	}
	parts := make([]string, len(list))
	for i, o := range list {
		parts[i] = fmt.Sprintf("%s %s instead of %s", o.Name(), o.Is, o.Was)
		if o.Relaxation {
			parts[i] += " (asks for less than the requirement)"
		}
	}
	return "Set by the job sheet: " + strings.Join(parts, "; ") + ". Reasons stand in section 4."
}

// wholeStrip sets the strip of all cells.
func (b *book) wholeStrip() {
	s := strip(b.report, allCells(b.report))
	const labels = 96
	height := s.Height()
	b.reserve(height + 2*captionStyle.leading + 10)
	err := b.figure(b.format.left(), b.y, height, func(on charts.Surface) error {
		return s.Draw(on, b.format.body(), labels)
	})
	if err != nil && b.fault == nil {
		b.fault = err
	}
	b.y += height + 3
	b.lines(captionStyle, "How much of the proof is there. Each bar is a step: it fills the band where the step is met, falls out below it"+
		" where it is not met, stands half high where a deviation is accepted, and leaves it open where nothing is shown.", 0, 12)
}

// matrix sets the table of cells.
func (b *book) matrix() {
	const many = 6
	t := &table{dense: len(b.report.Cells) > many, columns: []column{
		{head: "Frequency range"}, {head: "Polarization"}, {head: "Position", align: right},
		{head: "State"}, {head: "Steps met", align: right}, {head: "Least margin", unit: "dB", align: decimal},
		{head: "at frequency", align: right},
		{head: "Results", align: right},
	}}
	for i := range b.report.Cells {
		c := &b.report.Cells[i]
		anchor := cellAnchor(i)
		state := stateCell(c.State)
		state.bold = true
		least := c.Statistics.LeastMargin
		if c.Statistics.NoLevel > 0 { // the margin of the other steps is not that of the cell
			least = report.Extreme{Value: math.NaN(), Frequency: quantity.Undefined[quantity.Frequency]()}
		}
		t.add(row{note: b.whyText(c), cells: []cell{
			{text: frequencies(c.From, c.To), link: anchor}, {text: string(c.Polarization)}, {text: fmt.Sprint(c.Position)},
			state, {text: fmt.Sprintf("%d of %d", c.StepsMet, len(c.Steps))},
			{text: b.marginText(least)}, {text: frequency(least.Frequency)}, {text: b.pageText(anchor), link: anchor},
		}})
	}
	b.table(t)
}

// whyText says what keeps a cell from being met, and how many steps held no level.
func (b *book) whyText(c *report.Cell) string {
	levels, why := "", b.report.Why(c)
	if n := c.Statistics.NoLevel; n > 0 {
		levels = plural(n, "step") + " held no level for the required dwell"
	}
	return list("; ", levels, prefixed("open findings: ", why))
}

// marginText writes a margin so that it agrees with the decision rule.
func (b *book) marginText(e report.Extreme) string {
	return decibels(e.Value, b.leastMargin())
}

// leastMargin is what the decision rule asks for, in decibels.
func (b *book) leastMargin() float64 {
	return float64(b.report.Requirement.Rule.Margin(b.report.Budget))
}

// pageText names the page of an anchor.
func (b *book) pageText(anchor string) string { return fmt.Sprintf("page %d", b.pageOf(anchor)) }

// closing sets who is responsible.
func (b *book) closing() {
	t := &table{columns: []column{{head: "Responsible"}, {head: "Date"}, {head: "Name", wraps: true}, {head: "Function", wraps: true}}}
	for _, s := range b.report.Sheet.Signatures {
		t.add(row{cells: []cell{{text: capital(s.Role)}, {text: date(s.Date)}, {text: s.Name, bold: s.Role == "authorised by"}, {text: orNotStated(s.Function)}}})
	}
	if len(t.rows) == 0 {
		t.add(texts("Authorised by", undefined, notStated, notStated))
	}
	const line = 15.7 // of a row of the table
	height := line*float64(len(t.rows)+1) + 14
	b.reserve(height)
	if b.page == 1 {
		b.y = max(b.y, b.format.bottom()-height) // at the foot of the page
	}
	b.table(t)
}
