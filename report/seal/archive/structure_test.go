package archive

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/report/structure"
)

// tagged is a document of two pages whose texts belong to elements.
func tagged(t *testing.T, root *structure.Element) []byte {
	t.Helper()
	var b bytes.Buffer
	d := Document{Title: "t", Creator: "fieldheld 0.2.0", Producer: "fieldheld 0.2.0", Language: "en-GB",
		Date: time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC), Structure: root}
	for page := 1; page <= 2; page++ { // the pages have a link each
		link := root.Add("Link")
		link.Kids = append(link.Kids, structure.Kid{Page: page, Link: 1, Text: "page two"})
	}
	require.NoError(t, Write(&b, drawn(t), d, nil, nil))
	return b.Bytes()
}

// TestStructureIsHeldAgainstThePages gives a page that has no tags a structure: what is
// drawn neither belongs to an element nor is furniture, and an element has nothing.
func TestStructureIsHeldAgainstThePages(t *testing.T) {
	root := &structure.Element{Kind: "Document"}
	p := root.Add("P")
	p.Kids = append(p.Kids, structure.Kid{Page: 1, Content: 0})
	root.Add("Figure")
	document := tagged(t, root)
	assert.NoError(t, Intact(document))
	said := strings.Join(Violations(document), "\n")
	assert.Contains(t, said, "6.7 logical structure: page 1: something is drawn that neither belongs to an element nor is furniture")
	assert.Contains(t, said, "page 1: 0 marked contents, of which 1 belong to an element")
	assert.Contains(t, said, "a figure that is not said in words")
}

// TestHiddenObjectsAreRead finds in the stream of objects what may stand nowhere.
func TestHiddenObjectsAreRead(t *testing.T) {
	root := &structure.Element{Kind: "Document"}
	root.Add("P").Alt = "harmless"
	document := tagged(t, root)
	f, err := parse(document)
	require.NoError(t, err)
	require.NotEmpty(t, f.hidden)
	last, err := f.object("12345678")
	assert.Error(t, err, "%s", last)

	e := &editor{file: f, document: Document{Language: "en-GB"}}
	tr := &tree{first: len(f.objects) + 1, bodies: append(f.hidden, []byte("<</S /JavaScript /JS (app.alert)>>"))}
	require.NoError(t, e.hide(tr, len(f.objects)-1, len(f.objects)))
	var b bytes.Buffer
	require.NoError(t, e.write(&b))
	assert.Contains(t, strings.Join(Violations(b.Bytes()), "\n"), "/JavaScript")
}

func TestDamagedStreamOfObjectsIsRefused(t *testing.T) {
	for name, spoil := range map[string]func(*tree){
		"numbers": func(tr *tree) { tr.first++ },
	} {
		f, err := parse(tagged(t, &structure.Element{Kind: "Document"}))
		require.NoError(t, err, name)
		tr := &tree{first: len(f.objects) + 1, bodies: f.hidden}
		spoil(tr)
		e := &editor{file: f}
		require.NoError(t, e.hide(tr, len(f.objects)-1, len(f.objects)))
		var b bytes.Buffer
		require.NoError(t, e.write(&b))
		_, err = parse(b.Bytes())
		assert.Error(t, err, name)
	}
}

func TestMarkedContents(t *testing.T) {
	for _, test := range []struct {
		content string
		pieces  int
		fault   string
	}{
		{"/Artifact BMC\n0 0 m 1 1 l S\nEMC\n/P <</MCID 0>> BDC\n(a) Tj\nEMC", 1, ""},
		{"/P <</MCID 1>> BDC\n(a) Tj\nEMC", 1, "number 0 is due"},
		{"/P <</MCID 0>> BDC\n/Artifact BMC\nEMC", 1, "within each other"},
		{"(a) Tj", 0, "neither belongs"},
		{"/P <</MCID 0>> BDC\n(a) Tj", 1, "not closed"},
	} {
		pieces, fault := markedContents([]byte(test.content))
		assert.Equal(t, test.pieces, pieces, test.content)
		if test.fault == "" {
			assert.Empty(t, fault, test.content)
		} else {
			assert.Contains(t, fault, test.fault, test.content)
		}
	}
}
