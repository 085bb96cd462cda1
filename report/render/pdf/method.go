package pdf

import (
	"fmt"
	"math"
	"strings"

	"fieldheld/report"
	"fieldheld/report/render/layout"
	"fieldheld/templates/wording"
)

// method sets how a reading becomes a verdict.
func (b *book) method() {
	b.section("7", "Method", "method")
	p := b.report.Program
	setFacts(b.Flow, []fact{
		{label: "Evaluated by", value: list(" ", p.Name, p.Version)},
		{label: "Rules of evaluation", value: list(", SHA-256 ", prefixed("version ", p.RuleSet), p.RuleDigest)},
		{label: "Figures", value: "kept unrounded throughout; rounding is for print alone"},
	})
	b.Heading(layout.Heading{Level: 2, Text: "From a reading to a verdict"})
	setBlocks(b.Flow, wording.Method())
	b.example()
	b.readings()
	b.harmonics()
	b.clocks()
	b.budget()
	b.Heading(layout.Heading{Level: 2, Text: "Decision rule"})
	b.Paragraph(b.ruleText() + " " + b.riskText())
}

// ruleText is the decision rule in words.
func (b *book) ruleText() string {
	rule := b.report.Requirement.Rule
	if !rule.Guarded {
		return "Simple acceptance: a level is met when the sustained field is at or above the lowest acceptable level. " +
			"The uncertainty of the field takes no part in the decision."
	}
	which := "which is"
	if len(b.report.Budgets) > 0 {
		which = "that of the visit's frequency and probes; the widest guard band is"
	}
	return fmt.Sprintf("Guarded acceptance: a level is met when the sustained field is above the lowest acceptable level "+
		"by at least %s times the expanded uncertainty, "+which+" %s.",
		exact(float64(rule.Guard)), withUnit(fixedPoint(b.leastMargin(), 2), "dB"))
}

// riskText is the risk of the rule: how probable it is at its border that the
// field was below the lowest acceptable level after all.
func (b *book) riskText() string {
	risk := b.report.RiskAtAcceptance()
	if math.IsNaN(risk) {
		return "No uncertainty is stated, so the risk of a wrong decision cannot be given."
	}
	return fmt.Sprintf("Exactly at the border of acceptance, the probability that the field was below the lowest acceptable level all the same is %s, "+
		"for a normal distribution of the uncertainty.", percent(risk, 2))
}

// example sets one chain from a raw reading to a verdict.
func (b *book) example() {
	b.Heading(layout.Heading{Level: 2, Text: "A worked example from this day"})
	e := b.report.Example
	if e == nil {
		b.Paragraph("No visit of this day has a corrected field.")
		return
	}
	v := e.Visit
	place := fmt.Sprintf("Run %s at %s. The sample that decides on its sustained field is in %s, row %d.", e.Run, frequency(v.Frequency()), e.File, e.Row)
	held := fmt.Sprintf("held for %s without a break", seconds(v.Required))
	if n := b.report.Averaged(v); n > 1 {
		place = fmt.Sprintf("Run %s at %s. Its level is the mean of %d probes at every moment; the reading of one of them is followed, in %s, row %d.",
			e.Run, frequency(v.Frequency()), n, e.File, e.Row)
		held = fmt.Sprintf("the mean of %d probes, ", n) + held
	}
	t := &layout.Table{Columns: []layout.Column{
		{Head: "From reading to verdict"}, {Head: "Source", Wraps: true}, {Head: "Factor", Align: layout.Decimal},
		{Head: "", Unit: "dB", Align: layout.Decimal}, {Head: "Field", Unit: "V/m", Align: layout.Decimal},
	}}
	t.Add(layout.Texts("reading", fmt.Sprintf("%s, row %d", e.File, e.Row), "", "", fixedPoint(float64(e.Raw), 3)))
	for _, link := range e.Chain() {
		t.Add(layout.Texts("× "+link.Name, link.Source, fixedPoint(float64(link.Value), 5),
			fixedPoint(float64(link.Value.FieldDecibel()), 3), fixedPoint(float64(link.Field), 3)))
	}
	d := max(3, fieldDecimals(v.Sustained, v.Lowest))
	t.Add(layout.Texts("sustained field", held, "", "", fixedPoint(float64(v.Sustained), d)))
	t.Add(layout.Texts("lowest acceptable level", "limit and lower tolerance", "", "", given(float64(v.Lowest), d)))
	state := stateCell(v.State)
	state.Bold = true
	t.Add(layout.Row{Cells: []layout.Cell{state, {Text: b.verdictText(v)}, {}, {Text: decibels(float64(v.Margin), float64(b.report.AskedOf(v)))}, {}}})
	b.Introduce(2*layout.BodyStyle.Leading+6, t)
	b.Paragraph(place)
	b.Table(t)
}

// verdictText says how a margin compares with what the rule asks for.
func (b *book) verdictText(v *report.Visit) string {
	least := float64(b.report.AskedOf(v))
	text := fmt.Sprintf("margin; at least %s is asked for", withUnit(given(least, 2), "dB"))
	if !math.IsNaN(v.Conformance) {
		text += fmt.Sprintf("; probability of conformity %s", percent(v.Conformance, 3))
	}
	return text
}

// clocks sets how the clocks of the files were brought together.
func (b *book) clocks() {
	b.Heading(layout.Heading{Level: 2, Text: "Clocks"})
	shifts := b.report.ClockShifts()
	if len(shifts) == 0 {
		b.Paragraph("The times of every file count as they are written; no clock was shifted.")
		return
	}
	t := &layout.Table{Columns: []layout.Column{{Head: "File", Wraps: true}, {Head: "Runs", Wraps: true}, {Head: "Added to its times", Unit: "s", Align: layout.Decimal}}}
	for _, shift := range shifts {
		t.Add(layout.Texts(shift.File, strings.Join(shift.Runs, ", "), fixedPoint(shift.Added.Seconds(), 3)))
	}
	b.Table(t)
	b.Note("The times of all other files count as they are written.")
}

// budget sets the uncertainty of the corrected field.
func (b *book) budget() {
	b.Heading(layout.Heading{Level: 2, Text: "Uncertainty of the field"})
	budget := b.report.Budget
	if budget == nil {
		b.Paragraph("No uncertainty is stated.")
		return
	}
	if list := b.report.Budgets; len(list) > 0 {
		b.budgetRanges(list)
		return
	}
	b.budgetTable(budget)
	b.Note(coverageText(budget))
}

// coverageText says what an expanded uncertainty covers.
func coverageText(budget *report.Budget) string {
	return fmt.Sprintf("The expanded uncertainty covers about %s of the values that can reasonably be attributed to the corrected field, for a normal distribution.",
		percent(budget.NormalCoverage(), 3))
}

// budgetRanges sets where which budget holds, and each of them.
func (b *book) budgetRanges(list []report.BudgetRange) {
	b.Paragraph("The uncertainty differs by range of frequency or by probe. Of a visit that rests on several probes the largest of theirs counts.")
	t := &layout.Table{Narrow: true, Columns: []layout.Column{{Head: "Frequency range"}, {Head: "Probe"}, {Head: "Standard uncertainty", Unit: "dB", Align: layout.Decimal},
		{Head: "k", Align: layout.Decimal}, {Head: "U", Unit: "dB", Align: layout.Decimal}}}
	for i := range list {
		budget := list[i].Budget
		r := layout.Texts(frequencies(list[i].From, list[i].To), orEvery(list[i].Probe), fixedPoint(float64(budget.Standard), 3), exact(float64(budget.CoverageFactor)),
			fixedPoint(float64(budget.Expanded), 3))
		r.Cells[4].Bold = budget == b.report.Budget
		t.Add(r)
	}
	b.Table(t)
	b.Note(coverageText(b.report.Budget))
	for i := range list {
		title := "Budget from " + list[i].From.String() + " to " + list[i].To.String()
		if probe := list[i].Probe; probe != "" {
			title += ", " + probe
		}
		b.Heading(layout.Heading{Level: 3, Text: title})
		b.budgetTable(list[i].Budget)
	}
}

func orEvery(probe string) string {
	if probe == "" {
		return "every"
	}
	return probe
}

// budgetTable sets the contributions of a budget and what they combine to.
func (b *book) budgetTable(budget *report.Budget) {
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Contribution", Wraps: true}, {Head: "Value", Unit: "dB", Align: layout.Decimal}, {Head: "Distribution"},
		{Head: "Divisor", Align: layout.Decimal},
		{Head: "Sensitivity", Align: layout.Decimal}, {Head: "Standard uncertainty", Unit: "dB", Align: layout.Decimal},
		{Head: "Degrees of freedom", Align: layout.Right},
	}}
	for _, c := range budget.Contributions {
		t.Add(layout.Texts(c.Name, fixedPoint(float64(c.Value), 2), c.Distribution, fixedPoint(float64(c.Divisor), 3), fixedPoint(float64(c.Sensitivity), 2),
			fixedPoint(float64(c.Standard), 3), freedom(c.DegreesOfFreedom)))
	}
	combined := layout.Texts("combined: root of the sum of squares", "", "", "", "", fixedPoint(float64(budget.Standard), 3), freedom(budget.DegreesOfFreedom))
	expanded := layout.Texts(fmt.Sprintf("expanded, U = k·u with k = %s", exact(float64(budget.CoverageFactor))), "", "", "", "",
		fixedPoint(float64(budget.Expanded), 3), "")
	const name, value = 0, 5
	for _, r := range []layout.Row{combined, expanded} {
		r.Cells[name].Bold, r.Cells[value].Bold = true, true
		t.Add(r)
	}
	b.Table(t)
}

func freedom(x float64) string {
	if math.IsInf(x, 1) {
		return "∞"
	}
	return fixedPoint(x, 0)
}
