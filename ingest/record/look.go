package record

import (
	"errors"
	"fmt"
	"time"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// Kind names a sort of record.
type Kind string

// The kinds of records. AnyKind lets LookAt find out.
const (
	AnyKind         Kind = ""
	KindProbeLog    Kind = "probe log"
	KindPowerFile   Kind = "power file"
	KindDwellRecord Kind = "dwell record"
	KindMotion      Kind = "motion record"
	KindCorrection  Kind = "correction table"
	KindRegister    Kind = "equipment register"
	KindLowLevel    Kind = "low-level record"
)

// Kinds lists the kinds that LookAt knows.
func Kinds() []Kind {
	return []Kind{KindProbeLog, KindPowerFile, KindDwellRecord, KindMotion, KindCorrection, KindRegister, KindLowLevel}
}

// lookers make what reads a record of each kind.
var lookers = map[Kind]struct {
	kind *kind
	make func() looker
}{
	KindProbeLog:    {probeKind, func() looker { return &probeReader{} }},
	KindPowerFile:   {powerKind, func() looker { return &powerReader{} }},
	KindDwellRecord: {dwellKind, func() looker { return &dwellReader{} }},
	KindMotion:      {motionKind, func() looker { return &motionReader{} }},
	KindCorrection:  {correctionKind, func() looker { return &correctionReader{} }},
	KindRegister:    {registerKind, func() looker { return &registerReader{} }},
	KindLowLevel:    {lowLevelKind, func() looker { return &lowLevelReader{} }},
}

// looker is a reader whose record can be shown row by row.
type looker interface {
	body
	file() *File
	len() int
	row(i int, zone *time.Location) (number int, values []Value)
	times() []quantity.Instant // sorted; nil where the rows are no samples
}

// Look says how a file is read, and what is odd about it.
type Look struct {
	Kind      Kind
	Path      string
	Sheet     string            // of a workbook, else ""
	Sheets    []table.SheetName // of a workbook
	Encoding  string            // "UTF-8", "Windows-1252", …, or "workbook"
	Delimiter rune              // 0 for a workbook
	Decimal   rune              // '.' or ','; 0 where it was not looked for
	Why       LookWhy
	Detector  string // of the readings of a probe log, as a heading says it; else ""
	HeaderRow int
	UnitRow   int // row of units below the header, 0 where there is none
	Columns   []LookColumn
	Times     *LookTimes // nil where the file has none

	File        File      // rows read and not read, with their problems; zero where Problems is not empty
	First, Last []LookRow // a few rows as they were read
	Interval    time.Duration
	Longest     time.Duration // g, the longest gap that counts as continuous
	Gaps        []LookGap     // the longer ones, in order, at most mostGaps of them
	GapCount    int           // all of them

	Entry    table.Entry    // reads the file in the same way, with nothing left to be found out
	Lines    []string       // Entry as lines of the job sheet
	Problems place.Messages // why the file cannot be used as it is
}

// LookWhy is how what concerns the whole file was told.
type LookWhy struct{ Encoding, Delimiter, Decimal, Header string }

// LookColumn is one column of the file.
type LookColumn struct {
	Letter   string
	Heading  string
	Quantity string // what it is taken for, "" for nothing
	Why      string // how that was told
	Unit     string
	UnitWhy  string
}

// LookTimes says how the times are written.
type LookTimes struct {
	How         string // "dates and times", "seconds since 1970", …
	Order       string // of day and month, "" where the dates do not need one
	OrderWhy    string
	Zone        string // of times that carry none, "" where all of them do
	ZoneWhy     string
	ClockOffset time.Duration
	Start       string // of elapsed times and times of day, "" where they need none
}

// Value is one value of a row, as it was read.
type Value struct {
	Quantity string
	Text     string
}

// LookRow is one row as it was read.
type LookRow struct {
	Row    int
	Values []Value
}

// LookGap is a distance between neighbouring samples that breaks continuity.
type LookGap struct {
	After, Before int // rows around it
	At            quantity.Instant
	Length        time.Duration
}

const (
	mostGaps  = 20
	shownRows = 3 // at either end
)

// LookAt reads a file as a record of the kind and says how. With AnyKind it
// takes the kind that the header fits best. A file that is a table, but cannot
// be used as it is, gives a Look with Problems; an error is only about files that
// are no table.
func LookAt(src table.Source, entry table.Entry, s Settings, k Kind) (*Look, error) {
	f, err := table.Open(src, entry)
	if err != nil {
		return nil, err
	}
	l := layoutOfKind(f, entry, s, k)
	if err := f.Close(); err != nil {
		return nil, fmt.Errorf("closing %s: %w", src.Name(), err)
	}
	for name, known := range lookers {
		if known.kind == l.kind {
			k = name
		}
	}
	reader := &spy{looker: lookers[k].make()}
	if table, ok := reader.looker.(*correctionReader); ok {
		table.use = s.Use
	}
	err = readTable(src, entry, s, l.kind, reader)
	if reader.layout != nil {
		l = reader.layout
	} else if l.complete() {
		_ = l.settle() // what it reports is in err already
	} else if l.header.Number > 0 && len(l.timeColumns()) > 0 {
		l.settleNumbers()
		l.timesAsked = l.settleClock() != nil // the times are shown where they can be told
	}
	look := l.look(k)
	var told *place.Error
	switch {
	case errors.As(err, &told):
		look.Problems = told.Messages
	case err != nil:
		return nil, err
	default:
		look.read(reader.looker, l)
	}
	return look, nil
}

// layoutOfKind finds the layout of the stated kind, or of the kind that fits best.
func layoutOfKind(f *table.File, entry table.Entry, s Settings, k Kind) *layout {
	if known, ok := lookers[k]; ok {
		return bestLayout(f, entry, s, known.kind)
	}
	var best *layout
	for _, name := range Kinds() {
		if l := bestLayout(f, entry, s, lookers[name].kind); best == nil || l.score() > best.score() {
			best = l
		}
	}
	return best
}

// spy keeps the layout with which a record was read in the end.
type spy struct {
	looker
	layout *layout
}

func (s *spy) read(l *layout) (evidence, error) {
	s.layout = l
	return s.looker.read(l)
}

func (s *spy) again() bool {
	twice, ok := s.looker.(interface{ again() bool })
	return ok && twice.again()
}

// look says what is known of a file without its rows.
func (l *layout) look(k Kind) *Look {
	p := l.file.Place(0, "")
	look := &Look{
		Kind: k, Path: p.File, Sheet: p.Sheet, Sheets: l.file.Sheets(), Encoding: l.file.Encoding(),
		Delimiter: l.delimiter, Decimal: rune(l.numbers.Decimal), HeaderRow: l.header.Number, UnitRow: l.unitRow,
	}
	look.Why = l.why()
	byIndex := map[int]table.Column{}
	for c, found := range l.columns {
		byIndex[found.index] = c
	}
	for i, h := range l.headings {
		column := LookColumn{Letter: table.ColumnLetter(i), Heading: h.text, Unit: h.unit}
		if c, ok := byIndex[i]; ok {
			found := l.columns[c]
			column.Quantity, column.Why, column.Unit, column.UnitWhy = string(c), found.why, found.unit, found.unitWhy
		}
		for _, status := range l.statuses {
			if status.index == i && column.Quantity == "" {
				column.Quantity, column.Why = string(table.Status), status.why
			}
		}
		look.Columns = append(look.Columns, column)
	}
	if len(l.times) > 0 && !l.timesAsked {
		look.Times = l.lookTimes()
	}
	if k == KindProbeLog {
		look.Detector = l.detector()
	}
	if d := l.headless(); d != nil {
		look.Delimiter = d.delimiter
	}
	look.Entry, look.Lines = l.explicit()
	return look
}

// displayZone is the zone in which times of the file are shown.
func (l *layout) displayZone() *time.Location {
	if l.timeline.Zone != nil {
		return l.timeline.Zone
	}
	return l.zone()
}

// read takes in the rows of a record that could be read.
func (look *Look) read(r looker, l *layout) {
	look.File = *r.file()
	n := r.len()
	take := func(i int) LookRow {
		number, values := r.row(i, l.displayZone())
		return LookRow{Row: number, Values: values}
	}
	for i := range min(shownRows, n) {
		look.First = append(look.First, take(i))
	}
	for i := max(shownRows, n-shownRows); i < n; i++ {
		look.Last = append(look.Last, take(i))
	}
	times := r.times()
	if len(times) < 2 {
		return
	}
	gap := continuousGap(times, l.settings.MaxGap)
	look.Interval, look.Longest = time.Duration(continuousGap(times, 0)/3), time.Duration(gap)
	for i := 1; i < len(times); i++ {
		if length := times[i].Sub(times[i-1]); float64(length) > gap {
			if look.GapCount++; look.GapCount <= mostGaps {
				look.Gaps = append(look.Gaps, LookGap{After: take(i - 1).Row, Before: take(i).Row, At: times[i-1], Length: length})
			}
		}
	}
}
