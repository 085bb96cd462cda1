package pdf

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/seal/archive"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
	"fieldheld/templates/wording"
)

// textsOf writes a report and returns the text of each page on one line.
func textsOf(t *testing.T, r *report.Report) []string {
	t.Helper()
	pages, err := archive.Texts(write(t, r))
	require.NoError(t, err)
	var texts []string
	for _, page := range pages {
		var words []string
		for _, text := range page {
			words = append(words, text.Text)
		}
		texts = append(texts, strings.NewReplacer("\u00a0", " ", "\u2002", " ").Replace(strings.Join(words, " ")))
	}
	return texts
}

func TestOverridesStandOnPageOneAndInSectionFour(t *testing.T) {
	r := fixture(day{steps: 60, runs: 2, clean: true})
	r.InNumbers = "Least margin 0.36 dB."
	r.Requirement.Overrides = []requirement.Override{
		{Key: "to", Was: "18 GHz", Is: "200 MHz", Reason: "the rest is another day"},
		{Key: "tolerance.low", Was: "0 dB", Is: "-30 dB", Relaxation: true},
		{Key: "dwell", Was: "4 s", Is: "2 s", Relaxation: true, Reason: "slow chamber", AgreedBy: "I. Orrevik, by letter"},
	}
	pages := textsOf(t, r)
	assert.Contains(t, pages[0], "Least margin 0.36 dB.")
	assert.Contains(t, pages[0], "lower tolerance -30 dB instead of 0 dB (asks for less than the requirement)")
	assert.Contains(t, pages[0], "dwell 2 s instead of 4 s (asks for less than the requirement)")
	assert.NotContains(t, pages[0], "to 200 MHz instead of 18 GHz (asks")
	all := strings.Join(pages, " ")
	_, section, _ := strings.Cut(all, "Set otherwise by the job sheet")
	section, _, _ = strings.Cut(section, "5 Setup")
	for _, part := range []string{"less", "I. Orrevik, by letter", "not stated", "Additions, deviations and exclusions", "Lower tolerance: -30 dB instead of 0 dB, which asks for less."} {
		assert.Contains(t, section, part)
	}
}

func TestMatrixSaysWhyACellIsNotMet(t *testing.T) {
	r := fixture(day{steps: 60, runs: 2, clean: true})
	c := &r.Cells[0]
	c.State, c.Statistics.NoLevel = report.NotMet, 19
	c.Findings = []int{len(r.Findings), len(r.Findings) + 1}
	for range 2 {
		r.Findings = append(r.Findings, report.Finding{Check: "dwell", State: check.Open, Run: "H1", From: 31e6, To: 31e6, Text: wording.Say("dwell.too-short", wording.Values{"stretch": "1 s", "required": "3 s"}), Group: 1})
	}
	front := textsOf(t, r)[0]
	assert.Contains(t, front, "19 steps held no level for the required dwell; open findings: dwell (2)")
	least := fixedPoint(c.Statistics.LeastMargin.Value, 2)
	_, row, found := strings.Cut(front, "not met")
	require.True(t, found)
	row, _, _ = strings.Cut(row, "page")
	assert.NotContains(t, row, least, "the margin of the other steps is not that of the cell")
}

func TestFindingsOfOneKindAreOneRow(t *testing.T) {
	r := fixture(day{steps: 60, runs: 2, clean: true})
	first := len(r.Findings)
	for i := range 12 {
		f := quantity.Frequency(40e6 + 0.2e6*float64(i))
		r.Findings = append(r.Findings, report.Finding{Check: "level", State: check.Open, Run: "H1", Polarization: "horizontal", Position: 1, From: f, To: f,
			Group: 7, Text: wording.Say("event", wording.Values{"faults": []string{"The field is too low."}}), Evidence: []check.Evidence{{File: "probe/H1.csv", First: 10 + 20*i, Last: 25 + 20*i}}})
	}
	all := strings.Join(textsOf(t, r), " ")
	assert.Contains(t, all, (&report.FindingGroup{Findings: []int{first, first + 1, first + 11}}).Name()[:2])
	assert.Contains(t, all, "12 of one kind. The first, at 40 MHz: The field is too low.")
	assert.Contains(t, all, "rows 10 to 245")
	assert.Contains(t, all, "40 – 42.2 MHz")
}

func TestEventsSayHowTheyCompare(t *testing.T) {
	r := fixture(day{steps: 60, runs: 2, clean: true})
	none := quantity.Undefined[quantity.FieldStrength]()
	event := func(f quantity.Frequency, limit, threshold quantity.FieldStrength, dismissed string) report.Event {
		return report.Event{Event: jobsheet.Event{Run: "H1", Frequency: f, Observed: "the drum slowed", Threshold: threshold, Dismissed: dismissed},
			Limit: limit, Level: none, BelowLimit: threshold < limit}
	}
	r.Events = []report.Event{event(40e6, 200, 142, ""), event(41e6, 200, 240, ""), event(42e6, 200, none, ""), event(1e6, none, 40, ""),
		event(43e6, 200, 142, "a lamp of the chamber")}
	all := strings.Join(textsOf(t, r), " ")
	section := all[strings.LastIndex(all, "10 The article's behaviour"):]
	for _, words := range []string{"no: below the limit", "yes: not below the limit", "cannot be compared", "Dismissed as no susceptibility: a lamp of the chamber"} {
		assert.Contains(t, section, words)
	}
}

// What is observed of most visits is said once; what differs stands below its row.
func TestObservationsStandInTheStepTables(t *testing.T) {
	r := fixture(day{steps: 30, runs: 1, clean: true})
	for _, v := range r.Runs[0].Visits {
		v.Record.Observation = "ok"
	}
	r.Runs[0].Visits[7].Record.Observation = "DRUM STOPPED - ALARM E14"
	all := strings.Join(textsOf(t, r), " ")
	assert.Contains(t, all, "says “ok” of every visit for which nothing else is written below it")
	assert.Equal(t, 1, strings.Count(all, "Observed: DRUM STOPPED - ALARM E14"))
	assert.Equal(t, 0, strings.Count(all, "Observed: ok"))
}

// Rows that are no test steps stand on a page of their own, and are counted on page 1.
func TestRowsThatAreNoTestStepsHaveAPage(t *testing.T) {
	r := fixture(day{steps: 30, runs: 1, clean: true})
	assert.NotContains(t, strings.Join(textsOf(t, r), " "), "no test step")
	for _, purpose := range []quantity.Purpose{quantity.SearchRow, quantity.AbortedRow} {
		v := *r.Runs[0].Visits[3].Visit
		v.Record.Purpose, v.Record.Observation, v.Maximum = purpose, "door was open", 37.25
		r.Runs[0].OtherRows = append(r.Runs[0].OtherRows, &v)
	}
	pages := textsOf(t, r)
	assert.Contains(t, pages[0], "2 rows of the dwell records were no test steps (1 search, 1 aborted) and prove nothing")
	found := 0
	for _, page := range pages[3:] {
		if strings.Contains(page, "Rows that are no test steps") {
			found++
			assert.Equal(t, 2, strings.Count(page, "Observed: door was open"))
			assert.Contains(t, page, "37.2")
			assert.Less(t, strings.Index(page, "Rows that are no test steps"), 200, "at the head of its page")
		}
	}
	assert.Equal(t, 1, found)
}

// A probe that was changed within a run is named with its times, and with what its log
// shows beside them.
func TestChangedProbesAreNamedWithTheirTimes(t *testing.T) {
	r := fixture(day{steps: 30, runs: 1, clean: true})
	run := &r.Runs[0]
	assert.NotContains(t, strings.Join(textsOf(t, r), " "), "In use")
	second := run.Sheet.Probes[0]
	second.Asset, second.From = "FP-04", run.First.Add(time.Minute)
	run.Sheet.Probes[0].To = run.First.Add(time.Minute)
	run.Sheet.Probes = append(run.Sheet.Probes, second)
	run.Uses = []evaluate.Use{{Probe: 0, Readings: 120, Left: 7, Low: 3, High: 5}, {Probe: 1, Readings: 80, Low: quantity.Undefined[quantity.FieldStrength](), High: quantity.Undefined[quantity.FieldStrength]()}}
	all := strings.Join(textsOf(t, r), " ")
	at := second.From.In(r.Sheet.Report.Zone).Format("2006-01-02 15:04:05")
	assert.Contains(t, all, "In use to "+at)
	assert.Contains(t, all, "120 readings in visits. 7 more readings in visits were taken at other times and count in no figure; as logged they lie between 3 V/m and 5 V/m")
	assert.Contains(t, all, "In use from "+at)
	assert.NotContains(t, all, "0 more readings")
}

func TestHarmonicsArePrintedWithTheirFactor(t *testing.T) {
	r := fixture(day{steps: 30, runs: 1, clean: true})
	v := r.Runs[0].Visits[3]
	v.Harmonics = []jobsheet.Harmonic{{Order: 2, Level: -9.5, Field: quantity.Undefined[quantity.FieldStrength]()}}
	v.Sources[0].Ledger = append(v.Sources[0].Ledger, evaluate.Factor{Name: "harmonics taken off", Value: 0.9479})
	all := strings.Join(textsOf(t, r), " ")
	assert.Contains(t, all, "× 0.9479 harmonics taken off")
	assert.Contains(t, all, "×2: -9.50 dB over the fundamental")
}

func TestIndexSaysWhatIsMissingAndWhatIsOmitted(t *testing.T) {
	r := fixture(day{steps: 30, runs: 1, clean: true})
	r.Items = []report.Item{{Name: "uncertainty"}, {Name: "photos"}, {Name: "received", Present: true}}
	r.Sheet.Report.Omitted = map[string]string{"photos": "drawings are in the procedure"}
	all := strings.Join(textsOf(t, r), " ")
	assert.Contains(t, all, "missing: uncertainty")
	assert.Contains(t, all, "omitted: drawings are in the procedure")
	for _, item := range requiredOfReports {
		assert.Contains(t, all, item.clause+" "+item.what)
	}
	for _, item := range requiredOfTests {
		assert.Contains(t, all, "– "+item.what, "needed all the same, by no clause")
	}
	assert.NotContains(t, all, "MIL-STD-461")
	r.Requirement.Source = "MIL-STD-461G, 11 December 2015, 5.21 (RS103)"
	all = strings.Join(textsOf(t, r), " ")
	for _, item := range requiredOfTests {
		assert.Contains(t, all, "MIL-STD-461G "+item.clause+" "+item.what)
	}
}

// Every anchor of the index has to be a place of the report, or its page is 0.
func TestIndexNamesPages(t *testing.T) {
	assert.NotContains(t, strings.Join(textsOf(t, fixture(day{steps: 30, runs: 1, clean: true})), " "), "page 0")
}

func TestFailedStepsAreToldWithWhatWasDone(t *testing.T) {
	r := fixture(day{steps: 30, runs: 1, clean: true})
	c := &r.Cells[0]
	step := &c.Steps[4]
	figures := *step.Best.Visit
	figures.Margin = -1.97
	failed := report.Visit{Visit: &figures, State: report.NotMet}
	step.Visits = append([]*report.Visit{&failed}, step.Visits...)
	r.Runs[0].Sheet.Tuning = "T-H"
	r.Sheet.Tunings = []jobsheet.Tuning{{Name: "T-H", Made: time.Date(2026, 11, 17, 0, 0, 0, 0, time.UTC),
		Changes: []jobsheet.TuningChange{{Frequency: step.Frequency, By: "R. Tallholm", Note: "both elements 4 mm out"}}}}
	all := strings.Join(textsOf(t, r), " ")
	_, section, found := strings.Cut(all, "Failed and repeated steps")
	require.True(t, found)
	for _, words := range []string{"−1.97", "both elements 4 mm out", "by R. Tallholm"} {
		assert.Contains(t, section, words)
	}
	step.Visits[0] = step.Best
	assert.Contains(t, strings.Join(textsOf(t, r), " "), "1 step was visited more than once without a failure")
}

func TestAnAmendmentSaysSoOnPageOne(t *testing.T) {
	r := amendment()
	r.Changes = []report.Change{{What: "article.serial", Before: "0071", After: "0017"}}
	for range 3 {
		r.Changes = append(r.Changes, report.Change{What: "a step", After: "met"})
	}
	front := textsOf(t, r)[0]
	assert.Contains(t, front, "Amendment. This is revision 2; it replaces NT-0417, revision 1: The serial number of the article was corrected. "+
		"Article.serial: 0017 instead of 0071.")
	assert.Contains(t, front, "1 more change in section 2")
	assert.NotContains(t, front, "..")
	assert.NotContains(t, textsOf(t, fixture(day{steps: 20, runs: 1, clean: true}))[0], "Amendment")
}

// An audit reads the digest of the manifest from page 1, however much the answer
// has to say.
func TestDigestStandsOnPageOne(t *testing.T) {
	r := fixture(day{steps: 20, runs: 6})
	r.Answer = strings.Repeat("The test field met the requirement as changed by the job sheet. ", 30)
	assert.Contains(t, textsOf(t, r)[0], r.ManifestDigest)
}

func TestTheMarkingStandsTwiceOnEveryPage(t *testing.T) {
	r := fixture(day{steps: 30, runs: 2})
	r.Sheet.Report.Marking = "ORREVIK – IN CONFIDENCE"
	all := strings.Join(textsOf(t, r), " ")
	assert.Equal(t, 2*strings.Count(all, "Page "), strings.Count(all, r.Sheet.Report.Marking))
	r.Sheet.Report.Marking = strings.Repeat("long words ", 18) // longer than any line
	assert.NotEmpty(t, textsOf(t, r))
}

// TestIncidentsStandOnATimeLine tells of a trip and of a change of the article.
func TestIncidentsStandOnATimeLine(t *testing.T) {
	r := fixture(day{steps: 30, runs: 2})
	assert.NotContains(t, strings.Join(textsOf(t, r), " "), "Course of the test", "nothing is said where nothing is stated")
	first := r.Runs[0].First
	r.Incidents = []report.Incident{{At: first.Add(time.Minute), Run: r.Runs[0].ID, What: "amplifier tripped", Done: "reset"},
		{At: first.Add(20 * time.Minute), What: "controller restarted", Article: "firmware 2.15"}}
	all := strings.Join(textsOf(t, r), " ")
	for _, words := range []string{"Course of the test", "amplifier tripped", "reset", "The article was changed: firmware 2.15.", "At a heavy line the article was changed."} {
		assert.Contains(t, all, words)
	}
}
