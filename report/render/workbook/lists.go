package workbook

import (
	"fmt"
	"math"
	"strings"
	"time"

	"fieldheld/report"
	"fieldheld/report/render/book"
)

// summarySheet says what the first page of the report says.
func summarySheet(r *report.Report) book.Sheet {
	sheet := book.Sheet{Name: "Summary", Widths: []float64{26, 110}, Wrapped: []bool{false, true}}
	add := func(name string, value any) {
		if value != nil {
			sheet.Rows = append(sheet.Rows, []any{name, value})
		}
	}
	s := r.Sheet
	add("Report", text(s.Report.Number))
	add("Revision", s.Report.Revision)
	add("Date of issue", date(s.Report.Issued))
	if r.Draft() {
		add("DRAFT", "lacks "+strings.Join(r.Missing, "; "))
	}
	add("Laboratory", text(s.Laboratory.Name))
	add("Customer", text(s.Customer.Name))
	add("Article", text(strings.Join(filled(s.Article.Name, s.Article.PartNumber, s.Article.Serial), ", ")))
	add("Requirement", r.Requirement.Title)
	add("Source", r.Requirement.Source)
	add("Verdict on the day", string(r.State))
	add("What was shown", r.Answer)
	add("In numbers", r.InNumbers)
	add("Rows that are no test steps", text(r.NotSteps()))
	for _, o := range r.Requirement.Overrides {
		add("Set otherwise", override(o))
	}
	add("What the article did", r.Behaviour)
	add("First test", moment(r.FirstTest, zoneOf(r)))
	add("Last test", moment(r.LastTest, zoneOf(r)))
	add("Times are those of", zoneOf(r).String())
	if b := r.Budget; b != nil {
		add("Expanded uncertainty (dB)", number(b.Expanded))
		add("Coverage factor", number(b.CoverageFactor))
	}
	for _, event := range r.Events {
		what := fmt.Sprintf("%s, run %s: %s", event.Frequency, event.Run, event.Observed)
		if event.Dismissed != "" {
			what += "; dismissed: " + event.Dismissed
		}
		add("Event", what)
	}
	p := r.Program
	add("Evaluated by", strings.Join(filled(p.Name, p.Version, p.Revision), " "))
	add("Evaluation rules", p.RuleSet)
	add("SHA-256 of the manifest", text(r.ManifestDigest))
	return sheet
}

// override says what the job sheet changes of the requirement.
func override(o report.Override) string {
	parts := []string{fmt.Sprintf("%s: %s instead of %s", o.Name(), o.Is, o.Was)}
	if o.Relaxation {
		parts = append(parts, "asks for less than the requirement")
	}
	if o.Reason != "" {
		parts = append(parts, o.Reason)
	}
	if o.AgreedBy != "" {
		parts = append(parts, "agreed by "+o.AgreedBy)
	}
	return strings.Join(parts, "; ")
}

// filled returns the texts that are not empty.
func filled(texts ...string) []string {
	var list []string
	for _, t := range texts {
		if t != "" {
			list = append(list, t)
		}
	}
	return list
}

// findingSheet lists every finding. Clocks from which others follow come first, with
// what follows folded under them.
func findingSheet(r *report.Report) book.Sheet {
	sheet := sheetOf("Findings", 2, []column{
		{"Number", 8, whole, false}, {"Check", 20, "", false}, {"State", 10, "", false}, {"Run", 8, "", false},
		{"Polarization", 13, "", false}, {"Position", 9, whole, false}, {"From (MHz)", 12, megahert, false}, {"To (MHz)", 12, megahert, false},
		{"Finding", 70, "", true}, {"Meaning", 60, "", true}, {"Evidence", 40, "", true}, {"Accepted because", 40, "", true},
		{"Follows from number", 19, whole, false},
	})
	listed := map[int]bool{}
	add := func(i int) {
		sheet.Rows = append(sheet.Rows, findingRow(r, i))
		listed[i] = true
	}
	for _, g := range r.GroupFindings(r.AllFindings()) {
		for k, i := range g.Findings {
			if len(g.Follow) == 0 {
				break
			}
			add(i)
			if k == len(g.Findings)-1 {
				sheet.Rows[len(sheet.Rows)-1][meaningColumn] = strings.TrimSpace(r.Findings[i].Meaning() + " What follows from it as the times stand is folded below: " + r.Following(&g) + ".")
			}
		}
		for _, i := range g.Follow {
			add(i)
			if sheet.Folded == nil {
				sheet.Folded = map[int]bool{}
			}
			sheet.Folded[len(sheet.Rows)-1] = true
		}
	}
	for i := range r.Findings {
		if !listed[i] {
			add(i)
		}
	}
	return sheet
}

// meaningColumn is the index of the column with what a finding may mean.
const meaningColumn = 9

func findingRow(r *report.Report, i int) []any {
	f := &r.Findings[i]
	var reason any
	if f.Deviation > 0 {
		d := &r.Sheet.Deviations[f.Deviation-1]
		reason = text(d.Reason + " Agreed by " + d.AgreedBy + ".")
	}
	return []any{i + 1, f.Check, string(f.State), text(f.Run), text(string(f.Polarization)), count(int(f.Position)),
		frequency(f.From), frequency(f.To), f.Message(), text(f.Meaning()), text(evidence(f)), reason, count(f.Follows)}
}

// evidence writes where a finding can be seen, one place a line.
func evidence(f *report.Finding) string {
	var lines []string
	for _, e := range f.Evidence {
		lines = append(lines, e.String())
	}
	return strings.Join(lines, "\n")
}

func repeatSheet(r *report.Report) book.Sheet {
	sheet := sheetOf("Repeat", 0, []column{{"Polarization", 13, "", false}, {"Position", 9, whole, false},
		{"Frequency (MHz)", 17, megahert, false}, {"Why", 20, "", false}})
	for _, repeat := range r.Repeat {
		sheet.Rows = append(sheet.Rows, []any{string(repeat.Polarization), int(repeat.Position), frequency(repeat.Setting), repeat.Why})
	}
	return sheet
}

func equipmentSheet(r *report.Report) book.Sheet {
	sheet := sheetOf("Equipment", 1, []column{
		{"Asset", 12, "", false}, {"Role", 18, "", false}, {"Description", 40, "", false}, {"Maker", 22, "", false}, {"Model", 16, "", false},
		{"Serial", 12, "", false}, {"Runs", 16, "", false}, {"Calibrated", 12, "", false}, {"Due", 12, "", false}, {"Certificate", 18, "", false},
		{"Traceability", 22, "", false}, {"From (MHz)", 12, megahert, false}, {"To (MHz)", 12, megahert, false}, {"State on the test dates", 50, "", true},
	})
	for i := range r.Equipment {
		e := &r.Equipment[i]
		sheet.Rows = append(sheet.Rows, []any{e.Asset, e.Role, text(e.Description), text(e.Maker), text(e.Model), text(e.Serial),
			text(strings.Join(append(e.Runs[:len(e.Runs):len(e.Runs)], usesOf(e)...), ", ")), date(e.Calibrated), date(e.Due), text(e.Certificate), text(e.Traceability),
			frequency(e.From), frequency(e.To), text(calibrationState(e))})
	}
	return sheet
}

// usesOf says when a probe that was changed within runs was in use.
func usesOf(e *report.Equipment) []string {
	var texts []string
	for _, use := range e.Uses {
		if use.From.IsZero() {
			texts = append(texts, "in "+use.Run+" in use in no visit")
			continue
		}
		texts = append(texts, fmt.Sprintf("in %s from %s to %s", use.Run, use.From.Format(time.DateTime), use.To.Format(time.DateTime)))
	}
	return texts
}

func evidenceSheet(r *report.Report) book.Sheet {
	sheet := sheetOf("Evidence", 1, []column{
		{"File", 32, "", false}, {"Role", 28, "", false}, {"Size (bytes)", 14, whole, false}, {"Rows read", 11, whole, false},
		{"Rows not read", 15, whole, false}, {"First time", 24, "", false}, {"Last time", 24, "", false}, {"SHA-256", 68, "", false},
	})
	for i := range r.Files {
		f := &r.Files[i]
		sheet.Rows = append(sheet.Rows, []any{f.Path, strings.Join(f.Roles, ", "), int(f.Size), f.RowsRead, f.RowsUnread,
			moment(f.First, zoneOf(r)), moment(f.Last, zoneOf(r)), f.SHA256})
	}
	return sheet
}

// The colours of lines, of a set that the colour-blind can tell apart.
const (
	blue      = "0072B2"
	vermilion = "D55E00"
	green     = "009E73"
	sky       = "56B4E9"
)

// plotSheet holds charts of field, power and VSWR of each cell, of the figures in
// the sheet of steps.
func plotSheet(r *report.Report, rows []rowRange) book.Sheet {
	sheet := book.Sheet{Name: "Plots"}
	for i := range r.Cells {
		c := &r.Cells[i]
		if len(c.Steps) < 2 {
			continue // no line
		}
		line := func(column int, colour string, dashed bool) book.Series {
			return book.Series{Sheet: stepsName, X: stepFrequency, Y: column, First: rows[i].first, Last: rows[i].last, Colour: colour, Dashed: dashed}
		}
		what := fmt.Sprintf("cell %d: %s, position %d", i+1, c.Polarization, c.Position)
		for _, chart := range []book.Chart{
			{Title: "Field, " + what, YTitle: "V/m", Series: []book.Series{line(stepSustained, blue, false), line(stepLimit, vermilion, false), line(stepLowest, green, true)}},
			{Title: "Power, " + what, YTitle: "W", Series: []book.Series{line(stepForward, blue, false), line(stepReflected, vermilion, true)}},
			{Title: "VSWR, " + what, YTitle: "VSWR", Series: []book.Series{line(stepVSWR, sky, false)}},
		} {
			chart.Row = len(sheet.Charts) * book.ChartRows
			chart.XTitle = "frequency in MHz"
			chart.XFrom, chart.XTo, chart.Logarithmic = axis(float64(c.From/1e6), float64(c.To/1e6))
			sheet.Charts = append(sheet.Charts, chart)
		}
	}
	return sheet
}

// axis cuts the axis of a range: a wide one is logarithmic, between powers of ten.
func axis(from, to float64) (low, high float64, logarithmic bool) {
	if to < 10*from {
		return from, to, false
	}
	return math.Pow(10, math.Floor(math.Log10(from))), math.Pow(10, math.Ceil(math.Log10(to)-1e-9)), true
}

// calibrationState says how a calibration stood, and why none is required.
func calibrationState(e *report.Equipment) string {
	if e.CalibrationNotRequired && e.CalibrationReason != "" {
		return e.State + ": " + e.CalibrationReason
	}
	return e.State
}
