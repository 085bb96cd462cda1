package table

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func TestMarkupScan(t *testing.T) {
	for text, want := range map[string][3]int{ // elements, deepest, longest
		`<a/>`:                               {1, 1, 0},
		`<a><b>text</b><c/></a>`:             {3, 2, 4},
		`<?xml version="1.0"?><a></a>`:       {1, 1, 0},
		`<a x="</a>"><b y='>'/></a>`:         {2, 2, 0},
		`<a><!--</a>--><b/></a>`:             {2, 2, 7},
		`<a><![CDATA[</a><b>]]></a>`:         {1, 1, 10},
		strings.Repeat(`<a><!--</a>-->`, 50): {50, 50, 7},
	} {
		var whole, bytewise markupScan
		whole.Write([]byte(text))
		for i := range len(text) {
			bytewise.Write([]byte{text[i]})
		}
		assert.Equal(t, want, [3]int{whole.elements, whole.deepest, whole.longest}, text)
		assert.Equal(t, want, [3]int{bytewise.elements, bytewise.deepest, bytewise.longest}, text)
	}
}

// packed makes a workbook whose part of that name has another content.
func packed(t *testing.T, name string, content func(w func(string))) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	require.NoError(t, f.SetSheetRow("Sheet1", "A1", &[]any{"Time", "Field (V/m)"}))
	plain, err := f.WriteToBuffer()
	require.NoError(t, err)
	old, err := zip.NewReader(bytes.NewReader(plain.Bytes()), int64(plain.Len()))
	require.NoError(t, err)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, entry := range old.File {
		if entry.Name != name {
			require.NoError(t, z.Copy(entry))
		}
	}
	w, err := z.Create(name)
	require.NoError(t, err)
	content(func(text string) {
		_, err := w.Write([]byte(text))
		require.NoError(t, err)
	})
	require.NoError(t, z.Close())
	return b.Bytes()
}

// Workbooks that are small and claim to hold more than any machine has.
func TestHostileWorkbooks(t *testing.T) {
	repeated := func(head, one string, n int, tail string) func(w func(string)) {
		return func(w func(string)) {
			w(head)
			const batch = 10000
			many := strings.Repeat(one, batch)
			for range n / batch {
				w(many)
			}
			w(tail)
		}
	}
	for _, test := range []struct {
		name, part string
		content    func(w func(string))
		says       string
	}{
		{"a million styles", "xl/styles.xml", repeated("<styleSheet><cellXfs>", "<xf/>", 1_000_000, "</cellXfs></styleSheet>"), "styles, names and other records"},
		{"a million names", "xl/workbook.xml", repeated("<workbook><definedNames>", "<definedName name=\"a\">b</definedName>", 1_000_000, "</definedNames></workbook>"), "styles, names and other records"},
		{"six million strings", "xl/sharedStrings.xml", repeated("<sst>", "<si/>", 6_000_000, "</sst>"), "shared strings"},
		{"a text of two megabytes", "xl/sharedStrings.xml", repeated("<sst><si><t>", "letters ", 300_000, "</t></si></sst>"), "a cell holds at most 32,767 characters"},
		{"strings of 200 MB", "xl/sharedStrings.xml", repeated("<sst>", "<si><t>"+strings.Repeat("x", 1000)+"</t></si>", 200_000, "</sst>"), "unpacks to more"},
		{"a hundred levels", "xl/worksheets/sheet1.xml", func(w func(string)) {
			w("<worksheet>" + strings.Repeat("<a><!--</a>-->", 100) + "</worksheet>")
		}, "elements 101 deep"},
	} {
		t.Run(test.name, func(t *testing.T) {
			data := packed(t, test.part, test.content)
			assert.Less(t, len(data), 4<<20, "it is small")
			_, err := Open(Bytes("log.xlsx", data), Entry{})
			require.Error(t, err)
			assert.Contains(t, err.Error(), test.says, fmt.Sprint(len(data)))
		})
	}
}
