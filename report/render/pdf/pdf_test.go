package pdf

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/layout"
	"fieldheld/report/seal/archive"
	"fieldheld/report/structure"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/fonts"
	"fieldheld/templates/wording"
)

// days are the made-up days that the tests write reports of.
var days = map[string]func() *report.Report{
	"typical":          func() *report.Report { return fixture(day{steps: 381, runs: 2, page: "A4"}) },
	"clean, Letter":    func() *report.Report { return fixture(day{steps: 44, runs: 2, page: "Letter", clean: true}) },
	"hundreds wrong":   func() *report.Report { return fixture(day{steps: 381, runs: 2, wrong: 3}) },
	"many cells":       func() *report.Report { return fixture(day{steps: 12, runs: 20, page: "Letter"}) },
	"nothing measured": func() *report.Report { return fixture(day{}) },
	"amendment":        amendment,
	"draft":            bareDraft,
	"long names":       longNames,
}

func amendment() *report.Report {
	r := fixture(day{steps: 40, runs: 2, revision: 2})
	r.Sheet.Report.Reason = "The serial number of the article was corrected."
	r.Sheet.Report.ChangedBy, r.Sheet.Report.Replaces = "S. Berge", "NT-0417, revision 1"
	return r
}

// bareDraft lacks all that a report can lack.
func bareDraft() *report.Report {
	r := fixture(day{steps: 20, runs: 1, clean: true})
	r.Sheet = &jobsheet.Sheet{Report: jobsheet.Report{}, Requirement: r.Sheet.Requirement}
	r.Missing = []string{"the report's number (7.8.2.1 d): report.number", "the date of issue (7.8.2.1 j): report.issued"}
	r.Omitted = []report.Omission{{Item: "photos", Reason: "the customer does not allow any"}}
	r.Budget, r.Equipment, r.Corrections, r.Example = nil, nil, nil, nil
	return r
}

// longNames is written in several scripts, with names that do not end.
func longNames() *report.Report {
	r := fixture(day{steps: 44, runs: 2})
	long := strings.Repeat("Tauwerkwindensteuerungsgerät mit Ölzeug ", 6)
	r.Sheet.Article.Name = long + "WK-3"
	r.Sheet.Article.Description = "Ελεγκτής βαρούλκου ρυμουλκούμενης συστοιχίας. Контроллер лебёдки буксируемой антенны, заводской номер Ѯ-17.\nBộ điều khiển tời kéo; sterownik wciągarki; Șİğæøåđ."
	r.Sheet.Laboratory.Name = "Εργαστήριο Tallholm " + long
	r.Sheet.Customer.Name = strings.Repeat("Orrevik", 30)
	r.Sheet.Equipment = nil
	r.Findings[0].Evidence[0].File = "probe/" + strings.Repeat("ein_sehr_langer_dateiname-", 12) + ".csv"
	r.Files[0].Path = r.Findings[0].Evidence[0].File
	r.Sheet.Runs = nil
	return r
}

func write(t testing.TB, r *report.Report) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, r, Attachments{Photo: testPhoto, Note: "The evidence is carried."}))
	return b.Bytes()
}

// written is a report of one of the days as it was written and read back.
type written struct {
	report *report.Report
	data   []byte
	pages  [][]archive.Text
}

// once keeps what was written, for all tests.
var once = map[string]*written{}

// each writes the report of each day once, reads its pages back and checks them.
func each(t *testing.T, check func(t *testing.T, r *report.Report, data []byte, pages [][]archive.Text)) {
	for name, make := range days {
		t.Run(name, func(t *testing.T) {
			if once[name] == nil {
				r := make()
				data := write(t, r)
				pages, err := archive.Texts(data)
				require.NoError(t, err)
				once[name] = &written{r, data, pages}
			}
			w := once[name]
			check(t, w.report, w.data, w.pages)
		})
	}
}

func TestReportsKeepTheRulesOfTheArchivalForm(t *testing.T) {
	each(t, func(t *testing.T, _ *report.Report, data []byte, _ [][]archive.Text) {
		assert.Empty(t, archive.Violations(data))
	})
}

func TestEveryPageIsIdentified(t *testing.T) {
	each(t, func(t *testing.T, r *report.Report, _ []byte, pages [][]archive.Text) {
		for i, texts := range pages {
			text := archive.PageText(texts)
			assert.Contains(t, text, fmt.Sprintf("\nPage %d of %d\n", i+1, len(pages)))
			assert.Contains(t, text, "Test report "+reportName(r))
			assert.Equal(t, r.Draft(), strings.Contains(text, "DRAFT\n"), "page %d", i+1)
			assert.Equal(t, r.Sheet.Report.Revision > 0, strings.Contains(text, "(amendment)"))
		}
	})
}

func TestEndMarkIsTheLastLineOfTheLastPageOnly(t *testing.T) {
	each(t, func(t *testing.T, r *report.Report, _ []byte, pages [][]archive.Text) {
		mark := "End of report " + reportName(r)
		for i, texts := range pages {
			assert.Equal(t, i == len(pages)-1, strings.Contains(archive.PageText(texts), mark), "page %d", i+1)
		}
		last := pages[len(pages)-1]
		assert.Equal(t, mark, last[len(last)-1].Text)
	})
}

func TestFrontPageGivesTheAnswer(t *testing.T) {
	each(t, func(t *testing.T, r *report.Report, _ []byte, pages [][]archive.Text) {
		front := strings.ReplaceAll(archive.PageText(pages[0]), "\n", " ")
		assert.Contains(t, front, r.Answer)
		assert.Contains(t, front, r.Behaviour)
	})
}

func TestEverySectionIsThere(t *testing.T) {
	each(t, func(t *testing.T, r *report.Report, _ []byte, pages [][]archive.Text) {
		all := allText(pages)
		for _, title := range []string{"2\u2002What this report says", "3\u2002The article", "4\u2002The requirement", "5\u2002Setup", "6\u2002Equipment", "7\u2002Method", "8\u2002Results",
			"9\u2002Findings and deviations", "10\u2002The article's behaviour", "11\u2002Safety and limits of use", "A\u2002Step tables", "B\u2002Correction tables", "C\u2002Evidence"} {
			assert.Contains(t, all, "\n"+title+"\n")
		}
		for _, m := range r.Missing {
			assert.Contains(t, archive.PageText(pages[1]), m)
		}
	})
}

func allText(pages [][]archive.Text) string {
	var b strings.Builder
	for _, texts := range pages {
		b.WriteString(archive.PageText(texts))
	}
	return b.String()
}

func TestEveryLinkLeadsToAPage(t *testing.T) {
	each(t, func(t *testing.T, r *report.Report, data []byte, _ [][]archive.Text) {
		assert.Empty(t, archive.Violations(data), "among others, each link leads to a page")
		links := 0
		drawnStructure(t, r).Walk(func(e *structure.Element) {
			for i := range e.Kids {
				if e.Kids[i].Link > 0 {
					links++
					assert.Equal(t, "Link", e.Kind)
				}
			}
		})
		assert.Greater(t, links, 20+len(r.Cells))
	})
}

func TestNothingIsDropped(t *testing.T) {
	r := fixture(day{steps: 120, runs: 3})
	pages, err := archive.Texts(write(t, r))
	require.NoError(t, err)
	all := strings.ReplaceAll(allText(pages), "\n", " ")
	groups := r.GroupFindings(r.AllFindings())
	for i := range groups {
		assert.Contains(t, all, " "+groups[i].Name()+" ")
	}
	for i := range r.Runs {
		for _, v := range r.Runs[i].Visits {
			assert.Contains(t, all, v.Record.Start.In(testZone).Format(" 15:04:05.0 "))
		}
	}
	for _, f := range r.Files {
		assert.Contains(t, all, f.SHA256)
		assert.Contains(t, all, f.Path)
	}
	for _, d := range r.Sheet.Deviations {
		assert.Contains(t, all, d.AgreedBy)
	}
}

// placed is a text with where it ends.
type placed struct {
	archive.Text
	end float64
}

func TestTextsStayOnThePageAndClearOfEachOther(t *testing.T) {
	each(t, func(t *testing.T, r *report.Report, _ []byte, pages [][]archive.Text) {
		f := layout.A4
		if r.Sheet.Report.Page == "Letter" {
			f = layout.Letter
		}
		assertClear(t, f, pages)
	})
}

// assertClear demands that every text lies within the margins and runs into no other.
func assertClear(t *testing.T, f layout.Format, pages [][]archive.Text) {
	t.Helper()
	for i, texts := range pages {
		lines := map[string][]placed{}
		for _, text := range texts {
			if text.Turned { // the stamp of a draft lies below the text
				continue
			}
			p := placed{Text: text, end: text.X + measuredWidth(t, text)}
			assert.GreaterOrEqual(t, p.X, f.Left()-0.1, "page %d: %q", i+1, p.Text.Text)
			assert.LessOrEqual(t, p.end, f.Right()+0.6, "page %d: %q", i+1, p.Text.Text)
			assert.Greater(t, p.Y, layout.Margin-20, "page %d: %q", i+1, p.Text.Text)
			assert.Less(t, p.Y, f.Height-layout.Margin+20, "page %d: %q", i+1, p.Text.Text)
			key := fmt.Sprintf("%.1f", p.Y)
			lines[key] = append(lines[key], p)
		}
		for _, line := range lines {
			sort.Slice(line, func(a, b int) bool { return line[a].X < line[b].X })
			for k := 1; k < len(line); k++ {
				assert.GreaterOrEqual(t, line[k].X, line[k-1].end-0.3, "page %d: %q runs into %q", i+1, line[k-1].Text.Text, line[k].Text.Text)
			}
		}
	}
}

// measuredWidth measures a text by the font that it is set in.
func measuredWidth(t *testing.T, text archive.Text) float64 {
	t.Helper()
	parsed := fontNamed(t, text.Font)
	var buffer sfnt.Buffer
	width := fixed.Int26_6(0)
	for _, c := range strings.TrimRight(text.Text, " ") { // a blank at the end of a line is not seen
		glyph, err := parsed.GlyphIndex(&buffer, c)
		require.NoError(t, err)
		advance, err := parsed.GlyphAdvance(&buffer, glyph, fixed.I(1000), font.HintingNone)
		require.NoError(t, err)
		width += advance
	}
	return float64(width) / 64 * text.Size / 1000
}

// parsedFonts keeps the fonts of the report, for all tests.
var parsedFonts = map[string]*sfnt.Font{}

func fontNamed(t *testing.T, name string) *sfnt.Font {
	t.Helper()
	for cut := range fonts.Cut(fonts.Cuts) {
		for _, face := range []fonts.Face{cut.Face(), cut.Fallback()} {
			if face.Name == name && parsedFonts[name] == nil {
				parsed, err := sfnt.Parse(face.Data)
				require.NoError(t, err)
				parsedFonts[name] = parsed
			}
		}
	}
	require.NotNil(t, parsedFonts[name], "font %s", name)
	return parsedFonts[name]
}

func TestNoPageIsNearlyEmpty(t *testing.T) {
	each(t, func(t *testing.T, r *report.Report, _ []byte, pages [][]archive.Text) {
		for i, texts := range pages {
			lowest := 1000.0
			for _, text := range texts {
				if !text.Turned && text.Y > layout.Margin-10 {
					lowest = min(lowest, text.Y)
				}
			}
			assert.Less(t, lowest, 600.0, "page %d of %d", i+1, len(pages))
		}
	})
}

// TestPrintDigest is no test by itself: another process runs it to write the
// report and print its digest.
func TestPrintDigest(t *testing.T) {
	if os.Getenv("FIELDHELD_PRINT_DIGEST") == "" {
		return
	}
	fmt.Printf("digest %x\n", sha256.Sum256(write(t, fixture(day{steps: 60, runs: 2}))))
}

func TestSameReportGivesTheSameBytesInEveryProcess(t *testing.T) {
	first := write(t, fixture(day{steps: 60, runs: 2}))
	for range 3 {
		require.True(t, bytes.Equal(first, write(t, fixture(day{steps: 60, runs: 2}))))
	}
	program, err := os.Executable()
	require.NoError(t, err)
	for range 2 {
		c := exec.Command(program, "-test.run=^TestPrintDigest$")
		c.Env = append(os.Environ(), "FIELDHELD_PRINT_DIGEST=1", "TZ=Pacific/Auckland")
		out, err := c.Output()
		require.NoError(t, err)
		assert.Contains(t, string(out), fmt.Sprintf("digest %x\n", sha256.Sum256(first)))
	}
}

func TestMissingGlyphIsAnErrorThatNamesIt(t *testing.T) {
	for _, test := range []struct {
		name  string
		spoil func(*report.Report)
		says  []string
	}{
		{"article", func(r *report.Report) { r.Sheet.Article.PartNumber = "電WK" }, []string{"'電' (U+96FB)", "article.part_number"}},
		{"photo", func(r *report.Report) { r.Sheet.Photos[1].Caption = "a 📡" }, []string{"(U+1F4E1)", "photo[2].caption"}},
		{"finding", func(r *report.Report) {
			r.Findings[0].Text = wording.Say("event", wording.Values{"faults": []string{"\u0e01"}})
		}, []string{"(U+0E01)", "finding[1].text"}},
		{"two of them", func(r *report.Report) { r.Sheet.Customer.Name = "\u0e01\u0e02" }, []string{"(U+0E01)", "(U+0E02)", "customer.name"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := fixture(day{steps: 44, runs: 2})
			test.spoil(r)
			var b bytes.Buffer
			err := Write(&b, r, Attachments{Photo: testPhoto})
			var missing MissingGlyphs
			require.ErrorAs(t, err, &missing)
			for _, s := range test.says {
				assert.Contains(t, err.Error(), s)
			}
			assert.Zero(t, b.Len(), "nothing is written")
		})
	}
}

func TestPhotoThatCannotBeShownIsNamed(t *testing.T) {
	for name, photo := range map[string]func(string) ([]byte, error){
		"unreadable": func(string) ([]byte, error) { return nil, errors.New("permission denied") },
		"no picture": func(string) ([]byte, error) { return []byte("text"), nil },
		"damaged":    func(f string) ([]byte, error) { b, err := testPhoto(f); return b[:len(b)/2], err },
		"none given": nil,
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, Write(&b, fixture(day{steps: 20, runs: 2}), Attachments{Photo: photo}))
			pages, err := archive.Texts(b.Bytes())
			require.NoError(t, err)
			all := strings.ReplaceAll(allText(pages), "\n", " ")
			assert.Contains(t, all, "not shown, photos/setup.jpg cannot be read")
			assert.Contains(t, all, "not shown, photos/probe.png cannot be read")
		})
	}
}

func TestVerdictIsNotContradictedByRounding(t *testing.T) {
	r := fixture(day{steps: 20, runs: 2, clean: true})
	v := r.Runs[0].Visits[3]
	v.Sustained, v.State = 199.96, report.NotMet
	v.Margin = v.Sustained.Over(v.Lowest)
	r.Cells[0].Statistics.LeastMargin = report.Extreme{Value: float64(v.Margin), Frequency: v.Frequency(), Run: "H1"}
	pages, err := archive.Texts(write(t, r))
	require.NoError(t, err)
	all := "\n" + allText(pages)
	assert.Contains(t, all, "\n199.96\n")
	assert.Contains(t, all, "\n−0.002\n", "and not −0.00")
}

func TestStrangeFiguresAreWritten(t *testing.T) {
	for name, x := range map[string]float64{"undefined": math.NaN(), "endless": math.Inf(1), "endless below": math.Inf(-1), "zero": 0, "negative": -1, "huge": 1e300, "tiny": 1e-300} {
		t.Run(name, func(t *testing.T) {
			r := fixture(day{steps: 12, runs: 2, clean: true})
			for i := range r.Runs {
				for _, v := range r.Runs[i].Visits[3:] {
					e := quantity.FieldStrength(x)
					v.Sustained, v.Minimum, v.Median, v.Maximum, v.Held, v.Margin, v.Conformance = e, e, e, e, quantity.Seconds(x), quantity.Decibel(x), x
					v.Power = evaluate.PowerFigures{Forward: quantity.Power(x), Reflected: quantity.Power(x), VSWR: quantity.Ratio(x), PerRootWatt: x}
				}
			}
			strange := report.Extreme{Value: x, Frequency: quantity.Undefined[quantity.Frequency]()}
			r.Cells[0].Statistics = report.Statistics{LeastMargin: strange, MedianMargin: strange, GreatestMargin: strange, LeastHeld: strange,
				GreatestVSWR: strange, GreatestForward: strange, Headroom: quantity.Decibel(x), Risk: x}
			assert.Empty(t, archive.Violations(write(t, r)))
		})
	}
}

func TestRangeOfOneFrequencyIsDrawn(t *testing.T) {
	r := fixture(day{steps: 1, runs: 1, clean: true})
	r.Cells[0].From, r.Cells[0].To = 30e6, 30e6
	r.Requirement.Limits[0].To = 30e6
	assert.Empty(t, archive.Violations(write(t, r)))
}

func BenchmarkWrite(b *testing.B) {
	r := fixture(day{steps: 381, runs: 2})
	photos := map[string][]byte{}
	for _, p := range r.Sheet.Photos {
		data, err := testPhoto(p.File)
		require.NoError(b, err)
		photos[p.File] = data
	}
	photo := func(file string) ([]byte, error) { return photos[file], nil }
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(io.Discard, r, Attachments{Photo: photo}); err != nil {
			b.Fatal(err)
		}
	}
}
