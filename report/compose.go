package report

import (
	"math"
	"sort"
	"strings"
	"time"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
)

// cell adds the statistics to a cell.
func (c *composer) cell(i int) Cell {
	judged := c.verdict.Cells[i]
	cell := Cell{Cell: judged, Findings: c.verdict.Acting[i]}
	var margins, held, vswr, forward, above []Extreme
	noLevel := 0
	for k := range judged.Steps {
		v := judged.Steps[k].Best
		run := c.subject.Evaluated.Runs[v.Run].ID
		note := func(list *[]Extreme, x float64) {
			if !math.IsNaN(x) && !math.IsInf(x, 0) {
				*list = append(*list, Extreme{Value: x, Frequency: v.Frequency(), Run: run})
			}
		}
		note(&margins, float64(v.Margin))
		note(&held, float64(v.Held))
		note(&vswr, float64(v.Power.VSWR))
		note(&forward, float64(v.Power.Forward))
		note(&above, float64(c.subject.Day.Runs[v.Run].Sheet.ForwardMax.Over(v.Power.Forward)))
		if !quantity.Defined(v.Sustained) {
			noLevel++
		}
	}
	cell.Statistics = Statistics{NoLevel: noLevel, Risk: math.NaN()}
	headroom, _, _ := spread(above)
	cell.Statistics.Headroom = quantity.Decibel(headroom.Value)
	cell.Statistics.LeastMargin, cell.Statistics.MedianMargin, cell.Statistics.GreatestMargin = spread(margins)
	cell.Statistics.LeastHeld, _, _ = spread(held)
	_, _, cell.Statistics.GreatestVSWR = spread(vswr)
	_, _, cell.Statistics.GreatestForward = spread(forward)
	for k := range judged.Steps {
		v, least := judged.Steps[k].Best, &cell.Statistics.LeastMargin
		if float64(v.Margin) == least.Value && v.Frequency() == least.Frequency && v.Budget != nil {
			cell.Statistics.Risk = 1 - v.Budget.ConformanceProbability(v.Margin)
			cell.Statistics.Asked = c.subject.Requirement.Rule.Margin(v.Budget)
			break
		}
	}
	return cell
}

// spread returns the least, the median and the greatest of the values; all
// undefined where there are none. The median is the lower of the two in the
// middle, so that it has a frequency.
func spread(list []Extreme) (least, median, greatest Extreme) {
	if len(list) == 0 {
		return noExtreme(), noExtreme(), noExtreme()
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Value < list[j].Value })
	return list[0], list[(len(list)-1)/2], list[len(list)-1]
}

func (c *composer) run(i int) Run {
	run := Run{Run: c.verdict.Runs[i], Sheet: c.subject.Day.Runs[i].Sheet, MedianForward: quantity.Undefined[quantity.Power]()}
	var forward []float64
	if len(run.Visits) == 0 {
		for _, v := range run.OtherRows {
			run.span(v.Record.Start.In(c.zone()), v.Record.End.In(c.zone()))
		}
	}
	for _, v := range run.Visits {
		run.span(v.Record.Start.In(c.zone()), v.Record.End.In(c.zone()))
		if quantity.Defined(v.Power.Forward) {
			forward = append(forward, float64(v.Power.Forward))
		}
	}
	run.MedianForward = quantity.Power(quantity.Median(forward))
	return run
}

// span widens the times of a run.
func (run *Run) span(first, last time.Time) {
	if run.First.IsZero() || first.Before(run.First) {
		run.First = first
	}
	if last.After(run.Last) {
		run.Last = last
	}
}

// testTimes returns the start of the first and the end of the last visit.
func (c *composer) testTimes() (first, last time.Time) {
	for i := range c.subject.Evaluated.Runs {
		run := c.run(i)
		if len(run.Visits) == 0 {
			continue
		}
		if first.IsZero() || !run.First.IsZero() && run.First.Before(first) {
			first = run.First
		}
		if run.Last.After(last) {
			last = run.Last
		}
	}
	return first, last
}

func (c *composer) equipment(e *ingest.Equipment) Equipment {
	listed := Equipment{Equipment: e.Equipment, RegisterRow: e.RegisterRow}
	for i := range c.subject.Day.Runs {
		if names(&c.subject.Day.Runs[i], e.Asset) {
			listed.Runs = append(listed.Runs, c.subject.Day.Runs[i].Sheet.ID)
		}
	}
	listed.Uses = c.uses(e.Asset)
	listed.State = c.calibrationState(e, listed.Runs)
	return listed
}

// uses are the parts of runs in which a probe was in use, where the sheet bounds them.
func (c *composer) uses(asset string) []Use {
	var uses []Use
	for i := range c.subject.Evaluated.Runs {
		sheet := c.subject.Day.Runs[i].Sheet
		for _, u := range c.subject.Evaluated.Runs[i].Uses {
			switch probe := &sheet.Probes[u.Probe]; {
			case probe.Asset != asset || !probe.IsBounded():
			case u.InUse():
				uses = append(uses, Use{Run: sheet.ID, From: u.First.In(c.zone()), To: u.Last.In(c.zone())})
			default:
				uses = append(uses, Use{Run: sheet.ID})
			}
		}
	}
	return uses
}

// names reports whether a run names an asset.
func names(run *ingest.Run, asset string) bool {
	if run.Sheet.Antenna == asset || run.Sheet.Amplifier == asset {
		return true
	}
	for i := range run.Sheet.Probes {
		if run.Sheet.Probes[i].Asset == asset {
			return true
		}
	}
	return false
}

// calibrationState says in words how an asset's calibration stood on the test dates.
func (c *composer) calibrationState(e *ingest.Equipment, runs []string) string {
	if e.CalibrationNotRequired {
		return "not required"
	}
	if len(runs) > 0 && !c.wasUsed(e.Asset) {
		return "in use in no visit"
	}
	for i := range c.verdict.Findings {
		f := &c.verdict.Findings[i]
		if f.Check != "calibration" || f.Asset != e.Asset {
			continue
		}
		if f.Run == "" && len(runs) == 0 || contains(runs, f.Run) {
			return "not covered: see findings"
		}
	}
	return "valid"
}

// wasUsed reports whether an asset was in use in a visit of any run.
func (c *composer) wasUsed(asset string) bool {
	for i := range c.subject.Day.Runs {
		if !names(&c.subject.Day.Runs[i], asset) {
			continue
		}
		if first, _ := c.subject.DatesOfUse(asset, i); !first.IsZero() {
			return true
		}
	}
	return false
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

// corrections lists every correction table once, with what it corrects.
func (c *composer) corrections() []Correction {
	var list []Correction
	add := func(table *record.Correction, use, run string) {
		if table == nil {
			return
		}
		for i := range list {
			if list[i].File.Path == table.File.Path && list[i].Use == use {
				if !contains(list[i].Runs, run) {
					list[i].Runs = append(list[i].Runs, run)
				}
				return
			}
		}
		list = append(list, Correction{Correction: *table, Use: use, Runs: []string{run}})
	}
	for i := range c.subject.Day.Runs {
		run := &c.subject.Day.Runs[i]
		for _, probe := range run.Probes {
			add(probe.Correction, strings.TrimSpace("field probe "+probe.Sheet.Asset), run.Sheet.ID)
		}
		add(run.ForwardCorrection, "forward power", run.Sheet.ID)
		add(run.ReflectedCorrection, "reflected power", run.Sheet.ID)
	}
	return list
}

func (c *composer) files() []File {
	var files []File
	for _, f := range c.subject.Day.Files {
		file := File(f)
		if !file.First.IsZero() {
			file.First, file.Last = file.First.In(c.zone()), file.Last.In(c.zone())
		}
		files = append(files, file)
	}
	return files
}

// events completes each event with the limit that the requirement sets at its
// frequency and its run's polarization, whether or not a step was held there, and
// with the level of such a step. Without a frequency, or outside the required
// range, there is no limit to compare a threshold with.
func (c *composer) events() []Event {
	var events []Event
	for i := range c.subject.Day.Sheet.Events {
		event := Event{Event: c.subject.Day.Sheet.Events[i],
			Limit: quantity.Undefined[quantity.FieldStrength](), Level: quantity.Undefined[quantity.FieldStrength]()}
		for k := range c.subject.Evaluated.Runs {
			run := &c.subject.Evaluated.Runs[k]
			if event.Run == "" || event.Run == run.ID {
				event.Limit = quantity.Higher(event.Limit, c.subject.Requirement.Limit(event.Frequency, run.Polarization))
			}
		}
		for _, v := range c.subject.VisitsAt(event.Run, event.Frequency) {
			event.Level = quantity.Higher(event.Level, v.Sustained)
		}
		event.BelowLimit = event.Dismissed == "" && quantity.Defined(event.Limit) && quantity.Defined(event.Threshold) && !event.Threshold.AtLeast(event.Limit)
		events = append(events, event)
	}
	return events
}

// example picks the visit with the least margin of all that are met, or of all
// that have a field, and spells its chain from a raw reading to a verdict.
func (c *composer) example() *Example {
	var chosen *Visit
	for i := range c.verdict.Runs {
		for _, v := range c.verdict.Runs[i].Visits {
			if !quantity.Defined(v.Margin) || len(v.Sources) == 0 {
				continue
			}
			if chosen == nil || better(v, chosen) {
				chosen = v
			}
		}
	}
	if chosen == nil {
		return nil
	}
	p := &chosen.Sources[chosen.Deciding]
	return &Example{Visit: chosen, Run: c.subject.Evaluated.Runs[chosen.Run].ID, File: p.File, Row: p.LowestRow,
		Raw: p.LowestRaw, Ledger: p.Ledger, Final: p.LowestRaw * quantity.FieldStrength(p.Factor)}
}

func better(a, b *Visit) bool {
	if (a.State == Met) != (b.State == Met) {
		return a.State == Met
	}
	return a.Margin < b.Margin
}

func sortedKeys(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for key := range m {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	return keys
}
