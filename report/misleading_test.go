package report_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/report"
)

// bench is a small day as it is written down: five steps from 30 to 31 MHz at
// 10 V/m, 1 % apart, held for 4 s where 3 s are asked for, ten readings a second.
type bench struct {
	requirement string
	requires    string // further keys of [requirement]
	zone        string // of the report; UTC where empty
	width       string // of the article, "width = …"
	job         string // what stands behind the tables that every job sheet has
	runs        []benchRun
	files       map[string]string // further ones
}

type benchRun struct {
	id, polarization string
	head             string // keys of the run
	probe            string // keys of its probe
	dwell            string // path of the dwell record; the run's id where empty
	columns          string // further columns of the dwell record
	visits           []benchVisit
	logs             []benchLog
}

type benchVisit struct {
	frequency  string  // MHz, as written
	start, end float64 // seconds after nine
	more       string  // cells of the further columns
}

// benchLog is a probe's log. What it reads at a time is a cell, with more cells
// behind it where there are more columns; "" leaves the row out.
type benchLog struct {
	columns string
	reads   func(t float64) string
	newest  bool    // first
	probe   string  // keys of this probe alone
	from    float64 // the first of its ninety seconds
	ahead   float64 // seconds by which its clock is
}

const benchRequirement = `title = "Small"
source = "a test"
dwell = "3 s"
modulation = "CW"
[[limit]]
from = "30 MHz"
to = "31 MHz"
level = "10 V/m"
polarizations = ["horizontal"]
[[step]]
from = "30 MHz"
to = "31 MHz"
max = "1 %"
`

var benchFrequencies = []string{"30.000", "30.300", "30.600", "30.900", "31.000"}

// benchVisits holds frequencies one after the other, from a time on.
func benchVisits(from float64, frequencies ...string) []benchVisit {
	var visits []benchVisit
	for i, f := range frequencies {
		start := from + 10*float64(i)
		visits = append(visits, benchVisit{frequency: f, start: start, end: start + 4})
	}
	return visits
}

// holding reads a level during visits and half a second around them, else next to
// nothing. A visit's own level wins.
func holding(visits []benchVisit, level float64, own map[int]float64) func(t float64) string {
	return func(t float64) string {
		for i, v := range visits {
			if t >= v.start-0.5 && t < v.end+0.5 {
				if e, ok := own[i]; ok {
					return fmt.Sprintf("%.3f", e)
				}
				return fmt.Sprintf("%.3f", level+0.01*math.Sin(t))
			}
		}
		return "0.200"
	}
}

func smallBench() *bench {
	visits := benchVisits(10, benchFrequencies...)
	return &bench{requirement: benchRequirement, width: "width = \"1 m\"", runs: []benchRun{{id: "H1", polarization: "horizontal", visits: visits,
		probe: "asset = \"FP-03\"", logs: []benchLog{{columns: "Time,E-field (V/m)", reads: holding(visits, 11, nil)}}}}}
}

func benchTime(t float64) string {
	nine := time.Date(2026, 11, 18, 9, 0, 0, 0, time.UTC)
	return nine.Add(time.Duration(math.Round(t*1000)) * time.Millisecond).Format("2006-01-02T15:04:05.000Z07:00")
}

func (b *bench) write(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	put := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	zone := b.zone
	if zone == "" {
		zone = "UTC"
	}
	var job strings.Builder
	job.WriteString("[report]\nnumber = \"NT-1\"\ntime_zone = \"" + zone + "\"\n[article]\nname = \"winch controller WK-3\"\n" + b.width + "\n" +
		"[requirement]\nfile = \"requirement.toml\"\n" + b.requires + "\n" + b.job + "\n")
	if !strings.Contains(b.job, "FP-03") {
		job.WriteString("[[equipment]]\nasset = \"FP-03\"\nrole = \"field probe\"\ncalibrated = 2026-03-02\ndue = 2027-03-02\n")
	}
	for _, run := range b.runs {
		dwell := run.dwell
		if dwell == "" {
			dwell = strings.ToLower(run.id) + ".csv"
			var text strings.Builder
			text.WriteString("Frequency (MHz),Start,End" + run.columns + "\n")
			for _, v := range run.visits {
				fmt.Fprintf(&text, "%s,%s,%s%s\n", v.frequency, benchTime(v.start), benchTime(v.end), v.more)
			}
			put(dwell, text.String())
		}
		fmt.Fprintf(&job, "[[run]]\nid = %q\npolarization = %q\n%s\ndwell = { file = %q }\n", run.id, run.polarization, run.head, dwell)
		for k, log := range run.logs {
			name := fmt.Sprintf("%s-probe%d.csv", strings.ToLower(run.id), k+1)
			var rows []string
			for i := range 900 {
				at := log.from + float64(i)/10
				if cells := log.reads(at); cells != "" {
					rows = append(rows, benchTime(at+log.ahead)+","+cells+"\n")
				}
			}
			if log.newest {
				for i, j := 0, len(rows)-1; i < j; i, j = i+1, j-1 {
					rows[i], rows[j] = rows[j], rows[i]
				}
			}
			put(name, log.columns+"\n"+strings.Join(rows, ""))
			probe := run.probe
			if log.probe != "" {
				probe = log.probe
			}
			fmt.Fprintf(&job, "[[run.probe]]\nfile = %q\n%s\n", name, probe)
		}
	}
	for name, text := range b.files {
		put(name, text)
	}
	put("requirement.toml", b.requirement)
	put("job.toml", job.String())
	return dir
}

// vertical adds the other polarization to the requirement.
func (b *bench) vertical() {
	b.requirement = strings.Replace(b.requirement, `["horizontal"]`, `["horizontal", "vertical"]`, 1)
}

// deviation accepts checks.
func deviationFor(checks, more string) string {
	return fmt.Sprintf("[[deviation]]\ncovers = [%s]\nreason = \"agreed\"\nagreed_by = \"I. Orrevik\"\n%s\n", checks, more)
}

// misleading is a day built to be taken for more than it shows.
type misleading struct {
	name   string
	why    string // it must get this verdict
	change func(b *bench)
	state  report.DayState // "" for an input that is refused
	check  string          // an open or accepted finding that there has to be; of an input that is refused: words of the error
	says   string          // words of the answer or the behaviour
}

func TestMisleadingDays(t *testing.T) {
	for _, day := range slices.Concat(misleadingDays(), changedProbeDays(), otherRowDays(), stepDays()) {
		t.Run(day.name, func(t *testing.T) {
			t.Parallel()
			b := smallBench()
			day.change(b)
			r, err := buildBench(t, b)
			if day.state == "" {
				require.Error(t, err, day.why)
				assert.Contains(t, err.Error(), day.check, day.why)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, day.state, r.State, day.why+list(r.Findings))
			if day.check != "" {
				found := false
				for _, f := range r.Findings {
					found = found || f.Check == day.check && f.State != report.Note
				}
				assert.True(t, found, "%s: %s%s", day.check, day.why, list(r.Findings))
			}
			assert.Contains(t, r.Answer+" "+r.Behaviour, day.says, day.why)
		})
	}
}

func buildBench(t *testing.T, b *bench) (*report.Report, error) {
	t.Helper()
	folder, err := ingest.Open(b.write(t))
	if err != nil {
		return nil, err
	}
	defer folder.Close()
	return report.Build(folder, report.Program{Name: "fieldheld", Version: "test"})
}

func misleadingDays() []misleading {
	const not, yes, with = report.NotDemonstrated, report.Demonstrated, report.DemonstratedWithDeviations
	field := func(b *bench, own map[int]float64) {
		b.runs[0].logs[0].reads = holding(b.runs[0].visits, 11, own)
	}
	spoil := func(b *bench, cell string) {
		reads := holding(b.runs[0].visits, 11, nil)
		b.runs[0].logs[0].reads = func(t float64) string {
			if t > 31.5 && t < 32.5 { // the middle of the third step
				return cell
			}
			return reads(t)
		}
	}
	pulse := func(b *bench) {
		b.requirement = strings.Replace(b.requirement, `"CW"`, `"pulse 1 kHz 50 %"`, 1)
		b.runs[0].probe += "\ndetector = \"rms\""
	}
	return []misleading{
		{"nothing wrong", "the day that all others are made from shows what is asked for", func(*bench) {}, yes, "", ""},

		// A moment counts once.
		{"row that ends one row late", "the failing step would borrow its neighbour's field", func(b *bench) {
			field(b, map[int]float64{1: 5})
			b.runs[0].visits[1].end = b.runs[0].visits[2].end
		}, not, "overlap", ""},
		{"one row under two polarizations", "the same times would prove both", func(b *bench) {
			b.vertical()
			again := b.runs[0]
			again.id, again.polarization = "V1", "vertical"
			b.runs = append(b.runs, again)
		}, not, "overlap", ""},
		{"rows in descending order that overlap", "the order of the file does not matter", func(b *bench) {
			v := b.runs[0].visits
			field(b, map[int]float64{1: 5})
			v[1].end = v[2].end
			b.runs[0].visits = []benchVisit{v[4], v[3], v[2], v[1], v[0]}
		}, not, "overlap", ""},
		{"one visit under two frequencies", "one field would prove two steps", func(b *bench) {
			b.runs[0].visits[3].start, b.runs[0].visits[3].end = b.runs[0].visits[2].start, b.runs[0].visits[2].end
		}, not, "overlap", ""},

		// Every check is judged.
		{"deviation for dwell over a level of 2 V/m", "who agrees to a shorter dwell does not agree to less field", func(b *bench) {
			v := &b.runs[0].visits[2]
			v.end = v.start + 2
			field(b, map[int]float64{2: 2})
			b.job = deviationFor(`"dwell"`, "from = \"30.5 MHz\"\nto = \"30.7 MHz\"")
		}, not, "level", ""},
		{"deviation for dwell over the required level", "that is what was agreed", func(b *bench) {
			v := &b.runs[0].visits[2]
			v.end = v.start + 2
			b.job = deviationFor(`"dwell"`, "from = \"30.5 MHz\"\nto = \"30.7 MHz\"")
		}, with, "dwell", ""},
		{"deviation with a floor over a level below it", "agreed for at least 8 V/m, held at 2 V/m", func(b *bench) {
			field(b, map[int]float64{2: 2})
			b.job = deviationFor(`"level"`, "from = \"30.5 MHz\"\nto = \"30.7 MHz\"\nlevel_min = \"8 V/m\"")
		}, not, "level", ""},
		{"deviation with a floor over a level above it", "agreed for at least 8 V/m, held at 9 V/m", func(b *bench) {
			field(b, map[int]float64{2: 9})
			b.job = deviationFor(`"level"`, "from = \"30.5 MHz\"\nto = \"30.7 MHz\"\nlevel_min = \"8 V/m\"")
		}, with, "level", ""},
		{"hole below the first step of a record", "the deviation is for the hole, wherever the first row is written", func(b *bench) {
			b.runs[0].visits[0].frequency = "29.9999"
			b.runs[0].visits = append(b.runs[0].visits[:1], b.runs[0].visits[2:]...)
			b.job = deviationFor(`"step-size"`, "")
		}, with, "step-size", ""},

		// Readings that cannot be trusted keep their time.
		{"too few readings", "two readings do not show that a field held for three seconds", func(b *bench) {
			reads := holding(b.runs[0].visits, 11, nil)
			b.runs[0].logs[0].reads = func(t float64) string {
				if math.Mod(math.Round(t*10), 20) != 0 {
					return ""
				}
				return reads(t)
			}
		}, not, "dwell", ""},
		{"drop-outs written as <1", "what cannot be read is not a field that held", func(b *bench) { spoil(b, "<1") }, not, "probe-fault", ""},
		{"drop-outs written as negative readings", "a field is not negative", func(b *bench) { spoil(b, "-1.0") }, not, "probe-fault", ""},
		{"overloads in the place of readings", "the probe says that it cannot read", func(b *bench) { spoil(b, "OVL") }, not, "probe-fault", ""},
		{"overloads below a heading of the maker's own", "a status by any of its names", func(b *bench) {
			reads := holding(b.runs[0].visits, 11, nil)
			b.runs[0].logs[0] = benchLog{columns: "Time,E-field (V/m),OVL X,OVL Y,OVL Z", reads: func(t float64) string {
				if t > 31 && t < 33 {
					return reads(t) + ",0,1,0"
				}
				return reads(t) + ",0,0,0"
			}}
		}, not, "probe-fault", ""},
		{"overloads in a column that nobody knows", "they are asked for and not passed over", func(b *bench) {
			reads := holding(b.runs[0].visits, 11, nil)
			b.runs[0].logs[0] = benchLog{columns: "Time,E-field (V/m),Hint", reads: func(t float64) string {
				if t > 31 && t < 33 {
					return reads(t) + ",OVERLOAD"
				}
				return reads(t) + ","
			}}
		}, "", "holds a mark of overload", ""},
		{"newest reading first", "the log is read backwards, and shows the same", func(b *bench) { b.runs[0].logs[0].newest = true }, yes, "", ""},
		{"newest reading first, one step low", "and shows the same failure", func(b *bench) {
			field(b, map[int]float64{1: 5})
			b.runs[0].logs[0].newest = true
		}, not, "level", ""},
		{"one record under two spellings", "the rows would prove both polarizations", func(b *bench) {
			b.vertical()
			again := b.runs[0]
			again.id, again.polarization, again.dwell = "V1", "vertical", "./h1.csv"
			b.runs = append(b.runs, again)
		}, "", "claimed by the runs", ""},
		{"probe without an asset", "no calibration stands behind its readings", func(b *bench) { b.runs[0].probe = "" }, not, "equipment", ""},
		{"probe whose calibration never ends", "a calibration without an end is none", func(b *bench) {
			b.job = "[[equipment]]\nasset = \"FP-03\"\nrole = \"field probe\"\ncalibrated = 2026-03-02"
		}, not, "calibration", ""},

		// Several probes are one record.
		{"two probes, each for one half", "at no moment did both see the field", func(b *bench) {
			visits := b.runs[0].visits
			half := func(second bool) func(t float64) string {
				return func(t float64) string {
					for _, v := range visits {
						if t >= v.start-0.5 && t < v.end+0.5 {
							if (t >= v.start+2) == second {
								return "11.010"
							}
							return "" // the link is down
						}
					}
					return "0.200"
				}
			}
			for i := range visits {
				visits[i].end = visits[i].start + 8
			}
			b.requirement = strings.Replace(b.requirement, "3 s", "4 s", 1)
			b.runs[0].logs = []benchLog{{columns: "Time,E-field (V/m)", reads: half(false)}, {columns: "Time,E-field (V/m)", reads: half(true)}}
		}, not, "dwell", ""},
		{"two probes, one of them low for a moment each", "the lower of both counts at every moment", func(b *bench) {
			visits := b.runs[0].visits
			dip := func(at float64) func(t float64) string {
				reads := holding(visits, 11, nil)
				return func(t float64) string {
					for _, v := range visits {
						if math.Abs(t-v.start-at) < 0.05 {
							return "5.000"
						}
					}
					return reads(t)
				}
			}
			b.runs[0].logs = []benchLog{{columns: "Time,E-field (V/m)", reads: dip(0.9)}, {columns: "Time,E-field (V/m)", reads: dip(3.1)}}
		}, not, "level", ""},

		// Frequencies.
		{"steps of 1 MHz written in whole MHz", "0.5 % is 0.15 MHz: the record cannot show it", func(b *bench) {
			b.requirement = strings.ReplaceAll(strings.Replace(b.requirement, `"1 %"`, `"0.5 %"`, 1), "31 MHz", "34 MHz")
			b.runs[0].visits = benchVisits(10, "30", "31", "32", "33", "34")
		}, not, "coarse", ""},
		{"a failing step under the whole MHz of its neighbour", "two rows of one written frequency are no repeats there", func(b *bench) {
			b.requirement = strings.Replace(b.requirement, `"1 %"`, `"3.4 %"`, 1)
			b.runs[0].visits = benchVisits(10, "30", "30", "31")
			field(b, map[int]float64{0: 5})
		}, not, "level", ""},
		{"log of another frequency", "the readings are of another step", func(b *bench) {
			reads := holding(b.runs[0].visits, 11, nil)
			b.runs[0].logs[0] = benchLog{columns: "Time,E-field (V/m),Frequency (MHz)", reads: func(t float64) string {
				if t > 29 && t < 35 {
					return reads(t) + ",30.300"
				}
				return reads(t) + ","
			}}
		}, not, "frequency-agreement", ""},

		// Modulation.
		{"level set before the modulation came on", "the first half was not the required field", func(b *bench) {
			pulse(b)
			visits := b.runs[0].visits
			b.runs[0].logs[0].reads = func(t float64) string {
				for _, v := range visits {
					if t >= v.start && t < v.end {
						if t < v.start+2 {
							return "11.020"
						}
						return "7.790" // the same field on an rms detector, modulated
					}
				}
				return "0.200"
			}
		}, not, "levelling", ""},
		{"peak of an AM held against a limit of the carrier", "the carrier was 6 V/m; only its peaks reach 10 V/m", func(b *bench) {
			b.requirement = strings.Replace(b.requirement, `"CW"`, `"AM 1 kHz 80 %"`, 1)
			b.runs[0].probe += "\ndetector = \"peak\""
		}, not, "level", ""},
		{"peak of an AM held against a limit of the peak", "the limit speaks of the peak", func(b *bench) {
			b.requirement = strings.Replace(b.requirement, `"CW"`, "\"AM 1 kHz 80 %\"\nmodulated_level = \"peak\"", 1)
			b.runs[0].probe += "\ndetector = \"peak\""
		}, yes, "", ""},
		{"measured factor of another detector", "a factor of 4 lifts 3 V/m to 11 V/m", func(b *bench) {
			pulse(b)
			b.runs[0].probe += "\nmodulation_factor = 4.0"
		}, "", "differ by more than 2 dB", ""},
		{"harmonic stronger than the reading", "there is no field of the fundamental", func(b *bench) {
			b.runs[0].probe += "\ndetector = \"rms\"\n[[run.harmonic]]\nfrequency = \"30.3 MHz\"\norder = 2\nlevel = \"12 V/m\""
		}, not, "harmonic", ""},

		// What the job sheet changes, and what it leaves open.
		{"lower tolerance of -30 dB", "that is not the requirement any more", func(b *bench) {
			field(b, map[int]float64{1: 2})
			b.requires = "tolerance = { low = \"-30 dB\" }"
		}, yes, "", "as changed by the job sheet"},
		{"one polarization of two", "nor is that", func(b *bench) {
			b.vertical()
			b.requires = "polarizations = [\"horizontal\"]"
		}, yes, "", "as changed by the job sheet"},
		{"width of the article not stated", "how many antenna positions there have to be is not known", func(b *bench) {
			b.requirement += "[positions]\nspacing = \"3 m\"\nup_to = \"200 MHz\"\n"
			b.width = "# not stated"
		}, not, "position", ""},
		{"requirement above its rule of positions", "above it the beam of the antenna decides", func(b *bench) {
			b.requirement += "[positions]\nspacing = \"3 m\"\nup_to = \"30.5 MHz\"\n"
		}, not, "position", ""},
		{"guarded rule with a budget of nothing", "U = 0 guards nothing", func(b *bench) {
			b.requires = "decision = { rule = \"guarded\", guard = 1.0 }"
			b.job = "[uncertainty]\ncoverage_factor = 2.0"
		}, "", "uncertainty", ""},
		{"level deviation without a range", "it would accept every step", func(b *bench) {
			field(b, map[int]float64{1: 2})
			b.job = deviationFor(`"level"`, "")
		}, "", "deviation[1].from", ""},

		// The article.
		{"threshold between two steps", "40 % of the limit was enough to disturb it", func(b *bench) {
			b.job = "[[event]]\nrun = \"H1\"\nfrequency = \"30.45 MHz\"\nobserved = \"drum slowed\"\nthreshold = \"4 V/m\""
		}, yes, "", "did not withstand"},
		{"threshold without a frequency", "it cannot be compared with a limit, and is not withstood for that", func(b *bench) {
			b.job = "[[event]]\nrun = \"H1\"\nobserved = \"drum slowed\"\nthreshold = \"12 V/m\""
		}, yes, "", "cannot be compared with the limit"},
		{"observation that nobody takes up", "page 1 must not say that nothing was seen", func(b *bench) {
			b.runs[0].columns = ",Observation"
			for i := range b.runs[0].visits {
				b.runs[0].visits[i].more = ",OK"
			}
			b.runs[0].visits[2].more = ",DRUM STOPPED - ALARM E14"
		}, yes, "observation", "bservation"},
	}
}
