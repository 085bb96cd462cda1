package demoday

import (
	"math"
	"sort"
	"strconv"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// jobSheet writes job.toml.
func (d *Day) jobSheet() string {
	var s sheetText
	d.writeReport(&s)
	d.writeParties(&s)
	d.writeArticle(&s)
	d.writeRequirement(&s)
	d.writeUncertainty(&s)
	d.writeSite(&s)
	d.writeEquipment(&s)
	d.writeTunings(&s)
	for _, run := range d.Runs {
		d.writeRun(&s, run)
	}
	d.writeEvents(&s)
	d.writeDeviations(&s)
	d.writeClosing(&s)
	return s.String()
}

func (d *Day) writeReport(s *sheetText) {
	r := d.Sheet.Report
	s.table("report")
	s.text("number", r.Number)
	s.raw("revision", strconv.Itoa(r.Revision))
	s.text("reason", r.Reason)
	s.text("replaces", r.Replaces)
	s.text("changed_by", r.ChangedBy)
	s.text("procedure", r.Procedure)
	s.text("witness", r.Witness)
	s.text("external", r.External)
	s.text("conclusion", r.Conclusion)
	s.raw("issued", dateText(r.Issued))
	s.text("time_zone", r.Zone.String())
	s.text("page", r.Page)
	s.raw("omitted", textsByKey(r.Omitted))
}

func (d *Day) writeParties(s *sheetText) {
	for _, p := range []struct {
		name  string
		party jobsheet.Party
	}{{"laboratory", d.Sheet.Laboratory}, {"customer", d.Sheet.Customer}} {
		if p.party == (jobsheet.Party{}) {
			continue
		}
		s.table(p.name)
		s.text("name", p.party.Name)
		s.text("address", p.party.Address)
		s.text("accreditation", p.party.Accreditation)
		s.text("contact", p.party.Contact)
		s.text("order", p.party.Order)
	}
}

func (d *Day) writeArticle(s *sheetText) {
	a := d.Sheet.Article
	s.table("article")
	s.text("name", a.Name)
	s.text("part_number", a.PartNumber)
	s.text("serial", a.Serial)
	s.text("versions", a.Versions)
	s.text("condition", a.Condition)
	s.raw("received", dateText(a.Received))
	s.texts("modes", a.Modes)
	if a.ResponseTime > 0 {
		s.text("response_time", durationText(a.ResponseTime))
	}
	s.text("width", lengthText(a.Width))
	s.text("criteria", a.Criteria)
	s.text("monitoring", a.Monitoring)
	s.text("sampling", a.Sampling)
	s.texts("nothing_seen", a.NothingSeen)
	s.text("description", a.Description)
}

func (d *Day) writeRequirement(s *sheetText) {
	r := d.Sheet.Requirement
	s.table("requirement")
	s.text("profile", r.Profile)
	s.text("file", r.File)
	s.texts("include", r.Include)
	s.text("from", frequencyText(r.From))
	s.text("to", frequencyText(r.To))
	for _, o := range []struct {
		key   string
		value *time.Duration
	}{{"dwell", r.Dwell}, {"settle", r.Settle}, {"max_gap", r.MaxGap}} {
		if o.value != nil {
			s.text(o.key, durationText(*o.value))
		}
	}
	s.polarizations(r.Polarizations)
	s.raw("positions", countText(r.Positions))
	s.text("sensors", r.Sensors)
	s.raw("vswr_max", numberText(r.MismatchLimit))
	var tolerance inline
	tolerance.text("low", decibelText(r.ToleranceLow))
	tolerance.text("high", decibelText(r.ToleranceHigh))
	if tolerance != nil {
		s.raw("tolerance", tolerance.String())
	}
	var decision inline
	decision.text("rule", r.DecisionRule)
	decision.raw("guard", numberText(r.Guard))
	if decision != nil {
		s.raw("decision", decision.String())
	}
	s.raw("reasons", textsByKey(r.Reasons))
}

// textsByKey writes a table of texts, its keys in order, "" for an empty one.
func textsByKey(texts map[string]string) string {
	keys := make([]string, 0, len(texts))
	for key := range texts {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	var t inline
	for _, key := range keys {
		if strings.ContainsAny(key, " .") {
			t.text(quote(key), texts[key])
		} else {
			t.text(key, texts[key])
		}
	}
	if t == nil {
		return ""
	}
	return t.String()
}

func (d *Day) writeUncertainty(s *sheetText) {
	u := d.Sheet.Uncertainty
	if u == nil {
		return
	}
	s.table("uncertainty")
	s.raw("coverage_factor", numberText(u.CoverageFactor))
	for _, c := range u.Contributions {
		s.WriteString("[[uncertainty.contribution]]\n")
		s.text("name", c.Name)
		s.text("value", decibelText(c.Value))
		s.text("distribution", c.Distribution)
		if c.Divisor > 0 {
			s.raw("divisor", numberText(c.Divisor))
		}
		if c.Sensitivity > 0 {
			s.raw("sensitivity", numberText(c.Sensitivity))
		}
		if c.DegreesOfFreedom > 0 && !math.IsInf(c.DegreesOfFreedom, 1) {
			s.raw("degrees_of_freedom", numberText(quantity.Ratio(c.DegreesOfFreedom)))
		}
	}
}

func (d *Day) writeSite(s *sheetText) {
	site := d.Sheet.Site
	s.table("site")
	s.text("name", site.Name)
	s.text("chamber", site.Chamber)
	s.text("ground_plane", site.GroundPlane)
	s.text("distance", lengthText(site.Distance))
	s.text("probe_height", lengthText(site.ProbeHeight))
	s.text("bonding", site.Bonding)
	s.text("cables", site.Cables)
	s.text("levelling", site.Levelling)
	s.text("modulation_record", site.ModulationRecord)
	s.text("notes", site.Notes)
	for _, e := range d.Sheet.Environment {
		s.entry("environment")
		s.raw("at", timeText(e.At, d.Location()))
		s.text("temperature", temperatureText(e.Temperature))
		s.text("humidity", percentText(e.Humidity))
		s.text("pressure", pressureText(e.Pressure))
	}
	limits := d.Sheet.Limits
	s.table("limits_of_environment")
	s.raw("temperature", rangeText(limits.Temperature, temperatureText))
	s.raw("humidity", rangeText(limits.Humidity, percentText))
	s.raw("pressure", rangeText(limits.Pressure, pressureText))
}

func (d *Day) writeEquipment(s *sheetText) {
	if len(d.Register.Assets) > 0 {
		s.table("register")
		s.text("file", d.Register.Entry.File)
		s.text("sheet", d.Register.Entry.Sheet)
	}
	for _, e := range d.Sheet.Equipment {
		s.entry("equipment")
		s.text("asset", e.Asset)
		s.text("role", e.Role)
		s.text("description", e.Description)
		s.text("maker", e.Maker)
		s.text("model", e.Model)
		s.text("serial", e.Serial)
		s.raw("calibrated", dateText(e.Calibrated))
		s.raw("due", dateText(e.Due))
		s.text("certificate", e.Certificate)
		s.text("traceability", e.Traceability)
		s.text("from", frequencyText(e.From))
		s.text("to", frequencyText(e.To))
		if e.CalibrationNotRequired {
			s.text("calibration", "not required")
			s.text("calibration_reason", e.CalibrationReason)
		}
	}
}

func (d *Day) writeTunings(s *sheetText) {
	for _, t := range d.Sheet.Tunings {
		s.entry("tuning")
		s.text("name", t.Name)
		s.text("polarization", string(t.Polarization))
		s.text("chamber", t.Chamber)
		s.raw("made", timeText(t.Made, d.Location()))
		if len(t.Changes) == 0 {
			continue
		}
		s.WriteString("change = [\n")
		for _, c := range t.Changes {
			var change inline
			change.text("frequency", frequencyText(c.Frequency))
			change.text("by", c.By)
			change.text("note", c.Note)
			s.WriteString("  " + change.String() + ",\n")
		}
		s.WriteString("]\n")
	}
}

func (d *Day) writeEvents(s *sheetText) {
	for _, e := range d.Sheet.Events {
		s.entry("event")
		s.text("run", e.Run)
		s.text("frequency", frequencyText(e.Frequency))
		s.raw("at", timeText(e.At, d.Location()))
		s.text("observed", e.Observed)
		s.text("threshold", fieldText(e.Threshold))
		s.text("criterion", e.Criterion)
		if e.Search != nil {
			s.raw("search", searchText(e.Search))
		}
	}
}

// searchText writes how a threshold was found.
func searchText(search *jobsheet.Search) string {
	var t inline
	t.text("recovered", fieldText(search.Recovered))
	t.text("backed_off", fieldText(search.BackedOff))
	t.text("returned", fieldText(search.Returned))
	t.text("from", frequencyText(search.From))
	t.text("to", frequencyText(search.To))
	t.text("worst", frequencyText(search.Worst))
	return t.String()
}

func (d *Day) writeDeviations(s *sheetText) {
	for _, v := range d.Sheet.Deviations {
		s.entry("deviation")
		s.texts("covers", v.Covers)
		s.text("run", v.Run)
		s.text("from", frequencyText(v.From))
		s.text("to", frequencyText(v.To))
		s.text("level_min", fieldText(v.LevelMin))
		s.text("reason", v.Reason)
		s.text("agreed_by", v.AgreedBy)
	}
}

func (d *Day) writeClosing(s *sheetText) {
	for _, p := range d.Pictures {
		s.entry("photo")
		s.text("file", p.File)
		s.text("caption", p.Caption)
	}
	for _, g := range d.Sheet.Signatures {
		s.entry("signature")
		s.text("role", g.Role)
		s.text("name", g.Name)
		s.text("function", g.Function)
		s.raw("date", dateText(g.Date))
	}
}

// writeRun writes one [[run]] with its files.
func (d *Day) writeRun(s *sheetText, run *Run) {
	r := run.Sheet
	s.entry("run")
	s.text("id", r.ID)
	s.text("polarization", string(r.Polarization))
	s.raw("position", countText(int(r.Position)))
	if r.Modulation != nil {
		s.text("modulation", r.Modulation.String())
	}
	s.text("antenna", r.Antenna)
	s.text("amplifier", r.Amplifier)
	s.text("tuning", r.Tuning)
	s.text("forward_max", powerText(r.ForwardMax))
	s.raw("dwell", d.inlineEntry(run.Dwell.Entry).String())
	if run.Power != nil {
		power := d.inlineEntry(run.Power.Entry)
		if run.Forward != nil {
			power.raw("forward_correction", d.correctionEntry(run.Forward))
		}
		if run.Reflected != nil {
			power.raw("reflected_correction", d.correctionEntry(run.Reflected))
		}
		s.raw("power", power.String())
	}
	if run.Motion != nil {
		s.raw("motion", d.inlineEntry(run.Motion.Entry).String())
	}
	for _, p := range run.Probes {
		s.WriteString("[[run.probe]]\n")
		for _, line := range d.inlineEntry(p.Log.Entry) {
			s.WriteString(line + "\n")
		}
		s.text("asset", p.Sheet.Asset)
		if p.Correction != nil {
			s.raw("correction", d.correctionEntry(p.Correction))
		}
		s.text("detector", p.Sheet.Detector)
		if p.Sheet.Unmodulated {
			s.text("reading", "unmodulated")
		}
		s.raw("modulation_factor", numberText(p.Sheet.ModulationFactor))
		s.raw("range", rangeText(p.Sheet.Range, fieldText))
		s.text("height", lengthText(p.Sheet.Height))
		s.text("place", p.Sheet.Standing)
		s.raw("from", timeText(p.Sheet.From, d.Location()))
		s.raw("to", timeText(p.Sheet.To, d.Location()))
	}
	for _, h := range r.Harmonics {
		s.WriteString("[[run.harmonic]]\n")
		s.text("frequency", frequencyText(h.Frequency))
		s.raw("order", strconv.Itoa(h.Order))
		s.text("level", fieldText(h.Field))
		s.text("level", with(h.Level, 1, "dBc"))
	}
}

// correctionEntry writes a correction's entry: a bare path where that is enough.
func (d *Day) correctionEntry(c *Correction) string {
	entry := d.inlineEntry(c.Entry)
	if len(entry) == 1 {
		return quote(c.Entry.File)
	}
	return entry.String()
}
