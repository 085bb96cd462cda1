package demoday

import (
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// sheet fills in the job sheet of a shape's day.
func (b *bench) sheet() jobsheet.Sheet {
	undefined := quantity.Undefined[quantity.Ratio]()
	r := jobsheet.Requirement{File: "requirement.toml", From: quantity.Undefined[quantity.Frequency](), To: quantity.Undefined[quantity.Frequency](),
		Positions: b.Positions, ToleranceLow: quantity.Undefined[quantity.Decibel](), ToleranceHigh: quantity.Undefined[quantity.Decibel](),
		DecisionRule: b.Rule, Guard: b.Guard, MismatchLimit: undefined}
	if b.Settle > 0 {
		r.Settle = &b.Settle
	}
	if b.MaxGap > 0 {
		r.MaxGap = &b.MaxGap
	}
	s := jobsheet.Sheet{
		Report:     jobsheet.Report{Number: "NT-0500", Issued: b.lastDate().AddDate(0, 0, 2), Zone: b.Zone, Page: "A4"},
		Laboratory: jobsheet.Party{Name: "Tallholm EMC Laboratory", Address: "Kaiveien 4, Tallholm"},
		Customer:   jobsheet.Party{Name: "Orrevik Hydrophone Works", Address: "Nordre brygge 11, Orrevik"},
		Article: jobsheet.Article{Name: "towed-array winch controller WK-3", Received: b.Date.AddDate(0, 0, -2), ResponseTime: b.Response,
			Width: 1.2},
		Requirement: r,
		Site:        jobsheet.Site{Name: "Tallholm, hall 2", Chamber: "Chamber 2", Distance: 1, ProbeHeight: 0.3},
		Environment: []jobsheet.Environment{{At: b.now.Add(-time.Minute).In(b.Zone), Temperature: 21.5, Humidity: 0.4, Pressure: 100400}},
		Limits: jobsheet.EnvironmentLimits{Temperature: jobsheet.Range[quantity.Temperature]{Low: 15, High: 35},
			Humidity: jobsheet.Range[quantity.Ratio]{Low: 0.2, High: 0.75}, Pressure: jobsheet.Range[quantity.Pressure]{Low: 86000, High: 106000}},
		Tunings: b.day.Sheet.Tunings,
		Signatures: []jobsheet.Signature{{Role: "tested by", Name: "R. Tallholm", Date: b.lastDate()},
			{Role: "authorised by", Name: "S. Berge", Date: b.lastDate().AddDate(0, 0, 2)}},
	}
	if b.Uncertainty {
		s.Uncertainty = &jobsheet.Uncertainty{CoverageFactor: 2, Contributions: []jobsheet.Contribution{
			{Name: "calibration of the field probe", Value: 0.6, Distribution: "normal", Divisor: 2},
			{Name: "field across the probe's volume", Value: 0.4, Distribution: "normal", Divisor: 1}}}
	}
	return s
}

// lastDate is the date on which the last run ended: a long campaign passes midnight.
func (b *bench) lastDate() time.Time {
	year, month, day := b.now.In(b.Zone).Date()
	return date(year, month, day)
}

// expanded is the expanded uncertainty of the budget above: twice the root of
// 0.3² + 0.4².
const expanded quantity.Decibel = 1

// requirement writes down what the shape requires.
func (b *bench) requirement() *Requirement {
	return &Requirement{Title: "Radiated susceptibility, winch controllers", Source: "Orrevik test specification OTS-88, clause 6.2",
		Dwell: b.Dwell, Modulation: b.Modulation, Sensors: b.Sensors, ToleranceLow: b.ToleranceLow, ToleranceHigh: b.ToleranceHigh,
		Limits: b.Limits, Steps: []Step{{From: b.Limits[0].From, To: b.Limits[len(b.Limits)-1].To * 1.5, Max: b.Step}}}
}

// stock lists the equipment that the runs name, and gives the register what the
// demo's lacks.
func (b *bench) stock() {
	d := b.day
	undefined := quantity.Undefined[quantity.Frequency]()
	low, high := b.Limits[0].From, b.Limits[len(b.Limits)-1].To
	for i := range d.Register.Assets {
		a := &d.Register.Assets[i]
		if quantity.Defined(a.From) {
			a.From, a.To = low/2, high*2
		}
	}
	second := d.Register.Assets[8]
	second.Name, second.Serial, second.Certificate = "FP-04", "4168", "KC-260302-12"
	d.Register.Assets = append(d.Register.Assets, second)
	for i := range d.Register.Assets {
		if a := &d.Register.Assets[i]; !a.Calibrated.IsZero() {
			a.Calibrated = b.Date.AddDate(0, 0, -b.random.IntN(200))
			a.Due = b.lastDate().AddDate(0, 0, b.random.IntN(200))
		}
	}
	verified := "the calibrated field probe verifies the level during the test"
	list := []jobsheet.Equipment{
		{Asset: "AN-07", Role: "antenna", CalibrationNotRequired: true, CalibrationReason: verified},
		{Asset: "PA-02", Role: "amplifier", CalibrationNotRequired: true, CalibrationReason: verified},
		{Asset: "FP-03", Role: "field probe"}, {Asset: "DC-01", Role: "coupler"}, {Asset: "PS-05", Role: "power sensor"},
	}
	if b.Probes > 1 {
		list = append(list, jobsheet.Equipment{Asset: "FP-04", Role: "field probe"})
	}
	for i := range list {
		list[i].From, list[i].To = undefined, undefined
	}
	d.Sheet.Equipment = list
}
