package demoday

import (
	"time"

	"fieldheld/ingest/table"
)

// languages are the heads that laboratories write, in a few languages and manners.
var languages = []map[table.Column]string{
	{},
	{table.Time: "Timestamp", table.Field: "Field strength", table.AxisX: "X-axis", table.AxisY: "Y-axis", table.AxisZ: "Z-axis",
		table.Frequency: "Freq", table.Forward: "Fwd", table.Reflected: "Refl", table.Start: "Start time", table.End: "Stop time",
		table.Duration: "Dwell time", table.Run: "Run ID", table.Polarization: "Pol", table.Position: "Antenna position",
		table.Modulation: "Mod", table.Factor: "Probe factor", table.Status: "Overload"},
	{table.Time: "Date/Time", table.Field: "Total field", table.AxisX: "E x", table.AxisY: "E y", table.AxisZ: "E z",
		table.Frequency: "FREQUENCY", table.Forward: "Incident", table.Reflected: "Reverse", table.Start: "Begin", table.End: "End time",
		table.Factor: "Factor", table.Position: "Pos"},
	{table.Time: "Zeit", table.Date: "Datum", table.Field: "Feldstärke", table.Frequency: "Frequenz", table.Forward: "Vorlaufleistung",
		table.Reflected: "Rücklaufleistung", table.Start: "Beginn", table.End: "Ende", table.Duration: "Dauer", table.Run: "Lauf",
		table.Polarization: "Polarisation", table.Factor: "Korrekturfaktor"},
	{table.Time: "Horodatage", table.Date: "Date", table.Field: "Champ électrique", table.Frequency: "Fréquence",
		table.Forward: "Puissance incidente", table.Reflected: "Puissance réfléchie", table.Start: "Début", table.End: "Fin",
		table.Duration: "Durée", table.Run: "Essai", table.Polarization: "Polarisation", table.Factor: "Facteur de correction",
		table.Status: "État"},
}

// secondClock is the head of a time column that stands beside a date column.
var secondClock = []string{"Time", "Time", "Time", "Uhrzeit", "Heure"}

// elapsed is the head of a column of elapsed seconds.
var elapsed = []string{"Elapsed time", "Elapsed", "Elapsed time", "Laufzeit", "Temps"}

// layouts chooses the layouts of a day's files: one laboratory writes all of
// them in one language, each instrument in a manner of its own.
func (c chooser) layouts(s *Shape) Layouts {
	language := c.IntN(len(languages))
	var files Layouts
	for _, l := range []*Layout{&files.Probe, &files.Power, &files.Dwell, &files.Correction, &files.Motion} {
		*l = c.layout(language)
		c.times(l, language, s)
	}
	// A record of two times a row has no room for two columns of dates.
	for _, l := range []*Layout{&files.Dwell, &files.Motion} {
		for l.Time.Date != "" || l.Time.Kind == ElapsedSeconds {
			c.times(l, language, s)
		}
	}
	if s.SharedPower {
		files.Power.Workbook = true
		c.times(&files.Power, language, s)
	}
	c.units(&files)
	files.Register = Layout{Workbook: c.yes(0.7)}
	return files
}

func (c chooser) layout(language int) Layout {
	l := Layout{Heads: map[table.Column]string{}, Unit: map[table.Column]string{}, Units: UnitStyle(c.IntN(4))}
	for column, word := range languages[language] {
		l.Heads[column] = word
	}
	l.Workbook = c.yes(0.2)
	l.Delimiter = []rune{',', ';', '\t'}[c.IntN(3)]
	l.DecimalComma = l.Delimiter != ',' && c.yes(0.5)
	l.Encoding = []Encoding{UTF8, UTF8, UTF8, UTF8Mark, UTF16Little, UTF16Big, Windows1252}[c.IntN(7)]
	l.LineEnd = []string{"\n", "\r\n"}[c.IntN(2)]
	if c.yes(0.5) {
		l.Preamble = []string{"Tallholm EMC Laboratory", "Operator: R. Tallholm", "Firmware 2.14"}[:1+c.IntN(3)]
		l.Blank = c.yes(0.7)
	}
	if !l.Workbook && c.yes(0.2) {
		l.Comments = []string{"written by hand after the run"}
	}
	l.Digits = 5 + c.IntN(2)
	return l
}

// times chooses how a file writes times.
func (c chooser) times(l *Layout, language int, s *Shape) {
	l.Time = TimeStyle{Zone: s.Zone}
	if c.yes(0.15) {
		l.Time.Zone = time.UTC
	}
	l.Heads[table.Time] = languages[language][table.Time]
	if l.Heads[table.Time] == "" {
		delete(l.Heads, table.Time)
	}
	if l.Workbook && c.yes(0.6) {
		l.Time.Kind = SerialDate
		return
	}
	clock := "15:04:05.000"
	if l.DecimalComma {
		clock = "15:04:05,000"
	}
	order := []string{"2006-01-02", "2006-01-02", "02.01.2006", "01/02/2006"}[c.IntN(4)]
	switch c.IntN(6) {
	case 0:
		l.Time.Clock = rfc3339
	case 1:
		l.Time.Kind = UnixSeconds
		l.Heads[table.Time] = "Unix time"
	case 2:
		l.Time.Kind = ElapsedSeconds
		l.Heads[table.Time] = elapsed[language]
	case 3:
		l.Time.Date, l.Time.Clock = order, clock
		l.Heads[table.Time] = secondClock[language]
	default:
		l.Time.Clock = order + " " + clock
	}
}

// units chooses the units of the columns.
func (c chooser) units(files *Layouts) {
	frequency := []string{"Hz", "kHz", "MHz", "MHz", "GHz"}
	for _, l := range []*Layout{&files.Probe, &files.Power, &files.Dwell, &files.Correction} {
		l.Unit[table.Frequency] = frequency[c.IntN(len(frequency))]
	}
	field := []string{"V/m", "V/m", "V/m", "mV/m", "kV/m", "dBV/m", "dBµV/m", "mW/cm²", "W/m²"}[c.IntN(9)]
	for _, column := range []table.Column{table.Field, table.AxisX, table.AxisY, table.AxisZ} {
		files.Probe.Unit[column] = field
	}
	power := []string{"W", "W", "mW", "kW", "dBm", "dBW"}[c.IntN(6)]
	files.Power.Unit[table.Forward], files.Power.Unit[table.Reflected] = power, power
}
