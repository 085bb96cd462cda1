package record_test

import (
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// oslo is the zone of the tests' job sheets: one hour ahead of UTC in winter.
func oslo(t testing.TB) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("Europe/Oslo")
	require.NoError(t, err)
	return zone
}

// readProbe reads a log that has to be readable.
func readProbe(t testing.TB, data string, entry table.Entry) *record.ProbeLog {
	t.Helper()
	log, err := record.ReadProbeLog(table.Bytes("probe/h1.csv", []byte(data)), entry, record.Settings{Zone: oslo(t)})
	require.NoError(t, err)
	return log
}

// utcTimes writes instants as the tests compare them.
func utcTimes(times []quantity.Instant) []string {
	var texts []string
	for _, at := range times {
		texts = append(texts, at.UTC().Format("2006-01-02T15:04:05.999999999"))
	}
	return texts
}

// honestLog is one way of writing a log of two samples: 0.51 V/m and 1207.5 V/m,
// half a second apart, from 09:00 on in Oslo.
type honestLog struct {
	name, data string
	entry      table.Entry
}

func honestLogs() []honestLog {
	return []honestLog{
		{"RFC 3339", "Time,E-field (V/m)\n2026-11-18T08:00:00Z,0.51\n2026-11-18T08:00:00.5Z,1207.5\n", table.Entry{}},
		{"RFC 3339 with an offset", "Time,E-field (V/m)\n2026-11-18T09:00:00+01:00,0.51\n2026-11-18T09:00:00.500+01:00,1207.5\n", table.Entry{}},
		{"offset without a colon", "Time,E-field (V/m)\n2026-11-18 09:00:00 +0100,0.51\n2026-11-18 09:00:00.5 +0100,1207.5\n", table.Entry{}},
		{"UTC behind the time", "Time,E-field (V/m)\n2026-11-18 08:00:00 UTC,0.51\n2026-11-18 08:00:00.5 UTC,1207.5\n", table.Entry{}},
		{"UTC in the heading", "Time (UTC),E-field (V/m)\n2026-11-18 08:00:00,0.51\n2026-11-18 08:00:00.5,1207.5\n", table.Entry{}},
		{"an offset in the heading", "Time (UTC+2),E-field (V/m)\n2026-11-18 10:00:00,0.51\n2026-11-18 10:00:00.5,1207.5\n", table.Entry{}},
		{"zone of the entry", "Time,E-field (V/m)\n2026-11-18 08:00:00,0.51\n2026-11-18 08:00:00.5,1207.5\n", table.Entry{Zone: time.UTC}},
		{"clock offset", "Time,E-field (V/m)\n2026-11-18 09:00:02.4,0.51\n2026-11-18 09:00:02.9,1207.5\n", table.Entry{ClockOffset: -2400 * time.Millisecond}},
		{"semicolons and decimal commas", "Datum;Uhrzeit;Feldstärke [V/m]\r\n18.11.2026;09:00:00,000;0,51\r\n18.11.2026;09:00:00,500;1207,5\r\n", table.Entry{}},
		{"points between thousands", "Datum;Uhrzeit;Feldstärke [V/m]\n18.11.2026;09:00:00;0,51\n18.11.2026;09:00:00,5;1.207,5\n", table.Entry{}},
		{"apostrophes between thousands", "Time;Feld (V/m)\n2026-11-18 09:00:00;0,51\n2026-11-18 09:00:00,5;1'207,5\n", table.Entry{}},
		{"blanks between thousands", "Horodatage;Champ électrique (V/m)\n2026-11-18 09:00:00;0,51\n2026-11-18 09:00:00,5;1\u202f207,5\n", table.Entry{}},
		{"commas between thousands, in quotes", "Time,E-field (V/m)\n2026-11-18 09:00:00,0.51\n2026-11-18 09:00:00.5,\"1,207.5\"\n", table.Entry{}},
		{"decimal commas in quotes between commas", "Time,E-field (V/m)\n2026-11-18 09:00:00,\"0,51\"\n2026-11-18 09:00:00.5,\"1207,5\"\n", table.Entry{}},
		{"exponents", "Time,E-field (V/m)\n2026-11-18 09:00:00,5.1E-01\n2026-11-18 09:00:00.5,+1.2075e+3\n", table.Entry{}},
		{"tabs mixed with blanks", "Time \t E-field (V/m)\n2026-11-18 09:00:00 \t 0.51\n2026-11-18 09:00:00.5\t  1207.5 \n", table.Entry{}},
		{"bars", "Time|E-field (V/m)\n2026-11-18 09:00:00|0.51\n2026-11-18 09:00:00.5|1207.5\n", table.Entry{}},
		{"a delimiter that is stated", "Time!E-field (V/m)\n2026-11-18 09:00:00!0.51\n2026-11-18 09:00:00.5!1207.5\n", table.Entry{Delimiter: '!'}},
		{"carriage returns alone", "Time,E-field (V/m)\r2026-11-18 09:00:00,0.51\r2026-11-18 09:00:00.5,1207.5\r", table.Entry{}},
		{"UTF-16", utf16Text("Zeit;Feldstärke [V/m]\r\n2026-11-18 09:00:00;0,51\r\n2026-11-18 09:00:00,5;1207,5\r\n"), table.Entry{}},
		{"Windows-1252", "Zeit;Feldst\xE4rke [V/m]\r\n2026-11-18 09:00:00;0,51\r\n2026-11-18 09:00:00,5;1207,5\r\n", table.Entry{}},
		{"month first", "Date/Time,E-field (V/m)\n11/18/2026 09:00:00,0.51\n11/18/2026 09:00:00.5,1207.5\n", table.Entry{}},
		{"twelve hours", "Date/Time,E-field (V/m)\n11/18/2026 9:00:00 AM,0.51\n11/18/2026 9:00:00.5 AM,1207.5\n", table.Entry{}},
		{"names of months", "Time,E-field (V/m)\n18-Nov-2026 09:00:00,0.51\n18-Nov-2026 09:00:00.5,1207.5\n", table.Entry{}},
		{"names of months, American", "Time;E-field (V/m)\nNov 18, 2026 09:00:00;0.51\nNov 18, 2026 09:00:00.5;1207.5\n", table.Entry{}},
		{"names of months, German", "Zeit;Feld (V/m)\n18. November 2026 09:00:00;0,51\n18. November 2026 09:00:00,5;1207,5\n", table.Entry{}},
		{"year first with slashes", "Time,E-field (V/m)\n2026/11/18 09:00:00,0.51\n2026/11/18 09:00:00.5,1207.5\n", table.Entry{}},
		{"eight digits", "Date,Time,E-field (V/m)\n20261118,09:00:00,0.51\n20261118,09:00:00.5,1207.5\n", table.Entry{}},
		{"points in the time of day", "Date;Time;E-field (V/m)\n2026-11-18;09.00.00,0;0,51\n2026-11-18;09.00.00,5;1207,5\n", table.Entry{}},
		{"Unix seconds", "Unix time,E-field (V/m)\n1794988800,0.51\n1794988800.5,1207.5\n", table.Entry{}},
		{"Unix milliseconds", "Timestamp,E-field (V/m)\n1794988800000,0.51\n1794988800500,1207.5\n", table.Entry{}},
		{"elapsed seconds, start in the file", "Start: 2026-11-18 09:00:00\nElapsed (s),E-field (V/m)\n0.0,0.51\n0.5,1207.5\n", table.Entry{}},
		{"elapsed milliseconds, date and time apart", "Date;2026-11-18\nTime;09:00:00\n\nLaufzeit (ms);Feld (V/m)\n0;0,51\n500;1207,5\n", table.Entry{}},
		{"elapsed seconds, start stated", "Time (s),E-field (V/m)\n0.0,0.51\n0.5,1207.5\n", table.Entry{Start: time.Date(2026, 11, 18, 8, 0, 0, 0, time.UTC)}},
		{"elapsed hours, minutes and seconds", "Start: 2026-11-18T08:00:00Z\nElapsed,E-field (V/m)\n0:00:00,0.51\n0:00:00.5,1207.5\n", table.Entry{}},
		{"time of day, date in the file", "Date: 2026-11-18\nTime,E-field (V/m)\n09:00:00,0.51\n09:00:00.5,1207.5\n", table.Entry{}},
		{"time format stated", "Time,E-field (V/m)\n18/11-26 09h00m00.0,0.51\n18/11-26 09h00m00.5,1207.5\n", table.Entry{TimeFormat: "02/01-06 15h04m05"}},
		{"time format for the date alone", "Date,Time,E-field (V/m)\n11-18-26,09:00:00,0.51\n11-18-26,09:00:00.5,1207.5\n", table.Entry{TimeFormat: "01-02-06"}},
		{"time format for date and time", "Date,Time,E-field (V/m)\n18 11 26,9:00:00.0,0.51\n18 11 26,9:00:00.5,1207.5\n", table.Entry{TimeFormat: "2 1 06 15:04:05"}},
		{"time format with a zone in letters", "Time,E-field (V/m)\n2026-11-18 10:00:00 EET,0.51\n2026-11-18 10:00:00.5 EET,1207.5\n",
			table.Entry{TimeFormat: "2006-01-02 15:04:05 EET", Zone: time.FixedZone("EET", 7200)}},
		{"spreadsheet dates in a text", "Time,E-field (V/m)\n46344.375,0.51\n46344.375005787,1207.5\n", table.Entry{TimeFormat: "excel"}},
		{"lines above, units below, remarks and empty lines", "Probe FP-03\n\n# second try\nTime,E-field\n,V/m\n\n# begin\n2026-11-18 09:00:00,0.51\n\n2026-11-18 09:00:00.5,1207.5\n\n", table.Entry{}},
		{"units in brackets below", "Time;E-field\n[s];[V/m]\n2026-11-18 09:00:00;0.51\n2026-11-18 09:00:00.5;1207.5\n", table.Entry{}},
		{"unit after a comma", "Time,\"total field, V/m\"\n2026-11-18 09:00:00,0.51\n2026-11-18 09:00:00.5,1207.5\n", table.Entry{}},
		{"unit after a slash", "Time;Feldstärke / V/m\n2026-11-18 09:00:00;0.51\n2026-11-18 09:00:00.5;1207.5\n", table.Entry{}},
		{"unit behind the numbers", "Time,E-field\n2026-11-18 09:00:00,0.51 V/m\n2026-11-18 09:00:00.5,1207.5 V/m\n", table.Entry{}},
		{"unit stated", "Time,E-field\n2026-11-18 09:00:00,0.51\n2026-11-18 09:00:00.5,1207.5\n", table.Entry{Units: map[table.Column]string{table.Field: "V/m"}}},
		{"column stated", "Time,Reading A (V/m),Field (V/m)\n2026-11-18 09:00:00,0.51,7\n2026-11-18 09:00:00.5,1207.5,7\n", table.Entry{Columns: map[table.Column]string{table.Field: "Reading A (V/m)"}}},
		{"header row stated", "Time,Field (V/m)\nTime,Field (mV/m)\n2026-11-18 09:00:00,510\n2026-11-18 09:00:00.5,1207500.0\n", table.Entry{HeaderRow: 2}},
		{"decimal mark stated", "Time;Field (V/m)\n2026-11-18 09:00:00;0,510\n2026-11-18 09:00:00.5;1207,500\n", table.Entry{Decimal: ','}},
		{"millivolts", "Time,Field (mV/m)\n2026-11-18 09:00:00,510\n2026-11-18 09:00:00.5,1207500\n", table.Entry{}},
		{"an odd spelling of the unit", "Time,Field (V m^-1)\n2026-11-18 09:00:00,0.51\n2026-11-18 09:00:00.5,1207.5\n", table.Entry{}},
		{"no line end at the end", "Time,E-field (V/m)\n2026-11-18 09:00:00,0.51\n2026-11-18 09:00:00.5,1207.5", table.Entry{}},
		{"trailing delimiters", "Time,E-field (V/m),\n2026-11-18 09:00:00,0.51,\n2026-11-18 09:00:00.5,1207.5,,,\n", table.Entry{}},
		{"header again", "Time,E-field (V/m)\n2026-11-18 09:00:00,0.51\nTime,E-field (V/m)\n2026-11-18 09:00:00.5,1207.5\n", table.Entry{}},
		{"one log behind another", "Probe FP-03\nTime,E-field\n,V/m\n2026-11-18 09:00:00,0.51\nProbe FP-03\nTime,E-field\n,V/m\n2026-11-18 09:00:00.5,1207.5\n", table.Entry{}},
		{"end-of-text mark", "Time,E-field (V/m)\n2026-11-18 09:00:00,0.51\n2026-11-18 09:00:00.5,1207.5\n\x1a", table.Entry{}},
	}
}

// TestHonestLogs reads one and the same log in the many ways in which loggers
// and spreadsheets write it.
func TestHonestLogs(t *testing.T) {
	want := []string{"2026-11-18T08:00:00", "2026-11-18T08:00:00.5"}
	for _, test := range honestLogs() {
		t.Run(test.name, func(t *testing.T) {
			log := readProbe(t, test.data, test.entry)
			assert.Equal(t, want, utcTimes(log.Times))
			require.Len(t, log.Readings, 2)
			assert.InEpsilon(t, 0.51, float64(log.Readings[0]), 1e-12)
			assert.InEpsilon(t, 1207.5, float64(log.Readings[1]), 1e-12)
			assert.Empty(t, log.File.Problems)
			assert.Equal(t, 2, log.File.RowsRead)
			assert.Zero(t, log.File.RowsUnread)
		})
	}
}

func utf16Text(text string) string {
	b := []byte{0xFF, 0xFE}
	for _, u := range utf16.Encode([]rune(text)) {
		b = append(b, byte(u), byte(u>>8))
	}
	return string(b)
}

// TestHeaderWords reads the quantities of a log by the words of many languages.
func TestHeaderWords(t *testing.T) {
	tests := []struct{ time, field, frequency, status string }{
		{"Time", "E-field", "Frequency", "Overload"},
		{"TIMESTAMP", "FIELD STRENGTH", "FREQ", "status"},
		{"Zeitstempel", "Feldstaerke", "Prüffrequenz", "Überlast"},
		{"Datum/Uhrzeit", "E-Feld", "Frequenz", "Zustand"},
		{"Horodatage", "Champ (électrique)", "Fréquence", "État"},
		{"Date et heure", "Intensité de champ", "frequence", "Surcharge"},
		{"Fecha y hora", "Intensidad de campo", "Frecuencia", "Estado"},
		{"Data e ora", "Campo elettrico", "Frequenza", "Stato"},
		{"Tidspunkt", "Feltstyrke", "Frekvens", "Tilstand"},
		{"Tidsstämpel", "Fältstyrka", "Frekvens", "Överlast"},
		{"Aika", "Kentänvoimakkuus", "Taajuus", "Tila"},
	}
	for _, test := range tests {
		t.Run(test.field, func(t *testing.T) {
			data := test.time + ";" + test.field + " (V/m);" + test.frequency + " (MHz);" + test.status + "\n" +
				"2026-11-18 09:00:00;0.51;30.5;OK\n2026-11-18 09:00:01;0.52;;1\n"
			log := readProbe(t, data, table.Entry{})
			assert.Equal(t, []quantity.FieldStrength{0.51, 0.52}, log.Readings)
			assert.Equal(t, []record.Fault{record.NoFault, record.Marked}, log.Faults)
			assert.Equal(t, quantity.Frequency(30.5e6), log.Frequencies[0])
			assert.False(t, quantity.Defined(log.Frequencies[1]))
		})
	}
}

func TestAxesAndUnits(t *testing.T) {
	tests := []struct {
		name, data string
		want       float64 // V/m of the one row
	}{
		{"three axes", "Time,Ex (V/m),Ey (V/m),Ez (V/m)\n2026-11-18 09:00:00,2,3,6\n", 7},
		{"axes in any order", "Z (V/m),Time,X (V/m),Y (V/m)\n6,2026-11-18 09:00:00,2,3\n", 7},
		{"axes in decibels are converted before their squares", "Time,X (dBuV/m),Y (dBuV/m),Z (dBuV/m)\n2026-11-18 09:00:00,140,140,140\n", 10 * 1.7320508075688772},
		{"power densities of axes add", "Time,X (W/m2),Y (W/m2),Z (W/m2)\n2026-11-18 09:00:00,1,2,3\n", 47.56048780237646}, // √(6·377)
		{"units that differ between axes", "Time,X (V/m),Y (mV/m),Z (dBV/m)\n2026-11-18 09:00:00,2,3000,6\n", 4.120879733}, // √(4+9+10^0.6)
		{"the total counts where there is one", "Time,X (V/m),Y (V/m),Z (V/m),Total (V/m)\n2026-11-18 09:00:00,2,3,6,7.5\n", 7.5},
		{"axes beside a total need no unit and no value", "Time,X,Y,Z,Total (V/m)\n2026-11-18 09:00:00,2,,n/a,7.5\n", 7.5},
		// 47 CFR 1.1310, table 1: 61.4 V/m and 1.0 mW/cm², 614 V/m and 100 mW/cm² belong together.
		{"milliwatts per square centimetre", "Time,E-field (mW/cm2)\n2026-11-18 09:00:00,1.0\n", 61.4},
		{"a hundred of them", "Time,Power density (mW/cm²)\n2026-11-18 09:00:00,100\n", 614},
		{"decibels over a microvolt per metre", "Time,E-field (dBµV/m)\n2026-11-18 09:00:00,166.0206\n", 200},
		{"the other micro sign", "Time,E-field (dBμV/m)\n2026-11-18 09:00:00,140\n", 10},
		{"decibels over a volt per metre, below zero", "Time;E-field (dBV/m)\n2026-11-18 09:00:00;-20,0\n", 0.1},
		{"kilovolts", "Time,E-field (kV/m)\n2026-11-18 09:00:00,0.2\n", 200},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			log := readProbe(t, test.data, table.Entry{})
			require.Len(t, log.Readings, 1)
			assert.InEpsilon(t, test.want, float64(log.Readings[0]), 2e-5)
			assert.Empty(t, log.File.Problems)
		})
	}
}

func TestMidnightAndSummerTime(t *testing.T) {
	t.Run("midnight in a column of times of day", func(t *testing.T) {
		log := readProbe(t, "Date: 2026-11-18\nTime,E-field (V/m)\n23:59:59.5,0.51\n00:00:00.0,0.52\n00:00:00.5,0.53\n", table.Entry{})
		assert.Equal(t, []string{"2026-11-18T22:59:59.5", "2026-11-18T23:00:00", "2026-11-18T23:00:00.5"}, utcTimes(log.Times))
	})
	t.Run("the day of a stated start", func(t *testing.T) {
		log := readProbe(t, "Time,E-field (V/m)\n00:30:00,0.51\n00:30:01,0.52\n", table.Entry{Start: time.Date(2026, 11, 17, 23, 0, 0, 0, time.UTC)})
		assert.Equal(t, []string{"2026-11-17T23:30:00", "2026-11-17T23:30:01"}, utcTimes(log.Times))
	})
	t.Run("the night in which summer time begins", func(t *testing.T) {
		log := readProbe(t, "Time,E-field (V/m)\n2026-03-29 01:59:59,0.51\n2026-03-29 03:00:00,0.52\n", table.Entry{})
		assert.Equal(t, []string{"2026-03-29T00:59:59", "2026-03-29T01:00:00"}, utcTimes(log.Times))
	})
	t.Run("the night in which it ends, gone through by the log", func(t *testing.T) {
		log := readProbe(t, "Time,E-field (V/m)\n2026-10-25 01:59:30,0.50\n2026-10-25 02:30:00,0.51\n2026-10-25 02:59:30,0.52\n2026-10-25 02:00:00,0.53\n2026-10-25 02:59:30,0.54\n2026-10-25 03:00:00,0.55\n", table.Entry{})
		assert.Equal(t, []string{"2026-10-24T23:59:30", "2026-10-25T00:30:00", "2026-10-25T00:59:30",
			"2026-10-25T01:00:00", "2026-10-25T01:59:30", "2026-10-25T02:00:00"}, utcTimes(log.Times))
	})
	t.Run("the other hours of that night", func(t *testing.T) {
		log := readProbe(t, "Time,E-field (V/m)\n2026-10-25 01:59:59,0.51\n2026-10-25 03:00:00,0.52\n", table.Entry{})
		assert.Equal(t, []string{"2026-10-24T23:59:59", "2026-10-25T02:00:00"}, utcTimes(log.Times))
	})
	t.Run("the hour that came twice, with a zone that has it once", func(t *testing.T) {
		zone, err := time.LoadLocation("Etc/GMT-1")
		require.NoError(t, err)
		log := readProbe(t, "Time,E-field (V/m)\n2026-10-25 02:30:00,0.51\n", table.Entry{Zone: zone})
		assert.Equal(t, []string{"2026-10-25T01:30:00"}, utcTimes(log.Times))
	})
}

// TestOrderShownLate reads files whose first 1000 rows do not show how they are
// written, but a later one does.
func TestOrderShownLate(t *testing.T) {
	t.Run("order of day and month", func(t *testing.T) {
		data := "Time,E-field (V/m)\n" + strings.Repeat("11/12/2026 23:59:58,0.51\n", 3000) + "11/13/2026 00:00:00,0.52\n"
		log := readProbe(t, data, table.Entry{})
		require.Len(t, log.Times, 3001)
		assert.Equal(t, "2026-11-12T22:59:58", utcTimes(log.Times[:1])[0])
		assert.Equal(t, "2026-11-12T23:00:00", utcTimes(log.Times[3000:])[0])
	})
	t.Run("decimal comma", func(t *testing.T) {
		data := "Time;E-field (V/m)\n" + strings.Repeat("2026-11-18 09:00:00;1,234\n", 3000) + "2026-11-18 09:00:01;1,5\n"
		log := readProbe(t, data, table.Entry{})
		require.Len(t, log.Readings, 3001)
		assert.Equal(t, quantity.FieldStrength(1.234), log.Readings[0])
		assert.Equal(t, quantity.FieldStrength(1.5), log.Readings[3000])
	})
	t.Run("whole numbers, then decimal commas", func(t *testing.T) {
		data := "Time;E-field (V/m)\n" + strings.Repeat("2026-11-18 09:00:00;12\n", 3000) + "2026-11-18 09:00:01;0,5\n"
		log := readProbe(t, data, table.Entry{})
		require.Len(t, log.Readings, 3001)
		assert.Equal(t, quantity.FieldStrength(12), log.Readings[0])
		assert.Equal(t, quantity.FieldStrength(0.5), log.Readings[3000])
	})
}

// TestImpossibleThousands: where thousands would be more than the quantity can
// be, the mark is a decimal one.
func TestImpossibleThousands(t *testing.T) {
	data := "Frequency (GHz);Start;End\n1,020;2026-11-18 09:00:00;2026-11-18 09:00:03\n"
	dwell, err := record.ReadDwellRecord(table.Bytes("dwell/h1.csv", []byte(data)), table.Entry{}, record.Settings{Zone: time.UTC})
	require.NoError(t, err)
	assert.Equal(t, quantity.Frequency(1.02e9), dwell.Visits[0].Frequency)
}
