package table_test

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/table"
)

const (
	sheetBegin = `<?xml version="1.0" encoding="UTF-8"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>`
	sheetEnd   = `</sheetData></worksheet>`
)

// parts are the files of a workbook in the order in which they are packed.
type parts []struct{ name, text string }

// book is a workbook with sheets "First", "Second", …, of which each is the rows
// of its XML. State goes into the first sheet's element.
func book(state, properties string, sheets ...string) parts {
	names := []string{"First", "Second", "Third"}
	list, relations := "", ""
	p := parts{{"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`}}
	for i := range sheets {
		hidden := ""
		if i == 0 {
			hidden = state
		}
		list += fmt.Sprintf(`<sheet name="%s" sheetId="%d" %s r:id="rId%d"/>`, names[i], i+1, hidden, i+1)
		relations += fmt.Sprintf(`<Relationship Id="rId%d" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet%d.xml"/>`, i+1, i+1)
	}
	p = append(p, parts{
		{"_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><workbookPr ` + properties + `/><sheets>` + list + `</sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` + relations + `</Relationships>`},
		{"xl/sharedStrings.xml", `<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>shared</t></si></sst>`},
	}...)
	for i, rows := range sheets {
		p = append(p, struct{ name, text string }{fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), sheetBegin + rows + sheetEnd})
	}
	return p
}

// with returns the parts with one of them changed.
func (p parts) with(name string, change func(string) string) parts {
	changed := append(parts(nil), p...)
	for i := range changed {
		if changed[i].name == name {
			changed[i].text = change(changed[i].text)
		}
	}
	return changed
}

func (p parts) without(name string) parts {
	var left parts
	for _, part := range p {
		if part.name != name {
			left = append(left, part)
		}
	}
	return left
}

func (p parts) pack(t testing.TB) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, part := range p {
		f, err := w.Create(part.name)
		require.NoError(t, err)
		_, err = io.WriteString(f, part.text)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

const twoRows = `<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="inlineStr"><is><t>Field</t></is></c></row><row r="2"><c r="A2"><v>1.5</v></c><c r="B2"><v>0.30000000000000004</v></c></row>`

func TestRowsOfSheets(t *testing.T) {
	tests := []struct {
		name  string
		parts parts
		entry table.Entry
		sheet string
		want  []numbered
	}{
		{"the first sheet, numbers as stored", book("", "", twoRows, ""), table.Entry{}, "First",
			[]numbered{{1, []string{"shared", "Field"}, ""}, {2, []string{"1.5", "0.30000000000000004"}, ""}}},
		{"a named sheet, whatever the case", book("", "", "", twoRows), table.Entry{Sheet: "second"}, "Second",
			[]numbered{{1, []string{"shared", "Field"}, ""}, {2, []string{"1.5", "0.30000000000000004"}, ""}}},
		{"a hidden sheet that is named", book(`state="hidden"`, "", twoRows, ""), table.Entry{Sheet: "First"}, "First",
			[]numbered{{1, []string{"shared", "Field"}, ""}, {2, []string{"1.5", "0.30000000000000004"}, ""}}},
		{"rows and cells left out", book("", "", `<row r="3"><c r="C3"><v>7</v></c></row>`), table.Entry{}, "First",
			[]numbered{{1, nil, ""}, {2, nil, ""}, {3, []string{"", "", "7"}, ""}}},
		{"rows and cells without numbers", book("", "", `<row><c><v>1</v></c><c><v>2</v></c></row><row><c><v>3</v></c></row>`), table.Entry{}, "First",
			[]numbered{{1, []string{"1", "2"}, ""}, {2, []string{"3"}, ""}}},
		{"formulas with and without a value", book("", "", `<row r="1"><c r="A1"><f>1+1</f><v>2</v></c><c r="B1"><f>1+1</f></c><c r="C1"><v>3</v></c></row>`), table.Entry{}, "First",
			[]numbered{{1, []string{"2", "", "3"}, ""}}},
		{"logical values and errors", book("", "", `<row r="1"><c r="A1" t="b"><v>1</v></c><c r="B1" t="e"><v>#DIV/0!</v></c></row>`), table.Entry{}, "First",
			[]numbered{{1, []string{"1", "#DIV/0!"}, ""}}},
		{"a prefix on every element", book("", "", "").with("xl/worksheets/sheet1.xml", func(string) string {
			return `<x:worksheet xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><x:sheetData><x:row r="1"><x:c r="A1"><x:v>5</x:v></x:c></x:row></x:sheetData></x:worksheet>`
		}), table.Entry{}, "First", []numbered{{1, []string{"5"}, ""}}},
		{"blanks behind the end", book("", "", `<row r="1"><c r="A1"><v>5</v></c></row>`).with("xl/worksheets/sheet1.xml", func(s string) string { return s + "\r\n " }),
			table.Entry{}, "First", []numbered{{1, []string{"5"}, ""}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			f, err := table.Open(table.Bytes("power/h1.xlsx", test.parts.pack(t)), test.entry)
			require.NoError(t, err)
			defer f.Close()
			assert.Equal(t, test.sheet, f.Sheet())
			assert.True(t, f.Workbook())
			var got []numbered
			require.NoError(t, table.Read(f, 0, 0, rowsOf, func(rows []numbered) { got = append(got, rows...) }))
			assert.Equal(t, test.want, got)
		})
	}
}

func TestCalendarOfWorkbooks(t *testing.T) {
	for properties, want := range map[string]bool{"": false, `date1904="1"`: true, `date1904="true"`: true, `date1904="0"`: false} {
		f, err := table.Open(table.Bytes("a.xlsx", book("", properties, twoRows).pack(t)), table.Entry{})
		require.NoError(t, err)
		assert.Equal(t, want, f.Date1904(), properties)
		require.NoError(t, f.Close())
	}
}

func TestLongSheet(t *testing.T) {
	var rows strings.Builder
	for i := 1; i <= 5000; i++ {
		fmt.Fprintf(&rows, `<row r="%d" spans="1:1"><c r="A%d"><v>%d</v></c></row>`, i, i, i)
	}
	got := readAll(t, table.Bytes("a.xlsx", book("", "", rows.String()).pack(t)), table.Entry{}, 0, 10)
	require.Len(t, got, 4990)
	for i, row := range got {
		require.Equal(t, numbered{i + 11, []string{fmt.Sprint(i + 11)}, ""}, row)
	}
}

func TestDamagedWorkbooks(t *testing.T) {
	whole := book("", "", twoRows, twoRows)
	const first = "xl/worksheets/sheet1.xml"
	tests := []struct {
		name  string
		parts parts
		what  string
	}{
		{"a sheet cut off", whole.with(first, func(s string) string { return s[:len(s)-30] }), "the sheet breaks off: its end is missing"},
		{"a sheet cut within a row", whole.with(first, func(s string) string { return s[:len(s)/2] }), "the sheet breaks off: its end is missing"},
		{"an element that is not closed", whole.with(first, func(s string) string { return strings.Replace(s, "</v></c>", "</v>", 1) }), "the sheet breaks off before its last row, 2"},
		{"rows out of order", book("", "", `<row r="2"/><row r="1"/>`), "the rows of the sheet are out of order: row 1 stands behind row 2"},
		{"a row twice", book("", "", `<row r="2"/><row r="2"/>`), "the rows of the sheet are out of order: row 2 stands behind row 2"},
		{"a billion rows", book("", "", `<row r="1000000000"><c><v>1</v></c></row>`), "the sheet cannot be read further: row number exceeds maximum limit"},
		{"no part for the sheet", whole.without(first), "the workbook lacks the part xl/worksheets/sheet1.xml that the sheet is stored in"},
		{"no list of sheets", whole.without("xl/_rels/workbook.xml.rels"), "the workbook does not say where its sheets are stored"},
		{"a chart as the first sheet", whole.with(first, func(string) string {
			return `<chartsheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"/>`
		}),
			"the sheet holds no cells: it is a chart or a dialogue"},
		{"no workbook in the archive", parts{{"word/document.xml", "<document/>"}}, "the file is a zip archive, but no .xlsx workbook"},
		{"another sheet than there is", whole, "the workbook has no sheet of that name"},
		{"a hidden first sheet", book(`state="hidden"`, "", twoRows, twoRows), "the first sheet of the workbook is hidden, so that the entry has to say which sheet it means"},
		{"a picture larger than any log", append(whole, struct{ name, text string }{"xl/media/image1.png", strings.Repeat("x", 65<<20)}), "the workbook unpacks to more than a log of a test day can be"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			entry := table.Entry{}
			if strings.Contains(test.what, "of that name") {
				entry.Sheet = "Frist"
			}
			message := only(t, openAndRead(test.parts.pack(t), entry))
			assert.Equal(t, test.what, message.What())
			assert.NotEmpty(t, message.Hint())
		})
	}
}

func openAndRead(data []byte, entry table.Entry) error {
	f, err := table.Open(table.Bytes("power/h1.xlsx", data), entry)
	if err != nil {
		return err
	}
	defer f.Close()
	return table.Read(f, 0, 0, rowsOf, func([]numbered) {})
}

// TestCutWorkbooks cuts a workbook at every byte: none may be read as a shorter one.
func TestCutWorkbooks(t *testing.T) {
	data := book("", "", twoRows).pack(t)
	for n := len("PK\x03\x04"); n < len(data); n++ {
		require.Error(t, openAndRead(data[:n], table.Entry{}), "cut at byte %d of %d", n, len(data))
	}
}

// TestFlippedBits flips bits in the packed sheet: what is read is either refused
// or the same as before.
func TestFlippedBits(t *testing.T) {
	var rows strings.Builder
	for i := 1; i <= 60; i++ {
		fmt.Fprintf(&rows, `<row r="%d"><c r="A%d"><v>%d.%d</v></c></row>`, i, i, i*7919%1000, i*104729%1000)
	}
	data := book("", "", rows.String()).pack(t)
	want := readAll(t, table.Bytes("a.xlsx", data), table.Entry{}, 0, 0)
	refused := 0
	for at := 0; at < len(data); at += 3 {
		flipped := bytes.Clone(data)
		flipped[at] ^= 1 << (at % 8)
		if openAndRead(flipped, table.Entry{}) != nil {
			refused++
			continue
		}
		require.Equal(t, want, readAll(t, table.Bytes("a.xlsx", flipped), table.Entry{}, 0, 0), "byte %d", at)
	}
	assert.Greater(t, refused, len(data)/6, "flips within the packed parts have to be found")
}

// TestLyingSizes packs a part whose header gives another size than it has.
func TestLyingSizes(t *testing.T) {
	data := book("", "", twoRows).pack(t)
	t.Run("two gigabytes are refused unread", func(t *testing.T) {
		huge := lie(t, data, "xl/worksheets/sheet1.xml", 2<<30)
		assert.Equal(t, "the workbook unpacks to more than a log of a test day can be", only(t, openAndRead(huge, table.Entry{})).What())
	})
	t.Run("fewer bytes than there are", func(t *testing.T) {
		small := lie(t, data, "xl/worksheets/sheet1.xml", 10)
		assert.Contains(t, only(t, openAndRead(small, table.Entry{})).What(), "the part xl/worksheets/sheet1.xml of the workbook is damaged")
	})
}

// lie writes another unpacked size into the directory of an archive.
func lie(t *testing.T, data []byte, name string, size uint32) []byte {
	t.Helper()
	changed := bytes.Clone(data)
	at := bytes.LastIndex(changed, []byte(name))
	require.Greater(t, at, 46)
	header := changed[at-46:]
	require.Equal(t, "PK\x01\x02", string(header[:4]))
	binary.LittleEndian.PutUint32(header[24:], size)
	return changed
}
