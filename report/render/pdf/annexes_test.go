package pdf

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/table"
	"fieldheld/report"
	"fieldheld/report/render/layout"
	"fieldheld/report/seal/archive"
	"fieldheld/report/verdict/uncertainty"
)

// accompanied is a report with a logo, annexes of every kind and witnesses.
func accompanied() *report.Report {
	r := fixture(day{steps: 20, runs: 2})
	r.Sheet.Report.Logo = &table.Entry{File: "logo.png"}
	r.Sheet.Witnesses = []jobsheet.Witness{{Name: "I. Orrevik", Organisation: "Orrevik Hydrophone Works", Function: "quality manager", Present: "all runs",
		From: testMorning, To: testMorning.Add(3 * time.Hour)}, {Name: "S. Lund"}}
	digest := strings.Repeat("0123456789abcdef", 4)
	r.Annexes = []report.Annex{
		{Title: "Sketch of the cables", File: "annex/cables.png", Kind: ingest.PictureAnnex, Size: 120000, SHA256: digest},
		{Title: "Test procedure", File: "annex/procedure.pdf", Kind: ingest.PDFAnnex, Pages: 12, Size: 250000, SHA256: digest},
		{Title: "Drawing of the bench", File: "annex/bench.svg", Kind: ingest.SVGAnnex, Size: 4000, SHA256: digest},
	}
	return r
}

func pagesWith(t *testing.T, r *report.Report, a Attachments) [][]archive.Text {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, r, a))
	assert.Empty(t, archive.Violations(b.Bytes()))
	pages, err := archive.Texts(b.Bytes())
	require.NoError(t, err)
	return pages
}

func TestAnnexesLogoAndWitnessesAreSet(t *testing.T) {
	pages := pagesWith(t, accompanied(), Attachments{Picture: testPhoto, Carried: map[string]string{"annex/procedure.pdf": "day%2Fannex%2Fprocedure.pdf"}})
	assertClear(t, layout.A4, pages)
	all := strings.ReplaceAll(allText(pages), "\n", " ")
	for _, want := range []string{"Annex 1 Sketch of the cables", "Test procedure", "attached as", "day%2Fannex%2Fprocedure.pdf", "kept beside this report",
		"PDF files and drawings are not shown on pages of this report", "Witnesses of the test", "I. Orrevik", "quality manager", "all runs from 2026-11-18", "listed below"} {
		assert.Contains(t, strings.Join(strings.Fields(all), " "), want)
	}
	assert.NotContains(t, all, "cannot be read")

	plain := pagesWith(t, fixture(day{steps: 20, runs: 2}), Attachments{Picture: testPhoto})
	text := allText(plain)
	assert.NotContains(t, text, "Annexes", "what is not there takes no line")
	assert.NotContains(t, text, "Witnesses of the test")
	title := func(pages [][]archive.Text) float64 {
		for _, text := range pages[0] {
			if strings.HasPrefix(text.Text, "Test report") && text.Size > 20 {
				return text.Y
			}
		}
		t.Fatal("no title")
		return 0
	}
	assert.InDelta(t, title(plain)-52, title(pages), 1, "the logo stands above everything, in a box of its own")
}

func TestALogoThatCannotBeReadIsNamed(t *testing.T) {
	picture := func(file string) ([]byte, error) {
		if file == "logo.png" || file == "annex/cables.png" {
			return nil, errors.New("permission denied")
		}
		return testPhoto(file)
	}
	all := strings.ReplaceAll(allText(pagesWith(t, accompanied(), Attachments{Picture: picture})), "\n", " ")
	assert.Contains(t, all, "The logo is not shown, logo.png cannot be read (permission denied)")
	assert.Contains(t, all, "Not shown, annex/cables.png cannot be read")
}

// Where the uncertainty differs, the report says of each range what holds there.
func TestUncertaintiesByRangeAreTabulated(t *testing.T) {
	r := fixture(day{steps: 20, runs: 2})
	small, large := *r.Budget, *r.Budget
	large.Standard, large.Expanded = 2*small.Standard, 2*small.Expanded
	r.Budget = &large
	r.Budgets = []uncertainty.Piece{{From: 30e6, To: 100e6, Probe: "FP-03", Budget: &small}, {From: 100e6, To: 200e6, Probe: "FP-03", Budget: &large}}
	for i := range r.Runs {
		for _, v := range r.Runs[i].Visits {
			v.Budget = r.BudgetAt(v.Frequency())
		}
	}
	r.Requirement.Rule = uncertainty.Rule{Guarded: true, Guard: 1}
	pages := pagesWith(t, r, Attachments{Picture: testPhoto})
	assertClear(t, layout.A4, pages)
	all := strings.Join(strings.Fields(allText(pages)), " ")
	for _, want := range []string{"The uncertainty differs by range of frequency or by probe", "Budget from 30 MHz to 100 MHz, FP-03", "the widest guard band is",
		fixedPoint(float64(large.Expanded), 3), fixedPoint(float64(small.Expanded), 3), "of each visit, of at most", "With widest guard band"} {
		assert.Contains(t, all, want)
	}
}
