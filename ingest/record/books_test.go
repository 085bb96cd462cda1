package record_test

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"testing"

	"github.com/stretchr/testify/require"
)

// sheet is one sheet of a workbook for tests: the XML of its rows.
type sheet struct {
	name, state, rows string
	merged            string // ranges such as "B1:D1"
	cut               int    // bytes missing at the end of the XML
}

// book packs a workbook. Dates count from 1904 where the first sheet's state is
// "1904", which is no state of a sheet.
func book(t testing.TB, sheets ...sheet) string {
	t.Helper()
	const main = `http://schemas.openxmlformats.org/spreadsheetml/2006/main`
	const office = `http://schemas.openxmlformats.org/officeDocument/2006/relationships`
	list, relations, properties := "", "", ""
	files := [][2]string{}
	for i, s := range sheets {
		state := ""
		switch s.state {
		case "1904":
			properties = `<workbookPr date1904="1"/>`
		case "":
		default:
			state = `state="` + s.state + `"`
		}
		list += fmt.Sprintf(`<sheet name="%s" sheetId="%d" %s r:id="rId%d"/>`, s.name, i+1, state, i+1)
		relations += fmt.Sprintf(`<Relationship Id="rId%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>`, i+1, office, i+1)
		xml := `<worksheet xmlns="` + main + `"><sheetData>` + s.rows + `</sheetData>`
		if s.merged != "" {
			xml += `<mergeCells count="1"><mergeCell ref="` + s.merged + `"/></mergeCells>`
		}
		xml += `</worksheet>`
		files = append(files, [2]string{fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), xml[:len(xml)-s.cut]})
	}
	files = append([][2]string{
		{"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`},
		{"_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="` + office + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<workbook xmlns="` + main + `" xmlns:r="` + office + `">` + properties + `<sheets>` + list + `</sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` + relations + `</Relationships>`},
	}, files...)
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range files {
		part, err := w.Create(f[0])
		require.NoError(t, err)
		_, err = io.WriteString(part, f[1])
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.String()
}

// archive packs one file.
func archive(t testing.TB, name, text string) string {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	part, err := w.Create(name)
	require.NoError(t, err)
	_, err = io.WriteString(part, text)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return b.String()
}

// lyingArchive is a workbook whose sheet says that it unpacks to two gigabytes.
func lyingArchive(t testing.TB) string {
	t.Helper()
	data := []byte(book(t, sheet{name: "H1", rows: "<row/>"}))
	at := bytes.LastIndex(data, []byte("xl/worksheets/sheet1.xml"))
	binary.LittleEndian.PutUint32(data[at-46+24:], 2<<30)
	return string(data)
}

// wide is ASCII text with a zero byte behind every letter.
func wide(text string) string {
	var b []byte
	for _, c := range []byte(text) {
		b = append(b, c, 0)
	}
	return string(b)
}
