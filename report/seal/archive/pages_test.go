package archive

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// foreign is a PDF file of another program with the objects that are given.
func foreign(objects ...string) string {
	var b strings.Builder
	b.WriteString("%PDF-1.4\n")
	for i, body := range objects {
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, body)
	}
	b.WriteString("trailer\n<</Size 9 /Root 1 0 R>>\nstartxref\n0\n%%EOF\n")
	return b.String()
}

// packed is a stream of objects.
func packed(t *testing.T, length int, objects string) string {
	t.Helper()
	var z bytes.Buffer
	w := zlib.NewWriter(&z)
	_, err := w.Write([]byte(objects))
	require.NoError(t, err)
	_, err = w.Write(bytes.Repeat([]byte(" "), length))
	require.NoError(t, err)
	require.NoError(t, w.Close())
	first := strings.Index(objects, "<<")
	return fmt.Sprintf("<</Type /ObjStm /N 1 /First %d /Filter /FlateDecode /Length %d>>\nstream\n%s\nendstream", first, z.Len(), z.String())
}

func TestPagesOfForeignFilesAreCounted(t *testing.T) {
	const page = "<</Type /Page /Parent 2 0 R>>"
	const catalog = "<</Type /Catalog /Pages 2 0 R>>"
	for name, c := range map[string]struct {
		data  string
		pages int
	}{
		"two pages":                      {foreign(catalog, "<</Type /Pages /Kids [3 0 R 4 0 R] /Count 2>>", page, page), 2},
		"a tree":                         {foreign(catalog, "<</Kids [3 0 R 4 0 R]>>", "<</Kids [5 0 R\n6 0 R]>>", page, page, page), 3},
		"kids apart":                     {foreign(catalog, "<</Kids 3 0 R>>", "[4 0 R]", page), 1},
		"what it says of its number":     {foreign(catalog, "<</Kids [3 0 R] /Count 4000>>", page), 1},
		"changed later: the last counts": {foreign(catalog, "<</Kids [3 0 R]>>", page, page) + "2 0 obj <</Kids [3 0 R 4 0 R]>> endobj trailer <</Root 1 0 R>> %%EOF", 2},
	} {
		pages, err := CountPages([]byte(c.data))
		require.NoError(t, err, name)
		assert.Equal(t, c.pages, pages, name)
	}
	pages, err := CountPages([]byte(foreign(catalog, "<</Kids [3 0 R 5 0 R]>>", page, packed(t, 0, "5 0 <</Type /Page>>"))))
	require.NoError(t, err)
	assert.Equal(t, 2, pages, "one page is packed with other objects")
}

func TestForeignFilesThatAreRefused(t *testing.T) {
	const page, catalog = "<</Type /Page>>", "<</Type /Catalog /Pages 2 0 R>>"
	good := foreign(catalog, "<</Kids [3 0 R]>>", page)
	for want, data := range map[string]string{
		"encrypted":                  strings.Replace(good, "/Root", "/Encrypt 8 0 R /Root", 1),
		"its end is missing":         strings.Replace(good, "%%EOF", "", 1) + strings.Repeat(" ", 3000),
		"does not say where":         "%PDF-1.7\n%%EOF",
		"its pages are not found":    foreign("<</Type /Catalog>>"),
		"is missing":                 foreign(catalog, "<</Kids [7 0 R]>>"),
		"it has no pages":            foreign(catalog, "<</Kids []>>"),
		"not in one order":           foreign(catalog, "<</Kids [3 0 R]>>", "<</Kids [2 0 R]>>"),
		"is larger when unpacked":    foreign(catalog, "<</Kids [3 0 R]>>", packed(t, largestContents+1, "5 0 <</Type /Page>>")),
		"has more than 16384 pages":  foreign(append([]string{catalog, "<</Kids [" + references(mostPages+1) + "]>>"}, repeated(page, mostPages+1)...)...),
		"one of its pages, is missi": foreign(catalog, "<</Kids [3 0 R 99 0 R]>>", page),
	} {
		_, err := CountPages([]byte(data))
		assert.ErrorContains(t, err, want)
	}
}

func references(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "%d 0 R ", i+3)
	}
	return b.String()
}

func repeated(text string, n int) []string {
	list := make([]string, n)
	for i := range list {
		list[i] = text
	}
	return list
}
