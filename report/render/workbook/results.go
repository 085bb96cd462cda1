package workbook

import (
	"fmt"
	"math"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/book"
)

// The names of the sheets that others refer to.
const stepsName = "Steps"

func cellSheet(r *report.Report) book.Sheet {
	sheet := sheetOf("Cells", 1, []column{
		{"Cell", 6, whole, false}, {"Polarization", 13, "", false}, {"Position", 9, whole, false},
		{"From (MHz)", 12, megahert, false}, {"To (MHz)", 12, megahert, false}, {"State", 20, "", false},
		{"Steps met", 11, whole, false}, {"Steps", 8, whole, false}, {"Holes", 8, whole, false},
		{"Least margin (dB)", 18, signed, false}, {"at (MHz)", 12, megahert, false}, {"Median margin (dB)", 19, signed, false},
		{"Greatest margin (dB)", 21, signed, false}, {"Risk at least margin", 21, part, false}, {"Least held (s)", 15, three, false},
		{"Greatest forward (W)", 21, watt, false}, {"Headroom (dB)", 15, signed, false}, {"Greatest VSWR", 15, two, false},
		{"Steps without level", 19, whole, false}, {"Open findings", 40, "", true},
	})
	for i := range r.Cells {
		c := &r.Cells[i]
		s := c.Statistics
		if s.NoLevel > 0 { // the margin of the other steps is not that of the cell
			s.LeastMargin.Value, s.LeastMargin.Frequency, s.Risk = math.NaN(), quantity.Undefined[quantity.Frequency](), math.NaN()
		}
		sheet.Rows = append(sheet.Rows, []any{i + 1, string(c.Polarization), int(c.Position), frequency(c.From), frequency(c.To), c.State.String(),
			c.StepsMet, len(c.Steps), len(c.Holes), number(s.LeastMargin.Value), frequency(s.LeastMargin.Frequency),
			number(s.MedianMargin.Value), number(s.GreatestMargin.Value), number(s.Risk), number(s.LeastHeld.Value),
			number(s.GreatestForward.Value), number(s.Headroom), number(s.GreatestVSWR.Value),
			s.NoLevel, text(r.Why(c))})
	}
	return sheet
}

// figureColumns are the figures of a visit.
var figureColumns = []column{
	{"Limit (V/m)", 12, field, false}, {"Lowest acceptable (V/m)", 24, field, false}, {"Sustained (V/m)", 17, field, false},
	{"Minimum (V/m)", 15, field, false}, {"Median (V/m)", 14, field, false}, {"Maximum (V/m)", 15, field, false},
	{"Margin (dB)", 13, signed, false}, {"Conformance probability", 24, part, false}, {"Required (s)", 13, three, false},
	{"Held (s)", 10, three, false}, {"Samples", 10, whole, false}, {"Forward (W)", 13, watt, false}, {"Reflected (W)", 14, watt, false},
	{"Net (W)", 10, watt, false}, {"VSWR", 8, two, false}, {"Field per root watt (V/m/√W)", 29, three, false},
	{"Forward for the limit (W)", 26, watt, false},
}

// The columns of the sheet of steps that charts show, from 1.
const (
	stepFrequency = 4
	stepLimit     = 6
	stepLowest    = 7
	stepSustained = 8
	stepForward   = 17
	stepReflected = 18
	stepVSWR      = 20
)

func figures(v *report.Visit) []any {
	return []any{number(v.Limit), number(v.Lowest), number(v.Sustained), number(v.Minimum), number(v.Median), number(v.Maximum),
		number(v.Margin), number(v.Conformance), v.Required.Seconds(), number(v.Held), int(v.Samples),
		number(v.Power.Forward), number(v.Power.Reflected), number(v.Power.Net), number(v.Power.VSWR),
		number(v.Power.PerRootWatt), number(v.Power.ForLimit)}
}

// rowRange is the rows of a sheet that belong to one cell.
type rowRange struct{ first, last int }

// eachProbe is what each probe shows by itself, where runs have several.
var eachProbe = column{"Each probe", 60, "", true}

// stepSheet lists the steps, cell by cell, each with the figures of its best
// visit. Its second result are the rows of each cell.
func stepSheet(r *report.Report) (book.Sheet, []rowRange) {
	columns := append([]column{{"Cell", 6, whole, false}, {"Polarization", 13, "", false}, {"Position", 9, whole, false},
		{"Frequency (MHz)", 17, megahert, false}, {"State", 20, "", false}}, figureColumns...)
	columns = append(columns, column{"Visits", 9, whole, false}, column{"Run", 8, "", false}, column{"Start", 24, "", false}, column{"End", 24, "", false})
	several := r.SeveralProbes()
	if several {
		columns = append(columns, eachProbe)
	}
	sheet := sheetOf(stepsName, 4, columns)
	var ranges []rowRange
	for i := range r.Cells {
		c := &r.Cells[i]
		first := len(sheet.Rows) + 1
		for k := range c.Steps {
			s := &c.Steps[k]
			v := s.Best
			row := append([]any{i + 1, string(c.Polarization), int(c.Position), frequency(s.Frequency), s.State.String()}, figures(v)...)
			row = append(row, len(s.Visits), r.Runs[v.Run].ID, start(r, v), end(r, v))
			if several {
				row = append(row, text(r.Runs[v.Run].EachProbeText(v)))
			}
			sheet.Rows = append(sheet.Rows, row)
		}
		ranges = append(ranges, rowRange{first, len(sheet.Rows)})
	}
	return sheet, ranges
}

func start(r *report.Report, v *report.Visit) any { return moment(v.Record.Start.UTC(), zoneOf(r)) }
func end(r *report.Report, v *report.Visit) any   { return moment(v.Record.End.UTC(), zoneOf(r)) }

func zoneOf(r *report.Report) *time.Location { return r.Sheet.Report.Zone }

// visitSheet lists every visit, run by run, in the order of the dwell records.
func visitSheet(r *report.Report) book.Sheet {
	columns := append([]column{{"Run", 8, "", false}, {"Polarization", 13, "", false}, {"Position", 9, whole, false},
		{"Frequency (MHz)", 17, megahert, false}, {"State", 20, "", false}}, figureColumns...)
	columns = append(columns, column{"Modulation", 20, "", false}, column{"Repeat", 9, "", false}, column{"Start", 24, "", false}, column{"End", 24, "", false},
		column{"Dwell record", 24, "", false}, column{"Row", 7, whole, false}, column{"Available (V/m)", 17, field, false}, column{"Observation", 40, "", true}, column{"Probe log", 24, "", false},
		column{"First row", 11, whole, false}, column{"Last row", 11, whole, false})
	sheet := sheetOf("Visits", 4, columns)
	for i := range r.Runs {
		run := &r.Runs[i]
		for _, v := range run.Visits {
			var repeat any
			if v.Repeats {
				repeat = "repeat"
			}
			row := append([]any{run.ID, string(run.Polarization), int(run.Position), frequency(v.Frequency()), v.State.String()}, figures(v)...)
			row = append(row, v.Modulation.String(), repeat, start(r, v), end(r, v), v.DwellFile, count(v.Record.Row),
				number(v.Available), text(v.Record.Observation))
			if v.Deciding < len(v.Sources) {
				p := &v.Sources[v.Deciding]
				row = append(row, text(p.File), count(p.Window.First), count(p.Window.Last))
			}
			sheet.Rows = append(sheet.Rows, row)
		}
	}
	return sheet
}

// otherRowSheet lists the rows of dwell records that are no test steps.
func otherRowSheet(r *report.Report) book.Sheet {
	sheet := sheetOf("Others", 3, []column{{"Run", 8, "", false}, {"Purpose", 12, "", false}, {"Frequency (MHz)", 17, megahert, false},
		{"Start", 24, "", false}, {"End", 24, "", false}, {"Level set", 14, "", false}, {"Minimum (V/m)", 15, field, false}, {"Maximum (V/m)", 15, field, false},
		{"Forward (W)", 14, watt, false}, {"Observation", 40, "", true}, {"Dwell record", 24, "", false}, {"Row", 7, whole, false}})
	for i := range r.Runs {
		for _, v := range r.Runs[i].OtherRows {
			sheet.Rows = append(sheet.Rows, []any{r.Runs[i].ID, string(v.Record.Purpose), frequency(v.Frequency()), moment(v.Record.Start.UTC(), zoneOf(r)),
				moment(v.Record.End.UTC(), zoneOf(r)), text(v.Record.LevelSet), number(v.Minimum), number(v.Maximum), number(v.Power.Forward),
				text(v.Record.Observation), v.DwellFile, count(v.Record.Row)})
		}
	}
	return sheet
}

// probeSheet lists what each probe shows of each visit by itself, where a run has
// several; it is not there where none has.
func probeSheet(r *report.Report) (sheet book.Sheet, several bool) {
	sheet = sheetOf("Probes", 3, []column{{"Run", 8, "", false}, {"Frequency (MHz)", 17, megahert, false}, {"Start", 24, "", false},
		{"Probe", 12, "", false}, {"Samples", 10, whole, false}, {"Invalid", 9, whole, false}, {"Minimum (V/m)", 15, field, false},
		{"Median (V/m)", 15, field, false}, {"Maximum (V/m)", 15, field, false}, {"Factor", 10, three, false}, {"Valid stretch (s)", 16, three, false},
		{"Gives the level", 15, "", false}, {"Probe log", 24, "", false}, {"First row", 11, whole, false}, {"Last row", 11, whole, false}})
	for i := range r.Runs {
		for _, v := range r.Runs[i].Visits {
			for _, p := range r.Runs[i].EachProbe(v) {
				var decides any
				if p.LowestRow > 0 {
					decides = fmt.Sprintf("row %d", p.LowestRow)
				}
				sheet.Rows = append(sheet.Rows, []any{r.Runs[i].ID, frequency(v.Frequency()), start(r, v), text(p.Asset), int(p.Samples), int(p.Invalid),
					number(p.Minimum), number(p.Median), number(p.Maximum), number(p.Factor), number(p.ValidStretch), decides, p.File,
					count(p.Window.First), count(p.Window.Last)})
			}
		}
	}
	return sheet, len(sheet.Rows) > 1
}
