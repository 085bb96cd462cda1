package jobsheet

import (
	"math"
	"path"
	"strings"
	"time"
	"unicode/utf8"

	"fieldheld/ingest/document"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// roles are what an asset can be in a setup.
var roles = []string{"antenna", "amplifier", "field probe", "coupler", "power sensor", "signal generator", "cable", "chamber", "other"}

func readEquipment(t *document.Table) Equipment {
	t.Require("asset", "role")
	e := Equipment{
		Place:        t.Place(),
		Asset:        t.Name("asset"),
		Role:         t.Choice("role", "other", roles...),
		Description:  t.Text("description"),
		Maker:        t.Text("maker"),
		Model:        t.Text("model"),
		Serial:       t.Text("serial"),
		Calibrated:   t.Date("calibrated"),
		Due:          t.Date("due"),
		Certificate:  t.Text("certificate"),
		Traceability: t.Text("traceability"),
		From:         optionalFrequency(t, "from"),
		To:           optionalFrequency(t, "to"),
		RatedPower:   optionalPower(t, "rated_power"),
	}
	e.CalibrationNotRequired = t.Choice("calibration", "required", "required", "not required") == "not required"
	e.CalibrationReason = t.Text("calibration_reason")
	if e.CalibrationNotRequired {
		t.Require("calibration_reason")
	}
	t.Close()
	return e
}

func readTuning(t *document.Table, zone *time.Location) Tuning {
	t.Require("name")
	tuning := Tuning{
		Place:        t.Place(),
		Name:         t.Name("name"),
		Polarization: readPolarization(t, ""),
		Chamber:      t.Name("chamber"),
		Made:         t.DateTime("made", zone),
	}
	for _, c := range t.Tables("change") {
		tuning.Changes = append(tuning.Changes, TuningChange{
			Frequency: optionalFrequency(c, "frequency"), By: c.Text("by"), Note: c.Text("note")})
		c.Close()
	}
	t.Close()
	return tuning
}

func readRun(t *document.Table, zone *time.Location, use Use, common defaults) Run {
	t.Require("id", "polarization")
	if use == Evaluation {
		t.Require("dwell", "probe")
	}
	r := Run{
		Place:        t.Place(),
		ID:           t.Name("id"),
		Polarization: readPolarization(t, quantity.Horizontal),
		Position:     quantity.Position(t.Whole("position", 1, 1)),
		Antenna:      t.Text("antenna"),
		Amplifier:    t.Text("amplifier"),
		Tuning:       t.Text("tuning"),
		ForwardMax:   optionalPower(t, "forward_max"),
		Purpose:      quantity.Purpose(t.Choice("purpose", "", quantity.Purposes()...)),
		Motion:       readFileWith(t, "motion", zone, common.motion),
	}
	if t.Has("modulation") {
		m := document.Quantity(t, "modulation", quantity.Modulation{}, "pulse 1 kHz 50 %", quantity.ParseModulation)
		r.Modulation = &m
	} else {
		t.Text("modulation")
	}
	if entry := readFileWith(t, "dwell", zone, common.dwell); entry != nil {
		r.Dwell = *entry
	}
	if power := t.Table("power"); t.Has("power") {
		power.Inherit(common.power)
		r.Power, r.ForwardCorrection, r.ReflectedCorrection = readPower(power, zone)
	}
	probes := t.Tables("probe")
	for _, p := range probes {
		p.Inherit(common.probe)
		r.Probes = append(r.Probes, readProbe(p, zone))
	}
	r.checkPlaces(probes)
	for _, h := range t.Tables("harmonic") {
		r.Harmonics = append(r.Harmonics, readHarmonic(h))
	}
	t.Close()
	return r
}

// readPower reads the entry of a power file with its corrections.
func readPower(t *document.Table, zone *time.Location) (power, forward, reflected *table.Entry) {
	entry := readEntry(t, zone)
	forward, reflected = readFile(t, "forward_correction", zone), readFile(t, "reflected_correction", zone)
	t.Close()
	return &entry, forward, reflected
}

// readHarmonic reads a harmonic whose level is written over the fundamental
// ("-30 dBc") or as a field ("0.475 V/m").
func readHarmonic(t *document.Table) Harmonic {
	t.Require("frequency", "order", "level")
	h := Harmonic{Place: t.Place(), Frequency: optionalFrequency(t, "frequency"), Order: t.Whole("order", 2, 2),
		Level: quantity.Undefined[quantity.Decibel](), Field: quantity.Undefined[quantity.FieldStrength]()}
	document.Quantity(t, "level", false, "-30 dBc", func(text string) (bool, error) {
		var err error
		if number, isLevel := strings.CutSuffix(text, "dBc"); isLevel {
			h.Level, err = quantity.ParseDecibel(number + "dB")
			return true, err
		}
		h.Field, err = quantity.ParseFieldStrength(text)
		return true, err
	})
	t.Close()
	return h
}

// optionalPower reads a rating; NaN where it is absent.
func optionalPower(t *document.Table, key string) quantity.Power {
	return document.Quantity(t, key, quantity.Undefined[quantity.Power](), "2500 W", quantity.ParsePower)
}

func readProbe(t *document.Table, zone *time.Location) Probe {
	p := Probe{
		Place:            t.Place(),
		Log:              readEntry(t, zone),
		Asset:            t.Name("asset"),
		Correction:       readFile(t, "correction", zone),
		Detector:         t.Choice("detector", "", "rms", "peak", "mean"),
		Unmodulated:      t.Choice("reading", "modulated", "modulated", "unmodulated") == "unmodulated",
		ModulationFactor: quantity.Ratio(t.Number("modulation_factor", math.NaN())),
		Range:            readRange(t, "range", "0.5 V/m", quantity.ParseFieldStrength),
		Height:           document.Quantity(t, "height", quantity.Undefined[quantity.Length](), "30 cm", quantity.ParseLength),
		Standing:         t.Name("place"),
	}
	p.From, p.To = readSpan(t, zone)
	t.Close()
	return p
}

// readFileWith reads a file entry that takes what it does not say from a default,
// which may be nil; nil where the entry is absent.
func readFileWith(t *document.Table, key string, zone *time.Location, common *document.Table) *table.Entry {
	if common == nil || !t.Has(key) {
		return readFile(t, key, zone)
	}
	sub := t.Entry(key, "file")
	sub.Inherit(common)
	entry := readEntry(sub, zone)
	sub.Close()
	return &entry
}

// readFile reads a file entry that is a path or a table; nil where it is absent.
func readFile(t *document.Table, key string, zone *time.Location) *table.Entry {
	if !t.Has(key) {
		t.Text(key)
		return nil
	}
	if t.IsText(key) {
		entry := table.Entry{Place: t.PlaceOf(key), File: readPath(t, key),
			FrequencyResolution: quantity.Undefined[quantity.Frequency]()}
		return &entry
	}
	sub := t.Table(key)
	entry := readEntry(sub, zone)
	sub.Close()
	return &entry
}

// columns are the keys of `columns` and `units`.
var columns = []table.Column{table.Time, table.Date, table.Field, table.AxisX, table.AxisY, table.AxisZ, table.Frequency,
	table.Status, table.Forward, table.Reflected, table.Start, table.End, table.Duration, table.Run, table.Polarization,
	table.Position, table.Modulation, table.Purpose, table.Factor}

// readEntry reads the keys that say how a file is read. Closing the table is
// the caller's, as some entries have keys of their own.
func readEntry(t *document.Table, zone *time.Location) table.Entry {
	t.Require("file")
	e := table.Entry{
		Place:               t.PlaceOf("file"),
		File:                readPath(t, "file"),
		Sheet:               t.Text("sheet"),
		ClockOffset:         document.Quantity(t, "clock_offset", 0, "-2.4 s", quantity.ParseDuration),
		Zone:                readZone(t, "time_zone", nil),
		Delimiter:           readCharacter(t, "delimiter"),
		Decimal:             readCharacter(t, "decimal"),
		HeaderRow:           t.Whole("header_row", 0, 0),
		FrequencyResolution: optionalFrequency(t, "frequency_resolution"),
		TimeFormat:          t.Text("time_format"),
		Units:               readUnits(t),
	}
	e.Columns, e.Numbers, e.NoStatus = readColumns(t)
	e.Ignored = t.Texts("ignore_columns")
	e.StatusGood, e.StatusBad = t.Texts("status_good"), t.Texts("status_bad")
	e.NoHeader = t.Has("header_row") && e.HeaderRow == 0
	if e.NoHeader && len(e.Numbers) == 0 {
		t.Fail("header_row", wording.Say("sheet.no-header-no-numbers", nil))
	}
	if e.Zone != nil {
		zone = e.Zone
	}
	e.Start = t.DateTime("start", zone)
	if e.Decimal != 0 && e.Decimal != '.' && e.Decimal != ',' {
		t.Fail("decimal", wording.Say("sheet.no-decimal-mark", wording.Values{"found": string(e.Decimal)}))
	}
	return e
}

// readPath reads a path inside the day's folder. Reading confines it there as
// well; here the writer learns the line.
func readPath(t *document.Table, key string) string {
	written := t.Text(key)
	if written == "" {
		return ""
	}
	slashed := strings.ReplaceAll(written, `\`, "/")
	if strings.HasPrefix(slashed, "/") || strings.Contains("/"+slashed+"/", "/../") || len(slashed) > 1 && slashed[1] == ':' {
		t.Fail(key, wording.Say("sheet.path-leaves", wording.Values{"found": written}))
		return ""
	}
	if why := notEverywhere(slashed); !why.IsZero() {
		t.Fail(key, wording.Say("sheet.path-not-everywhere", wording.Values{"why": why, "found": written}))
		return ""
	}
	return path.Clean(slashed) // one way to write it, so that two entries of one file are seen to be that
}

func readCharacter(t *document.Table, key string) rune {
	text := t.Character(key)
	if text == "" {
		return 0
	}
	r, size := utf8.DecodeRuneInString(text)
	if size != len(text) {
		t.Fail(key, wording.Say("sheet.more-than-one-character", wording.Values{"found": text, "key": key}))
	}
	return r
}

// readColumns reads which column holds which quantity: by the words of its heading,
// or by its number, from 1. An empty word for the status says that there is none.
func readColumns(t *document.Table) (words map[table.Column]string, numbers map[table.Column]int, noStatus bool) {
	sub := t.Table("columns")
	words, numbers = map[table.Column]string{}, map[table.Column]int{}
	for _, c := range columns {
		switch key := string(c); {
		case !sub.Has(key):
			sub.Text(key)
		case !sub.IsText(key):
			if n := sub.Whole(key, 0, 1); n > 0 {
				numbers[c] = n
			}
		case sub.Text(key) == "" && c == table.Status:
			noStatus = true
		case sub.Text(key) == "":
			sub.Fail(key, wording.Say("sheet.names-no-column", nil))
		default:
			words[c] = sub.Text(key)
		}
	}
	sub.Close()
	return words, numbers, noStatus
}

// readUnits reads the units of columns.
func readUnits(t *document.Table) map[table.Column]string {
	sub := t.Table("units")
	units := map[table.Column]string{}
	for _, c := range columns {
		if text := sub.Text(string(c)); text != "" {
			units[c] = text
		}
	}
	sub.Close()
	return units
}

func readEvent(t *document.Table, zone *time.Location) Event {
	t.Require("observed")
	e := Event{
		Place:     t.Place(),
		Run:       t.Text("run"),
		Frequency: optionalFrequency(t, "frequency"),
		At:        t.DateTime("at", zone),
		Observed:  t.Text("observed"),
		Threshold: document.Quantity(t, "threshold", quantity.Undefined[quantity.FieldStrength](), "142 V/m", quantity.ParseFieldStrength),
		Criterion: t.Text("criterion"),
		Dismissed: t.Text("dismissed"),
	}
	if search := t.Table("search"); t.Has("search") {
		e.Search = readSearch(search)
	}
	t.Close()
	return e
}

func readIncident(t *document.Table, zone *time.Location) Incident {
	t.Require("at", "what")
	i := Incident{Place: t.Place(), At: t.DateTime("at", zone), Run: t.Text("run"), What: t.Text("what"), Done: t.Text("done"), Article: t.Text("article")}
	t.Close()
	return i
}

func readSearch(t *document.Table) *Search {
	level := func(key string) quantity.FieldStrength {
		return document.Quantity(t, key, quantity.Undefined[quantity.FieldStrength](), "142 V/m", quantity.ParseFieldStrength)
	}
	s := &Search{Recovered: level("recovered"), BackedOff: level("backed_off"), Returned: level("returned"),
		From: optionalFrequency(t, "from"), To: optionalFrequency(t, "to"), Worst: optionalFrequency(t, "worst")}
	t.Close()
	return s
}

func readPhoto(t *document.Table) Photo {
	t.Require("file")
	p := Photo{Place: t.PlaceOf("file"), File: readPath(t, "file"), Caption: t.Text("caption")}
	t.Close()
	return p
}

func readAnnex(t *document.Table) Annex {
	t.Require("file", "title")
	a := Annex{Place: t.PlaceOf("file"), File: readPath(t, "file"), Title: t.Name("title")}
	t.Close()
	return a
}

func readWitness(t *document.Table, zone *time.Location) Witness {
	t.Require("name")
	w := Witness{Place: t.Place(), Name: t.Name("name"), Organisation: t.Name("organisation"), Function: t.Name("function"), Present: t.Text("present")}
	w.From, w.To = t.DateTime("from", zone), t.DateTime("to", zone)
	if !w.From.IsZero() && !w.To.IsZero() && !w.From.Before(w.To) {
		t.Fail("to", wording.Say("witness.gone-before", wording.Values{"from": clockTime(w.From), "to": clockTime(w.To)}))
	}
	t.Close()
	return w
}

func readSignature(t *document.Table) Signature {
	t.Require("role", "name")
	s := Signature{
		Role:     t.Choice("role", "", "tested by", "reviewed by", "authorised by"),
		Name:     t.Name("name"),
		Function: t.Text("function"),
		Date:     t.Date("date"),
	}
	t.Close()
	return s
}
