package record

import (
	"strings"

	"fieldheld/ingest/table"
)

// kind is a sort of record: the columns that it may have and those it needs.
type kind struct {
	name    string // with its article
	columns []table.Column
	needs   []need
	figure  table.Column // what a file without a header holds beside its times; "" where it needs more
	words   func() vocabulary
}

// need is a quantity that a record cannot do without: one of several sets of
// columns has to be there.
type need struct {
	what string // for people
	any  [][]table.Column
}

func one(columns ...table.Column) [][]table.Column {
	sets := make([][]table.Column, len(columns))
	for i, c := range columns {
		sets[i] = []table.Column{c}
	}
	return sets
}

// clockColumns hold the times of a log, the one that counts first.
var clockColumns = []table.Column{table.Time, unixTime, elapsedTime, table.Date}

var probeKind = &kind{
	name: "a probe log",
	columns: append([]table.Column{table.Field, table.AxisX, table.AxisY, table.AxisZ,
		table.Frequency, table.Status, validity, battery, temperature}, clockColumns...),
	needs: []need{
		{"a time column", one(clockColumns...)},
		{"a field column, or three axis columns", append(one(table.Field), []table.Column{table.AxisX, table.AxisY, table.AxisZ})},
	},
	figure: table.Field,
	words:  headerWords,
}

var powerKind = &kind{
	name:    "a power file",
	columns: append([]table.Column{table.Forward, table.Reflected, net, table.Frequency}, clockColumns...),
	needs: []need{
		{"a forward-power column", one(table.Forward)},
		{"a time or a frequency column", one(append([]table.Column{table.Frequency}, clockColumns...)...)},
	},
	figure: table.Forward,
	words:  headerWords,
}

var dwellKind = &kind{
	name: "a dwell record",
	columns: []table.Column{table.Frequency, table.Start, table.End, table.Duration, table.Date, startDate, endDate, table.Run,
		table.Polarization, table.Position, table.Modulation, table.Purpose, levelSet, observation},
	needs: []need{
		{"a frequency column", one(table.Frequency)},
		{"a start column", one(table.Start)},
		{"an end or a duration column", one(table.End, table.Duration)},
	},
	words: headerWords,
}

var motionKind = &kind{
	name:    "a motion record",
	columns: []table.Column{table.Start, table.End, table.Duration, table.Date, startDate, endDate, observation},
	needs: []need{
		{"a start column", one(table.Start)},
		{"an end or a duration column", one(table.End, table.Duration)},
	},
	words: headerWords,
}

var correctionKind = &kind{
	name:    "a correction table",
	columns: []table.Column{table.Frequency, table.Factor, uncertainty},
	needs: []need{
		{"a frequency column", one(table.Frequency)},
		{"a factor column", one(table.Factor)},
	},
	words: headerWords,
}

var registerKind = &kind{
	name: "an equipment register",
	columns: []table.Column{asset, description, maker, model, serial, calibrated, due, certificate,
		traceability, rangeFrom, rangeTo},
	needs: []need{
		{"an asset column", one(asset)},
		{"a column that describes the asset", one(description, maker, model, serial, calibrated, due, certificate, traceability, rangeFrom)},
	},
	words: registerHeaderWords,
}

// bare returns the name without its article.
func (k *kind) bare() string {
	_, name, _ := strings.Cut(k.name, " ")
	return name
}

func (k *kind) takes(column table.Column) bool {
	for _, c := range k.columns {
		if c == column {
			return true
		}
	}
	return false
}

// missing lists the needs that the columns do not meet.
func (k *kind) missing(has func(table.Column) bool) []string {
	var lacking []string
	for _, n := range k.needs {
		if !n.met(has) {
			lacking = append(lacking, n.what)
		}
	}
	return lacking
}

func (n need) met(has func(table.Column) bool) bool {
	for _, set := range n.any {
		all := true
		for _, c := range set {
			all = all && has(c)
		}
		if all {
			return true
		}
	}
	return false
}
