package pdf

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report"
	"fieldheld/report/plan"
	"fieldheld/report/render/layout"
	"fieldheld/report/seal/archive"
	"fieldheld/report/verdict/requirement"
)

// planOf makes a plan from the text of a requirement, after changes of what it is
// made from.
func planOf(t *testing.T, text string, change func(*plan.Input)) *plan.Plan {
	t.Helper()
	sheet, err := jobsheet.ParseFor(jobsheet.Planning, []byte("[article]\nname = \"winch controller WK-3\"\n[requirement]\nfile = \"r.toml\"\n"), "job.toml")
	require.NoError(t, err)
	in := plan.Input{Sheet: sheet}
	if change != nil {
		change(&in)
	}
	r, err := requirement.Parse([]byte(text), "r.toml")
	require.NoError(t, err)
	in.Requirement, err = r.Apply(sheet.Requirement, sheet.Article)
	require.NoError(t, err)
	return plan.Build(in)
}

const flatRequirement = `title = "Small"
source = "a test"
dwell = "3 s"
modulation = "AM 1 kHz 80 %"
[tolerance]
low = "0 dB"
[[limit]]
from = "30 MHz"
to = "200 MHz"
level = "200 V/m"
[[step]]
from = "30 MHz"
to = "200 MHz"
max = "1 %"
`

// foretold gives a plan a low-level record from 31 MHz, a rating, and assets.
func foretold(in *plan.Input) {
	in.Sheet.Article.Width = 4.2
	in.Sheet.Requirement.Positions = 2
	in.Sheet.Plan.Date = time.Date(2026, 11, 18, 0, 0, 0, 0, time.UTC)
	low := &record.LowLevel{File: record.File{Path: "low.csv"}}
	for f := 31e6; f < 210e6; f *= 1.02 {
		low.Points = append(low.Points, record.LowLevelPoint{Frequency: quantity.Frequency(f), Forward: 10,
			Field: quantity.FieldStrength(18 * (1 + 0.3*math.Sin(f/6e6)))})
	}
	in.Forecasts = []ingest.Forecast{{Sheet: &jobsheet.Forecast{ForwardMax: 4000}, Record: low}}
	none := quantity.Undefined[quantity.Frequency]()
	in.Equipment = []ingest.Equipment{
		{Equipment: jobsheet.Equipment{Asset: "PA-02", Role: "amplifier", RatedPower: 5000, From: 10e6, To: 250e6, CalibrationNotRequired: true, CalibrationReason: "checked by the field probe"}},
		{Equipment: jobsheet.Equipment{Asset: "FP-03", Role: "field probe", RatedPower: quantity.Undefined[quantity.Power](), From: none, To: none,
			Calibrated: time.Date(2025, 3, 2, 0, 0, 0, 0, time.UTC), Due: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)}},
	}
}

// whys are checks with short and long names.
var whys = []string{"level", "frequency-agreement", "samples", "correction-range"}

// withRepeats gives a made-up report a list of what to repeat, so many steps of
// each cell.
func withRepeats(r *report.Report, each int) *report.Report {
	r.Repeat = nil
	for i := range r.Cells {
		c := &r.Cells[i]
		for k := range min(each, len(c.Steps)) {
			r.Repeat = append(r.Repeat, report.Repeat{Polarization: c.Polarization, Position: c.Position, Frequency: c.Steps[k].Frequency, Setting: c.Steps[k].Frequency, Why: whys[k%len(whys)]})
		}
	}
	return r
}

// leaflets are papers of every kind, as they are written.
func leaflets(t *testing.T) map[string][]byte {
	t.Helper()
	program := report.Program{Name: "fieldheld", Version: "0.1.0"}
	written := map[string][]byte{}
	plans := map[string]*plan.Plan{
		"smallest plan": planOf(t, flatRequirement, nil),
		"foretold plan": planOf(t, flatRequirement, foretold),
		"sloping plan":  planOf(t, strings.Replace(flatRequirement, `level = "200 V/m"`, `level = ["20 V/m", "200 V/m"]`, 1), foretold),
		"nothing foretold": planOf(t, strings.ReplaceAll(flatRequirement, "30 MHz", "20 MHz"), func(in *plan.Input) {
			foretold(in)
			in.Sheet.Requirement.To = 25e6
			in.Sheet.Report.Page = "Letter"
		}),
	}
	for name, p := range plans {
		var b bytes.Buffer
		require.NoError(t, WritePlan(&b, p, program), name)
		written[name] = b.Bytes()
	}
	for name, r := range map[string]*report.Report{
		"nothing to repeat":  fixture(day{steps: 44, runs: 2, page: "Letter", clean: true}),
		"a few to repeat":    withRepeats(fixture(day{steps: 44, runs: 2}), 6),
		"many to repeat":     withRepeats(fixture(day{steps: 381, runs: 2}), 30),
		"hundreds to repeat": withRepeats(fixture(day{steps: 381, runs: 4}), 300),
		"names without end":  withRepeats(longNames(), 5),
	} {
		var b bytes.Buffer
		require.NoError(t, WriteRepeat(&b, r), name)
		written[name] = b.Bytes()
	}
	return written
}

func TestLeafletsAreSetLikeTheReport(t *testing.T) {
	for name, data := range leaflets(t) {
		t.Run(name, func(t *testing.T) {
			assert.Empty(t, archive.Violations(data))
			pages, err := archive.Texts(data)
			require.NoError(t, err)
			f := layout.A4
			if strings.Contains(name, "nothing") {
				f = layout.Letter
			}
			assertClear(t, f, pages)
			for i, texts := range pages {
				assert.Contains(t, archive.PageText(texts), fmt.Sprintf("\nPage %d of %d\n", i+1, len(pages)))
			}
			assert.Contains(t, allText(pages), "Nobody is in the chamber", "the cautions are there")
		})
	}
}

func TestRepeatListsFitOnOnePage(t *testing.T) {
	written := leaflets(t)
	for name, most := range map[string]int{"nothing to repeat": 1, "a few to repeat": 1, "many to repeat": 1, "names without end": 1, "hundreds to repeat": 8} {
		pages, err := archive.Texts(written[name])
		require.NoError(t, err)
		assert.LessOrEqual(t, len(pages), most, name)
	}
}

// TestRepeatListsLoseNothing demands a tick box and the frequency of every entry.
func TestRepeatListsLoseNothing(t *testing.T) {
	for _, each := range []int{1, 6, 30, 200} {
		r := withRepeats(fixture(day{steps: 381, runs: 2}), each)
		var b bytes.Buffer
		require.NoError(t, WriteRepeat(&b, r))
		pages, err := archive.Texts(b.Bytes())
		require.NoError(t, err)
		boxes := 0
		seen := map[string]int{}
		for _, texts := range pages {
			for _, text := range texts {
				seen[text.Text]++
				if text.Text == tickBox {
					boxes++
				}
			}
		}
		assert.Equal(t, len(r.Repeat), boxes)
		wanted := map[string]int{}
		for _, s := range r.RepeatSetups() {
			decimals := entryDecimals(s.Entries)
			for _, e := range s.Entries {
				wanted[fixedPoint(float64(e.Frequency)/1e6, decimals)]++
			}
		}
		for text, n := range wanted {
			assert.GreaterOrEqual(t, seen[text], n, text)
		}
	}
}

func TestPlansSayWhatTheModelSays(t *testing.T) {
	p := planOf(t, flatRequirement, foretold)
	var b bytes.Buffer
	require.NoError(t, WritePlan(&b, p, report.Program{}))
	pages, err := archive.Texts(b.Bytes())
	require.NoError(t, err)
	all := strings.Join(strings.Fields(strings.ReplaceAll(allText(pages), "\u00a0", " ")), " ")
	for _, list := range [][]string{p.Concerns, p.Notes} {
		require.NotEmpty(t, list)
		for _, text := range list {
			assert.Contains(t, all, text)
		}
	}
	assert.Contains(t, all, "ends on 2026-03-02, before the test")
	assert.Contains(t, all, "1.05 2.10")
	decimals := decimalsOfMegahertz(frequenciesOf(&p.Cells[0]))
	for _, s := range p.Cells[0].Steps {
		assert.Contains(t, all, " "+fixedPoint(float64(s.Frequency)/1e6, decimals)+" ")
	}
}

func TestLeafletsAreTheSameEachTime(t *testing.T) {
	first, second := leaflets(t), leaflets(t)
	for name := range first {
		assert.True(t, bytes.Equal(first[name], second[name]), name)
	}
}

func TestLeafletsNameMissingGlyphs(t *testing.T) {
	p := planOf(t, flatRequirement, func(in *plan.Input) { in.Sheet.Article.Criteria = "電" })
	var b bytes.Buffer
	err := WritePlan(&b, p, report.Program{})
	var missing MissingGlyphs
	require.ErrorAs(t, err, &missing)
	assert.Contains(t, err.Error(), "article.criteria")
	assert.Zero(t, b.Len())

	r := withRepeats(fixture(day{steps: 20, runs: 1}), 1)
	r.Sheet.Article.Name = "電"
	err = WriteRepeat(&b, r)
	require.ErrorAs(t, err, &missing)
	assert.Contains(t, err.Error(), "article.name")
	assert.Zero(t, b.Len())
}
