package pdf

import (
	"fmt"
	"strings"

	"fieldheld/charts"
	"fieldheld/report"
	"fieldheld/report/render/layout"
)

// front sets the front page: who tested what for whom, what was shown, and how
// much of the proof is there.
func (b *book) front() {
	r, left := b.report, b.Format.Left()
	b.Anchor("front")
	b.Bookmark(0, "Front page", b.Y)
	b.Y += 8
	b.Tagged("H1", func() {
		b.Text(left, b.Y+layout.TitleStyle.Size, layout.TitleStyle, "Test report ")
		b.TextRight(b.Format.Right(), b.Y+layout.TitleStyle.Size, layout.TitleStyle, clean(r.Sheet.Report.Number))
	})
	b.Y += layout.TitleStyle.Leading + 4
	subject := "Radiated susceptibility"
	if name := clean(r.Sheet.Article.Name); name != "" {
		const most = 3 // lines; the whole name stands below
		subject = b.Fit(layout.HeadingStyle, subject+" of the "+strings.TrimPrefix(name, "the "), (most-0.3)*b.Format.Measure())
	}
	b.Lines(layout.HeadingStyle, subject, 0, 10)

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
	b.Rule(b.Format.Left(), b.Format.Right(), b.Y, 0.8, charts.Accent)
	b.Y += 5
	const gap = 18
	width := (b.Format.Measure() - gap) / 2
	for i := range left {
		b.Y += max(b.factAt(b.Format.Left(), width, left[i]), b.factAt(b.Format.Left()+width+gap, width, right[i])) + 3
	}
	if digest := b.report.ManifestDigest; digest != "" {
		// Above all that can grow, so that it stands on page 1, where an audit reads it.
		b.Y += b.factAt(b.Format.Left(), b.Format.Measure(), fact{label: "Evidence", value: "SHA-256 of the manifest in appendix C:\n" + digest}) + 3
	}
	b.Y += 4
	b.Rule(b.Format.Left(), b.Format.Right(), b.Y, 0.8, charts.Accent)
	b.Y += 14
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
	value, s := clean(f.value), layout.TableStyle
	s.Size, s.Leading = layout.BodyStyle.Size, 12
	if value == "" {
		value, s = notStated, s.In(charts.Quiet)
	}
	const labels = 74
	lines := b.Wrap(s, value, width-labels)
	b.Tagged("P", func() {
		b.Text(x, b.Y+s.Size, layout.LabelStyle, label+" ")
		for i, line := range lines {
			b.Text(x+labels, b.Y+s.Size+float64(i)*s.Leading, s, line)
		}
	})
	return float64(len(lines)) * s.Leading
}

// answer sets what was shown, and apart from it what the article did.
func (b *book) answer() {
	const indent = 22
	b.Mark(proof(b.report.Proof()), b.Format.Left()+1, b.Y+layout.LeadStyle.Size+0.5, 10.5)
	b.Lines(layout.LeadStyle, layout.JoinUnits(b.report.Answer), indent, 5)
	b.Lines(layout.BodyStyle, layout.JoinUnits(b.report.InNumbers), indent, 5)
	if text := b.report.NotSteps(); text != "" {
		b.Lines(layout.BodyStyle, layout.JoinUnits(text), indent, 5)
	}
	if changed := b.report.ChangedRequirement(); changed != "" {
		b.Lines(layout.BodyStyle, layout.JoinUnits(changed), indent, 5)
	}
	b.Lines(layout.BodyStyle, layout.JoinUnits(b.report.Behaviour), indent, 14)
}

// amends says what a revision replaces, why, and what it changes.
func (b *book) amends() {
	if text := b.report.Amendment(); text != "" {
		b.Lines(layout.BodyStyle, text, 0, 10)
	}
}

// wholeStrip sets the strip of all cells.
func (b *book) wholeStrip() {
	s := strip(b.report, allCells(b.report))
	const labels = 96
	height := s.Height()
	b.Reserve(height + 2*layout.CaptionStyle.Leading + 10)
	b.Draw(height, b.allWords(), func(on charts.Surface) error { return s.Draw(on, b.Format.Measure(), labels) })
	b.Y += 3
	b.Lines(layout.CaptionStyle, "How much of the proof is there. Each bar is a step: it fills the band where the step is met, falls out below it"+
		" where it is not met, stands half high where a deviation is accepted, and leaves it open where nothing is shown.", 0, 12)
}

// allWords says what the strip of all cells shows, for those who do not see it.
func (b *book) allWords() string {
	var words []string
	for i := range b.report.Cells {
		words = append(words, b.cellWords(&b.report.Cells[i]))
	}
	return "How much of the proof is there. " + strings.Join(words, " ")
}

// matrix sets the table of cells.
func (b *book) matrix() {
	const many = 6
	t := &layout.Table{Dense: len(b.report.Cells) > many, Columns: []layout.Column{
		{Head: "Frequency range"}, {Head: "Polarization"}, {Head: "Position", Align: layout.Right},
		{Head: "State"}, {Head: "Steps met", Align: layout.Right}, {Head: "Least margin", Unit: "dB", Align: layout.Decimal},
		{Head: "at frequency", Align: layout.Right},
		{Head: "Results", Align: layout.Right},
	}}
	for i := range b.report.Cells {
		c := &b.report.Cells[i]
		anchor := cellAnchor(i)
		state := stateCell(c.State)
		state.Bold = true
		least := c.LeastMargin()
		t.Add(layout.Row{Note: b.whyText(c), Cells: []layout.Cell{
			{Text: cellFrequencies(c), Link: anchor}, {Text: string(c.Polarization)}, {Text: fmt.Sprint(c.Position)},
			state, {Text: fmt.Sprintf("%d of %d", c.StepsMet, len(c.Steps))},
			{Text: b.marginText(least)}, {Text: frequency(least.Frequency)}, {Text: b.pageText(anchor), Link: anchor},
		}})
	}
	b.Table(t)
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
	return float64(b.report.AskedMargin())
}

// pageText names the page of an anchor.
func (b *book) pageText(anchor string) string { return fmt.Sprintf("page %d", b.PageOf(anchor)) }

// closing sets who is responsible.
func (b *book) closing() {
	t := &layout.Table{Columns: []layout.Column{{Head: "Responsible"}, {Head: "Date"}, {Head: "Name", Wraps: true}, {Head: "Function", Wraps: true}}}
	for _, s := range b.report.Sheet.Signatures {
		t.Add(layout.Row{Cells: []layout.Cell{{Text: capital(s.Role)}, {Text: date(s.Date)}, {Text: s.Name, Bold: s.Role == "authorised by"}, {Text: orNotStated(s.Function)}}})
	}
	if len(t.Rows) == 0 {
		t.Add(layout.Texts("Authorised by", undefined, notStated, notStated))
	}
	const line = 15.7 // of a row of the table
	height := line*float64(len(t.Rows)+1) + 14
	b.Reserve(height)
	if b.Folio() == 1 {
		b.Y = max(b.Y, b.Format.Bottom()-height) // at the foot of the page
	}
	b.Table(t)
}
