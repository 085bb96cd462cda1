package report_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/report"
)

// withPurposes gives the dwell record of the day a column of purposes, of which some
// rows say something.
func withPurposes(b *bench, words map[int]string) {
	b.runs[0].columns = ",Purpose"
	for i := range b.runs[0].visits {
		b.runs[0].visits[i].more = "," + words[i]
	}
}

// further adds a row behind the others, at a frequency, so long, with a level that
// its log shows, and further cells.
func further(b *bench, frequency string, length, level float64, more string) {
	visits := append(b.runs[0].visits, benchVisit{frequency: frequency, start: 62, end: 62 + length, more: more})
	b.runs[0].visits = visits
	b.runs[0].logs[0].reads = holding(visits, 11, map[int]float64{len(visits) - 1: level})
}

func otherRowDays() []misleading {
	const not, yes = report.NotDemonstrated, report.Demonstrated
	return []misleading{
		{"a failed step that is called a trial", "it proves nothing any more, and its step is a hole", func(b *bench) {
			withPurposes(b, map[int]string{2: "trial"})
			b.runs[0].logs[0].reads = holding(b.runs[0].visits, 11, map[int]float64{2: 5})
		}, not, "step-size", ""},
		{"a step that held and is called aborted", "what the laboratory took back is no proof", func(b *bench) {
			withPurposes(b, map[int]string{2: "aborted"})
		}, not, "step-size", ""},
		{"a trial whose step was held as well", "the step is the one that was held", func(b *bench) {
			withPurposes(b, nil)
			further(b, "30.600", 4, 5, ",trial")
		}, yes, "", ""},
		{"a search that shares time with a step", "a level that was being searched for is no step that was held", func(b *bench) {
			b.runs[0].visits[2].end = 35
			withPurposes(b, nil)
			further(b, "30.600", 4, 11, ",search")
			b.runs[0].visits[5].start, b.runs[0].visits[5].end = 31, 34
		}, not, "overlap", ""},
		{"a run that was a search", "it serves nothing, whatever was held in it", func(b *bench) { b.runs[0].head = "purpose = \"search\"" }, not, "polarization", ""},
		{"a run that was a search, beside one that was none", "its low levels fail nothing", func(b *bench) {
			search := b.runs[0]
			search.id, search.head = "S1", "purpose = \"threshold\""
			search.visits = benchVisits(62, "30.600")
			search.logs = []benchLog{{columns: "Time,E-field (V/m)", reads: holding(search.visits, 5, nil)}}
			b.runs = append(b.runs, search)
		}, yes, "", ""},
		{"a search that says of a row that it is a step", "the sheet and the record contradict each other", func(b *bench) {
			b.runs[0].head = "purpose = \"search\""
			withPurposes(b, map[int]string{2: "test"})
		}, "", "this row says that it is a test step", ""},
		{"a purpose that nobody knows", "the row may be a step, or none", func(b *bench) { withPurposes(b, map[int]string{2: "warm-up"}) }, "", "a word that is not known", ""},
		{"a reaction in a search that nobody takes up", "the article reacted, whatever the row was for", func(b *bench) {
			withPurposes(b, nil)
			b.runs[0].columns += ",Observation"
			for i := range b.runs[0].visits {
				b.runs[0].visits[i].more += ","
			}
			further(b, "30.600", 4, 5, ",search,DRUM STOPPED")
		}, yes, "observation", "bservation"},
		{"a reaction in a search that an event takes up", "half of the limit was enough", func(b *bench) {
			withPurposes(b, nil)
			b.runs[0].columns += ",Observation"
			for i := range b.runs[0].visits {
				b.runs[0].visits[i].more += ","
			}
			further(b, "30.600", 4, 5, ",threshold,DRUM STOPPED")
			b.job = "[[event]]\nrun = \"H1\"\nfrequency = \"30.6 MHz\"\nobserved = \"drum stopped\"\nthreshold = \"5 V/m\""
		}, yes, "", "did not withstand"},
		{"a frozen probe between a step and a trial", "it did not live through the change of frequency", func(b *bench) {
			withPurposes(b, map[int]string{3: "trial"})
			further(b, "30.900", 4, 11, ",")
			reads := b.runs[0].logs[0].reads
			b.runs[0].logs[0].reads = func(t float64) string {
				if t > 29 && t < 45 {
					return "11.234"
				}
				return reads(t)
			}
		}, not, "probe-fault", ""},
		{"elements that moved during a trial", "power was on, and the antenna is that of the steps", func(b *bench) {
			withPurposes(b, nil)
			further(b, "30.600", 4, 5, ",trial")
			b.runs[0].head = "antenna = \"AN-07\"\nmotion = { file = \"motion.csv\" }"
			b.job = "[[equipment]]\nasset = \"AN-07\"\nrole = \"antenna\"\ncalibration = \"not required\"\ncalibration_reason = \"checked by the field probe\"\n"
			b.files = map[string]string{"motion.csv": "Start,End\n" + benchTime(63) + "," + benchTime(64) + "\n"}
		}, not, "motion", ""},
	}
}

// TestOtherRowsAreShown: what was no test step is counted, listed and told.
func TestOtherRowsAreShown(t *testing.T) {
	b := smallBench()
	withPurposes(b, map[int]string{})
	further(b, "30.600", 4, 5, ",trial")
	b.runs[0].visits = append(b.runs[0].visits, benchVisit{frequency: "30.600", start: 70, end: 72, more: ",search"}, benchVisit{frequency: "99", start: 74, end: 76, more: ",search"})
	r, err := buildBench(t, b)
	require.NoError(t, err)
	require.Equal(t, report.Demonstrated, r.State, list(r.Findings))
	assert.Equal(t, 3, r.OtherRows())
	assert.Equal(t, "3 rows of the dwell records were no test steps (2 search, 1 trial) and prove nothing; the report lists them.", r.NotSteps())
	var told []string
	for _, f := range r.Findings {
		if f.Check == "record" {
			told = append(told, fmt.Sprint(f.State, " ", f.Message(), " ", f.Evidence))
		}
	}
	require.Len(t, told, 1)
	assert.Contains(t, told[0], "2 search, 1 trial")
	assert.Contains(t, told[0], "h1.csv, rows 7 to 9")
	assert.Len(t, r.Runs[0].Visits, 5)
	assert.False(t, r.Cells[0].Steps[2].Visits[0].Repeats)
	assert.Len(t, r.Cells[0].Steps[2].Visits, 1, "no failed visit that was repeated")

	document, err := r.JSON()
	require.NoError(t, err)
	var said struct {
		OtherRows []struct {
			Run, Purpose string
			Minimum      float64 `json:"minimum_v_per_m"`
			Evidence     struct{ Rows []int }
		} `json:"other_rows"`
	}
	require.NoError(t, json.Unmarshal(document, &said))
	require.Len(t, said.OtherRows, 3)
	assert.Equal(t, "trial", said.OtherRows[0].Purpose)
	assert.InDelta(t, 5, said.OtherRows[0].Minimum, 1e-9, "its field is shown, and held against no limit")
	assert.Equal(t, []int{9, 9}, said.OtherRows[2].Evidence.Rows)
	assert.NotContains(t, strings.Split(string(document), `"other_rows"`)[0], `"sustained_v_per_m": 5`)
}
