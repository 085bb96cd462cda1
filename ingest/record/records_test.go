package record_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

func readDwell(t testing.TB, data string, entry table.Entry) *record.DwellRecord {
	t.Helper()
	dwell, err := record.ReadDwellRecord(table.Bytes("dwell/h1.csv", []byte(data)), entry, record.Settings{Zone: oslo(t)})
	require.NoError(t, err)
	return dwell
}

// TestDwellRecords reads one visit, 30 MHz from 09:00 on for 3.5 s in Oslo, as
// dwell records write it.
func TestDwellRecords(t *testing.T) {
	pulse := quantity.Modulation{Kind: quantity.Pulse, Rate: 1000, Amount: 0.5}
	tests := []struct {
		name, data string
		want       record.Visit
	}{
		{"start and end", "Frequency (MHz),Start,End\n30.00,2026-11-18 09:00:00,2026-11-18 09:00:03.5\n", record.Visit{Row: 2}},
		{"start and duration", "Frequency (MHz),Start,Dwell time (s)\n30.00,2026-11-18 09:00:00,3.5\n", record.Visit{Row: 2}},
		{"duration in milliseconds", "Frequency (MHz),Start,Duration (ms)\n30.00,2026-11-18 09:00:00,3500\n", record.Visit{Row: 2}},
		{"duration as a clock", "Frequency (MHz),Start,Duration\n30.00,2026-11-18 09:00:00,0:00:03.5\n", record.Visit{Row: 2}},
		{"the end counts before the duration", "Frequency (MHz),Start,End,Duration (s)\n30.00,2026-11-18 09:00:00,2026-11-18 09:00:03.5,9\n", record.Visit{Row: 2}},
		{"a date in a column of its own", "Date;Frequenz (kHz);Beginn;Ende\n18.11.2026;30000,0;09:00:00;09:00:03,5\n", record.Visit{Row: 2}},
		{"two dates", "Frequency (MHz),Start date,Start time,End date,End time\n30.00,2026-11-18,09:00:00,2026-11-18,09:00:03.5\n", record.Visit{Row: 2}},
		{"units in the cells", "Frequency;Start;End\n30 MHz;2026-11-18 09:00:00;2026-11-18 09:00:03,5\n", record.Visit{Row: 2}},
		{"everything", "Frequency (MHz),Start,End,Run ID,Pol,Pos,Mod,Target level (V/m),Remarks\n30.00,2026-11-18 09:00:00,2026-11-18 09:00:03.5,H1,H,2,pulse 1 kHz 50 %,200,no reaction\n",
			record.Visit{Row: 2, Run: "H1", Polarization: "horizontal", Position: 2, Modulation: &pulse, LevelSet: "200", Observation: "no reaction"}},
		{"in German", "Frequenz [MHz];Beginn;Dauer [s];Lauf;Polarisation;Antennenposition;Modulation;Sollwert [V/m];Bemerkung\n30,00;18.11.2026 09:00:00;3,5;H1;vertikal;1;PULSE 1kHz 50%;19,8;\n",
			record.Visit{Row: 2, Run: "H1", Polarization: "vertical", Position: 1, Modulation: &pulse, LevelSet: "19,8"}},
		{"in French", "Fréquence (MHz);Début;Durée (s);Essai;Polarisation;Position d'antenne\n30,00;18/11/2026 09:00:00;3,5;H1;verticale;1\n",
			record.Visit{Row: 2, Run: "H1", Polarization: "vertical", Position: 1}},
		{"empty cells say nothing", "Frequency (MHz),Start,End,Run,Pol,Position,Modulation\n30.00,2026-11-18 09:00:00,2026-11-18 09:00:03.5,,,,\n", record.Visit{Row: 2}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dwell := readDwell(t, test.data, table.Entry{})
			require.Len(t, dwell.Visits, 1)
			test.want.Frequency = 30e6
			test.want.Start = quantity.InstantOf(time.Date(2026, 11, 18, 8, 0, 0, 0, time.UTC))
			test.want.End = test.want.Start.Add(3500 * time.Millisecond)
			assert.Equal(t, test.want, dwell.Visits[0])
			assert.Empty(t, dwell.File.Problems)
			assert.Equal(t, []quantity.Instant{test.want.Start, test.want.End}, []quantity.Instant{dwell.File.First, dwell.File.Last})
		})
	}
}

func TestVisitsOverMidnight(t *testing.T) {
	dwell := readDwell(t, "Date,Frequency (MHz),Start,End\n2026-11-18,30.0,23:59:58,00:00:02\n2026-11-19,30.1,00:00:03,00:00:07\n", table.Entry{})
	require.Len(t, dwell.Visits, 2)
	assert.Equal(t, 4*time.Second, dwell.Visits[0].End.Sub(dwell.Visits[0].Start))
	dwell = readDwell(t, "Date: 2026-11-18\nFrequency (MHz),Start,End\n30.0,23:59:58,00:00:02\n30.1,00:00:03,00:00:07\n", table.Entry{})
	require.Len(t, dwell.Visits, 2)
	assert.Equal(t, 4*time.Second, dwell.Visits[0].End.Sub(dwell.Visits[0].Start))
	assert.Equal(t, time.Second, dwell.Visits[1].Start.Sub(dwell.Visits[0].End))
}

func TestClockOffsetShiftsTimesNotDurations(t *testing.T) {
	entry := table.Entry{ClockOffset: 2 * time.Second}
	dwell := readDwell(t, "Frequency (MHz),Start,Duration (s)\n30.0,2026-11-18T08:00:00Z,3.5\n", entry)
	assert.Equal(t, "2026-11-18T08:00:02", utcTimes([]quantity.Instant{dwell.Visits[0].Start})[0])
	assert.Equal(t, 3500*time.Millisecond, dwell.Visits[0].End.Sub(dwell.Visits[0].Start))
}

func TestResolution(t *testing.T) {
	tests := []struct {
		name, unit, frequencies string
		stated, want            quantity.Frequency
	}{
		{"whole hertz", "Hz", "30000000 30150000", 0, 1},
		{"two places of megahertz", "MHz", "30.00 30.15", 0, 1e4},
		{"the finest of different ones", "MHz", "30 30.1505 30.2", 0, 100},
		{"three places of kilohertz", "kHz", "80000.000 80100.000", 0, 1},
		{"whole megahertz", "MHz", "30 31", 0, 1e6},
		{"exponents", "Hz", "3.00E+07 3.15E+07", 0, 1e5},
		{"stated", "MHz", "30.00 30.15", 2e4, 2e4},
	}
	for _, test := range tests {
		data := "Frequency (" + test.unit + ");Start;End\n"
		var a, b, c string
		_, _ = fmt.Sscan(test.frequencies, &a, &b, &c)
		for i, f := range []string{a, b, c} {
			if f != "" {
				data += fmt.Sprintf("%s;2026-11-18 09:00:%02d;2026-11-18 09:00:%02d\n", f, i*10, i*10+5)
			}
		}
		entry := table.Entry{FrequencyResolution: quantity.Undefined[quantity.Frequency]()}
		if test.stated != 0 {
			entry.FrequencyResolution = test.stated
		}
		assert.InEpsilon(t, float64(test.want), float64(readDwell(t, data, entry).Resolution), 1e-12, test.name)
	}
}

func TestPolarizationWords(t *testing.T) {
	for word, want := range map[string]string{"H": "horizontal", "h": "horizontal", "Hor.": "horizontal", "HORIZONTAL": "horizontal", "orizzontale": "horizontal", "Vaakasuora": "horizontal",
		"V": "vertical", "vert": "vertical", "Vertikal": "vertical", "verticale": "vertical", "pystysuora": "vertical"} {
		dwell := readDwell(t, "Frequency (MHz),Start,End,Pol\n30.0,2026-11-18T08:00:00Z,2026-11-18T08:00:03Z,"+word+"\n", table.Entry{})
		assert.EqualValues(t, want, dwell.Visits[0].Polarization, word)
	}
}

func readPower(t testing.TB, data string, entry table.Entry) *record.PowerFile {
	t.Helper()
	power, err := record.ReadPowerFile(table.Bytes("power/h1.csv", []byte(data)), entry, record.Settings{Zone: oslo(t)})
	require.NoError(t, err)
	return power
}

func TestPowerFiles(t *testing.T) {
	t.Run("units by column", func(t *testing.T) {
		power := readPower(t, "Time,Fwd (dBm),Refl (mW),Net (W)\n2026-11-18T08:00:00Z,60,110000,890\n2026-11-18T08:00:01Z,30.0,,\n", table.Entry{})
		assert.InEpsilonSlice(t, []float64{1000, 1}, []float64{float64(power.Forward[0]), float64(power.Forward[1])}, 1e-12)
		assert.InEpsilon(t, 110, float64(power.Reflected[0]), 1e-12)
		assert.False(t, quantity.Defined(power.Reflected[1]), "an empty cell is no power of zero")
		assert.Nil(t, power.Frequencies)
		assert.Equal(t, []int32{2, 3}, power.Rows)
	})
	t.Run("sorted by time, with all that belongs to a row", func(t *testing.T) {
		power := readPower(t, "Time,Frequency (MHz),Forward (W),Reflected (W)\n2026-11-18T08:00:02Z,31,20,2\n2026-11-18T08:00:01Z,30,10,1\n2026-11-18T08:00:02Z,32,30,3\n", table.Entry{})
		assert.Equal(t, []int32{3, 2, 4}, power.Rows)
		assert.Equal(t, []quantity.Power{10, 20, 30}, power.Forward)
		assert.Equal(t, []quantity.Power{1, 2, 3}, power.Reflected)
		assert.Equal(t, []quantity.Frequency{30e6, 31e6, 32e6}, power.Frequencies)
	})
	t.Run("by frequency alone, in the order of the file", func(t *testing.T) {
		power := readPower(t, "Frequenz [kHz];Vorlaufleistung [W]\n31000,0;20,5\n30000,0;10,5\n", table.Entry{})
		assert.Nil(t, power.Times)
		assert.Nil(t, power.Reflected)
		assert.False(t, power.File.HasTimes)
		assert.Equal(t, []quantity.Frequency{31e6, 30e6}, power.Frequencies)
	})
	t.Run("no power at all is a power", func(t *testing.T) {
		power := readPower(t, "Time,Forward (W)\n2026-11-18T08:00:00Z,0\n", table.Entry{})
		assert.Equal(t, []quantity.Power{0}, power.Forward)
	})
}

func TestMotionRecords(t *testing.T) {
	read := func(data string) *record.MotionRecord {
		motion, err := record.ReadMotionRecord(table.Bytes("dwell/motion.csv", []byte(data)), table.Entry{}, record.Settings{Zone: oslo(t)})
		require.NoError(t, err)
		return motion
	}
	motion := read("Start time,Stop time\n2026-11-18 09:00:00.5,2026-11-18 09:00:02.5\n")
	require.Len(t, motion.Motions, 1)
	assert.Equal(t, 2, motion.Motions[0].Row)
	assert.Equal(t, 2*time.Second, motion.Motions[0].End.Sub(motion.Motions[0].Start))
	assert.Empty(t, read("Start time,Stop time\n").Motions, "that nothing moved is a record too")
}

func TestCorrections(t *testing.T) {
	read := func(data string, use record.Use) *record.Correction {
		c, err := record.ReadCorrection(table.Bytes("corrections/fp03.csv", []byte(data)), table.Entry{}, record.Settings{}, use)
		require.NoError(t, err)
		return c
	}
	t.Run("decibels, sorted, with uncertainty and certificate", func(t *testing.T) {
		c := read("Probe FP-03\nCertificate no.: KV-2026-118\nFrequency (MHz),Correction (dB),Uncertainty (dB)\n40,-0.3,0.5\n30,1.25,0.6\n", record.OfField)
		assert.Equal(t, []record.CorrectionPoint{{Row: 5, Frequency: 30e6, Factor: 1.25, Uncertainty: "0.6"}, {Row: 4, Frequency: 40e6, Factor: -0.3, Uncertainty: "0.5"}}, c.Points)
		assert.True(t, c.InDecibels)
		assert.Equal(t, "KV-2026-118", c.Certificate)
	})
	t.Run("a plain factor of a field and of a power", func(t *testing.T) {
		const data = "Freq;Factor;Uncertainty\nMHz;;dB\n30;2,0;0,5\n40;0,5;0,5\n"
		field, power := read(data, record.OfField), read(data, record.OfPower)
		assert.False(t, field.InDecibels)
		assert.InDelta(t, 6.020599913, float64(field.Points[0].Factor), 1e-9)
		assert.InDelta(t, 3.010299957, float64(power.Points[0].Factor), 1e-9)
		assert.InDelta(t, -6.020599913, float64(field.Points[1].Factor), 1e-9)
	})
	t.Run("a point that stands twice alike counts once", func(t *testing.T) {
		c := read("Frequency (MHz),Factor (dB)\n30,1.1\n40,0.9\n30,1.1\n", record.OfField)
		assert.Len(t, c.Points, 2)
	})
}

func TestRegisters(t *testing.T) {
	midnight := func(text string) time.Time {
		at, err := time.Parse("2006-01-02", text)
		require.NoError(t, err)
		return at
	}
	none := quantity.Undefined[quantity.Frequency]()
	same := func(t *testing.T, want, got record.Asset) {
		t.Helper()
		for _, f := range []*quantity.Frequency{&want.From, &want.To, &got.From, &got.To} {
			if !quantity.Defined(*f) {
				*f = -1
			}
		}
		assert.Equal(t, want, got)
	}
	probe := record.Asset{Row: 2, Name: "FP-03", Description: "isotropic field probe", Maker: "Kvernes Instruments", Model: "M3", Serial: "0417",
		Calibrated: midnight("2026-03-02"), Due: midnight("2027-03-02"), Certificate: "KV-118", Traceability: "national standard", From: 10e3, To: 1e9}
	tests := []struct {
		name, data string
		want       record.Asset
	}{
		{"English", "Asset,Description,Maker,Model,Serial,Calibrated,Due,Certificate,Traceability,From,To\nFP-03,isotropic field probe,Kvernes Instruments,M3,0417,2026-03-02,2027-03-02,KV-118,national standard,10 kHz,1 GHz\n", probe},
		{"German", "Inventarnummer;Bezeichnung;Hersteller;Typ;Seriennummer;Kalibriert am;Fällig am;Kalibrierschein;Rückführbarkeit;Von;Bis\nFP-03;isotropic field probe;Kvernes Instruments;M3;0417;02.03.2026;02.03.2027;KV-118;national standard;0,01 MHz;1 GHz\nAN-1;;;;;13.03.2026;;;;;\n", probe},
		{"French", "N° d'inventaire;Désignation;Fabricant;Modèle;N° de série;Date d'étalonnage;Échéance;Certificat;Traçabilité;De;À\nFP-03;isotropic field probe;Kvernes Instruments;M3;0417;2026-03-02;2027-03-02;KV-118;national standard;10 kHz;1000 MHz\n", probe},
		{"Norwegian, units in the heading", "ID;Beskrivelse;Produsent;Modell;Serienummer;Kalibrert;Forfall;Sertifikat;Sporbarhet;Fra (kHz);Til (MHz)\nFP-03;isotropic field probe;Kvernes Instruments;M3;0417;2026-03-02;2027-03-02;KV-118;national standard;10;1000\n", probe},
		{"nothing but the asset", "Asset,Model,Calibrated,Due,From\nCH-02,,n/a,-,\n", record.Asset{Row: 2, Name: "CH-02", From: none, To: none}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			register, err := record.ReadRegister(table.Bytes("equipment.csv", []byte(test.data)), table.Entry{}, record.Settings{})
			require.NoError(t, err)
			same(t, test.want, register.Assets[0])
			assert.Empty(t, register.File.Problems)
		})
	}
}

func TestAssetsThatStandTwice(t *testing.T) {
	register, err := record.ReadRegister(table.Bytes("equipment.csv", []byte("Asset,Due\nFP-03,2027-03-02\nPA-02,2027-01-01\nfp-03,2026-03-02\nAN-1,\nAN-1,\n")), table.Entry{}, record.Settings{})
	require.NoError(t, err)
	var names []string
	for _, a := range register.Assets {
		names = append(names, a.Name)
	}
	assert.Equal(t, []string{"PA-02", "AN-1"}, names)
	assert.Equal(t, []int{2, 4}, problemsOf(register.File, record.Unreadable))
	assert.Equal(t, []int{6}, problemsOf(register.File, record.Duplicate))
}

func TestTimesOfWorkbooks(t *testing.T) {
	text := func(s string) string { return `<c t="inlineStr"><is><t>` + s + `</t></is></c>` }
	number := func(s string) string { return `<c><v>` + s + `</v></c>` }
	row := func(n int, cells ...string) string {
		out := fmt.Sprintf(`<row r="%d">`, n)
		for _, c := range cells {
			out += c
		}
		return out + `</row>`
	}
	tests := []struct {
		name  string
		state string
		rows  string
		want  string // of the first sample, UTC
	}{
		{"dates of 1900", "", row(1, text("Time"), text("Field (V/m)")) + row(2, number("46344.375"), number("1.5")), "2026-11-18T08:00:00"},
		{"rounded to the millisecond", "", row(1, text("Time"), text("Field (V/m)")) + row(2, number("46344.375014328"), number("1.5")), "2026-11-18T08:00:01.238"},
		{"dates of 1904", "1904", row(1, text("Time"), text("Field (V/m)")) + row(2, number("44882.375"), number("1.5")), "2026-11-18T08:00:00"},
		{"date and time of day apart", "", row(1, text("Date"), text("Time"), text("Field (V/m)")) + row(2, number("46344"), number("0.375"), number("1.5")), "2026-11-18T08:00:00"},
		{"text date, number of a day", "", row(1, text("Date"), text("Time"), text("Field (V/m)")) + row(2, text("2026-11-18"), number("0.375"), number("1.5")), "2026-11-18T08:00:00"},
		{"dates stored as text", "", row(1, text("Time"), text("Field (V/m)")) + row(2, text("18.11.2026 09:00:00,1234"), number("1.5")), "2026-11-18T08:00:00.123"},
		{"numbers stored as text", "", row(1, text("Time"), text("Field (V/m)")) + row(2, text("2026-11-18 09:00:00"), text("1,5")), "2026-11-18T08:00:00"},
		{"Unix seconds", "", row(1, text("Unix time"), text("Field (V/m)")) + row(2, number("1794988800.2"), number("1.5")), "2026-11-18T08:00:00.2"},
		{"elapsed seconds", "", row(1, text("Start"), text("2026-11-18 09:00:00")) + row(2, text("Time (s)"), text("Field (V/m)")) + row(3, number("0.30000000000000004"), number("1.5")), "2026-11-18T08:00:00.3"},
		{"formulas with values", "", row(1, text("Time"), text("Field (V/m)")) + row(2, `<c><f>46344+0.375</f><v>46344.375</v></c>`, `<c><f>3/2</f><v>1.5</v></c>`), "2026-11-18T08:00:00"},
		{"units in the row below", "", row(1, text("Time"), text("Field")) + row(2, text(""), text("V/m")) + row(3, number("46344.375"), number("1.5")), "2026-11-18T08:00:00"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			log := readProbe(t, book(t, sheet{name: "Log", state: test.state, rows: test.rows}), table.Entry{})
			require.Len(t, log.Times, 1)
			assert.Equal(t, []string{test.want}, utcTimes(log.Times))
			assert.Equal(t, quantity.FieldStrength(1.5), log.Readings[0])
			assert.Equal(t, "Log", log.File.Sheet)
		})
	}
}

func TestMergedHeaders(t *testing.T) {
	text := func(ref, s string) string {
		return `<c r="` + ref + `" t="inlineStr"><is><t>` + s + `</t></is></c>`
	}
	const data = `<row r="3"><c r="A3"><v>46344.375</v></c><c r="B3"><v>2</v></c><c r="C3"><v>3</v></c><c r="D3"><v>6</v></c></row>`
	tests := []struct{ name, head string }{
		{"a heading over the axes, the time over both rows", `<row r="1">` + text("A1", "Time") + text("B1", "E-field (V/m)") + `</row><row r="2">` + text("B2", "X") + text("C2", "Y") + text("D2", "Z") + `</row>`},
		{"a heading over named columns", `<row r="1">` + text("B1", "E-field (V/m)") + `</row><row r="2">` + text("A2", "Time") + text("B2", "X") + text("C2", "Y") + text("D2", "Z") + `</row>`},
		{"units of their own below", `<row r="1">` + text("A1", "Time") + text("B1", "E-field") + `</row><row r="2">` + text("B2", "X (V/m)") + text("C2", "Y (V/m)") + text("D2", "Z (V/m)") + `</row>`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			log := readProbe(t, book(t, sheet{name: "Log", rows: test.head + data, merged: "B1:D1"}), table.Entry{})
			assert.Equal(t, []quantity.FieldStrength{7}, log.Readings)
			assert.Equal(t, []int32{3}, log.Rows)
			assert.Empty(t, log.File.Problems)
		})
	}
}

func TestTimesAreExact(t *testing.T) {
	log := readProbe(t, "Unix time,E-field (V/m)\n1794988800.123456789,0.51\n1794988800.000000001,0.52\n", table.Entry{})
	assert.Equal(t, []quantity.Instant{1794988800000000001, 1794988800123456789}, log.Times)
	log = readProbe(t, "Time,E-field (V/m)\n2026-11-18T08:00:00.123456789Z,0.51\n", table.Entry{})
	assert.Equal(t, []quantity.Instant{1794988800123456789}, log.Times)
	assert.False(t, math.IsNaN(log.Gap))
}

// TestFirstRowIsNoUnits: a first row without plain numbers, in which a word could
// be a unit, is data.
func TestFirstRowIsNoUnits(t *testing.T) {
	dwell := readDwell(t, "Frequency,Start,End,Pol\n30 MHz,2026-11-18T08:00:00Z,2026-11-18T08:00:03Z,h\n31 MHz,2026-11-18T08:00:10Z,2026-11-18T08:00:13Z,h\n", table.Entry{})
	assert.Len(t, dwell.Visits, 2)
	register, err := record.ReadRegister(table.Bytes("equipment.csv", []byte("Asset,Model,Serial\nprobe,W,s\nantenna,m,h\n")), table.Entry{}, record.Settings{})
	require.NoError(t, err)
	assert.Len(t, register.Assets, 2)
}

// TestErrorValuesAreNoRemarks: a row that begins with the error of a spreadsheet
// holds a reading that is lost, and has to be reported.
func TestErrorValuesAreNoRemarks(t *testing.T) {
	log := readProbe(t, "Time,E-field (V/m)\n2026-11-18T08:00:00Z,0.51\n#N/A,0.52\n#DIV/0!,0.53\n#########,0.54\n# a remark,0.55\n#2026-11-18T08:00:01Z,0.56\n", table.Entry{})
	assert.Equal(t, []int{3, 4, 5}, problemsOf(log.File, record.Unreadable))
}
