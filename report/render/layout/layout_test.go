package layout

import (
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/charts"
	"fieldheld/templates/fonts"
)

// sharedTypes are the typefaces of all tests of the layout.
var sharedTypes = sync.OnceValues(NewTypefaces)

// measuring is a flow that draws nothing.
func measuring(t *testing.T) *Flow {
	t.Helper()
	types, err := sharedTypes()
	require.NoError(t, err)
	return Begin(Options{Format: A4, Typefaces: types})
}

func TestHeadStaysWithWhatFollows(t *testing.T) {
	blocks := map[string]func(*Flow){
		"paragraph": func(f *Flow) { f.Paragraph(strings.Repeat("word ", 60)) },
		"table": func(f *Flow) {
			t := &Table{Columns: []Column{{Head: "A"}, {Head: "B", Wraps: true}}}
			for range 30 {
				t.Add(Row{Anchor: "row", Cells: []Cell{{Text: "a"}, {Text: "b"}}})
			}
			f.Table(t)
		},
		"figure": func(f *Flow) {
			f.Figure(120, 240, "caption", "caption", func(charts.Surface, float64, float64) error { return nil })
		},
		"list":        func(f *Flow) { f.List([]string{strings.Repeat("word ", 60), "two"}) },
		"particulars": func(f *Flow) { f.Particulars([]Particular{{Label: "label", Value: strings.Repeat("word ", 60)}}) },
	}
	for name, block := range blocks {
		t.Run(name, func(t *testing.T) {
			for fill := 0.0; fill < A4.Bottom()-bodyTop; fill += 7 {
				f := measuring(t)
				f.Y += fill
				f.Heading(Heading{Level: 1, Text: "Section", Anchor: "section"})
				f.Heading(Heading{Level: 2, Text: "Part", Anchor: "part"})
				f.pending[1].Anchor = "part"
				block(f)
				require.Equal(t, f.found.page["section"], f.found.page["part"], "filled by %g", fill)
				if f.page > 1 && f.found.page["part"] == 1 {
					continue // a part of the block stands below the head, the rest on the next page
				}
				require.Equal(t, f.page, f.found.page["part"], "filled by %g", fill)
			}
		})
	}
}

// A short table that goes to the next page as a whole takes its head and the text
// before it along.
func TestIntroducedTableStaysWithItsText(t *testing.T) {
	for _, rows := range []int{1, 5, 9, 14, 30} {
		for fill := 0.0; fill < A4.Bottom()-bodyTop; fill += 7 {
			f := measuring(t)
			f.Y += fill
			table := &Table{Columns: []Column{{Head: "A"}, {Head: "B", Unit: "dB"}}}
			for i := range rows {
				table.Add(Row{Cells: []Cell{{Text: "a"}, {Text: "b"}}, Anchor: []string{"first", ""}[min(i, 1)]})
			}
			f.Heading(Heading{Level: 2, Text: "Part", Anchor: "part"})
			f.Introduce(CaptionStyle.Leading+6, table)
			f.Note("What the table says.")
			f.Table(table)
			require.Equal(t, f.found.page["part"], f.found.page["first"], "%d rows, filled by %g", rows, fill)
		}
	}
}

func TestTurn(t *testing.T) {
	f := measuring(t)
	f.Y += 40
	f.Turn(40)
	assert.Equal(t, 1, f.page, "a page is not left nearly empty")
	f.Turn(39)
	assert.Equal(t, 2, f.page)
	f.Turn(0)
	assert.Equal(t, 2, f.page, "nor empty")
}

func TestParagraphLeavesNoLineAlone(t *testing.T) {
	for lines := 2; lines < 6; lines++ {
		for fill := 600.0; fill < A4.Bottom()-bodyTop; fill += 3 {
			f := measuring(t)
			f.Y += fill
			room := int(f.free() / BodyStyle.Leading)
			f.Paragraph(strings.TrimSuffix(strings.Repeat("line\n", lines), "\n"))
			if f.page == 1 {
				continue
			}
			after := int((f.Y-6-bodyTop)/BodyStyle.Leading + 0.5)
			before := lines - after
			assert.NotEqual(t, 1, after, "%d lines, room for %d", lines, room)
			assert.NotEqual(t, 1, before, "%d lines, room for %d", lines, room)
		}
	}
}

func TestTableFitsThePageWhateverIsInIt(t *testing.T) {
	word := strings.Repeat("x", 400)
	for name, rows := range map[string][]Row{
		"short":          {Texts("a", "b", "c")},
		"long words":     {Texts(word, word, word)},
		"long text":      {Texts("a", strings.Repeat("word ", 3000), "c")},
		"lines and note": {{Cells: []Cell{{Text: "a\nb"}, {Text: "c"}, {Text: word}}, Note: word}},
		"nothing":        nil,
	} {
		t.Run(name, func(t *testing.T) {
			f := measuring(t)
			table := &Table{Columns: []Column{{Head: "First", Wraps: true}, {Head: "Second", Wraps: true}, {Head: "Third", Wraps: true}}, Rows: rows}
			s := f.shapeOf(table)
			assert.LessOrEqual(t, s.total, A4.Measure()+0.01)
			for k := range s.width {
				assert.Greater(t, s.width[k], 15.0)
			}
			f.Table(table)
			assert.Less(t, f.page, 20)
		})
	}
}

func TestNumbersStandOnTheirPoint(t *testing.T) {
	f := measuring(t)
	table := &Table{Columns: []Column{{Head: "Number", Align: Decimal}}, Rows: []Row{Texts("1.25"), Texts("−100.5"), Texts("–"), Texts("7")}}
	s := f.shapeOf(table)
	for _, r := range table.Rows {
		text := r.Cells[0].Text
		start := s.before[0] - f.types.width(TableStyle, beforePoint(text))
		assert.GreaterOrEqual(t, start, 0.0, text)
		assert.LessOrEqual(t, start+f.types.width(TableStyle, text), s.width[0]+0.01, text)
	}
}

func TestWrapping(t *testing.T) {
	types, err := NewTypefaces()
	require.NoError(t, err)
	for _, test := range []struct {
		name, text string
		width      float64
	}{
		{"words", strings.Repeat("several words in a row ", 20), 120},
		{"a path", "probe/" + strings.Repeat("a_long_name-", 30) + ".csv", 80},
		{"one long word", strings.Repeat("w", 300), 50},
		{"lines", "one\ntwo\n\nfour", 200},
		{"narrower than a letter", "word", 1},
		{"scripts", "Контроллер Ελεγκτής điều khiển", 60},
	} {
		t.Run(test.name, func(t *testing.T) {
			lines := types.wrap(TableStyle, test.text, test.width)
			for _, line := range lines {
				if line = strings.TrimRight(line, " "); len([]rune(line)) > 1 {
					assert.LessOrEqual(t, types.width(TableStyle, line), test.width+0.1)
				}
			}
			strip := func(s string) string { return strings.NewReplacer(" ", "", "\n", "").Replace(s) }
			assert.Equal(t, strip(test.text), strip(strings.Join(lines, "")), "nothing is lost")
		})
	}
}

func TestWordIsSetInOneFont(t *testing.T) {
	types, err := NewTypefaces()
	require.NoError(t, err)
	pieces := types.pieces(BodyStyle, "plain Ѡмега again")
	require.Len(t, pieces, 3)
	assert.Equal(t, []string{"plain ", "Ѡмега", " again"}, []string{pieces[0].text, pieces[1].text, pieces[2].text})
	assert.Equal(t, fonts.Regular.Face().Name, pieces[0].font.face.Name)
	assert.Equal(t, fonts.Regular.Fallback().Name, pieces[1].font.face.Name)
	total := 0.0
	for _, p := range pieces {
		total += p.width
	}
	assert.InDelta(t, total*BodyStyle.Size/1000, types.width(BodyStyle, "plain Ѡмега again"), 1e-6)
	assert.Empty(t, types.missing)
}

func TestNumbersOfThePage(t *testing.T) {
	for x, want := range map[float64]string{1: "1", 1.5: "1.5", 1.005: "1", -0.001: "0", 12.345: "12.35", -3.1: "-3.1", 100: "100"} {
		assert.Equal(t, want, number(x))
	}
}

// No line ends within a time or a number, however narrow its column is.
func TestTimesDoNotBreak(t *testing.T) {
	f := measuring(t)
	for _, width := range []float64{40, 46, 60, 80} {
		for _, line := range f.types.wrap(TableStyle, "run H1, 2026-11-18 08:30:00 UTC+01:00 at 63.607 MHz", width) {
			assert.NotRegexp(t, `\d[:.]$`, line, "width %v", width)
		}
	}
}

func TestUnitsStayWithTheirNumbers(t *testing.T) {
	for text, want := range map[string]string{
		"U = 1.2 dB (k = 2), 27 %.": "U_=_1.2_dB (k_=_2), 27_%.", "at 63.607 MHz (run H1)": "at 63.607_MHz (run H1)", "200 V/m for 3 s": "200_V/m for 3_s",
		"2 steps, 5 mounts": "2 steps, 5 mounts",
	} {
		assert.Equal(t, want, strings.ReplaceAll(JoinUnits(text), "\u00a0", "_"))
	}
}

func TestPictureIsSeenUpright(t *testing.T) {
	for turn, want := range [][2]float64{{4, 2}, {2, 4}, {4, 2}, {2, 4}} {
		width, height := Picture{Width: 4, Height: 2, Turn: turn}.upright()
		assert.Equal(t, want, [2]float64{width, height}, "%d quarter turns", turn)
	}
}
