package layout

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// document lays out so many rows of a feathered table behind a heading.
func document(t *testing.T, rows int, draw bool) func(*Pagination) (*Flow, *Pagination, error) {
	t.Helper()
	types, err := sharedTypes()
	require.NoError(t, err)
	return func(earlier *Pagination) (*Flow, *Pagination, error) {
		f := Begin(Options{Format: A4, Typefaces: types, Earlier: earlier, Draw: draw})
		f.Heading(Heading{Level: 1, Text: "First", Outline: "First", Anchor: "first", Listed: true})
		f.Contents()
		f.Heading(Heading{Level: 1, Text: "Second", Outline: "Second", Anchor: "second", Listed: true})
		f.Paragraph(fmt.Sprintf("The end is on page %d.", f.PageOf("end")))
		f.Feather()
		table := &Table{Columns: []Column{{Head: "Number", Align: Right}}}
		for i := range rows {
			table.Add(Texts(fmt.Sprint(i)))
		}
		f.Table(table)
		f.Anchor("end")
		found, err := f.End()
		return f, found, err
	}
}

func settled(t *testing.T, rows int) *Pagination {
	t.Helper()
	layOut := document(t, rows, false)
	found, err := Settle(func(earlier *Pagination) (*Pagination, error) {
		_, found, err := layOut(earlier)
		return found, err
	})
	require.NoError(t, err)
	return found
}

func TestADrawnDocumentHasThePagesThatWereSettled(t *testing.T) {
	for _, rows := range []int{1, 40, 46, 200} {
		found := settled(t, rows)
		f, drawn, err := document(t, rows, true)(found)
		require.NoError(t, err)
		assert.True(t, drawn.Equal(found), "%d rows", rows)
		assert.Equal(t, f.Folio(), found.page["end"], "%d rows", rows)
		assert.Equal(t, []contentsEntry{{1, "First", "first"}, {1, "Second", "second"}}, found.contents)
		var made bytes.Buffer
		require.NoError(t, f.Output(&made))
		assert.True(t, bytes.HasPrefix(made.Bytes(), []byte("%PDF-")))
		assert.Equal(t, found.pages, strings.Count(made.String(), "/Type /Page\n"))
	}
}

// A last page that would hold next to nothing is filled, or emptied, by the distances
// between the rows.
func TestTheLastPageIsFeathered(t *testing.T) {
	feathered := 0
	for rows := 30; rows < 60; rows++ {
		_, plain, err := document(t, rows, false)(settledPlain(t, rows))
		require.NoError(t, err)
		found := settled(t, rows)
		assert.GreaterOrEqual(t, found.lastFill, min(plain.lastFill, 0.4), "%d rows", rows)
		if found.feather != 0 {
			feathered++
			assert.Less(t, plain.lastFill, 0.4)
		}
	}
	assert.Positive(t, feathered)
}

// settledPlain is what a document finds without feathering.
func settledPlain(t *testing.T, rows int) *Pagination {
	t.Helper()
	layOut := document(t, rows, false)
	found, err := stand(newPagination(0), func(earlier *Pagination) (*Pagination, error) {
		_, found, err := layOut(earlier)
		return found, err
	})
	require.NoError(t, err)
	return found
}

func TestPagesThatDoNotStandStillAreAnError(t *testing.T) {
	pages := 0
	_, err := Settle(func(*Pagination) (*Pagination, error) {
		pages++
		found := newPagination(0)
		found.pages = pages
		return found, nil
	})
	assert.ErrorContains(t, err, "do not stand still")

	_, err = Settle(func(*Pagination) (*Pagination, error) { return nil, assert.AnError })
	assert.ErrorIs(t, err, assert.AnError)
}

func TestLayoutsDifferInAnyPlace(t *testing.T) {
	make := func() *Pagination {
		p := newPagination(0)
		p.pages, p.page["a"], p.contents = 2, 1, []contentsEntry{{1, "A", "a"}}
		return p
	}
	assert.True(t, make().Equal(make()))
	for name, change := range map[string]func(*Pagination){
		"pages":          func(p *Pagination) { p.pages++ },
		"a moved anchor": func(p *Pagination) { p.page["a"] = 2 },
		"a new anchor":   func(p *Pagination) { p.page["b"] = 1 },
		"contents":       func(p *Pagination) { p.contents = nil },
	} {
		other := make()
		change(other)
		assert.False(t, make().Equal(other), name)
		assert.False(t, other.Equal(make()), name)
	}
}

// What is prepared is measured and set as it was prepared, in every block of text.
func TestTextsArePreparedBeforeTheyAreMeasured(t *testing.T) {
	types, err := sharedTypes()
	require.NoError(t, err)
	seen := map[string]bool{}
	f := Begin(Options{Format: A4, Typefaces: types, Prepare: func(text string) string { seen[text] = true; return text }})
	f.Paragraph("paragraph")
	f.List([]string{"item"})
	f.Particulars([]Particular{{Label: "label", Value: "value"}})
	f.Table(&Table{Columns: []Column{{}}, Rows: []Row{{Cells: []Cell{{Text: "cell"}}, Note: "note"}}})
	f.Picture(Picture{Name: "P", Width: 40, Height: 20}, "caption")
	for _, text := range []string{"paragraph", "item", "value", "cell", "note", "caption"} {
		assert.True(t, seen[text], text)
	}
}
