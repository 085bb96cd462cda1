package record_test

import (
	"strings"
	"testing"

	"fieldheld/ingest/table"
)

// Beginnings of files that the cases go on from.
const (
	probeHead   = "Time,E-field (V/m)\n2026-11-18T09:00:00Z,0.51\n2026-11-18T09:00:01Z,0.52\n"
	purposeHead = "Frequency (MHz),Start,End,Purpose\n30.0,2026-11-18T09:00:00Z,2026-11-18T09:00:05Z,\n"
	dwellHead   = "Frequency (MHz),Start,End,Pol,Position,Modulation\n30.00,2026-11-18T09:00:00Z,2026-11-18T09:00:05Z,H,1,CW\n"
	oldBinary   = "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"
)

// badInputs lists files of every kind of badness that a laboratory can produce.
func badInputs(t *testing.T) []badInput {
	cases := append(badFiles(t), badHeaders()...)
	cases = append(cases, badUnits()...)
	cases = append(cases, badNumbers()...)
	cases = append(cases, badTimes()...)
	cases = append(cases, badRows()...)
	return append(cases, badRecords(t)...)
}

func badFiles(t *testing.T) []badInput {
	rows := `<row r="1"><c r="A1" t="inlineStr"><is><t>Time</t></is></c><c r="B1" t="inlineStr"><is><t>Forward (W)</t></is></c></row><row r="2"><c r="A2"><v>46344.5</v></c><c r="B2"><v>10</v></c></row>`
	packed := book(t, sheet{name: "H1", rows: rows}, sheet{name: "V1", rows: rows})
	return []badInput{
		{name: "empty file", kind: "probe", file: "probe/h1.csv"},
		{name: "file of blanks", kind: "probe", file: "probe/h1.csv", data: "\r\n  \r\n"},
		{name: "file of zero bytes", kind: "probe", file: "probe/h1.csv", data: strings.Repeat("\x00", 4096)},
		{name: "old binary workbook", kind: "power", file: "power/h1.xls", data: oldBinary + strings.Repeat("\x00", 600)},
		{name: "workbook with a password", kind: "power", file: "power/h1.xlsx", data: oldBinary + strings.Repeat("\x00", 600) + wide("EncryptedPackage")},
		{name: "PDF", kind: "dwell", file: "dwell/h1.pdf", data: "%PDF-1.7\n"},
		{name: "packed file", kind: "probe", file: "probe/h1.csv.gz", data: "\x1F\x8B\x08\x00\x00"},
		{name: "picture", kind: "dwell", file: "dwell/h1.jpg", data: "\xFF\xD8\xFF\xE0\x00\x10JFIF"},
		{name: "binary log", kind: "probe", file: "probe/h1.dat", data: strings.Repeat("\x01\x02\x03\x04", 100)},
		{name: "a line without end", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n" + strings.Repeat("1,2,", 600_000)},
		{name: "workbook cut off", kind: "power", file: "power/h1.xlsx", data: packed[:len(packed)-100]},
		{name: "archive that is no workbook", kind: "power", file: "power/h1.zip", data: archive(t, "h1.csv", probeHead)},
		{name: "sheet that is not there", kind: "power", file: "power/h1.xlsx", data: packed, entry: table.Entry{Sheet: "H2"}},
		{name: "first sheet hidden", kind: "power", file: "power/h1.xlsx", data: book(t, sheet{name: "Setup", state: "hidden", rows: rows}, sheet{name: "H1", rows: rows})},
		{name: "sheet cut off", kind: "power", file: "power/h1.xlsx", data: book(t, sheet{name: "H1", rows: rows, cut: 40})},
		{name: "sheet with rows out of order", kind: "power", file: "power/h1.xlsx", data: book(t, sheet{name: "H1", rows: `<row r="2"/><row r="1"/>`})},
		{name: "sheet of a billion rows", kind: "power", file: "power/h1.xlsx", data: book(t, sheet{name: "H1", rows: `<row r="1000000000"/>`})},
		{name: "workbook that unpacks without end", kind: "power", file: "power/h1.xlsx", data: lyingArchive(t)},
	}
}

func badHeaders() []badInput {
	return []badInput{
		{name: "no header", kind: "probe", file: "probe/h1.csv", data: "2026-11-18T09:00:00Z,0.51\n2026-11-18T09:00:01Z,0.52\n"},
		{name: "no field column", kind: "probe", file: "probe/h1.csv", data: "Time,Reading (mA),Battery (V)\n2026-11-18T09:00:00Z,0.51,3.9\n"},
		{name: "one axis missing", kind: "probe", file: "probe/h1.csv", data: "Time,Ex (V/m),Ey (V/m)\n2026-11-18T09:00:00Z,0.51,0.4\n"},
		{name: "two columns of field", kind: "probe", file: "probe/h1.csv", data: "Time,Field probe A (V/m),E-field (V/m),Total field (V/m)\n2026-11-18T09:00:00Z,0.5,0.51,0.52\n"},
		{name: "two columns of time", kind: "probe", file: "probe/h1.csv", data: "Time,Timestamp,E-field (V/m)\n09:00:00,2026-11-18T09:00:00Z,0.51\n"},
		{name: "stated column that is not there", kind: "probe", file: "probe/h1.csv", data: "Zeit;Feld 1 (V/m);Feld 2 (V/m)\n2026-11-18 09:00:00;0,51;0,52\n",
			entry: table.Entry{Columns: map[table.Column]string{table.Field: "Feld"}}},
		{name: "header row beside the header", kind: "probe", file: "probe/h1.csv", data: "Probe FP-03,Tallholm\n" + probeHead, entry: table.Entry{HeaderRow: 1}},
		{name: "header row behind the end", kind: "probe", file: "probe/h1.csv", data: probeHead, entry: table.Entry{HeaderRow: 90}},
		{name: "power file in place of a probe log", kind: "probe", file: "power/h1.csv", data: "Time,Forward (W),Reflected (W)\n2026-11-18T09:00:00Z,10,1\n"},
		{name: "wrong delimiter stated", kind: "probe", file: "probe/h1.csv", data: probeHead, entry: table.Entry{Delimiter: ';'}},
		{name: "no forward power", kind: "power", file: "power/h1.csv", data: "Time,Power (W)\n2026-11-18T09:00:00Z,10\n"},
		{name: "power without time and frequency", kind: "power", file: "power/h1.csv", data: "Step,Forward (W),Reflected (W)\n1,10,1\n"},
		{name: "dwell record without an end", kind: "dwell", file: "dwell/h1.csv", data: "Frequency (MHz),Start\n30,2026-11-18T09:00:00Z\n"},
		{name: "text that is no table", kind: "dwell", file: "dwell/h1.csv", data: "Remember to charge the probe.\nCall the customer.\n"},
		{name: "register without assets", kind: "register", file: "equipment.csv", data: "Room,Description\n2,bench\n"},
	}
}

func badUnits() []badInput {
	return []badInput{
		{name: "field without unit", kind: "probe", file: "probe/h1.csv", data: "Time,E-field\n2026-11-18T09:00:00Z,0.51\n"},
		{name: "field in a unit that is not known", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (dBA)\n2026-11-18T09:00:00Z,0.51\n"},
		{name: "field in watts", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (W)\n2026-11-18T09:00:00Z,0.51\n"},
		{name: "axes without units", kind: "probe", file: "probe/h1.csv", data: "Time,Ex,Ey,Ez\n2026-11-18T09:00:00Z,0.5,0.4,0.3\n"},
		{name: "power without unit", kind: "power", file: "power/h1.csv", data: "Time,Forward,Reflected (W)\n2026-11-18T09:00:00Z,10,1\n"},
		{name: "power in megawatts", kind: "power", file: "power/h1.csv", data: "Time,Forward (MW)\n2026-11-18T09:00:00Z,10\n"},
		{name: "frequency without unit", kind: "dwell", file: "dwell/h1.csv", data: "Frequency,Start,End\n30,2026-11-18T09:00:00Z,2026-11-18T09:00:05Z\n"},
		{name: "unit stated that is none", kind: "probe", file: "probe/h1.csv", data: "Time,E-field\n2026-11-18T09:00:00Z,0.51\n", entry: table.Entry{Units: map[table.Column]string{table.Field: "volts"}}},
		{name: "correction in volts per metre", kind: "correction", file: "corrections/fp03.csv", data: "Frequency (MHz),Factor (V/m)\n30,1.1\n"},
		{name: "duration in megahertz", kind: "dwell", file: "dwell/h1.csv", data: "Frequency (MHz),Start,Duration (MHz)\n30,2026-11-18T09:00:00Z,3\n"},
		{name: "frequency with another unit in a row", kind: "dwell", file: "dwell/h1.csv", data: "Frequency,Start,End\n30 MHz,2026-11-18T09:00:00Z,2026-11-18T09:00:05Z\n1 GHz,2026-11-18T09:01:00Z,2026-11-18T09:01:05Z\n"},
	}
}

func badNumbers() []badInput {
	return []badInput{
		{name: "mark that may part thousands", kind: "probe", file: "probe/h1.csv", data: "Time;E-field (V/m)\n2026-11-18T09:00:00Z;1.234\n2026-11-18T09:00:01Z;1.236\n"},
		{name: "points and commas", kind: "probe", file: "probe/h1.csv", data: "Time;E-field (V/m)\n2026-11-18T09:00:00Z;1,23\n2026-11-18T09:00:01Z;1.24\n"},
		{name: "decimal commas between commas", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n2026-11-18T09:00:00Z,0,51\n2026-11-18T09:00:01Z,0,52\n"},
		{name: "letter in a number", kind: "probe", file: "probe/h1.csv", data: probeHead + "2026-11-18T09:00:02Z,0.5l\n"},
		{name: "not a number", kind: "probe", file: "probe/h1.csv", data: probeHead + "2026-11-18T09:00:02Z,NaN\n2026-11-18T09:00:03Z,Inf\n"},
		{name: "number beyond all fields", kind: "probe", file: "probe/h1.csv", data: probeHead + "2026-11-18T09:00:02Z,1E+999\n2026-11-18T09:00:03Z,1E+305\n"},
		{name: "negative field", kind: "probe", file: "probe/h1.csv", data: probeHead + "2026-11-18T09:00:02Z,-0.5\n"},
		{name: "negative power", kind: "power", file: "power/h1.csv", data: "Time,Forward (W),Reflected (W)\n2026-11-18T09:00:00Z,10,1\n2026-11-18T09:00:01Z,-10,1\n2026-11-18T09:00:02Z,10,-1\n"},
		{name: "empty reading", kind: "probe", file: "probe/h1.csv", data: probeHead + "2026-11-18T09:00:02Z,\n"},
		{name: "frequency of zero", kind: "dwell", file: "dwell/h1.csv", data: dwellHead + "0,2026-11-18T09:00:10Z,2026-11-18T09:00:15Z,H,1,CW\n"},
		{name: "thousands in odd groups", kind: "correction", file: "corrections/fp03.csv", data: "Frequency (kHz);Factor (dB)\n30.000,0;1,1\n31.00.000,0;1,2\n"},
		{name: "readings that are words", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n2026-11-18T09:00:00Z,low\n2026-11-18T09:00:01Z,high\n"},
	}
}

func badTimes() []badInput {
	return []badInput{
		{name: "day or month first", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n03/04/2026 09:00:00.5,0.51\n03/04/2026 09:00:01.5,0.52\n"},
		{name: "day or month first, date alone", kind: "probe", file: "probe/h1.csv", data: "Datum;Uhrzeit;Feld (V/m)\n03.04.2026;09:00:00;0,51\n03.04.2026;09:00:01;0,52\n"},
		{name: "day first here, month first there", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n13/04/2026 09:00:00,0.51\n04/14/2026 09:00:01,0.52\n"},
		{name: "year of two digits", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n18/11/26 09:00:00,0.51\n"},
		{name: "time of day without a date", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n09:00:00,0.51\n"},
		{name: "elapsed time without a start", kind: "probe", file: "probe/h1.csv", data: "Elapsed (s),E-field (V/m)\n0.0,0.51\n0.1,0.52\n"},
		{name: "numbers that may be times", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n46344.375,0.51\n"},
		{name: "day that does not exist", kind: "probe", file: "probe/h1.csv", data: probeHead + "2026-02-30T09:00:02Z,0.5\n"},
		{name: "hour that does not exist", kind: "probe", file: "probe/h1.csv", data: probeHead + "2026-11-18T25:00:02Z,0.5\n"},
		{name: "hour that summer time left out", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n2026-03-29 01:59:59,0.51\n2026-03-29 02:30:00,0.52\n2026-03-29 03:00:00,0.53\n"},
		{name: "hour that came twice", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n2026-10-25 02:30:00,0.51\n2026-10-25 02:30:01,0.52\n"},
		{name: "zone in letters", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n2026-11-18 09:00:00 CET,0.51\n"},
		{name: "time format of no use", kind: "probe", file: "probe/h1.csv", data: probeHead, entry: table.Entry{TimeFormat: "YYYY-MM-DD"}},
		{name: "time format with a zone in letters", kind: "probe", file: "probe/h1.csv", data: probeHead, entry: table.Entry{TimeFormat: "2006-01-02 15:04:05 MST"}},
		{name: "time format that does not fit", kind: "probe", file: "probe/h1.csv", data: probeHead, entry: table.Entry{TimeFormat: "02.01.2006 15:04:05"}},
		{name: "time that goes back", kind: "probe", file: "probe/h1.csv", data: probeHead + "2026-11-18T09:00:02Z,0.53\n2026-11-18T08:00:03Z,0.54\n2026-11-18T09:00:04Z,0.55\n"},
		{name: "empty time", kind: "probe", file: "probe/h1.csv", data: probeHead + ",0.53\n"},
		{name: "empty date", kind: "probe", file: "probe/h1.csv", data: "Date,Time,E-field (V/m)\n2026-11-18,09:00:00,0.51\n,09:00:01,0.52\n"},
	}
}

func badRows() []badInput {
	return []badInput{
		{name: "too many cells", kind: "probe", file: "probe/h1.csv", data: probeHead + "2026-11-18T09:00:02Z,0.5,7\n"},
		{name: "quotation mark never closed", kind: "dwell", file: "dwell/h1.csv", data: dwellHead + "\"30.15,2026-11-18T09:00:10Z,2026-11-18T09:00:15Z,H,1,CW\n"},
		{name: "log cut off in the middle of a row", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m),Status\n2026-11-18T09:00:00Z,0.51,OK\n2026-11-18T09:00:01Z,0.52,OK\n2026-11-18T09:00:02Z,0.5"},
		{name: "log cut off within its last number", kind: "probe", file: "probe/h1.csv", data: probeHead + strings.Repeat("2026-11-18T09:00:01Z,0.53\n2026-11-18T09:00:01Z,0.54\n", 3) + "2026-11-18T09:00:02Z,0.5"},
		{name: "log that ends in zero bytes", kind: "probe", file: "probe/h1.csv", data: probeHead + strings.Repeat("\x00", 100)},
		{name: "two logs with other columns", kind: "probe", file: "probe/h1.csv", data: probeHead + "Time,Status,E-field (V/m)\n2026-11-18T10:00:00Z,0,0.5\n"},
		{name: "two logs with other units", kind: "probe", file: "probe/h1.csv", data: "Time;E-field\n;V/m\n2026-11-18 09:00:00;0,51\nTime;E-field\n;mV/m\n2026-11-18 10:00:00;510,5\n"},
		{name: "footer", kind: "probe", file: "probe/h1.csv", data: probeHead + "End of log\n"},
		{name: "mark that is not known", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m),Status\n2026-11-18T09:00:00Z,0.51,OK\n2026-11-18T09:00:01Z,0.52,LOW BATT\n"},
		{name: "validity that is not known", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m),Valid\n2026-11-18T09:00:00Z,0.51,1\n2026-11-18T09:00:01Z,0.52,maybe\n"},
		{name: "row twice", kind: "probe", file: "probe/h1.csv", data: probeHead + "2026-11-18T09:00:01Z,0.52\n"},
		{name: "control characters in a cell", kind: "probe", file: "probe/h1.csv", data: probeHead + "2026-11-18T09:00:02Z,\x1b[31m0.5\x07\n"},
		{name: "header without data", kind: "probe", file: "probe/h1.csv", data: "Time,E-field (V/m)\n"},
	}
}

func badRecords(t *testing.T) []badInput {
	power := `<row r="1"><c r="A1" t="inlineStr"><is><t>Frequency (MHz)</t></is></c><c r="B1" t="inlineStr"><is><t>Forward (W)</t></is></c></row><row r="2"><c r="A2"><v>30</v></c><c r="B2"><v>10</v></c></row>`
	elapsed := `<row r="1"><c r="A1" t="inlineStr"><is><t>Time</t></is></c><c r="B1" t="inlineStr"><is><t>Forward (W)</t></is></c></row><row r="2"><c r="A2"><v>0.2</v></c><c r="B2"><v>10</v></c></row>`
	return []badInput{
		{name: "end before start", kind: "dwell", file: "dwell/h1.csv", data: dwellHead + "30.15,2026-11-18T09:00:15Z,2026-11-18T09:00:10Z,H,1,CW\n"},
		{name: "polarization that is none", kind: "dwell", file: "dwell/h1.csv", data: dwellHead + "30.15,2026-11-18T09:00:10Z,2026-11-18T09:00:15Z,circular,1,CW\n"},
		{name: "position that is none", kind: "dwell", file: "dwell/h1.csv", data: dwellHead + "30.15,2026-11-18T09:00:10Z,2026-11-18T09:00:15Z,H,left,CW\n"},
		{name: "position of one and a half", kind: "dwell", file: "dwell/h1.csv", data: dwellHead + "30.15,2026-11-18T09:00:10Z,2026-11-18T09:00:15Z,H,1.5,CW\n"},
		{name: "modulation that is none", kind: "dwell", file: "dwell/h1.csv", data: dwellHead + "30.15,2026-11-18T09:00:10Z,2026-11-18T09:00:15Z,H,1,chirp\n"},
		{name: "words for a purpose that are not known", kind: "dwell", file: "dwell/h1.csv", data: purposeHead + "30.1,2026-11-18T09:00:10Z,2026-11-18T09:00:15Z,warm-up\n30.2,2026-11-18T09:00:20Z,2026-11-18T09:00:25Z,warm-up\n30.3,2026-11-18T09:00:30Z,2026-11-18T09:00:35Z,test step\n"},
		{name: "purpose in an unreadable row", kind: "dwell", file: "dwell/h1.csv", data: purposeHead + "?,2026-11-18T09:00:10Z,2026-11-18T09:00:15Z,warm-up\n"},
		{name: "negative duration", kind: "dwell", file: "dwell/h1.csv", data: "Frequency (MHz),Start,Duration (s)\n30.0,2026-11-18T09:00:00Z,3.0\n30.1,2026-11-18T09:00:10Z,-3.0\n"},
		{name: "motion that ends before it starts", kind: "motion", file: "dwell/h1-motion.csv", data: "Start,End\n2026-11-18T09:00:10Z,2026-11-18T09:00:05Z\n"},
		{name: "plain factor of zero", kind: "correction", file: "corrections/fp03.csv", data: "Frequency (MHz),Factor\n30,1.1\n40,0\n"},
		{name: "decibels without their unit", kind: "correction", file: "corrections/fp03.csv", data: "Frequency (MHz),Correction\n30,-1.1\n40,0.3\n50,-0.2\n"},
		{name: "two factors for one frequency", kind: "correction", file: "corrections/fp03.csv", data: "Frequency (MHz),Factor (dB)\n30,1.1\n40,0.9\n30,1.2\n"},
		{name: "calibration date that is none", kind: "register", file: "equipment.csv", data: "Asset,Model,Calibrated,Due\nFP-03,P2,2026-03-02,2027-03-02\nFP-04,P2,last spring,2027-03-02\n"},
		{name: "calibration date with day or month first", kind: "register", file: "equipment.csv", data: "Asset,Model,Calibrated,Due\nFP-03,P2,02/03/2026,02/03/2027\n"},
		{name: "asset without a name", kind: "register", file: "equipment.csv", data: "Asset,Model\nFP-03,P2\n,P3\n"},
		{name: "range of use without a unit", kind: "register", file: "equipment.csv", data: "Asset,Model,From,To\nFP-03,P2,10 kHz,1 GHz\nFP-04,P2,10,1000\n"},
		{name: "asset twice", kind: "register", file: "equipment.csv", data: "Asset,Due\nFP-03,2027-03-02\nFP-03,2026-03-02\n"},
		{name: "small numbers as times of a sheet", kind: "power", file: "power/h1.xlsx", data: book(t, sheet{name: "H1", rows: elapsed})},
		{name: "error and formula without value in a sheet", kind: "power", file: "power/h1.xlsx", data: book(t, sheet{name: "H1", rows: power +
			`<row r="3"><c r="A3"><v>31</v></c><c r="B3" t="e"><v>#DIV/0!</v></c></row><row r="4"><c r="A4"><v>32</v></c><c r="B4"><f>A4*2</f></c></row>`})},
	}
}
