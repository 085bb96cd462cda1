package record_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// sampleOf is one sample of a log that is written from known values.
type sampleOf struct {
	at        time.Time
	field     [3]string // what is written: the total alone, or three axes; with a decimal point
	frequency string    // in the unit of the dialect
	mark      string    // of the status column
	missing   string    // stands where the total would; "" where that is written
}

// dialect is one way to write a log.
type dialect struct {
	*rand.Rand
	delimiter, lineEnd string
	decimal, group     string // group parts thousands
	quoteAll           bool
	encoding           string
	axes, frequencies  bool
	status, newest     bool
	headless           bool     // no row names the columns; the entry numbers them
	words              []string // time, date, field, x, y, z, frequency, status
	unit, unitStyle    string
	perUnit            float64 // V/m
	frequencyUnit      string
	perHertz           float64
	times              string
	zone               *time.Location
	zoneWritten        bool
	preamble           []string
	aside              bool // a column that nobody asks for
	order              []int
}

var dialectWords = [][]string{
	{"Time", "Date", "E-field", "Ex", "Ey", "Ez", "Frequency", "Status"},
	{"Zeit", "Datum", "Feldstärke", "Feld X", "Feld Y", "Feld Z", "Frequenz", "Überlast"},
	{"Heure", "Date", "Champ électrique", "Champ X", "Champ Y", "Champ Z", "Fréquence", "État"},
	{"Timestamp", "Day", "Total field", "X", "Y", "Z", "Freq", "Overload"},
}

func pick[T any](r *rand.Rand, list ...T) T { return list[r.IntN(len(list))] }

// newDialect makes up a dialect.
func newDialect(r *rand.Rand) *dialect {
	d := &dialect{Rand: r, delimiter: pick(r, ",", ";", "\t", "|"), lineEnd: pick(r, "\n", "\r\n", "\r"), decimal: pick(r, ".", ","),
		quoteAll: r.IntN(4) == 0, encoding: pick(r, "UTF-8", "UTF-8", "mark", "UTF-16", "Windows-1252"),
		axes: r.IntN(3) == 0, frequencies: r.IntN(2) == 0, status: r.IntN(2) == 0, newest: r.IntN(5) == 0, words: pick(r, dialectWords...),
		unitStyle: pick(r, "%s (%s)", "%s [%s]", "%s, %s", "row", "%s in %s"), aside: r.IntN(3) == 0,
		times: pick(r, "iso", "iso", "isoT", "offset", "point", "slash", "american", "two", "unix", "milliseconds", "seconds"),
	}
	d.headless = r.IntN(6) == 0 && d.times != "unix" && d.times != "milliseconds" && d.times != "seconds"
	if d.delimiter == "," && strings.Contains(d.unitStyle, ",") && !d.quoteAll {
		d.unitStyle = "%s (%s)"
	}
	if d.group = pick(r, "", "", "", "'", "\u00a0", ".", ","); d.group == d.decimal || d.group == d.delimiter && !d.quoteAll {
		d.group = ""
	}
	d.unit, d.perUnit = "V/m", 1
	if r.IntN(5) == 0 {
		d.unit, d.perUnit = "kV/m", 1e3
	}
	d.frequencyUnit, d.perHertz = "MHz", 1e6
	if r.IntN(3) == 0 {
		d.frequencyUnit, d.perHertz = "GHz", 1e9
	}
	d.zone, d.zoneWritten = time.UTC, d.times == "isoT" || d.times == "offset" || d.times == "unix" || d.times == "milliseconds"
	if r.IntN(2) == 0 {
		d.zone = time.FixedZone("", 3600)
	}
	for range r.IntN(3) * map[bool]int{false: 1}[d.headless] {
		d.preamble = append(d.preamble, pick(r, "Tallholm EMC Laboratory", "# field log", "Chamber 2", "Operator;R. T.", "Log of the winch controller"))
	}
	return d
}

// samples makes up what the log says.
func (d *dialect) samples() []sampleOf {
	at := time.Date(2026, time.Month(1+d.IntN(12)), 1+d.IntN(28), d.IntN(23), d.IntN(60), 0, 0, d.zone)
	if d.times == "seconds" {
		at = startOfElapsed
	}
	step := pick(d.Rand, 100*time.Millisecond, 250*time.Millisecond, time.Second)
	places := 1 + d.IntN(4)
	var list []sampleOf
	for i := range 4 + d.IntN(30) {
		s := sampleOf{at: at, frequency: strconv.FormatFloat(30.5+float64(i/4)*0.25, 'f', 3, 64), mark: pick(d.Rand, "OK", "OK", "0", "", "1", "OVERLOAD")}
		for k := range s.field {
			s.field[k] = strconv.FormatFloat(1+d.Float64()*pick(d.Rand, 900., 2900), 'f', places, 64)
		}
		if d.IntN(15) == 0 {
			s.missing = pick(d.Rand, "---", "<1", "n/a", "overrange")
		}
		if list = append(list, s); d.IntN(12) > 0 { // some have the time of the one before
			at = at.Add(step)
		}
	}
	return list
}

var startOfElapsed = time.Date(2026, 11, 18, 9, 0, 0, 0, time.UTC)

// reading is the field of a sample in V/m.
func (d *dialect) reading(s sampleOf) float64 {
	sum := 0.0
	for k := range 3 {
		x, _ := strconv.ParseFloat(s.field[k], 64)
		if !d.axes {
			return x * d.perUnit
		}
		sum += x * x
	}
	return math.Sqrt(sum) * d.perUnit
}

// bad reports whether the status of a sample says that it cannot be trusted.
func (d *dialect) bad(s sampleOf) bool {
	return d.status && (s.mark == "1" || s.mark == "OVERLOAD") || s.missing != "" && !d.axes
}

func (d *dialect) number(text string) string {
	whole, fraction, _ := strings.Cut(text, ".")
	if len(whole) == 4 {
		whole = whole[:1] + d.group + whole[1:]
	}
	return whole + d.decimal + fraction
}

// stamp writes a time, in one cell or in two.
func (d *dialect) stamp(at time.Time) []string {
	fraction := d.decimal + fmt.Sprintf("%03d", at.Nanosecond()/1e6)
	switch d.times {
	case "isoT":
		return []string{at.UTC().Format("2006-01-02T15:04:05.000Z")}
	case "offset":
		return []string{at.Format("2006-01-02T15:04:05.000-07:00")}
	case "point":
		return []string{at.Format("02.01.2006 15:04:05") + fraction}
	case "slash":
		return []string{at.Format("02/01/2006 15:04:05") + fraction}
	case "american":
		return []string{at.Format("01/02/2006 03:04:05.000 PM")}
	case "two":
		return []string{at.Format("2006-01-02"), at.Format("15:04:05") + fraction}
	case "unix":
		return []string{fmt.Sprintf("%d%s%03d", at.Unix(), d.decimal, at.Nanosecond()/1e6)}
	case "milliseconds":
		return []string{strconv.FormatInt(at.UnixMilli(), 10)}
	case "seconds":
		return []string{d.number(strconv.FormatFloat(at.Sub(startOfElapsed).Seconds(), 'f', 3, 64))}
	}
	return []string{at.Format("2006-01-02 15:04:05") + fraction}
}

// header is the names and the units of the columns, in the order in which row
// writes them.
func (d *dialect) header() (names, units []string) {
	add := func(name, unit string) { names, units = append(names, name), append(units, unit) }
	switch d.times {
	case "two":
		add(d.words[1], "")
		add(d.words[0], "")
	case "seconds":
		add("Elapsed", "s")
	case "unix", "milliseconds":
		add("Unix time", "")
	default:
		add(d.words[0], "")
	}
	if d.axes {
		for k := range 3 {
			add(d.words[3+k], d.unit)
		}
	} else {
		add(d.words[2], d.unit)
	}
	if d.frequencies {
		add(d.words[6], d.frequencyUnit)
	}
	if d.status {
		add(d.words[7], "")
	}
	if d.aside {
		add("Battery", "V")
	}
	return names, units
}

func (d *dialect) row(s sampleOf) []string {
	cells := d.stamp(s.at)
	for k := range 3 {
		switch {
		case k == 0 && !d.axes && s.missing != "":
			cells = append(cells, s.missing)
		case k == 0 || d.axes:
			cells = append(cells, d.number(s.field[k]))
		}
	}
	if d.frequencies {
		cells = append(cells, d.number(s.frequency))
	}
	if d.status {
		cells = append(cells, s.mark)
	}
	if d.aside {
		cells = append(cells, d.number("3.9"))
	}
	return cells
}

// line writes cells in the order of the columns.
func (d *dialect) line(b *strings.Builder, cells []string) {
	for i, k := range d.order {
		if i > 0 {
			b.WriteString(d.delimiter)
		}
		if cell := cells[k]; d.quoteAll || strings.Contains(cell, d.delimiter) {
			b.WriteString(`"` + cell + `"`)
		} else {
			b.WriteString(cell)
		}
	}
	b.WriteString(d.lineEnd)
}

// write writes the log.
func (d *dialect) write(samples []sampleOf) []byte {
	var b strings.Builder
	for _, line := range d.preamble {
		b.WriteString(line + d.lineEnd)
	}
	names, units := d.header()
	d.order = d.Perm(len(names))
	if d.unitStyle != "row" {
		for i, unit := range units {
			if unit != "" {
				names[i] = fmt.Sprintf(d.unitStyle, names[i], unit)
			}
		}
	}
	if !d.headless {
		d.line(&b, names)
		if d.unitStyle == "row" {
			d.line(&b, units)
		}
	}
	for i := range samples {
		if d.newest {
			i = len(samples) - 1 - i
		}
		d.line(&b, d.row(samples[i]))
	}
	return d.encoded(b.String())
}

func (d *dialect) encoded(text string) []byte {
	switch d.encoding {
	case "mark":
		return []byte("\xEF\xBB\xBF" + text)
	case "UTF-16":
		data, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().Bytes([]byte(text))
		if err != nil {
			panic(err)
		}
		return data
	case "Windows-1252":
		data, err := charmap.Windows1252.NewEncoder().Bytes([]byte(text))
		if err != nil {
			panic(err)
		}
		return data
	}
	return []byte(text)
}

// entry says what the log cannot.
func (d *dialect) entry() table.Entry {
	if d.headless {
		return d.numbered()
	}
	if d.times == "seconds" {
		return table.Entry{Start: startOfElapsed}
	}
	return table.Entry{}
}

// numbered is the entry of a log without a header, once it is written.
func (d *dialect) numbered() table.Entry {
	e := table.Entry{NoHeader: true, Numbers: map[table.Column]int{}, Units: map[table.Column]string{}, FrequencyResolution: quantity.Undefined[quantity.Frequency]()}
	columns := []table.Column{table.Time}
	if d.times == "two" {
		columns = []table.Column{table.Date, table.Time}
	}
	fields := []table.Column{table.Field}
	if d.axes {
		fields = []table.Column{table.AxisX, table.AxisY, table.AxisZ}
	}
	for _, c := range fields {
		columns, e.Units[c] = append(columns, c), d.unit
	}
	if d.frequencies {
		columns, e.Units[table.Frequency] = append(columns, table.Frequency), d.frequencyUnit
	}
	if d.status {
		columns = append(columns, table.Status)
	}
	for i, k := range d.order {
		if k < len(columns) {
			e.Numbers[columns[k]] = i + 1
		}
	}
	return e
}
