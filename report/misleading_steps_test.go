package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
)

// asks makes it a small day of a requirement with other limits and steps, and of other
// frequencies.
func (b *bench) asks(from, to, steps string, frequencies ...string) {
	b.requirement = strings.NewReplacer(`from = "30 MHz"`, `from = "`+from+`"`, `to = "31 MHz"`, `to = "`+to+`"`).Replace(benchRequirement)
	b.requirement = b.requirement[:strings.Index(b.requirement, "[[step]]")] + steps
	b.visits(frequencies...)
}

// listed makes it a small day of a limit at listed frequencies alone.
func (b *bench) listed(list string, frequencies ...string) {
	b.requirement = strings.Replace(benchRequirement, "from = \"30 MHz\"\nto = \"31 MHz\"\nlevel", "frequencies = ["+list+"]\nlevel", 1)
	b.requirement = b.requirement[:strings.Index(b.requirement, "[[step]]")]
	b.visits(frequencies...)
}

func (b *bench) visits(frequencies ...string) {
	b.runs[0].visits = benchVisits(5, frequencies...)
	b.runs[0].logs[0].reads = holding(b.runs[0].visits, 11, nil)
}

const (
	megahertzSteps = "[[step]]\nfrom = \"10 MHz\"\nto = \"1 GHz\"\nsize = \"1 MHz\"\n"
	spots          = "[[step]]\nfrequencies = [\"88 MHz\", \"98.1 MHz\", \"108 MHz\"]\n"
	threeSpots     = `"88 MHz", "98.1 MHz", "108 MHz"`
)

func stepDays() []misleading {
	const not, yes, with = report.NotDemonstrated, report.Demonstrated, report.DemonstratedWithDeviations
	relaxed := func(b *bench, step string) {
		b.job = "[[requirement.step]]\n" + step + "\n"
	}
	return []misleading{
		// A size in hertz is no part of the frequency.
		{"1 MHz at 30 MHz", "1 MHz is what is asked for; 1 % would be 0.3 MHz", func(b *bench) {
			b.asks("30 MHz", "35 MHz", megahertzSteps, "30.000", "31.000", "32.000", "33.000", "34.000", "35.000")
		}, yes, "", ""},
		{"1 % in the place of 1 MHz", "at 300 MHz 1 % is 3 MHz, three times what is asked for", func(b *bench) {
			b.asks("300 MHz", "306 MHz", megahertzSteps, "300.000", "303.000", "306.000")
		}, not, "step-size", ""},
		{"one step of 1 MHz left out", "2 MHz are not 1 MHz", func(b *bench) {
			b.asks("30 MHz", "35 MHz", megahertzSteps, "30.000", "31.000", "33.000", "34.000", "35.000")
		}, not, "step-size", ""},
		{"a step a kilohertz too large", "written to a kilohertz, 1.002 MHz cannot be 1 MHz", func(b *bench) {
			b.asks("30 MHz", "33 MHz", megahertzSteps, "30.000", "31.002", "32.000", "33.000")
		}, not, "step-size", ""},
		{"megahertz written to 10 MHz", "two neighbours of 1 MHz would be one", func(b *bench) {
			b.asks("30 MHz", "40 MHz", megahertzSteps, "30", "30", "40", "40")
			b.requirement = strings.Replace(b.requirement, "1 MHz\"\n", "500 kHz\"\n", 1)
		}, not, "coarse", ""},
		{"the finer of two ranges", "above 31 MHz 0.5 MHz is asked for", func(b *bench) {
			b.asks("30 MHz", "33 MHz", "[[step]]\nfrom = \"30 MHz\"\nto = \"31 MHz\"\nmax = \"5 %\"\n[[step]]\nfrom = \"31 MHz\"\nto = \"33 MHz\"\nsize = \"500 kHz\"\n",
				"30.000", "31.000", "32.000", "33.000")
		}, not, "step-size", ""},

		// Every listed frequency, and nothing between.
		{"every listed frequency", "nothing between them is asked for", func(b *bench) {
			b.asks("88 MHz", "108 MHz", spots, "88.000", "98.100", "108.000")
		}, yes, "", ""},
		{"every listed frequency of a limit", "the limit is at these alone", func(b *bench) {
			b.listed(threeSpots, "108.000", "88.000", "98.100")
		}, yes, "", ""},
		{"one listed frequency alone", "a range of one frequency is shown by one visit", func(b *bench) {
			b.listed(`"27.12 MHz"`, "27.120")
		}, yes, "", ""},
		{"one of three left out", "two of three are not all", func(b *bench) {
			b.asks("88 MHz", "108 MHz", spots, "88.000", "108.000")
		}, not, "coverage", ""},
		{"a neighbour of a listed frequency", "98.0 MHz is not 98.1 MHz", func(b *bench) {
			b.listed(threeSpots, "88.000", "98.000", "108.000")
		}, not, "coverage", ""},
		{"a whole sweep past a listed frequency", "many frequencies that nobody asked for do not make up for the one that is missing", func(b *bench) {
			b.listed(threeSpots, "88.000", "98.000", "98.050", "98.150", "98.200", "108.000")
		}, not, "coverage", ""},
		{"a listed frequency twice for two", "one frequency run twice is one frequency", func(b *bench) {
			b.listed(threeSpots, "88.000", "88.000", "108.000")
		}, not, "coverage", ""},
		{"one written frequency for two listed", "98 MHz stands for one of 97.8 MHz and 98.1 MHz", func(b *bench) {
			b.listed(`"88 MHz", "97.8 MHz", "98.1 MHz", "108 MHz"`, "88", "98", "108")
		}, not, "coverage", ""},
		{"27 MHz for 27.12 MHz", "written to a megahertz it may be any other", func(b *bench) {
			b.listed(`"27.12 MHz", "40.68 MHz"`, "27", "41")
		}, not, "coarse", ""},
		{"a listed frequency too low", "it was visited, and not met", func(b *bench) {
			b.listed(threeSpots, "88.000", "98.100", "108.000")
			b.runs[0].logs[0].reads = holding(b.runs[0].visits, 11, map[int]float64{1: 5})
		}, not, "level", ""},
		{"a sweep with a listed frequency besides", "the steps are kept, and the clock of the article was not tested", func(b *bench) {
			b.asks("30 MHz", "31 MHz", "[[step]]\nfrom = \"30 MHz\"\nto = \"31 MHz\"\nmax = \"1 %\"\n[[step]]\nfrequencies = [\"30.45 MHz\"]\n", benchFrequencies...)
		}, not, "coverage", ""},
		{"a sweep with a listed frequency besides, visited", "both are asked for, and both are there", func(b *bench) {
			b.asks("30 MHz", "31 MHz", "[[step]]\nfrom = \"30 MHz\"\nto = \"31 MHz\"\nmax = \"1 %\"\n[[step]]\nfrequencies = [\"30.45 MHz\"]\n",
				"30.000", "30.300", "30.450", "30.600", "30.900", "31.000")
		}, yes, "", ""},
		{"a higher limit at a listed frequency", "20 V/m are asked for at 30.6 MHz, 11 V/m were there", func(b *bench) {
			b.requirement = strings.Replace(benchRequirement, "[[step]]", "[[limit]]\nfrequencies = [\"30.6 MHz\"]\nlevel = \"20 V/m\"\npolarizations = [\"horizontal\"]\n[[step]]", 1)
		}, not, "level", ""},
		{"a swept part behind a list", "from 30 MHz on steps are asked for, and only the list was run", func(b *bench) {
			b.asks("20 MHz", "31 MHz", "[[step]]\nfrom = \"20 MHz\"\nto = \"30 MHz\"\nfrequencies = [\"20 MHz\", \"25 MHz\"]\n[[step]]\nfrom = \"30 MHz\"\nto = \"31 MHz\"\nmax = \"1 %\"\n",
				"20.000", "25.000")
		}, not, "coverage", ""},
		{"a deviation for a listed frequency", "that it was left out is agreed", func(b *bench) {
			b.listed(threeSpots, "88.000", "108.000")
			b.job = deviationFor(`"coverage"`, "from = \"98 MHz\"\nto = \"98.2 MHz\"")
		}, with, "coverage", ""},
		{"a deviation for another listed frequency", "that is not what was agreed", func(b *bench) {
			b.listed(threeSpots, "88.000", "108.000")
			b.job = deviationFor(`"coverage"`, "from = \"107 MHz\"\nto = \"109 MHz\"")
		}, not, "coverage", ""},

		// What the job sheet asks for otherwise.
		{"larger steps by the job sheet", "the day asks for less, and says so", func(b *bench) {
			b.visits("30.000", "30.500", "31.000")
			relaxed(b, "from = \"30 MHz\"\nto = \"31 MHz\"\nsize = \"500 kHz\"")
		}, yes, "", "as changed by the job sheet"},
		{"larger steps by the job sheet, one left out", "not even these were kept", func(b *bench) {
			b.visits("30.000", "31.000")
			relaxed(b, "from = \"30 MHz\"\nto = \"31 MHz\"\nsize = \"500 kHz\"")
		}, not, "step-size", "as changed by the job sheet"},
		{"listed frequencies in the place of steps", "the day asks for less, and says so", func(b *bench) {
			b.visits("30.000", "31.000")
			relaxed(b, "frequencies = [\"30 MHz\", \"31 MHz\"]")
		}, yes, "", "as changed by the job sheet"},
		{"a step that no test makes", "a part of the day without any frequency would be shown by nothing", func(b *bench) {
			relaxed(b, "from = \"29 MHz\"\nto = \"32 MHz\"\nfrequencies = [\"29.5 MHz\"]")
		}, "", "no frequency of this part has to be visited", ""},
	}
}

// TestStepsAsked looks at what else such days tell: holes, findings, what to repeat.
func TestStepsAsked(t *testing.T) {
	day := func(change func(b *bench)) *report.Report {
		b := smallBench()
		change(b)
		r, err := buildBench(t, b)
		require.NoError(t, err)
		return r
	}
	settings := func(r *report.Report) (list []quantity.Frequency) {
		for _, entry := range r.Repeat {
			list = append(list, entry.Setting)
		}
		return list
	}

	r := day(func(b *bench) { b.listed(threeSpots, "88.000", "95.000", "108.000") })
	require.Len(t, r.Cells, 1)
	assert.Len(t, r.Cells[0].Steps, 2)
	assert.Equal(t, report.NotRequired, r.Runs[0].Visits[1].State, "nothing is asked for between listed frequencies")
	require.Len(t, r.Cells[0].Holes, 1)
	assert.Equal(t, []quantity.Frequency{98.1e6, 98.1e6}, []quantity.Frequency{r.Cells[0].Holes[0].From, r.Cells[0].Holes[0].To})
	assert.Equal(t, []quantity.Frequency{98.1e6}, settings(r))
	require.Len(t, r.Requirement.Notes, 1)
	assert.Contains(t, r.Requirement.Notes[0], "From 88 MHz to 108 MHz (horizontal) nothing but listed frequencies")
	assert.Contains(t, list(r.Findings), "98.1 MHz has to be visited, and no step was made there; the nearest are 88 MHz and 108 MHz.")

	r = day(func(b *bench) {
		b.asks("30 MHz", "36 MHz", megahertzSteps, "30.000", "30.800", "31.600", "34.800", "35.600", "36.000")
	})
	assert.Contains(t, list(r.Findings), "3.2 MHz apart; at most 1 MHz is allowed")
	assert.Equal(t, []quantity.Frequency{32.4e6, 33.2e6, 34e6}, settings(r), "the run's own grid goes on")
	for _, entry := range r.Repeat {
		assert.Equal(t, entry.Frequency, entry.Setting)
	}

	r = day(func(b *bench) {
		b.asks("30 MHz", "36 MHz", megahertzSteps, "30.000", "34.000", "36.000")
	})
	assert.Equal(t, []quantity.Frequency{31e6, 32e6, 33e6, 35e6}, settings(r), "a grid that is too wide does not go on")

	r = day(func(b *bench) { b.visits("30.000", "30.300", "30.600", "31.000") })
	require.Len(t, r.Repeat, 1)
	assert.InDelta(t, 30.79935e6, float64(r.Repeat[0].Frequency), 10)
	assert.Equal(t, quantity.Frequency(30.799e6), r.Repeat[0].Setting, "a generator is set to what the record writes")

	r = day(func(b *bench) {
		b.visits("30.000", "31.000")
		b.job = "[[requirement.step]]\nfrequencies = [\"30 MHz\", \"31 MHz\"]\n"
	})
	require.Len(t, r.Requirement.Overrides, 1)
	o := r.Requirement.Overrides[0]
	assert.Equal(t, "step: 1 % from 30 MHz to 31 MHz → only 30 MHz, 31 MHz from 30 MHz to 31 MHz, less: true",
		o.Key+": "+o.Was+" → "+o.Is+", less: "+map[bool]string{true: "true", false: "false"}[o.Relaxation])
}
