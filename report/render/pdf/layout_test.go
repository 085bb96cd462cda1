package pdf

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
var sharedTypes = sync.OnceValues(newTypefaces)

// measuring is a flow that draws nothing.
func measuring(t *testing.T) *flow {
	t.Helper()
	types, err := sharedTypes()
	require.NoError(t, err)
	f := &flow{paper: newPaper(a4, types, false), found: newRegister(0), earlier: newRegister(0), begun: func() {}}
	f.newPage()
	return f
}

func TestHeadStaysWithWhatFollows(t *testing.T) {
	blocks := map[string]func(*flow){
		"paragraph": func(f *flow) { f.paragraph(strings.Repeat("word ", 60)) },
		"table": func(f *flow) {
			t := &table{columns: []column{{head: "A"}, {head: "B", wraps: true}}}
			for range 30 {
				t.add(row{anchor: "row", cells: []cell{{text: "a"}, {text: "b"}}})
			}
			f.table(t)
		},
		"figure": func(f *flow) {
			f.plot(120, 240, "caption", func(charts.Surface, float64, float64) error { return nil })
		},
		"list":  func(f *flow) { f.bullets([]string{strings.Repeat("word ", 60), "two"}) },
		"facts": func(f *flow) { f.facts([]fact{{label: "label", value: strings.Repeat("word ", 60)}}) },
	}
	for name, block := range blocks {
		t.Run(name, func(t *testing.T) {
			for fill := 0.0; fill < a4.bottom()-bodyTop; fill += 7 {
				f := measuring(t)
				f.y += fill
				f.heading(head{level: 1, text: "Section", anchor: "section"})
				f.heading(head{level: 2, text: "Part", anchor: "part"})
				f.pending[1].anchor = "part"
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

func TestParagraphLeavesNoLineAlone(t *testing.T) {
	for lines := 2; lines < 6; lines++ {
		for fill := 600.0; fill < a4.bottom()-bodyTop; fill += 3 {
			f := measuring(t)
			f.y += fill
			room := int(f.free() / textStyle.leading)
			f.paragraph(strings.TrimSuffix(strings.Repeat("line\n", lines), "\n"))
			if f.page == 1 {
				continue
			}
			after := int((f.y-6-bodyTop)/textStyle.leading + 0.5)
			before := lines - after
			assert.NotEqual(t, 1, after, "%d lines, room for %d", lines, room)
			assert.NotEqual(t, 1, before, "%d lines, room for %d", lines, room)
		}
	}
}

func TestTableFitsThePageWhateverIsInIt(t *testing.T) {
	word := strings.Repeat("x", 400)
	for name, rows := range map[string][]row{
		"short":          {texts("a", "b", "c")},
		"long words":     {texts(word, word, word)},
		"long text":      {texts("a", strings.Repeat("word ", 3000), "c")},
		"lines and note": {{cells: []cell{{text: "a\nb"}, {text: "c"}, {text: word}}, note: word}},
		"nothing":        nil,
	} {
		t.Run(name, func(t *testing.T) {
			f := measuring(t)
			table := &table{columns: []column{{head: "First", wraps: true}, {head: "Second", wraps: true}, {head: "Third", wraps: true}}, rows: rows}
			s := f.shapeOf(table)
			assert.LessOrEqual(t, s.total, a4.body()+0.01)
			for k := range s.width {
				assert.Greater(t, s.width[k], 15.0)
			}
			f.table(table)
			assert.Less(t, f.page, 20)
		})
	}
}

func TestNumbersStandOnTheirPoint(t *testing.T) {
	f := measuring(t)
	table := &table{columns: []column{{head: "Number", align: decimal}}, rows: []row{texts("1.25"), texts("−100.5"), texts("–"), texts("7")}}
	s := f.shapeOf(table)
	for _, r := range table.rows {
		text := r.cells[0].text
		start := s.before[0] - f.types.width(tableStyle, beforePoint(text))
		assert.GreaterOrEqual(t, start, 0.0, text)
		assert.LessOrEqual(t, start+f.types.width(tableStyle, text), s.width[0]+0.01, text)
	}
}

func TestWrapping(t *testing.T) {
	types, err := newTypefaces()
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
			lines := types.wrap(tableStyle, test.text, test.width)
			for _, line := range lines {
				if len([]rune(line)) > 1 {
					assert.LessOrEqual(t, types.width(tableStyle, line), test.width+0.1)
				}
			}
			strip := func(s string) string { return strings.NewReplacer(" ", "", "\n", "").Replace(s) }
			assert.Equal(t, strip(test.text), strip(strings.Join(lines, "")), "nothing is lost")
		})
	}
}

func TestWordIsSetInOneFont(t *testing.T) {
	types, err := newTypefaces()
	require.NoError(t, err)
	pieces := types.pieces(textStyle, "plain Ѡмега again")
	require.Len(t, pieces, 3)
	assert.Equal(t, []string{"plain ", "Ѡмега", " again"}, []string{pieces[0].text, pieces[1].text, pieces[2].text})
	assert.Equal(t, fonts.Regular.Face().Name, pieces[0].font.face.Name)
	assert.Equal(t, fonts.Regular.Fallback().Name, pieces[1].font.face.Name)
	total := 0.0
	for _, p := range pieces {
		total += p.width
	}
	assert.InDelta(t, total*textStyle.size/1000, types.width(textStyle, "plain Ѡмега again"), 1e-6)
	assert.Empty(t, types.missing)
}

func TestClean(t *testing.T) {
	for text, want := range map[string]string{
		"plain": "plain", "tab\there": "tab here", "a\u0308 o\u0308": "ä ö", "zero\u200bwidth": `zero\u200Bwidth`, "line\nline": "line\nline", "bell\a": `bell\u0007`, "nb\u202fsp": "nb\u00a0sp",
	} {
		assert.Equal(t, want, clean(text))
	}
}

func TestNumbersOfThePage(t *testing.T) {
	for x, want := range map[float64]string{1: "1", 1.5: "1.5", 1.005: "1", -0.001: "0", 12.345: "12.35", -3.1: "-3.1", 100: "100"} {
		assert.Equal(t, want, number(x))
	}
}
