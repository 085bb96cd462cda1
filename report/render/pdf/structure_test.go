package pdf

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/report"
	"fieldheld/report/render/layout"
	"fieldheld/report/structure"
)

// drawnStructure is the logical structure of a report.
func drawnStructure(t *testing.T, r *report.Report) *structure.Element {
	t.Helper()
	types, err := layout.NewTypefaces()
	require.NoError(t, err)
	e := &edition{report: r, types: types, photos: map[string]*photo{}}
	_, found, err := e.layOut(nil, false)
	require.NoError(t, err)
	b, _, err := e.layOut(found, true)
	require.NoError(t, err)
	return b.Structure()
}

// TestStructureTellsTheReport walks the structure as one who hears the report read.
func TestStructureTellsTheReport(t *testing.T) {
	for _, d := range []day{{steps: 60, runs: 2}, {steps: 220, runs: 2}, {steps: 44, runs: 2, clean: true}} {
		level := 0
		kinds := map[string]int{}
		drawnStructure(t, fixture(d)).Walk(func(e *structure.Element) {
			kinds[e.Kind]++
			switch e.Kind {
			case "H1", "H2", "H3":
				now := int(e.Kind[1] - '0')
				assert.LessOrEqual(t, now, level+1, "no level of headings is left out")
				level = now
			case "Figure":
				assert.NotEmpty(t, strings.TrimSpace(e.Alt), "a figure is said in words")
			case "Table":
				assertRegular(t, e)
			}
		})
		assert.Greater(t, kinds["H1"], 10)
		assert.Greater(t, kinds["Table"], 8)
		assert.Greater(t, kinds["Figure"], 4)
		assert.Positive(t, kinds["Link"]*kinds["TOCI"]*kinds["LBody"]*kinds["Caption"])
	}
}

// assertRegular demands that the rows of a table have as many columns each.
func assertRegular(t *testing.T, table *structure.Element) {
	t.Helper()
	columns := 0
	for i := range table.Kids {
		row := table.Kids[i].Element
		width := 0
		for k := range row.Kids {
			width += max(row.Kids[k].Element.Span, 1)
		}
		if columns == 0 {
			columns = width
		}
		assert.Equal(t, columns, width, "row %d of a table", i+1)
	}
}

// TestFigureSaysItsMessage demands of the figure of the margin what a reader sees in it.
func TestFigureSaysItsMessage(t *testing.T) {
	var alts []string
	drawnStructure(t, fixture(day{steps: 60, runs: 2, clean: true})).Walk(func(e *structure.Element) { alts = append(alts, e.Alt) })
	all := strings.Join(alts, "\n")
	assert.Regexp(t, `Margin over frequency\. Horizontal, position 1, .*: met, 60 of 60 steps met, least margin [0-9.]+.dB at [0-9.]+.MHz\.`, all)
	assert.Contains(t, all, "How much of the proof is there.")
}
