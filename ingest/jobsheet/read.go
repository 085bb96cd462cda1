package jobsheet

import (
	"fmt"
	"math"
	"slices"
	"time"

	"fieldheld/ingest/document"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/ingest/zone"
	"fieldheld/templates/wording"
)

// FileName is the name of the job sheet in a day's folder.
const FileName = "job.toml"

// Use says what a sheet is read for, and with that which tables it needs.
type Use int

// The uses of a sheet.
const (
	Evaluation Use = iota // a test that was made: its report, article, requirement, and runs or days
	Planning              // a test to come: its article and requirement
)

// Parse reads the job sheet of a test that was made. The error is a *place.Error
// with every problem. A sheet with days is complete only after Join.
func Parse(data []byte, file string) (*Sheet, error) { return ParseFor(Evaluation, data, file) }

// ParseFor reads a job sheet for a use. The error is a *place.Error with every
// problem.
func ParseFor(use Use, data []byte, file string) (*Sheet, error) {
	d, err := document.Parse(data, file)
	if err != nil {
		return nil, err
	}
	root := d.Root()
	s := &Sheet{Place: root.Place(), document: d}
	if use == Evaluation {
		root.Require("report")
	}
	root.Require("article", "requirement")
	s.Report = readReport(root.Table("report"), use)
	s.readShared(root)
	s.readLists(root, s.Report.Zone, use)
	s.readDays(root, use)
	root.Close()
	if len(s.Days) == 0 {
		s.crossCheck(root, names{})
	}
	return s, d.Messages.Err()
}

// MostRuns is how many runs a sheet may have.
const MostRuns = 2000

// shared are the tables that several days of a test have in common.
var shared = []string{"report", "laboratory", "customer", "article", "requirement", "uncertainty", "site", "limits_of_environment"}

// readShared reads the shared tables but [report].
func (s *Sheet) readShared(root *document.Table) {
	s.Laboratory = readParty(root, "laboratory", "accreditation")
	s.Customer = readParty(root, "customer", "order")
	s.Article = readArticle(root.Table("article"))
	s.Requirement = readRequirement(root.Table("requirement"))
	if root.Has("uncertainty") {
		s.Uncertainty = readUncertainty(root.Table("uncertainty"))
	} else {
		root.Table("uncertainty")
	}
	s.Site = readSite(root.Table("site"))
	s.Limits = readLimits(root.Table("limits_of_environment"))
}

// readLists reads what each day of a test has of its own.
func (s *Sheet) readLists(root *document.Table, zone *time.Location, use Use) {
	for _, t := range root.Tables("environment") {
		s.Environment = append(s.Environment, readEnvironment(t, zone))
	}
	s.Register = readFile(root, "register", zone)
	for _, t := range root.Tables("equipment") {
		s.Equipment = append(s.Equipment, readEquipment(t))
	}
	for _, t := range root.Tables("tuning") {
		s.Tunings = append(s.Tunings, readTuning(t, zone))
	}
	common := readDefaults(root, zone)
	runs := root.Tables("run")
	if len(runs) > MostRuns {
		root.Fail("run[1]", wording.Say("sheet.too-many-runs", wording.Values{"count": len(runs), "most": MostRuns}))
		runs = runs[:MostRuns]
	}
	for _, t := range runs {
		s.Runs = append(s.Runs, readRun(t, zone, use, common))
	}
	for _, t := range root.Tables("event") {
		s.Events = append(s.Events, readEvent(t, zone))
	}
	for _, t := range root.Tables("incident") {
		s.Incidents = append(s.Incidents, readIncident(t, zone))
	}
	for _, t := range root.Tables("deviation") {
		s.Deviations = append(s.Deviations, readDeviation(t))
	}
	for _, t := range root.Tables("photo") {
		s.Photos = append(s.Photos, readPhoto(t))
	}
	for _, t := range root.Tables("annex") {
		s.Annexes = append(s.Annexes, readAnnex(t))
	}
	for _, t := range root.Tables("witness") {
		s.Witnesses = append(s.Witnesses, readWitness(t, zone))
	}
	for _, t := range root.Tables("signature") {
		s.Signatures = append(s.Signatures, readSignature(t))
	}
	s.Plan = readPlan(root.Table("plan"))
	s.Forecasts = readForecasts(root, zone)
}

func readReport(t *document.Table, use Use) Report {
	if use == Evaluation {
		t.Require("time_zone")
	}
	r := Report{
		Number:     t.Name("number"),
		Revision:   t.Whole("revision", 0, 0),
		Issued:     t.Date("issued"),
		Reason:     t.Text("reason"),
		Replaces:   t.Name("replaces"),
		ChangedBy:  t.Text("changed_by"),
		Procedure:  t.Text("procedure"),
		Marking:    t.Name("marking"),
		Witness:    t.Text("witness"),
		External:   t.Text("external"),
		Conclusion: t.Text("conclusion"),
		Page:       t.Choice("page", "A4", "A4", "Letter"),
		Zone:       readZone(t, "time_zone", time.UTC),
		Omitted:    t.TextsByKey("omitted"),
	}
	r.ReplacesFile = readFile(t, "replaces_file", r.Zone)
	if logo := readPath(t, "logo"); logo != "" {
		r.Logo = &table.Entry{Place: t.PlaceOf("logo"), File: logo}
	}
	if r.Revision > 0 {
		t.Require("reason", "replaces")
	}
	t.Close()
	return r
}

// readZone reads the name of a time zone; fallback where it is absent or unknown.
func readZone(t *document.Table, key string, fallback *time.Location) *time.Location {
	name := t.Text(key)
	if !t.Has(key) {
		return fallback
	}
	found, err := zone.Load(name)
	if err != nil {
		t.Fail(key, wording.Say("sheet.unknown-zone", wording.Values{"found": name}))
		return fallback
	}
	return found
}

// readParty reads [laboratory] or [customer]; extra is the key that only one of them has.
func readParty(root *document.Table, key, extra string) Party {
	t := root.Table(key)
	if root.Has(key) {
		t.Require("name")
	}
	p := Party{Name: t.Name("name"), Address: t.Text("address"), Contact: t.Text("contact")}
	if extra == "order" {
		p.Order = t.Text(extra)
	} else {
		p.Accreditation = t.Text(extra)
	}
	t.Close()
	return p
}

func readArticle(t *document.Table) Article {
	t.Require("name")
	a := Article{
		Name:         t.Name("name"),
		PartNumber:   t.Text("part_number"),
		Serial:       t.Text("serial"),
		Versions:     t.Text("versions"),
		Condition:    t.Text("condition"),
		Received:     t.Date("received"),
		Modes:        t.Texts("modes"),
		ResponseTime: document.Quantity(t, "response_time", 0, "2 s", positiveDuration),
		Width:        document.Quantity(t, "width", quantity.Undefined[quantity.Length](), "1.2 m", quantity.ParseLength),
		Criteria:     t.Text("criteria"),
		Description:  t.Text("description"),
		Monitoring:   t.Text("monitoring"),
		Sampling:     t.Text("sampling"),
		NothingSeen:  t.Texts("nothing_seen"),
	}
	t.Close()
	return a
}

// positiveDuration reads a duration that cannot be negative.
func positiveDuration(text string) (time.Duration, error) {
	d, err := quantity.ParseDuration(text)
	if err == nil && d < 0 {
		err = fmt.Errorf("%q is negative", text)
	}
	return d, err
}

// optionalDuration reads a duration that may be absent.
func optionalDuration(t *document.Table, key, example string) *time.Duration {
	if !t.Has(key) {
		document.Quantity(t, key, 0, example, positiveDuration)
		return nil
	}
	d := document.Quantity(t, key, 0, example, positiveDuration)
	return &d
}

func optionalFrequency(t *document.Table, key string) quantity.Frequency {
	return document.Quantity(t, key, quantity.Undefined[quantity.Frequency](), "30 MHz", quantity.ParseFrequency)
}

func readRequirement(t *document.Table) Requirement {
	r := Requirement{
		Place:         t.Place(),
		Profile:       t.Text("profile"),
		File:          readPath(t, "file"),
		Include:       t.Texts("include"),
		From:          optionalFrequency(t, "from"),
		To:            optionalFrequency(t, "to"),
		Dwell:         optionalDuration(t, "dwell", "3 s"),
		Settle:        optionalDuration(t, "settle", "0.5 s"),
		MaxGap:        optionalDuration(t, "max_gap", "1 s"),
		Polarizations: readPolarizations(t, "polarizations"),
		Positions:     t.Whole("positions", 0, 1),
		Sensors:       t.Choice("sensors", "", "every", "mean"),
		MismatchLimit: quantity.Ratio(t.Number("vswr_max", math.NaN())),
		MinSamples:    quantity.Samples(t.Whole("min_samples", 0, 1)),
		Reasons:       t.TextsByKey("reasons"),
		AgreedBy:      t.Text("agreed_by"),
	}
	for _, step := range t.Tables("step") {
		r.Steps = append(r.Steps, ReadStep(step))
	}
	tolerance := t.Table("tolerance")
	undefined := quantity.Undefined[quantity.Decibel]()
	r.ToleranceLow = document.Quantity(tolerance, "low", undefined, "0 dB", quantity.ParseDecibel)
	r.ToleranceHigh = document.Quantity(tolerance, "high", undefined, "6 dB", quantity.ParseDecibel)
	tolerance.Close()
	decision := t.Table("decision")
	r.DecisionRule = decision.Choice("rule", "", "simple", "guarded")
	r.Guard = quantity.Ratio(decision.Number("guard", math.NaN()))
	decision.Close()
	if t.Has("profile") == t.Has("file") {
		t.Fail("profile", wording.Say("sheet.requirement-named-twice", nil))
	}
	t.Close()
	return r
}

// readPolarizations reads a list of polarizations; nil where it is absent.
func readPolarizations(t *document.Table, key string) []quantity.Polarization {
	if !t.Has(key) {
		return nil
	}
	list := []quantity.Polarization{}
	for _, word := range t.Texts(key) {
		polarization := quantity.Polarization(word)
		if !slices.Contains(quantity.Polarizations(), polarization) {
			t.Fail(key, wording.Say("sheet.no-polarization", wording.Values{"found": word}))
			polarization = quantity.Horizontal
		}
		list = append(list, polarization)
	}
	return list
}

// readPolarization reads one polarization, with the one that stands for none given.
func readPolarization(t *document.Table, otherwise quantity.Polarization) quantity.Polarization {
	return quantity.Polarization(t.Choice("polarization", string(otherwise), string(quantity.Horizontal), string(quantity.Vertical)))
}

func readSite(t *document.Table) Site {
	undefined := quantity.Undefined[quantity.Length]()
	s := Site{
		Name:        t.Name("name"),
		Chamber:     t.Name("chamber"),
		GroundPlane: t.Text("ground_plane"),
		Distance:    document.Quantity(t, "distance", undefined, "1 m", quantity.ParseLength),
		ProbeHeight: document.Quantity(t, "probe_height", undefined, "30 cm", quantity.ParseLength),
		Notes:       t.Text("notes"),
		Bonding:     t.Text("bonding"),
		Cables:      t.Text("cables"),
		Levelling:   t.Text("levelling"),

		ModulationRecord: t.Text("modulation_record"),
	}
	t.Close()
	return s
}

func readEnvironment(t *document.Table, zone *time.Location) Environment {
	e := Environment{
		Place:       t.Place(),
		At:          t.DateTime("at", zone),
		Temperature: document.Quantity(t, "temperature", quantity.Undefined[quantity.Temperature](), "22.5 °C", quantity.ParseTemperature),
		Humidity:    document.Quantity(t, "humidity", quantity.Undefined[quantity.Ratio](), "41 %", quantity.ParsePercent),
		Pressure:    document.Quantity(t, "pressure", quantity.Undefined[quantity.Pressure](), "1004 hPa", quantity.ParsePressure),
	}
	t.Close()
	return e
}

func readLimits(t *document.Table) EnvironmentLimits {
	l := EnvironmentLimits{
		Temperature: readRange(t, "temperature", "15 °C", quantity.ParseTemperature),
		Humidity:    readRange(t, "humidity", "20 %", quantity.ParsePercent),
		Pressure:    readRange(t, "pressure", "860 hPa", quantity.ParsePressure),
	}
	t.Close()
	return l
}

// readRange reads a list of a lower and an upper limit.
func readRange[T quantity.Number](t *document.Table, key, example string, parse func(string) (T, error)) Range[T] {
	values := document.Quantities(t, key, 2, example, parse)
	if values == nil {
		return Range[T]{quantity.Undefined[T](), quantity.Undefined[T]()}
	}
	if values[0] >= values[1] {
		t.Fail(key, wording.Say("sheet.limits-backwards", wording.Values{"first": values[0], "second": values[1]}))
	}
	return Range[T]{Low: values[0], High: values[1]}
}
