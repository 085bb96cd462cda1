package table_test

import (
	"bytes"
	"encoding/csv"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fieldheld/ingest/table"
)

// FuzzRows reads any bytes as a table: no panic, no hang, row numbers without a
// gap but for empty lines, no control character in a text, and, for texts that the standard library
// reads in the same way, the same cells.
func FuzzRows(f *testing.F) {
	for _, text := range []string{"a,b\n1,2\n", "a,\"b\nc\"\n1,2\n", "\"", "a\r\nb\r\n", "\xFF\xFEa\x00,\x00b\x00", "a\x00\x00b", "\"a\"b,c\n", "x,\"y\"\"z\"\n", "\xEF\xBB\xBFa;b\n"} {
		f.Add([]byte(text))
	}
	f.Add(book("", "", twoRows).pack(f))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := table.Open(table.Bytes("any", data), table.Entry{})
		if err != nil {
			return
		}
		defer file.Close()
		var rows []numbered
		if err := table.Read(file, ',', 0, rowsOf, func(some []numbered) { rows = append(rows, some...) }); err != nil {
			return
		}
		last := 0
		for _, row := range rows {
			passedOver(t, data, last+1, row.number)
			last = row.number
			for _, cell := range row.cells {
				require.False(t, strings.ContainsFunc(cell, func(r rune) bool { return r < ' ' || r == 0x7F }), "%q", cell)
			}
		}
		if !file.Workbook() && file.Encoding() == "UTF-8" {
			sameAsStandard(t, data, rows)
		}
	})
}

// passedOver demands that nothing stood in the rows before one that were not given:
// they may only be empty lines, and only where no quotes make rows of several lines.
func passedOver(t *testing.T, data []byte, from, to int) {
	t.Helper()
	require.LessOrEqual(t, from, to, "rows come in their order")
	if from == to || bytes.HasPrefix(data, []byte("PK")) {
		return
	}
	end := "\n"
	if !bytes.Contains(data, []byte(end)) {
		end = "\r"
	}
	lines := strings.Split(strings.TrimPrefix(string(data), "\uFEFF"), end)
	for number := from; number < to && number <= len(lines); number++ {
		require.Empty(t, strings.Trim(lines[number-1], "\r\x00"), "row %d is passed over", number)
	}
}

// sameAsStandard compares with encoding/csv where both know the format: no
// blanks to be trimmed, no quotes but around whole cells, no odd characters.
func sameAsStandard(t *testing.T, data []byte, rows []numbered) {
	t.Helper()
	for _, b := range data {
		if b != '\n' && (b <= ' ' || b > '~') {
			return
		}
	}
	if bytes.Contains(data, []byte("\n\n")) || bytes.HasPrefix(data, []byte("\n")) {
		return // the standard library passes over empty lines
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	for i := 0; ; i++ {
		record, err := r.Read()
		if err == io.EOF {
			require.Len(t, rows, i)
			return
		}
		if err != nil {
			return // not the standard's idea of a table
		}
		for k, cell := range record {
			record[k] = strings.ReplaceAll(cell, "\n", " ")
		}
		require.Less(t, i, len(rows))
		for k, cell := range record {
			require.Equal(t, strings.TrimSpace(cell), rows[i].cells[k], "row %d", i+1)
		}
		require.Len(t, rows[i].cells, len(record), "row %d", i+1)
	}
}
