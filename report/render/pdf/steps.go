package pdf

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
)

// steps sets the tables of appendix A: every visit of every run.
func (b *book) steps() {
	b.loose = b.earlier.loose // from here to the end
	b.section("A", "Step tables", "steps")
	b.paragraph("Every visit of every run, in the order of the dwell record. A repeated step has more than one row. Figures that are not defined are dashes.")
	for i := range b.report.Runs {
		b.runSteps(i)
	}
}

func (b *book) runSteps(i int) {
	run := &b.report.Runs[i]
	b.part(fmt.Sprintf("Run %s, %s, position %d", run.ID, run.Polarization, run.Position), runAnchor(i), true)
	if len(run.Visits) == 0 {
		if len(run.OtherRows) > 0 {
			b.paragraph("This run has no test step. Its rows stand in section 9.")
			return
		}
		b.paragraph("This run has no visit.")
		return
	}
	days := b.sameDay(run)
	t := &table{dense: true, columns: []column{
		{head: "Frequency", unit: "MHz", align: decimal}, {head: "Begun", unit: zoneOf(run.First), align: right},
		{head: "Limit", unit: "V/m", align: decimal},
		{head: "Sustained", unit: "V/m", align: decimal}, {head: "Minimum", unit: "V/m", align: decimal},
		{head: "Maximum", unit: "V/m", align: decimal},
		{head: "Margin", unit: "dB", align: decimal}, {head: "Held", unit: "s", align: decimal}, {head: "Forward", unit: "W", align: decimal},
		{head: "Reflected", unit: "W", align: decimal}, {head: "VSWR", align: decimal}, {head: "State"},
	}}
	decimals := megahertzDecimals(run.Visits)
	usual := usualObservation(run.Visits)
	t.rows = make([]row, 0, len(run.Visits))
	for k, v := range run.Visits {
		r := b.visitRow(v, decimals, days)
		if ref := (report.VisitRef{Run: i + 1, Visit: k + 1}); b.wanted[ref] {
			r.anchor = visitAnchor(ref)
		}
		if seen := v.Record.Observation; seen != usual {
			r.note = "Observed: " + orNone(seen)
		}
		t.add(r)
	}
	if days {
		b.note("All times are of " + date(run.First) + ".")
	}
	if usual != "" {
		b.note(fmt.Sprintf("The dwell record says “%s” of every visit for which nothing else is written below it.", usual))
	}
	b.table(t)
}

// usualObservation is what the dwell record says of most of the visits; "" where
// that is nothing. It is said once, so that what differs is seen.
func usualObservation(visits []*report.Visit) string {
	counts := map[string]int{}
	usual := ""
	for _, v := range visits {
		seen := v.Record.Observation
		counts[seen]++
		if n := counts[seen]; n > counts[usual] || n == counts[usual] && seen < usual {
			usual = seen
		}
	}
	return usual
}

// sameDay reports whether a run begins and ends on one day in one zone, so that
// its rows need no dates.
func (b *book) sameDay(run *report.Run) bool {
	return date(run.First) == date(run.Last) && zoneOf(run.First) == zoneOf(run.Last)
}

func (b *book) visitRow(v *report.Visit, decimals int, sameDay bool) row {
	begun := b.inZone(v.Record.Start.UTC())
	at := begun.Format("15:04:05.0")
	if !sameDay {
		at = begun.Format("01-02 15:04:05.0")
	}
	d := max(fieldDecimals(v.Sustained, v.Lowest), overDecimals(v))
	least := b.leastMargin()
	if v.State == report.NotRequired {
		d = decimalsFor(float64(v.Median), 4)
	}
	return row{cells: []cell{
		{text: fixedPoint(float64(v.Frequency())/1e6, decimals)}, {text: at}, {text: limitText(v.Limit, d)},
		{text: fixedPoint(float64(v.Sustained), d)}, {text: fixedPoint(float64(v.Minimum), d)}, {text: fixedPoint(float64(v.Maximum), d)},
		{text: decibels(float64(v.Margin), least)}, {text: heldText(float64(v.Held), requiredFor(v))},
		{text: power(v.Power.Forward)}, {text: power(v.Power.Reflected)}, {text: ratio(v.Power.VSWR)}, stateCell(v.State),
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

// requiredFor is the required dwell of a visit; NaN decides nothing where
// nothing is required.
func requiredFor(v *report.Visit) time.Duration { return v.Required }

// megahertzDecimals is how many decimals the frequencies of a run need.
func megahertzDecimals(visits []*report.Visit) int {
	most := 0
	for _, v := range visits {
		text := strconv.FormatFloat(float64(v.Frequency())/1e6, 'f', 6, 64)
		text = strings.TrimRight(text, "0")
		most = max(most, len(text)-strings.IndexByte(text, '.')-1)
	}
	return most
}

// corrections sets the tables of appendix B, as they were used.
func (b *book) corrections() {
	b.section("B", "Correction tables", "corrections")
	if len(b.report.Corrections) == 0 {
		b.paragraph("No correction table was used: readings count as they are.")
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
		b.note(fmt.Sprintf("Runs %s; written %s, printed in decibels to be added%s.", joinRuns(c.Runs), written, certificate))
		b.correctionTable(c)
	}
}

// correctionTable sets the points of a table in as many columns as the page
// holds, each read downwards.
func (b *book) correctionTable(c *report.Correction) {
	uncertain := false
	for _, p := range c.Points {
		uncertain = uncertain || p.Uncertainty != ""
	}
	groups := min(4, len(c.Points))
	if uncertain {
		groups = min(groups, 3)
	}
	deep := (len(c.Points) + groups - 1) / groups
	t := &table{dense: true}
	for range groups {
		t.columns = append(t.columns, column{head: "Frequency", align: right}, column{head: "Correction", unit: "dB", align: decimal})
		if uncertain {
			t.columns = append(t.columns, column{head: "Uncertainty", align: right})
		}
	}
	t.narrow = groups == 1
	for i := range deep {
		var r row
		for g := range groups {
			k := g*deep + i
			cells := []cell{{}, {}}
			if k < len(c.Points) {
				p := c.Points[k]
				cells = []cell{{text: frequency(p.Frequency)}, {text: fixedPoint(float64(p.Factor), 2)}, {text: p.Uncertainty}}
			}
			if uncertain && len(cells) < 3 {
				cells = append(cells, cell{})
			}
			r.cells = append(r.cells, cells[:len(t.columns)/groups]...)
		}
		t.add(r)
	}
	b.table(t)
}
