package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	files "fieldheld/ingest/table"
	"fieldheld/report"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
	"fieldheld/templates/wording"
)

// day says what kind of day a made-up report is of.
type day struct {
	steps    int // steps of a run
	runs     int // runs, of both polarizations in turn, each pair at its own position
	page     string
	clean    bool // nothing is wrong
	wrong    int  // every so many steps one is not met; 0 a few by hand
	revision int
}

var (
	testZone    = time.FixedZone("", 3600)
	testMorning = time.Date(2026, 11, 18, 8, 4, 30, 0, testZone)
)

// fixture makes up a report: pieces of a day at 200 V/m from 30 MHz to 200 MHz.
func fixture(d day) *report.Report {
	f := &fixtureMaker{day: d, report: &report.Report{
		Program: report.Program{Name: "fieldheld", Version: "0.1.0", Revision: "0123abc", RuleSet: "1.0",
			RuleDigest: "5f70bf18a086007016e948b04aed3b82103a36bea41755b6cddfaf10ace3c6ef"},
		ManifestDigest: "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08",
	}}
	f.sheet()
	f.requirement()
	for i := range d.runs {
		f.run(i)
	}
	f.cells()
	f.rest()
	return f.report
}

type fixtureMaker struct {
	day    day
	report *report.Report
}

func (f *fixtureMaker) sheet() {
	issued := time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)
	f.report.Sheet = &jobsheet.Sheet{
		Report:     jobsheet.Report{Number: "NT-0417", Revision: f.day.revision, Issued: issued, Zone: testZone, Page: f.day.page},
		Laboratory: jobsheet.Party{Name: "Tallholm EMC Laboratory", Address: "Kaiveien 4, Tallholm", Accreditation: "TEST 9941", Contact: "lab@tallholm.example"},
		Customer:   jobsheet.Party{Name: "Orrevik Hydrophone Works", Address: "Nordre brygge 11, Orrevik", Contact: "I. Orrevik", Order: "PO 55-871"},
		Article: jobsheet.Article{Name: "towed-array winch controller WK-3", PartNumber: "WK3-220", Serial: "0017", Versions: "hardware C, firmware 2.14",
			Condition: "new, transport packing unharmed", Received: time.Date(2026, 11, 16, 0, 0, 0, 0, time.UTC),
			Modes: []string{"standby", "paying out at 0.5 m/s"}, ResponseTime: 2 * time.Second, Width: 1.2,
			Criteria:    "a change of drum speed by more than 5 %, or a reset of the controller",
			Description: "motor controller of the winch that pays out and hauls in the towed hydrophone array; sealed cabinet, 3 × 400 V supply, two shielded signal cables of 2 m"},
		Site: jobsheet.Site{Name: "Tallholm, hall 2", Chamber: "Chamber 2", GroundPlane: "copper bench, 2.5 m × 1 m, bonded to the wall",
			Distance: 1, ProbeHeight: 0.3, Notes: "absorbers checked in the morning"},
		Environment: []jobsheet.Environment{
			{At: testMorning, Temperature: 21.5, Humidity: 0.41, Pressure: 100400},
			{At: testMorning.Add(5 * time.Hour), Temperature: 22.1, Humidity: 0.4, Pressure: 100300},
		},
		Limits: jobsheet.EnvironmentLimits{Temperature: jobsheet.Range[quantity.Temperature]{Low: 15, High: 35},
			Humidity: jobsheet.Range[quantity.Ratio]{Low: 0.2, High: 0.75}, Pressure: jobsheet.Range[quantity.Pressure]{Low: 86000, High: 106000}},
		Tunings: []jobsheet.Tuning{
			{Name: "T-H", Polarization: "horizontal", Chamber: "Chamber 2", Made: testMorning.Add(-16 * time.Hour),
				Changes: []jobsheet.TuningChange{{Frequency: 41.2e6, By: "R. Tallholm", Note: "capacitor two steps down, after the reflection rose"}}},
			{Name: "T-V", Polarization: "vertical", Chamber: "Chamber 2", Made: testMorning.Add(-15 * time.Hour)},
		},
		Photos:     []jobsheet.Photo{{File: "photos/setup.jpg", Caption: "The article on the bench, seen from the antenna"}, {File: "photos/probe.png", Caption: "The field probe beside the cabinet"}},
		Signatures: []jobsheet.Signature{{Role: "tested by", Name: "R. Tallholm", Date: issued}, {Role: "reviewed by", Name: "K. Orr", Date: issued}, {Role: "authorised by", Name: "S. Berge", Date: issued}},
	}
	f.report.Sheet.Requirement.MismatchLimit = 4
}

func (f *fixtureMaker) requirement() {
	budget := uncertainty.Combine([]uncertainty.Contribution{
		{Name: "probe calibration", Value: 1, Distribution: "normal", Divisor: 2, Sensitivity: 1, DegreesOfFreedom: 50},
		{Name: "probe isotropy", Value: 0.43, Distribution: "rectangular", Divisor: quantity.Ratio(math.Sqrt(3)), Sensitivity: 1, DegreesOfFreedom: math.Inf(1)},
		{Name: "field homogeneity in the probe volume", Value: 0.2, Distribution: "triangular", Divisor: quantity.Ratio(math.Sqrt(6)), Sensitivity: 1, DegreesOfFreedom: math.Inf(1)},
	}, 2)
	f.report.Budget = &budget
	f.report.Requirement = &requirement.Requirement{
		File: "requirement.toml", Title: "Field immunity of deck machinery", Source: "Orrevik works standard OW 312, clause 6.4, edition 2",
		Limits: []requirement.Limit{{From: 30e6, To: 200e6, LowLevel: 200, HighLevel: 200, Polarizations: []quantity.Polarization{"horizontal", "vertical"}}},
		Steps:  []requirement.StepRule{{From: 30e6, To: 1e9, Max: 0.005}},
		Dwell:  3 * time.Second, Response: 2 * time.Second, Settle: 500 * time.Millisecond,
		Modulation: quantity.Modulation{Kind: quantity.Pulse, Rate: 1000, Amount: 0.5}, Sensors: "every",
		ToleranceHigh: 6, Positions: max(1, (f.day.runs+1)/2),
		Notes:     []string{"The level is that of the unmodulated carrier, or while a pulse is on."},
		Overrides: []requirement.Override{{Key: "requirement.settle", Was: "0 s", Is: "0.5 s", Reason: "the amplifier needs it to settle"}},
	}
}

// run makes up a run whose field wanders above the limit.
func (f *fixtureMaker) run(i int) {
	polarization, id := "horizontal", fmt.Sprintf("H%d", i/2+1)
	if i%2 == 1 {
		polarization, id = "vertical", fmt.Sprintf("V%d", i/2+1)
	}
	sheet := &jobsheet.Run{ID: id, Polarization: quantity.Polarization(polarization), Position: quantity.Position(i/2 + 1), Antenna: "AN-07", Amplifier: "PA-02", Tuning: "T-" + id[:1], ForwardMax: 2500,
		Dwell: files.Entry{File: "dwell/" + id + ".csv"}, Power: &files.Entry{File: "power/power.xlsx", Sheet: id, ClockOffset: -800 * time.Millisecond},
		Probes: []jobsheet.Probe{{Log: files.Entry{File: "probe/" + id + ".csv"}, Asset: "FP-03", Correction: &files.Entry{File: "corrections/fp03.csv"},
			Detector: "rms", ModulationFactor: quantity.Undefined[quantity.Ratio](), Range: jobsheet.Range[quantity.FieldStrength]{Low: 0.5, High: 800}, Height: 0.3}}}
	run := report.Run{Run: check.Run{Run: evaluate.Run{ID: id, Polarization: quantity.Polarization(polarization), Position: quantity.Position(i/2 + 1)}}, Sheet: sheet, MedianForward: 900}
	at := testMorning.Add(time.Duration(i) * 70 * time.Minute)
	run.First = at
	add := func(k int, frequency float64, raise float64) {
		v := f.visit(i, k, frequency, at, raise)
		v.Index = len(run.Visits)
		run.Visits = append(run.Visits, v)
		at = at.Add(8 * time.Second)
	}
	frequency := 30e6
	ratio := math.Pow(200.0/30, 1/float64(max(1, f.day.steps-1)))
	for k := range f.day.steps {
		if k == f.day.steps-1 {
			frequency = 200e6
		}
		raise := 1.0
		if f.unmet(i, k) || f.repeated(i, k) {
			raise = 0.93
		}
		rounded := math.Round(frequency/100) * 100
		add(k, rounded, raise)
		if f.repeated(i, k) {
			add(k, rounded, 1)
			run.Visits[len(run.Visits)-1].Repeats = true
		}
		frequency *= ratio
	}
	run.Last = at
	f.report.Runs = append(f.report.Runs, run)
}

func (f *fixtureMaker) unmet(run, k int) bool {
	switch {
	case f.day.clean:
		return false
	case f.day.wrong > 0:
		return k%f.day.wrong == 1
	default:
		return run == 1 && (k == 140 || k == 141 || k == 290)
	}
}

func (f *fixtureMaker) repeated(run, k int) bool {
	return !f.day.clean && run == 0 && (k == 64 || k == 65 || k == 210)
}

// visit makes up a visit; raise multiplies its field.
func (f *fixtureMaker) visit(run, k int, frequency float64, at time.Time, raise float64) *report.Visit {
	wave := math.Sin(float64(k)/9+float64(run)) + 0.4*math.Sin(float64(k)/2.3)
	sustained := quantity.FieldStrength((206.5 + 2.6*wave) * raise)
	vswr := 2.1 + 0.8*math.Sin(float64(k)/23+float64(run)) + 0.2*math.Sin(float64(k)/3)
	gamma := (vswr - 1) / (vswr + 1)
	forward := 1150 * math.Pow(30e6/frequency, 0.9) * (1.15 + 0.12*math.Sin(float64(k)/5)) / (1 - gamma*gamma)
	v := &report.Visit{State: check.Met, Visit: &evaluate.Visit{Run: run, Limit: 200, Lowest: 200, Highest: quantity.FieldStrength(200).Plus(6), Required: 3 * time.Second,
		DwellFile: "dwell/h1.csv", Samples: 50, Sustained: sustained, Minimum: sustained * 0.9991, Median: sustained * 1.004, Maximum: sustained * 1.012, Held: 4.5,
		Margin: sustained.Over(200), Power: evaluate.PowerFigures{Count: 50, Forward: quantity.Power(forward), Reflected: quantity.Power(forward * gamma * gamma),
			VSWR: quantity.Ratio(vswr), PerRootWatt: float64(sustained) / math.Sqrt(forward)}}}
	v.Record.Frequency = quantity.Frequency(frequency)
	v.Record.Start, v.Record.End = quantity.InstantOf(at), quantity.InstantOf(at.Add(5*time.Second))
	v.Conformance = f.report.Budget.ConformanceProbability(v.Margin)
	if raise < 1 {
		v.State, v.Held = check.NotMet, 0
	}
	v.Sources = []evaluate.SourceFigures{{Asset: "FP-03", Ledger: []evaluate.Factor{
		{Name: "probe correction", Source: "corrections/fp03.csv", Value: 1.035}, {Name: "modulation", Source: "rms detector, pulse 1 kHz 50 %", Value: quantity.Ratio(math.Sqrt2)}}}}
	return v
}

// cells sorts the visits into cells, and finds what is wrong with them.
func (f *fixtureMaker) cells() {
	r := f.report
	for i := range r.Runs {
		run := &r.Runs[i]
		c := report.Cell{Cell: check.Cell{State: check.Met, Cell: evaluate.Cell{Polarization: run.Polarization, Position: run.Position, From: 30e6, To: 200e6, Resolution: 100, Runs: []int{i}}}}
		for _, v := range run.Visits {
			if n := len(c.Steps); n > 0 && c.Steps[n-1].Frequency == v.Frequency() {
				c.Steps[n-1].Visits = append(c.Steps[n-1].Visits, v)
				c.Steps[n-1].Best = v
				continue
			}
			c.Steps = append(c.Steps, report.Step{Step: evaluate.Step{Frequency: v.Frequency(), Limit: 200, Lowest: 200}, Visits: []*report.Visit{v}, Best: v})
		}
		for k := range c.Steps {
			c.Steps[k].State = c.Steps[k].Best.State
			if c.Steps[k].State == check.Met {
				c.StepsMet++
			} else {
				c.State = check.NotMet
				f.stepFinding(&c, i, &c.Steps[k])
			}
		}
		f.hole(&c, i)
		c.Statistics = statisticsOf(&c, run.ID, r.Budget)
		r.Cells = append(r.Cells, c)
	}
}

func (f *fixtureMaker) stepFinding(c *report.Cell, run int, step *report.Step) {
	v := step.Best
	state := check.Open
	if c.Polarization == "vertical" && f.day.wrong == 0 && v.Frequency() > 100e6 {
		state = check.Accepted
		step.State = check.MetWithDeviations
	}
	finding := report.Finding{Check: "level", State: state, Run: f.report.Runs[run].ID, Polarization: c.Polarization, Position: c.Position, From: v.Frequency(), To: v.Frequency(),
		Text: wording.Say("level.below", wording.Values{"level": wording.Say("level.sustained", wording.Values{"field": v.Sustained}),
			"off": fmt.Sprintf("%.2f dB", -float64(v.Margin)), "lowest": v.Lowest, "forward": v.Power.Forward, "needed": ""}),
		Evidence: []check.Evidence{{File: "probe/" + f.report.Runs[run].ID + ".csv", First: 1201, Last: 1250}}, Visit: check.VisitRef{Run: run + 1, Visit: v.Index + 1}}
	if state == check.Accepted {
		finding.Deviation = 1
	} else {
		f.report.Repeat = append(f.report.Repeat, report.Repeat{Polarization: c.Polarization, Position: c.Position, Frequency: v.Frequency(), Setting: v.Frequency(), Why: "level"})
	}
	c.Findings = append(c.Findings, len(f.report.Findings))
	f.report.Findings = append(f.report.Findings, finding)
}

// hole leaves some steps of the second run out.
func (f *fixtureMaker) hole(c *report.Cell, run int) {
	if f.day.clean || run != 1 || len(c.Steps) < 210 {
		return
	}
	from, to := c.Steps[200].Frequency, c.Steps[206].Frequency
	c.Steps = append(c.Steps[:201:201], c.Steps[206:]...)
	c.StepsMet -= 5
	c.Holes = []report.Hole{{Hole: evaluate.Hole{From: from, To: to, Check: "step-size"}}}
	c.Findings = append(c.Findings, len(f.report.Findings))
	f.report.Findings = append(f.report.Findings, report.Finding{Check: "step-size", State: check.Open, Run: f.report.Runs[run].ID, Polarization: c.Polarization, Position: c.Position,
		From: from, To: to, Text: wording.Say("step-size", wording.Values{"apart": "3.0 %", "allowed": "0.5 %", "resolution": ""}),
		Evidence: []check.Evidence{{File: "dwell/V1.csv", First: 203, Last: 204}}})
}

func statisticsOf(c *report.Cell, run string, b *uncertainty.Budget) report.Statistics {
	s := report.Statistics{Headroom: 2.2, Risk: math.NaN()}
	none := report.Extreme{Value: math.NaN(), Frequency: quantity.Undefined[quantity.Frequency]()}
	s.LeastMargin, s.MedianMargin, s.GreatestMargin, s.LeastHeld, s.GreatestVSWR, s.GreatestForward = none, none, none, none, none, none
	for i := range c.Steps {
		v := c.Steps[i].Best
		note := func(e *report.Extreme, x float64, more bool) {
			if math.IsNaN(e.Value) || (x > e.Value) == more && x != e.Value {
				*e = report.Extreme{Value: x, Frequency: v.Frequency(), Run: run}
			}
		}
		note(&s.LeastMargin, float64(v.Margin), false)
		note(&s.GreatestMargin, float64(v.Margin), true)
		note(&s.LeastHeld, float64(v.Held), false)
		note(&s.GreatestVSWR, float64(v.Power.VSWR), true)
		note(&s.GreatestForward, float64(v.Power.Forward), true)
	}
	s.MedianMargin = s.LeastMargin
	if len(c.Steps) > 0 {
		s.Risk = 1 - b.ConformanceProbability(quantity.Decibel(s.LeastMargin.Value))
	}
	return s
}

// rest adds what does not depend on the runs.
func (f *fixtureMaker) rest() {
	r := f.report
	r.State, r.Answer = report.Demonstrated, "The test field met Field immunity of deck machinery (Orrevik works standard OW 312, clause 6.4, edition 2) in every required range, polarization and position, by the decision rule of simple acceptance."
	r.Behaviour = "No susceptibility of the article was observed over the whole required range."
	if len(r.Runs) > 0 {
		r.FirstTest, r.LastTest = r.Runs[0].First, r.Runs[len(r.Runs)-1].Last
	}
	if !f.day.clean {
		r.State = report.NotDemonstrated
		r.Answer = "It was not demonstrated that the test field met Field immunity of deck machinery (Orrevik works standard OW 312, clause 6.4, edition 2): 1 of 2 combinations of range, polarization and position are shown, by the decision rule of simple acceptance."
		r.Behaviour = "One event of susceptibility was observed, none with a threshold below the limit; see section 10."
		r.Sheet.Deviations = []jobsheet.Deviation{{Covers: []string{"level"}, Run: "V1", From: 120e6, To: 130e6, Reason: "the article has no function above 100 MHz", AgreedBy: "I. Orrevik, by letter of 2026-11-17"}}
		r.Events = []report.Event{{Event: jobsheet.Event{Run: "H1", Frequency: 61.4e6, At: testMorning.Add(40 * time.Minute), Observed: "drum speed fell by 7 % and came back within 2 s", Threshold: 203, Criterion: "a change of drum speed by more than 5 %"}, Limit: 200, Level: 206.2}}
		r.Findings = append(r.Findings, report.Finding{Check: "record", State: check.Note, From: quantity.Undefined[quantity.Frequency](), To: quantity.Undefined[quantity.Frequency](),
			Text: wording.Say("record.unreadable", wording.Values{"reason": "found \"--\" in the column of the field, expected a number"}), Evidence: []check.Evidence{{File: "probe/H1.csv", First: 812, Last: 812}}})
	}
	r.Equipment = []report.Equipment{
		{Equipment: jobsheet.Equipment{Asset: "AN-07", Role: "antenna", Description: "tunable antenna, 30 MHz to 200 MHz", Serial: "221", CalibrationNotRequired: true, CalibrationReason: "checked by the field probe"}, Runs: []string{"H1", "V1"}, State: "not required"},
		{Equipment: jobsheet.Equipment{Asset: "FP-03", Role: "field probe", Description: "isotropic field probe, 100 kHz to 6 GHz", Serial: "4471", Calibrated: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC), Due: time.Date(2027, 3, 2, 0, 0, 0, 0, time.UTC), Certificate: "CAL-26-0388", Traceability: "accredited laboratory"}, Runs: []string{"H1", "V1"}, State: "valid"},
		{Equipment: jobsheet.Equipment{Asset: "PS-05", Role: "power sensor", Description: "power sensor", Serial: "90", Calibrated: time.Date(2026, 1, 12, 0, 0, 0, 0, time.UTC), Due: time.Date(2027, 1, 12, 0, 0, 0, 0, time.UTC), Certificate: "CAL-26-0101", Traceability: "accredited laboratory"}, State: "valid"},
	}
	f.corrections()
	for _, file := range []struct {
		path, role string
		rows       int
	}{{"corrections/fp03.csv", "correction table", 34}, {"dwell/H1.csv", "dwell record", 384}, {"equipment.xlsx", "register", 9}, {"job.toml", "job sheet", 0}, {"photos/setup.jpg", "photo", 0}, {"power/power.xlsx", "power file", 38200}, {"probe/H1.csv", "probe log", 34120}, {"probe/V1.csv", "probe log", 33990}} {
		entry := report.File{Path: file.path, Roles: []string{file.role}, Size: 1000 + int64(file.rows)*37, SHA256: "2cf24dba5fb0a30e26e83b2ac5b9e29e1b161e5c1fa7425e73043362938b9824", RowsRead: file.rows}
		if file.rows > 300 {
			entry.First, entry.Last = testMorning, testMorning.Add(50*time.Minute)
		}
		r.Files = append(r.Files, entry)
	}
	if len(r.Runs) > 0 && len(r.Runs[0].Visits) > 0 {
		v := r.Runs[0].Visits[0]
		raw := float64(v.Sustained) / 1.035 / math.Sqrt2
		r.Example = &report.Example{Visit: v, Run: r.Runs[0].ID, File: "probe/H1.csv", Row: 37, Raw: quantity.FieldStrength(raw), Ledger: v.Sources[0].Ledger, Final: v.Sustained}
	}
}

func (f *fixtureMaker) corrections() {
	c := report.Correction{Use: "field probe FP-03", Runs: []string{"H1", "V1"}}
	c.File.Path, c.InDecibels, c.Certificate = "corrections/fp03.csv", true, "CAL-26-0388"
	for k := range 34 {
		c.Points = append(c.Points, record.CorrectionPoint{Frequency: quantity.Frequency(30e6 + 5e6*float64(k)), Factor: quantity.Decibel(0.3 * math.Sin(float64(k)/4))})
	}
	f.report.Corrections = []report.Correction{c}
}

// testPhoto makes up photos of equal width, one of each kind.
func testPhoto(file string) ([]byte, error) {
	picture := image.NewRGBA(image.Rect(0, 0, 640, 420))
	for y := range 420 {
		for x := range 640 {
			shade := uint8(120 + 60*math.Sin(float64(x)/90) + 40*math.Cos(float64(y)/70))
			picture.Set(x, y, color.RGBA{shade, shade - 10, uint8(len(file) * 8), 255})
		}
	}
	var b bytes.Buffer
	if file == "photos/setup.jpg" {
		err := jpeg.Encode(&b, picture, nil)
		return b.Bytes(), err
	}
	err := png.Encode(&b, picture)
	return b.Bytes(), err
}
