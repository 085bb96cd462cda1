package archive

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/go-pdf/fpdf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/templates/fonts"
)

var document = Document{
	Title: "Test report (draft) für Δ", Author: "Tallholm & Söner", Subject: "Subject", Keywords: "a, b", Creator: "program 1", Producer: "program 1",
	Language: "en-GB", Date: time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC), Fonts: []string{fonts.Regular.Face().Name},
}

var attached = []Attachment{
	{Name: "job.toml", MIME: "application/toml", Relationship: "Source", Description: "job sheet (1)", Data: []byte("number = 1\n")},
	{Name: "probe/Prüfung \\ 1.csv", MIME: "text/csv", Relationship: "Source", Description: "probe log", Data: bytes.Repeat([]byte("1,2\n"), 500)},
	{Name: "empty.txt", MIME: "text/plain", Relationship: "Data", Description: "", Data: nil},
}

// drawn is a file as the library makes it: two pages, a link, an outline.
func drawn(t testing.TB) []byte {
	t.Helper()
	face := fonts.Regular.Face()
	doc := fpdf.New("P", "pt", "A4", "")
	doc.SetCatalogSort(true)
	doc.AddUTF8FontFromBytes(face.Name, "", face.Data)
	link := doc.AddLink()
	for _, text := range []string{"Page one (1) µ \\", "Page two"} {
		doc.AddPage()
		doc.SetFont(face.Name, "", 10)
		doc.Bookmark(text, 0, 0)
		doc.Bookmark("part of "+text, 1, 0)
		doc.Text(50, 60, text)
		doc.Link(50, 50, 100, 20, link)
	}
	doc.SetLink(link, 0, 2)
	var b bytes.Buffer
	require.NoError(t, doc.Output(&b))
	return b.Bytes()
}

func archived(t testing.TB, files []Attachment) []byte {
	t.Helper()
	image := Image{Name: "Photo1", Width: 1, Height: 1, ColourSpace: "DeviceGray", Filter: "DCTDecode", Data: []byte("jpeg")}
	var b bytes.Buffer
	require.NoError(t, Write(&b, drawn(t), document, []Image{image}, files))
	return b.Bytes()
}

func TestArchivedFileKeepsTheRules(t *testing.T) {
	for name, files := range map[string][]Attachment{"with attachments": attached, "without": nil} {
		assert.Empty(t, Violations(archived(t, files)), name)
	}
}

func TestWhatTheLibraryMakesBreaksTheRules(t *testing.T) {
	found := strings.Join(Violations(drawn(t)), "\n")
	for _, clause := range []string{"6.1.2", "6.1.3", "6.2.3", "6.2.11 ", "6.3", "6.6.2", "6.6.3"} {
		assert.Contains(t, found, clause)
	}
}

func TestArchivedFileIsTheSameEachTime(t *testing.T) {
	assert.Equal(t, archived(t, attached), archived(t, attached))
}

func TestEachRuleSeesItsViolation(t *testing.T) {
	good := archived(t, attached)
	replace := func(old, new string) func([]byte) []byte {
		require.Len(t, new, len(old), "offsets must stay as they are")
		require.Contains(t, string(good), old)
		return func(b []byte) []byte { return bytes.Replace(b, []byte(old), []byte(new), 1) }
	}
	for _, test := range []struct {
		name, clause string
		spoil        func([]byte) []byte
	}{
		{"no bytes above 127", "6.1.2", replace("%\xE2\xE3\xCF\xD3", "%abcd")},
		{"no identity", "6.1.3", replace("/ID [", "/IX [")},
		{"encrypted", "6.1.3", func(b []byte) []byte {
			return bytes.Replace(b, []byte("/ID ["), []byte("/Encrypt 1 0 R /ID ["), 1)
		}},
		{"bytes after the end", "6.1.3", func(b []byte) []byte { return append(b, "more"...) }},
		{"forbidden filter", "6.1.7", replace("/DCTDecode", "/LZWDecode")},
		{"no output intent", "6.2.3", replace("/OutputIntents [", "/OutputIntentx [")},
		{"other output intent", "6.2.3", replace("GTS_PDFA1", "GTS_PDFX1")},
		{"no subset name", "6.2.11 ", replace("+IBMPlexSans", "_IBMPlexSans")},
		{"font of another kind", "6.2.11 ", replace("/Subtype /Type0", "/Subtype /Type9")},
		{"font not embedded", "6.2.11 ", replace("/FontFile2", "/FontFileX")},
		{"link not printed", "6.3", replace("/Subtype /Link /F 4", "/Subtype /Link /F 0")},
		{"action", "6.5", replace("/PageMode /UseOutlines", "/OpenAction /UseOutlin")},
		{"other part", "6.6.2", replace("<pdfaid:part>3", "<pdfaid:part>1")},
		{"other conformance", "6.6.2", replace("conformance>U<", "conformance>B<")},
		{"other title in metadata", "6.6.3", replace("Test report (draft) f", "Test report (drift) f")},
		{"other date in information", "6.6.3", replace("/ModDate (D:20261120", "/ModDate (D:20261121")},
		{"unknown relationship", "6.8", replace("/AFRelationship /Source", "/AFRelationship /Sourze")},
		{"not associated", "6.8", replace("/AF [", "/AX [")},
		{"not listed", "6.8", replace("/EmbeddedFiles <<", "/EmbeddedFilex <<")},
	} {
		t.Run(test.name, func(t *testing.T) {
			spoiled := test.spoil(append([]byte(nil), good...))
			assert.Contains(t, strings.Join(Violations(spoiled), "\n"), test.clause)
		})
	}
}

func TestAttachmentsComeBack(t *testing.T) {
	data := archived(t, attached)
	c, err := Read(append(data, "a later revision"...), 1<<20)
	require.NoError(t, err)
	assert.Equal(t, len(data), c.End)
	require.Len(t, c.Files, len(attached))
	for i, a := range attached {
		assert.Equal(t, a.Name, c.Files[i].Name)
		assert.Equal(t, a.MIME, c.Files[i].MIME)
		assert.Equal(t, a.Relationship, c.Files[i].Relationship)
		assert.Equal(t, a.Description, c.Files[i].Description)
		assert.Equal(t, string(a.Data), string(c.Files[i].Data))
	}
}

func TestReadRefusesDamage(t *testing.T) {
	good := archived(t, attached)
	for name, spoil := range map[string]func([]byte) []byte{
		"cut":             func(b []byte) []byte { return b[:len(b)/2] },
		"no table":        func(b []byte) []byte { return bytes.ReplaceAll(b, []byte("xref"), []byte("xxxx")) },
		"shifted objects": func(b []byte) []byte { return append([]byte("0123456789"), b...) },
		"other size":      func(b []byte) []byte { return bytes.Replace(b, []byte("/Size 2000"), []byte("/Size 2001"), 1) },
	} {
		_, err := Read(spoil(append([]byte(nil), good...)), 1<<20)
		assert.Error(t, err, name)
	}
	_, err := Read(good, 100)
	assert.ErrorContains(t, err, "bytes, more than the")
}

func TestTextsAreWhatThePagesShow(t *testing.T) {
	pages, err := Texts(archived(t, nil))
	require.NoError(t, err)
	require.Len(t, pages, 2)
	assert.Equal(t, []Text{{X: 50, Y: 781.89, Size: 10, Font: "IBMPlexSans", Text: "Page one (1) µ \\"}}, pages[0])
	assert.Equal(t, "Page two\n", PageText(pages[1]))
}

func TestTextStrings(t *testing.T) {
	for _, s := range []string{"", "plain", `brackets (a) and \ back`, "Prüfung Δ Ж 📡"} {
		back, err := ReadTextString(text(s))
		require.NoError(t, err)
		assert.Equal(t, s, back)
	}
	assert.Equal(t, "/text#2Fcsv", name("text/csv"))
	assert.Equal(t, "text/c#sv", readName(strings.TrimPrefix(name("text/c#sv"), "/")))
}

func TestMissingGlyphIsSeen(t *testing.T) {
	face := fonts.Regular.Face()
	doc := fpdf.New("P", "pt", "A4", "")
	doc.AddUTF8FontFromBytes(face.Name, "", face.Data)
	doc.AddPage()
	doc.SetFont(face.Name, "", 10)
	doc.Text(50, 60, "電")
	var made, out bytes.Buffer
	require.NoError(t, doc.Output(&made))
	require.NoError(t, Write(&out, made.Bytes(), document, nil, nil))
	assert.Contains(t, strings.Join(Violations(out.Bytes()), "\n"), "6.2.11.5 glyphs: page 1 shows U+96FB")
}

func TestProfileIsWellFormed(t *testing.T) {
	p := standardRGB()
	assert.Equal(t, len(p), int(p[0])<<24|int(p[1])<<16|int(p[2])<<8|int(p[3]), "its first number is its length")
	assert.Equal(t, "acsp", string(p[36:40]))
	assert.Equal(t, byte(9), p[131], "tags")
}
