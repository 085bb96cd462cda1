package demoday

import (
	"math/rand/v2"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// newDemo sets up the laboratory, the article and the corrections.
func newDemo() *demo {
	modulation := quantity.Modulation{Kind: quantity.Pulse, Rate: 1e3, Amount: 0.5}
	b := &demo{random: rand.New(rand.NewPCG(2026, 1118)), zone: zoneOf("Europe/Oslo"), modulation: modulation, day: &Day{}}
	b.probe = demoCorrection("corrections/fp03.csv", "Field probe FP-03", "KC-260302-11", []CorrectionPoint{
		{20e6, 0.62}, {30e6, 0.41}, {50e6, 0.18}, {80e6, -0.06}, {100e6, -0.17}, {150e6, -0.31}, {200e6, -0.22}, {300e6, 0.08}})
	b.forward = demoCorrection("corrections/dc1-forward.csv", "Coupler DC-01, forward port with cable", "KC-260120-04", []CorrectionPoint{
		{10e6, 50.12}, {30e6, 50.21}, {60e6, 50.34}, {100e6, 50.52}, {150e6, 50.71}, {200e6, 50.93}, {250e6, 51.1}})
	b.reflected = demoCorrection("corrections/dc1-reflected.csv", "Coupler DC-01, reflected port with cable", "KC-260120-04", []CorrectionPoint{
		{10e6, 50.31}, {30e6, 50.38}, {60e6, 50.49}, {100e6, 50.66}, {150e6, 50.9}, {200e6, 51.14}, {250e6, 51.36}})
	return b
}

func demoCorrection(path, what, certificate string, points []CorrectionPoint) *Correction {
	return &Correction{Decibels: true, Certificate: certificate, Points: points, File: File{Entry: table.Entry{File: path},
		Layout: Layout{Preamble: []string{"Tallholm EMC Laboratory", what, "Certificate: " + certificate}, Blank: true}}}
}

// describe fills in the job sheet; missed are the vertical steps that were
// repeated.
func (b *demo) describe(missed []quantity.Frequency) {
	d := b.day
	d.Register = Register{File: File{Entry: table.Entry{File: "equipment.xlsx", Sheet: "Register"}, Layout: Layout{Workbook: true}},
		Assets: demoAssets()}
	settle := demoSettle
	d.Pictures = demoPictures()
	d.Sheet = jobsheet.Sheet{
		Report: jobsheet.Report{Number: "NT-0417", Issued: date(2026, 11, 20), Zone: b.zone, Page: "A4",
			Procedure: "TP-31, revision 2, of 2026-11-02", Witness: "I. Orrevik, Orrevik Hydrophone Works"},
		Laboratory: jobsheet.Party{Name: "Tallholm EMC Laboratory", Address: "Kaiveien 4, Tallholm", Accreditation: "TEST 9941",
			Contact: "lab@tallholm.example"},
		Customer: jobsheet.Party{Name: "Orrevik Hydrophone Works", Address: "Nordre brygge 11, Orrevik", Contact: "I. Orrevik",
			Order: "PO 55-871"},
		Article: jobsheet.Article{Name: "towed-array winch controller WK-3", PartNumber: "WK3-220", Serial: "0017",
			Versions: "hardware C, firmware 4.2", Condition: "new, without damage", Received: date(2026, 11, 16),
			Modes: []string{"paying out at 0.50 m/s, array simulator connected"}, ResponseTime: 2 * time.Second, Width: 1.2,
			Criteria:    "a change of drum speed by more than 5 %, or an alarm that nothing else explains",
			Monitoring:  "R. Tallholm read the drum speed from the array simulator at each step; alarms of the controller sound in the control room",
			Sampling:    "one item, chosen and supplied by the customer",
			Description: "motor controller of a winch in a sealed cabinet, 24 V supply, encoder and control cables of 2 m in the setup"},
		Requirement: b.requirement(settle),
		Uncertainty: demoUncertainty(),
		Site: jobsheet.Site{Name: "Tallholm, hall 2", Chamber: "Chamber 2", GroundPlane: "copper bench, bonded to the chamber wall",
			Distance: 1, ProbeHeight: 0.3,
			Bonding:          "cabinet to bench, four wires of the contact, 0.4 mΩ before the test; limit of the procedure 2.5 mΩ",
			Cables:           "2 m parallel to the front edge, 5 cm above the bench; supply through one network for each lead",
			Levelling:        "RigLevel 3.2 of the laboratory, verified on 2026-10-30, record V-118",
			ModulationRecord: "record M-77 of 2026-11-18: pulse 1 kHz 50 %, on to off ratio 52 dB at the antenna's input",
			Notes:            "Absorbers and door contacts were looked over in the morning."},
		Environment: []jobsheet.Environment{b.environment(8, 50, 21.4, 0.41, 100420), b.environment(12, 10, 22.1, 0.39, 100390),
			b.environment(14, 5, 22.3, 0.38, 100360)},
		Limits: jobsheet.EnvironmentLimits{Temperature: jobsheet.Range[quantity.Temperature]{Low: 15, High: 35},
			Humidity: jobsheet.Range[quantity.Ratio]{Low: 0.2, High: 0.75}, Pressure: jobsheet.Range[quantity.Pressure]{Low: 86000, High: 106000}},
		Equipment:  demoEquipment(),
		Tunings:    b.tunings(missed),
		Events:     b.events(),
		Deviations: b.deviations(),
		Signatures: []jobsheet.Signature{{Role: "tested by", Name: "R. Tallholm", Function: "test engineer", Date: date(2026, 11, 18)},
			{Role: "reviewed by", Name: "S. Berge", Function: "quality manager", Date: date(2026, 11, 19)},
			{Role: "authorised by", Name: "S. Berge", Function: "quality manager", Date: date(2026, 11, 20)}},
	}
}

// demoPictures draws the setup.
func demoPictures() []Picture {
	return []Picture{
		{Data: sideSketch(), Photo: jobsheet.Photo{File: "photos/side.jpg", Caption: "Setup from the side, antenna vertical: 1 m from " +
			"the antenna to the front edge of the setup, field probe 30 cm above the bench."}},
		{Data: topSketch(), Photo: jobsheet.Photo{File: "photos/top.jpg", Caption: "Setup from above, antenna horizontal: the broken " +
			"line is the boundary of the setup, 1.2 m wide; the antenna stands opposite its middle."}},
	}
}

func date(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

func (b *demo) requirement(settle time.Duration) jobsheet.Requirement {
	undefined := quantity.Undefined[quantity.Decibel]()
	return jobsheet.Requirement{Profile: "mil-std-461g-rs103-ships-above-deck-navy", From: demoFrom, To: demoTo, Settle: &settle,
		ToleranceLow: undefined, ToleranceHigh: 6, Guard: quantity.Undefined[quantity.Ratio](),
		MismatchLimit: quantity.Undefined[quantity.Ratio](),
		Reasons: map[string]string{
			"from":           "The range up to 30 MHz was shown on another day with a rod antenna, report NT-0412.",
			"to":             "The range from 200 MHz up was shown on another day with other antennas, report NT-0409.",
			"settle":         "The leveller reaches its level within half a second; readings count from then on.",
			"tolerance.high": "The customer wants no more than twice the level on the article.",
		}}
}

func demoUncertainty() *jobsheet.Uncertainty {
	return &jobsheet.Uncertainty{CoverageFactor: 2, Contributions: []jobsheet.Contribution{
		{Name: "calibration of the field probe", Value: 0.8, Distribution: "normal", Divisor: 2},
		{Name: "isotropy of the field probe", Value: 0.5, Distribution: "rectangular"},
		{Name: "frequency interpolation between calibration points", Value: 0.1, Distribution: "rectangular"},
		{Name: "linearity and temperature of the field probe", Value: 0.3, Distribution: "rectangular"},
		{Name: "modulation factor", Value: 0.15, Distribution: "rectangular"},
		{Name: "field across the probe's volume", Value: 0.4, Distribution: "triangular"},
		{Name: "harmonics in the broadband reading", Value: 0.05, Distribution: "u-shaped"},
		{Name: "repeatability of the level", Value: 0.12, Distribution: "normal", DegreesOfFreedom: 9},
	}}
}

func (b *demo) environment(hour, minute int, t quantity.Temperature, h quantity.Ratio, p quantity.Pressure) jobsheet.Environment {
	return jobsheet.Environment{At: b.clock(hour, minute).In(b.zone), Temperature: t, Humidity: h, Pressure: p}
}

func (b *demo) tunings(missed []quantity.Frequency) []jobsheet.Tuning {
	h := jobsheet.Tuning{Name: "T-H", Polarization: "horizontal", Chamber: "Chamber 2", Made: time.Date(2026, 11, 17, 15, 20, 0, 0, b.zone)}
	for _, f := range repeatedAtEnd(b.day.Find("H1").Dwell.Visits) {
		h.Changes = append(h.Changes, jobsheet.TuningChange{Frequency: f, By: "R. Tallholm", Note: "both elements 4 mm out"})
	}
	v := jobsheet.Tuning{Name: "T-V", Polarization: "vertical", Chamber: "Chamber 2", Made: time.Date(2026, 11, 17, 16, 40, 0, 0, b.zone)}
	for _, f := range missed {
		v.Changes = append(v.Changes, jobsheet.TuningChange{Frequency: f, By: "R. Tallholm", Note: "lower element 6 mm in"})
	}
	return []jobsheet.Tuning{h, v}
}

// repeatedAtEnd returns the frequencies that come after the highest one.
func repeatedAtEnd(visits []Visit) []quantity.Frequency {
	var list []quantity.Frequency
	top := quantity.Frequency(0)
	for _, v := range visits {
		if v.Frequency < top {
			list = append(list, v.Frequency)
		}
		top = max(top, v.Frequency)
	}
	return list
}

func (b *demo) events() []jobsheet.Event {
	visits := b.day.Find("V1").Dwell.Visits
	at := nearest(visits, demoEvent)
	v := visits[at]
	return []jobsheet.Event{{Run: "V1", Frequency: v.Frequency, At: v.Start.Add(1500 * time.Millisecond).In(b.zone).Round(time.Second),
		Observed: "The drum slowed from 0.50 m/s to 0.46 m/s (8 %) at this step and the ones beside it, and came back by itself when " +
			"the field was lowered.",
		Threshold: 142, Criterion: "a change of drum speed by more than 5 %",
		Search: &jobsheet.Search{Recovered: 128, BackedOff: 64, Returned: 142, From: visits[at-1].Frequency, To: visits[at+1].Frequency,
			Worst: v.Frequency}}}
}

func (b *demo) deviations() []jobsheet.Deviation {
	visits := b.day.Find("V1").Dwell.Visits
	below := visits[nearest(visits, demoMast*0.994)].Frequency
	above := visits[nearest(visits, demoMast*1.007)].Frequency
	return []jobsheet.Deviation{{Covers: []string{"step-size"}, Run: "V1", From: below, To: above,
		LevelMin: quantity.Undefined[quantity.FieldStrength](),
		Reason: "The antenna mast resonates in vertical polarization and trips the amplifier: two steps are left out. " +
			"The steps on either side are within 1.5 % of each other and were met.",
		AgreedBy: "I. Orrevik, Orrevik Hydrophone Works, 2026-11-18"}}
}

// demoEquipment lists what was used; the rest of each entry is in the register.
func demoEquipment() []jobsheet.Equipment {
	verified := "the calibrated field probe verifies the level during the test"
	list := []struct{ asset, role, reason string }{
		{"SG-02", "signal generator", verified}, {"PA-02", "amplifier", verified}, {"CB-11", "cable", verified},
		{"DC-01", "coupler", ""}, {"PS-05", "power sensor", ""}, {"PS-06", "power sensor", ""},
		{"AN-07", "antenna", verified}, {"FP-03", "field probe", ""}, {"CH-02", "chamber", "its lining is checked every year; it gives no figure of this report"},
		{"TH-04", "other", ""},
	}
	var equipment []jobsheet.Equipment
	undefined := quantity.Undefined[quantity.Frequency]()
	for _, e := range list {
		equipment = append(equipment, jobsheet.Equipment{Asset: e.asset, Role: e.role, From: undefined, To: undefined,
			CalibrationNotRequired: e.reason != "", CalibrationReason: e.reason})
	}
	return equipment
}

// demoAssets is the laboratory's register.
func demoAssets() []record.Asset {
	undefined := quantity.Undefined[quantity.Frequency]()
	national := "national standard"
	return []record.Asset{
		{Name: "SG-02", Description: "signal generator with pulse modulator", Maker: "Kvernes Instruments", Model: "KSG 6", Serial: "4102", From: 9e3, To: 6e9},
		{Name: "PA-02", Description: "power amplifier 2.5 kW", Maker: "Kvernes Instruments", Model: "KPA 2500", Serial: "4119", From: 10e6, To: 250e6},
		{Name: "CB-11", Description: "cable from amplifier to antenna, 8 m", Maker: "own make", Serial: "11", From: undefined, To: undefined},
		{Name: "DC-01", Description: "dual directional coupler 50 dB", Maker: "Kvernes Instruments", Model: "KDC 50", Serial: "4127",
			Calibrated: date(2026, 1, 20), Due: date(2028, 1, 20), Certificate: "KC-260120-04", Traceability: national, From: 10e6, To: 250e6},
		{Name: "PS-05", Description: "power sensor, forward", Maker: "Sundbrua Elektro", Model: "SP 18", Serial: "771",
			Calibrated: date(2026, 4, 14), Due: date(2027, 4, 14), Certificate: "KC-260414-02", Traceability: national, From: 100e3, To: 6e9},
		{Name: "PS-06", Description: "power sensor, reflected", Maker: "Sundbrua Elektro", Model: "SP 18", Serial: "772",
			Calibrated: date(2026, 4, 14), Due: date(2027, 4, 14), Certificate: "KC-260414-03", Traceability: national, From: 100e3, To: 6e9},
		{Name: "AN-07", Description: "tunable dipole antenna with motor drive", Maker: "own make", Model: "TD 30-200", Serial: "2", From: 30e6, To: 200e6},
		{Name: "AN-11", Description: "horn antenna", Maker: "own make", Model: "H 1-18", Serial: "1", From: 1e9, To: 18e9},
		{Name: "FP-03", Description: "isotropic field probe", Maker: "Sundbrua Elektro", Model: "SF 3", Serial: "4151",
			Calibrated: date(2026, 3, 2), Due: date(2027, 3, 2), Certificate: "KC-260302-11", Traceability: national, From: 100e3, To: 3e9},
		{Name: "CH-02", Description: "lined shielded room, 9 m × 6 m × 5.5 m", Maker: "own make", Serial: "2", From: undefined, To: undefined},
		{Name: "TH-04", Description: "thermometer, hygrometer and barometer", Maker: "Sundbrua Elektro", Model: "SK 1", Serial: "58",
			Calibrated: date(2026, 6, 8), Due: date(2027, 6, 8), Certificate: "KC-260608-07", Traceability: national, From: undefined, To: undefined},
	}
}
