package pdf

import (
	"fmt"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/layout"
)

// steps sets the tables of appendix A: every visit of every run.
func (b *book) steps() {
	b.Feather() // from here to the end
	b.section("A", "Step tables", "steps")
	b.Paragraph("Every visit of every run, in the order of the dwell record. A repeated step has more than one row. Figures that are not defined are dashes.")
	for i := range b.report.Runs {
		b.runSteps(i)
	}
}

func (b *book) runSteps(i int) {
	run := &b.report.Runs[i]
	b.part(fmt.Sprintf("Run %s, %s, position %d", run.ID, run.Polarization, run.Position), runAnchor(i), true)
	if len(run.Visits) == 0 {
		if len(run.OtherRows) > 0 {
			b.Paragraph("This run has no test step. Its rows stand in section 9.")
			return
		}
		b.Paragraph("This run has no visit.")
		return
	}
	if len(run.EachProbe(run.Visits[0])) > 0 {
		const first = 90 // rows of two lines: the notes stay with the first of them
		b.Reserve(first)
	}
	days := b.sameDay(run)
	t := &layout.Table{Dense: true, Columns: []layout.Column{
		{Head: "Frequency", Unit: "MHz", Align: layout.Decimal}, {Head: "Begun", Unit: zoneOf(run.First), Align: layout.Right},
		{Head: "Limit", Unit: "V/m", Align: layout.Decimal},
		{Head: "Sustained", Unit: "V/m", Align: layout.Decimal}, {Head: "Minimum", Unit: "V/m", Align: layout.Decimal},
		{Head: "Maximum", Unit: "V/m", Align: layout.Decimal},
		{Head: "Margin", Unit: "dB", Align: layout.Decimal}, {Head: "Held", Unit: "s", Align: layout.Decimal}, {Head: "Forward", Unit: "W", Align: layout.Decimal},
		{Head: "Reflected", Unit: "W", Align: layout.Decimal}, {Head: "VSWR", Align: layout.Decimal}, {Head: "State"},
	}}
	decimals := megahertzDecimals(run.Visits)
	usual := run.UsualObservation()
	t.Rows = make([]layout.Row, 0, len(run.Visits))
	for k, v := range run.Visits {
		r := b.visitRow(v, decimals, days)
		if ref := (report.VisitRef{Run: i + 1, Visit: k + 1}); b.wanted[ref] {
			r.Anchor = visitAnchor(ref)
		}
		if seen := v.Record.Observation; seen != usual {
			r.Note = "Observed: " + orNone(seen)
		}
		r.Note = list(". ", run.EachProbeText(v), r.Note)
		t.Add(r)
	}
	notes := 0
	for _, said := range []bool{days, usual != ""} {
		if said {
			notes++
		}
	}
	b.Introduce(float64(notes)*(layout.CaptionStyle.Leading+6), t)
	if days {
		b.Note("All times are of " + date(run.First) + ".")
	}
	if usual != "" {
		b.Note(fmt.Sprintf("The dwell record says “%s” of every visit for which nothing else is written below it.", usual))
	}
	b.Table(t)
}

// sameDay reports whether a run begins and ends on one day in one zone, so that
// its rows need no dates.
func (b *book) sameDay(run *report.Run) bool {
	return date(run.First) == date(run.Last) && zoneOf(run.First) == zoneOf(run.Last)
}

func (b *book) visitRow(v *report.Visit, decimals int, sameDay bool) layout.Row {
	begun := b.inZone(v.Record.Start.UTC())
	at := begun.Format("15:04:05.0")
	if !sameDay {
		at = begun.Format("01-02 15:04:05.0")
	}
	d := max(fieldDecimals(v.Sustained, v.Lowest), overDecimals(v))
	least := float64(b.report.AskedOf(v))
	if v.State == report.NotRequired {
		d = decimalsFor(float64(v.Median), 4)
	}
	return layout.Row{Cells: []layout.Cell{
		{Text: fixedPoint(float64(v.Frequency())/1e6, decimals)}, {Text: at}, {Text: limitText(v.Limit, d)},
		{Text: fixedPoint(float64(v.Sustained), d)}, {Text: fixedPoint(float64(v.Minimum), d)}, {Text: fixedPoint(float64(v.Maximum), d)},
		{Text: decibels(float64(v.Margin), least)}, {Text: heldText(float64(v.Held), v.Required)},
		{Text: power(v.Power.Forward)}, {Text: power(v.Power.Reflected)}, {Text: ratio(v.Power.VSWR)}, stateCell(v.State),
	}}
}

func limitText(limit quantity.FieldStrength, decimals int) string {
	if !quantity.Defined(limit) {
		return undefined
	}
	return given(float64(limit), decimals)
}

// overDecimals is how many decimals show a maximum beside the upper tolerance.
func overDecimals(v *report.Visit) int {
	if !quantity.Defined(v.Highest) || !quantity.Defined(v.Maximum) {
		return 0
	}
	level := float64(v.Highest)
	base := decimalsFor(level, 4)
	for d := base; d < mostDecimals; d++ {
		if (rounded(float64(v.Maximum), d) > rounded(level, d)) == (float64(v.Maximum) > level*(1+levelSlack)) {
			return d
		}
	}
	return mostDecimals
}

// megahertzDecimals is how many decimals the frequencies of a run need.
func megahertzDecimals(visits []*report.Visit) int {
	list := make([]quantity.Frequency, len(visits))
	for i, v := range visits {
		list[i] = v.Frequency()
	}
	return decimalsOfMegahertz(list)
}

// corrections sets the tables of appendix B, as they were used.
func (b *book) corrections() {
	b.section("B", "Correction tables", "corrections")
	if len(b.report.Corrections) == 0 {
		b.Paragraph("No correction table was used: readings count as they are.")
		return
	}
	for i := range b.report.Corrections {
		c := &b.report.Corrections[i]
		b.part(capital(c.Use)+", "+c.File.Path, fmt.Sprintf("correction/%d", i), false)
		written := "as a plain factor"
		if c.InDecibels {
			written = "in decibels"
		}
		certificate := ""
		if c.Certificate != "" {
			certificate = "; certificate " + c.Certificate
		}
		t := correctionTable(c)
		b.Introduce(2*layout.CaptionStyle.Leading+6, t)
		b.Note(fmt.Sprintf("Runs %s; written %s, printed in decibels to be added%s.", joinRuns(c.Runs), written, certificate))
		b.Table(t)
	}
}

// correctionTable has the points of a table in as many columns as the page holds,
// each read downwards.
func correctionTable(c *report.Correction) *layout.Table {
	uncertain := false
	for _, p := range c.Points {
		uncertain = uncertain || p.Uncertainty != ""
	}
	groups := min(4, len(c.Points))
	if uncertain {
		groups = min(groups, 3)
	}
	deep := (len(c.Points) + groups - 1) / groups
	groups = (len(c.Points) + deep - 1) / deep // five points stand in three columns of two, not in four
	t := &layout.Table{Dense: true}
	for range groups {
		t.Columns = append(t.Columns, layout.Column{Head: "Frequency", Align: layout.Right}, layout.Column{Head: "Correction", Unit: "dB", Align: layout.Decimal})
		if uncertain {
			t.Columns = append(t.Columns, layout.Column{Head: "Uncertainty", Align: layout.Right})
		}
	}
	t.Narrow = groups == 1
	for i := range deep {
		var r layout.Row
		for g := range groups {
			k := g*deep + i
			cells := []layout.Cell{{}, {}}
			if k < len(c.Points) {
				p := c.Points[k]
				cells = []layout.Cell{{Text: frequency(p.Frequency)}, {Text: fixedPoint(float64(p.Factor), 2)}, {Text: p.Uncertainty}}
			}
			if uncertain && len(cells) < 3 {
				cells = append(cells, layout.Cell{})
			}
			r.Cells = append(r.Cells, cells[:len(t.Columns)/groups]...)
		}
		t.Add(r)
	}
	return t
}
