package archive

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rewritten writes a good file anew with changed objects, as somebody with this
// package could, so that every offset and the identity agree.
func rewritten(t testing.TB, good []byte, change func(f *file)) []byte {
	t.Helper()
	f, err := parse(bytes.Clone(good))
	require.NoError(t, err)
	change(f)
	var b bytes.Buffer
	require.NoError(t, (&editor{file: f}).write(&b))
	return b.Bytes()
}

// objectWith is the index of the first object that begins so.
func objectWith(t testing.TB, f *file, begin string) int {
	t.Helper()
	for i, body := range f.objects {
		if bytes.HasPrefix(body, []byte(begin)) {
			return i
		}
	}
	t.Fatalf("no object begins with %s", begin)
	return 0
}

// contents gives every page another content.
func contents(t testing.TB, f *file, content string) {
	t.Helper()
	body, err := stream("", []byte(content))
	require.NoError(t, err)
	for _, page := range f.objects {
		if bytes.HasPrefix(page, []byte("<</Type /Page\n")) {
			n := contentsOf.FindSubmatch(page)
			require.NotNil(t, n)
			number := 0
			_, err := fmt.Sscan(string(n[1]), &number)
			require.NoError(t, err)
			f.objects[number-1] = body
		}
	}
}

// embed puts other data into the first attached file, stating a size.
func embed(t testing.TB, f *file, stated string, data []byte) {
	t.Helper()
	body, err := stream(fmt.Sprintf("/Type /EmbeddedFile /Subtype /text#2Fcsv /Params <</Size %s /ModDate (D:20261120000000+00'00')>>", stated), data)
	require.NoError(t, err)
	f.objects[objectWith(t, f, "<</Type /EmbeddedFile")] = body
}

// looked says all that this package finds wrong with a file.
func looked(data []byte) string {
	var found []string
	note := func(err error) {
		if err != nil {
			found = append(found, err.Error())
		}
	}
	note(Intact(data))
	_, err := Read(data, LargestFiles)
	note(err)
	_, err = Texts(data)
	note(err)
	found = append(found, Violations(data)...)
	IdentityOf(data)
	return strings.Join(found, "\n")
}

func TestHostileFilesAreRefusedByName(t *testing.T) {
	good := archived(t, attached)
	require.Empty(t, looked(good))
	entry := regexp.MustCompile(`\d{10} 00000 n `)
	count := regexp.MustCompile(`xref\n0 \d+\n`)
	const mega = 1 << 20
	for _, test := range []struct {
		name, says string
		spoil      func(t *testing.T) []byte
	}{
		{"an object far behind the file", "object 1 lies outside the file", func(*testing.T) []byte {
			at := entry.FindIndex(good)
			return append(append(append([]byte(nil), good[:at[0]]...), "9999999999 00000 n "...), good[at[1]:]...)
		}},
		{"an object behind the table", "lies outside the file", func(*testing.T) []byte {
			at := entry.FindIndex(good)
			return append(append(append([]byte(nil), good[:at[0]]...), fmt.Sprintf("%010d 00000 n ", len(good)-5)...), good[at[1]:]...)
		}},
		{"a thousand million objects", "the file has 999999999 objects; at most 1048576 are read", func(*testing.T) []byte {
			return count.ReplaceAll(good, []byte("xref\n0 999999999\n"))
		}},
		{"an attached file that grows", "which states 12 bytes: is larger when unpacked than the 12 bytes that are read of it", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) { embed(t, f, "12", make([]byte, 64*mega)) })
		}},
		{"an attached file of 6 GB", "it states 6442450944 bytes, more than the 536870912 that are read", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) { embed(t, f, "6442450944", make([]byte, mega)) })
		}},
		{"an attached file of any size", "it states 99999999999999999999 bytes", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) { embed(t, f, "99999999999999999999", nil) })
		}},
		{"an attached file that is not listed and grows", "is larger when unpacked", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) {
				f.objects[f.root-1] = bytes.Replace(f.objects[f.root-1], []byte("/AF ["), []byte("/AX ["), 1)
				embed(t, f, "12", make([]byte, 64*mega))
			})
		}},
		{"large metadata", "the metadata have", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) {
				i := objectWith(t, f, "<</Type /Metadata")
				f.objects[i] = bytes.Replace(f.objects[i], []byte("<x:xmpmeta"), append(bytes.Repeat([]byte("<a>"), mega), "<x:xmpmeta"...), 1)
			})
		}},
		{"a page that grows", "page 1: its content is larger when unpacked than the 33554432 bytes that are read of it", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) { contents(t, f, strings.Repeat("0 ", 20*mega)) })
		}},
		{"states saved without end", "nested 1000000", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) { contents(t, f, strings.Repeat("q ", 1e6)) })
		}},
		{"a text without end", "longest text", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) { contents(t, f, "BT ("+strings.Repeat("((", mega)) })
		}},
		{"fonts without end", "more than 64 fonts", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) { f.objects[1] = append(f.objects[1], strings.Repeat(" /F1 7 0 R", 1000)...) })
		}},
		{"a script", "/JavaScript", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) { f.objects = append(f.objects, []byte("<</S/JavaScript/JS (app)>>")) })
		}},
		{"a script in other letters", "/JavaScript", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) { f.objects = append(f.objects, []byte("<</S /Java#53cript /JS 3 0 R>>")) })
		}},
		{"an action when it is opened", "/OpenAction", func(t *testing.T) []byte {
			return rewritten(t, good, func(f *file) {
				f.objects[f.root-1] = bytes.Replace(f.objects[f.root-1], []byte("/Metadata"), []byte("/OpenAction 3 0 R /Metadata"), 1)
			})
		}},
	} {
		t.Run(test.name, func(t *testing.T) { assert.Contains(t, looked(test.spoil(t)), test.says) })
	}
}

func TestOperandsWithoutAnOperatorAreNotKept(t *testing.T) {
	data := rewritten(t, archived(t, nil), func(f *file) { contents(t, f, strings.Repeat("1 ", 1e6)+"Td") })
	pages, err := Texts(data)
	require.NoError(t, err)
	require.Len(t, pages, 2)
	assert.Empty(t, pages[0])
}

// Names that stand in texts do nothing: an article may be called as it likes.
func TestNamesInTextsAreNoActions(t *testing.T) {
	for _, title := range []string{"Light/Sound signal unit", "/Movie player", "a /Launch pad", "/JavaScript", "/AA battery", "(/OpenAction", `\/RichMedia)`, "/Crypt /LZWDecode"} {
		named := document
		named.Title, named.Subject = title, title
		var b bytes.Buffer
		require.NoError(t, Write(&b, drawn(t), named, nil, []Attachment{{Name: title, MIME: "text/csv", Relationship: "Source", Description: title, Data: []byte(title)}}))
		assert.Empty(t, looked(b.Bytes()), title)
	}
}

// small is a file of few bytes that has what is read of a report, for the fuzzer.
func small(t testing.TB) []byte {
	t.Helper()
	packed := func(entries, data string) []byte {
		body, err := stream(entries, []byte(data))
		require.NoError(t, err)
		return body
	}
	f := &file{root: 1, info: 5, objects: [][]byte{
		[]byte("<</Type /Catalog /Metadata 8 0 R /AF [6 0 R ]\n/Names <</EmbeddedFiles <</Names [(0000) 6 0 R ]>>>>\n>>"),
		[]byte("<</Font <</F1 9 0 R>>>>"),
		[]byte("<</Type /Page\n/Parent 1 0 R\n/Contents 4 0 R>>"),
		packed("", "q 1 0 0 1 2 3 cm BT /F1 9 Tf 5 6 Td (\x00a\x00\\)) Tj ET Q"),
		[]byte("<</Title (a)>>"),
		[]byte("<</Type /Filespec /F (a.csv) /UF <FEFF0061> /AFRelationship /Source /Desc (b) /EF <</F 7 0 R /UF 7 0 R>>>>"),
		packed("/Type /EmbeddedFile /Subtype /text#2Fcsv /Params <</Size 3 /ModDate (D:20261120000000+00'00')>>", "1,2"),
		plainStream("/Type /Metadata", []byte("<x:xmpmeta xmlns:x=\"x\"><CreatorTool>fieldheld 1</CreatorTool></x:xmpmeta>")),
		[]byte("<</Type /Font /Subtype /Type0 /BaseFont /ABCDEF+Face /DescendantFonts [9 0 R] /CIDToGIDMap 4 0 R>>"),
	}}
	var b bytes.Buffer
	require.NoError(t, (&editor{file: f}).write(&b))
	return b.Bytes()
}

func FuzzRead(f *testing.F) {
	good := small(f)
	require.NoError(f, Intact(good))
	contents, err := Read(good, 100)
	require.NoError(f, err)
	require.Len(f, contents.Files, 1)
	f.Add(good)
	f.Add(good[:len(good)/2])
	f.Add([]byte("%PDF-1.7\nxref\n0 2\n0000000000 65535 f \n0000000001 00000 n \ntrailer\n<</Root 1 0 R /Info 1 0 R>>\nstartxref\n9\n%%EOF\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		looked(data)
		if Intact(data) != nil {
			return
		}
		parsed, err := parse(data)
		require.NoError(t, err)
		var again bytes.Buffer
		require.NoError(t, (&editor{file: parsed}).write(&again))
		assert.Equal(t, data[:parsed.end], again.Bytes(), "an intact file is what its objects are written as")
	})
}
