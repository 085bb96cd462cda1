package report_test

import (
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/charmap"

	"fieldheld/report/seal/evidence"
)

var update = flag.Bool("update", false, "write the records of testdata/trial anew")

const trialDir = "../testdata/trial"

// TestTrialRecords writes the records of the trial's days and demands that those in
// the repository are the same, so that what they hold stays told by this file.
func TestTrialRecords(t *testing.T) {
	for name, write := range map[string]func(*testing.T, string){
		"two-probes": writeTwoProbes, "civil": writeCivil, "campaign": writeCampaign} {
		t.Run(name, func(t *testing.T) {
			if *update {
				write(t, filepath.Join(trialDir, name))
				if name == "campaign" {
					writeRevision(t)
				}
				return
			}
			dir := t.TempDir()
			write(t, dir)
			require.NoError(t, filepath.WalkDir(dir, func(path string, entry os.DirEntry, err error) error {
				if err != nil || entry.IsDir() {
					return err
				}
				file, _ := filepath.Rel(dir, path)
				want, err := os.ReadFile(path)
				require.NoError(t, err)
				got, err := os.ReadFile(filepath.Join(trialDir, name, file))
				require.NoError(t, err)
				assert.True(t, bytes.Equal(want, got), "%s is not what the bench writes (go test ./report -run TrialRecords -update)", file)
				return nil
			}))
		})
	}
}

const replacedReport = trialDir + "/campaign/NT-0445-r0.pdf"

// writeRevision writes the report that the campaign's revision 1 replaces: of the same
// records, with the job sheet as it was then.
func writeRevision(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join(trialDir, "campaign"))))
	require.NoError(t, os.Remove(filepath.Join(dir, filepath.Base(replacedReport))))
	sheet, err := os.ReadFile(trialDir + "/campaign-revision-0.toml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.toml"), sheet, 0o644))
	document, _ := trialReport(t, dir)
	require.NoError(t, os.WriteFile(replacedReport, document, 0o644))
}

// TestTrialRevision compares what the replaced report carries with the records of the
// campaign and the job sheet as it was then.
func TestTrialRevision(t *testing.T) {
	document, err := os.ReadFile(replacedReport)
	require.NoError(t, err)
	bundle, err := evidence.Extract(document, evidence.DefaultLimit)
	require.NoError(t, err)
	require.Len(t, bundle.Data, 17)
	for file, data := range bundle.Data {
		path := filepath.Join(trialDir, "campaign", file)
		if file == "job.toml" {
			path = trialDir + "/campaign-revision-0.toml"
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(want, data), "%s is another one in the replaced report (go test ./report -run TrialRecords -update)", file)
	}
}

func trialZone(t *testing.T, name string) *time.Location {
	zone, err := time.LoadLocation(name)
	require.NoError(t, err)
	return zone
}

// noiseOf is the noise of a logger.
func noiseOf(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 31)) }

// The probes' corrections, as their certificates say.
var (
	trialFP03 = trialTable{{20e6, 0.42}, {30e6, 0.31}, {45e6, -0.12}, {60e6, 0.24}, {80e6, 0.51}}
	trialFP04 = trialTable{{20e6, -0.20}, {35e6, 0.15}, {50e6, 0.38}, {70e6, 0.10}}
	trialFP05 = trialTable{{25e6, 0.05}, {40e6, -0.33}, {55e6, 0.29}, {75e6, 0.44}}
	trialFP21 = trialTable{{80e6, 0.6}, {150e6, -0.3}, {300e6, 0.2}, {600e6, 0.9}, {1000e6, 1.4}}
	trialFP31 = trialTable{{1e9, 0.35}, {2e9, -0.4}, {4e9, 0.15}, {8e9, 0.7}, {12e9, 1.2}, {18e9, 2.1}}
)

// written writes a correction table.
func (t trialTable) written(head, format string) string {
	text := head
	for _, row := range t {
		text += fmt.Sprintf(format, row[0]/1e6, row[1])
	}
	return text
}

const (
	milliseconds  = "2006-01-02 15:04:05.000"
	trialCoupling = 50 // dB, of the coupler before the power meters
)

// writeTwoProbes: 200 V/m from 30 to 60 MHz at a setup of 4 m, two probes side by
// side. The amplifier trips in H1, H1b goes on; a step of H2 fails and is repeated; in
// V1 the logger of the right probe is swapped for another one.
func writeTwoProbes(t *testing.T, dir string) {
	zone := trialZone(t, "Europe/Oslo")
	b := newTrialBench(dir, time.Date(2026, 11, 18, 9, 4, 0, 0, zone), 461)
	sweep := func() []*trialStep {
		list := b.trialSteps(30e6, 60e6, 0.005, 1e3, 200, 3100*time.Millisecond)
		for _, s := range list {
			s.offsets = [2]float64{0.3 * b.rng.Float64(), -0.3 * b.rng.Float64()}
		}
		return list
	}
	log := func(run, asset string, place int, correction trialTable, seed uint64) trialLogger {
		return trialLogger{file: "probe/" + run + "-" + asset + ".csv", place: place, correction: correction, modulation: 1.4142135623730951,
			interval: 500 * time.Millisecond, phase: time.Duration(place) * 170 * time.Millisecond, noise: noiseOf(seed), idle: 0.4,
			head: "Probe log " + strings.ToUpper(asset) + "\nTime,Field (V/m),Status\n",
			row: func(r trialRow) string {
				return fmt.Sprintf("%s,%.2f,OK\n", r.at.In(zone).Format(milliseconds), r.reading)
			}}
	}
	run := func(name string, steps []*trialStep, loggers ...trialLogger) {
		b.play(steps)
		b.write(t, "dwell/"+name+".csv", lines("Frequency (MHz),Start,End,Purpose,Remark\n", steps, func(s *trialStep) string {
			return fmt.Sprintf("%.3f,%s,%s,%s,%s\n", s.frequency/1e6, s.start.In(zone).Format(milliseconds), s.end.In(zone).Format(milliseconds), s.purpose, s.remark)
		}), nil)
		b.write(t, "power/"+name+".csv", lines("Time,Forward (dBm),Reflected (dBm)\n", steps, func(s *trialStep) string {
			forward, reflected := trialPower(s, 5.6)
			text := ""
			for k := range 2 {
				at := s.start.Add(time.Duration(700+1500*k) * time.Millisecond)
				text += fmt.Sprintf("%s,%.2f,%.2f\n", at.In(zone).Format(milliseconds), dbm(forward)-0.01*float64(k), dbm(reflected))
			}
			return text
		}), nil)
		for _, l := range loggers {
			b.record(t, l, steps)
		}
		b.now = b.now.Add(6 * time.Minute)
	}
	b.write(t, "corrections/fp03.csv", trialFP03.written("Frequency (MHz),Correction (dB)\n", "%.0f,%.2f\n"), nil)
	b.write(t, "corrections/fp04.csv", trialFP04.written("Frequency (MHz),Correction (dB)\n", "%.0f,%.2f\n"), nil)
	b.write(t, "corrections/fp05.csv", trialFP05.written("Frequency (MHz),Correction (dB)\n", "%.0f,%.2f\n"), nil)
	b.write(t, "corrections/dc02.csv", trialTable{{20e6, trialCoupling}, {80e6, trialCoupling}}.written("Frequency (MHz),Coupling (dB)\n", "%.0f,%.1f\n"), nil)

	first := sweep()
	trips := 81
	trial := []*trialStep{{frequency: 30e6, level: 60, hold: 2 * time.Second, purpose: "trial"}, {frequency: 30e6, level: 140, hold: 2 * time.Second, purpose: "trial"}}
	aborted := *first[trips]
	aborted.hold, aborted.purpose, aborted.remark = 1200*time.Millisecond, "aborted", "amplifier tripped"
	run("h1", append(append(trial, first[:trips]...), &aborted), log("h1", "fp03", 0, trialFP03, 1), log("h1", "fp04", 1, trialFP04, 2))
	b.now = b.now.Add(14 * time.Minute)
	run("h1b", first[trips:], log("h1b", "fp03", 0, trialFP03, 3), log("h1b", "fp04", 1, trialFP04, 4))

	second := sweep()
	failed := second[109]
	again := *failed
	failed.level = 200 * 0.93
	again.level, again.pause = 209, 40*time.Second
	run("h2", append(second, &again), log("h2", "fp03", 0, trialFP03, 5), log("h2", "fp04", 1, trialFP04, 6))

	swapped := sweep()
	swapped[70].pause = 11 * time.Minute
	left, right, other := log("v1", "fp03", 0, trialFP03, 7), log("v1", "fp04", 1, trialFP04, 8), log("v1", "fp05", 1, trialFP05, 9)
	ends := time.Date(2026, 11, 18, 10, 2, 0, 0, zone)
	right.to, other.from = ends, ends.Add(6*time.Minute)
	run("v1", swapped, left, right, other)
	t.Logf("swap between %s and %s", swapped[69].end.In(zone).Format(milliseconds), swapped[70].start.In(zone).Format(milliseconds))
	run("v2", sweep(), log("v2", "fp03", 0, trialFP03, 10), log("v2", "fp05", 1, trialFP05, 11))
}

// german writes a number with a decimal comma.
func german(format string, x float64) string {
	return strings.ReplaceAll(fmt.Sprintf(format, x), ".", ",")
}

// windows1252 is how the loggers of the civil day write letters.
func windows1252(text string) []byte {
	data, err := charmap.Windows1252.NewEncoder().Bytes([]byte(text))
	if err != nil {
		panic(err)
	}
	return data
}

// writeCivil: 10 V/m from 80 MHz to 1 GHz with 80 % AM in a German laboratory. The
// clock of the probe's logger still shows summer time; a change of its range spoils a
// step that is repeated; one step of V lies above the limit, but within the guard band.
func writeCivil(t *testing.T, dir string) {
	zone := trialZone(t, "Europe/Berlin")
	b := newTrialBench(dir, time.Date(2026, 10, 26, 9, 12, 0, 0, zone), 4300)
	const dates = "02.01.2006;15:04:05,000"
	stamp := func(at time.Time) string { return at.In(zone).Format("02.01.2006 15:04:05,000") }
	sweep := func() []*trialStep {
		list := b.trialSteps(80e6, 1000e6, 0.01, 1e3, 10, 1300*time.Millisecond)
		for _, s := range list {
			s.level *= 1.24 // the guard band
			s.remark = "ohne Befund"
		}
		return list
	}
	run := func(name string, steps []*trialStep, seed uint64) {
		b.play(steps)
		b.write(t, "verweil/"+name+".csv", lines("Frequenz (MHz);Beginn;Ende;Bemerkung\n", steps, func(s *trialStep) string {
			return fmt.Sprintf("%s;%s;%s;%s\n", german("%.3f", s.frequency/1e6), stamp(s.start), stamp(s.end), s.remark)
		}), windows1252)
		b.write(t, "leistung/"+name+".csv", lines("Datum/Zeit;Vorlaufleistung (W);Rücklaufleistung (W)\n", steps, func(s *trialStep) string {
			forward, reflected := trialPower(s, 1.9)
			return fmt.Sprintf("%s;%s;%s\n", stamp(s.start.Add(600*time.Millisecond)), german("%.3f", forward), german("%.4f", reflected))
		}), windows1252)
		b.record(t, trialLogger{file: "sonde/" + name + ".csv", correction: trialFP21, modulation: 0.8703882797784892, clock: time.Hour,
			interval: 250 * time.Millisecond, noise: noiseOf(seed), idle: 0.25, axes: [3]float64{0.5, 0.3, 0.2}, encode: windows1252,
			head: "Messprotokoll Feldsonde FP-21\nPrüfer: K. Weiß\n\nDatum;Uhrzeit;Feldstärke X (V/m);Feldstärke Y (V/m);Feldstärke Z (V/m);Sondenstatus;Messkanal\n",
			row: func(r trialRow) string {
				status := "MESSUNG"
				if r.spoilt {
					status = "BEREICHSWECHSEL"
				}
				return fmt.Sprintf("%s;%s;%s;%s;%s;K1\n", r.at.In(time.FixedZone("", 3600)).Format(dates), german("%.4f", r.axes[0]),
					german("%.4f", r.axes[1]), german("%.4f", r.axes[2]), status)
			}}, steps)
		b.now = b.now.Add(12 * time.Minute)
	}
	b.write(t, "korrekturen/fp21.csv", strings.ReplaceAll(trialFP21.written("Frequenz (MHz);Korrekturfaktor (dB)\n", "%.0f;%.2f\n"), ".", ","), windows1252)
	horizontal := sweep()
	spoilt := horizontal[120]
	again := *spoilt
	spoilt.spoilt = true
	again.pause = 25 * time.Second
	run("h", append(horizontal, &again), 21)
	vertical := sweep()
	vertical[165].level = 11.2
	run("v", vertical, 22)
}

// writeCampaign: 50 V/m from 1 to 18 GHz over two days. On the first the article fails
// at 5.6 GHz and the threshold is searched for; on the second it has new firmware, the
// steps around 5.6 GHz are run again, and the amplifier does not reach the level at 12 GHz.
func writeCampaign(t *testing.T, dir string) {
	zone := trialZone(t, "Europe/Oslo")
	b := newTrialBench(dir, time.Date(2026, 11, 24, 10, 2, 0, 0, zone), 118)
	short := func(s *trialStep) bool { return s.level < 50 && s.frequency > 11.9e9 && s.frequency < 12.6e9 }
	sweep := func() []*trialStep { return b.trialSteps(1e9, 18e9, 0.01, 1e6, 50, 2100*time.Millisecond) }
	run := func(day, name string, steps []*trialStep, seed uint64) {
		b.play(steps)
		b.write(t, day+"/dwell/"+name+".csv", lines("Frequency (GHz),Start,End,Purpose,Observation\n", steps, func(s *trialStep) string {
			return fmt.Sprintf("%.3f,%s,%s,%s,%s\n", s.frequency/1e9, s.start.In(zone).Format(milliseconds), s.end.In(zone).Format(milliseconds), s.purpose, s.remark)
		}), nil)
		b.write(t, day+"/power/"+name+".csv", lines("Time,Forward (W),Reflected (W)\n", steps, func(s *trialStep) string {
			perRootWatt := 4.6
			if short(s) {
				perRootWatt = 3.2 // so that the amplifier gives no more
			}
			forward, reflected := trialPower(s, perRootWatt)
			return fmt.Sprintf("%s,%.2f,%.3f\n", s.start.Add(time.Second).In(zone).Format(milliseconds), forward, reflected)
		}), nil)
		b.record(t, trialLogger{file: day + "/probe/" + name + ".csv", correction: trialFP31, modulation: 1.43, interval: 400 * time.Millisecond,
			noise: noiseOf(seed), idle: 0.5, head: "Time,E total (V/m)\n",
			row: func(r trialRow) string {
				return fmt.Sprintf("%s,%.3f\n", r.at.In(zone).Format(milliseconds), r.reading)
			}}, steps)
		b.write(t, day+"/corrections/fp31.csv", trialFP31.written("Frequency (MHz),Factor (dB)\n", "%.0f,%.2f\n"), nil)
		b.now = b.now.Add(10 * time.Minute)
	}
	horizontal := sweep()
	at := 0
	for horizontal[at].frequency < 5.6e9 {
		at++
	}
	effect := horizontal[at]
	effect.remark = "drum speed off by 8 %"
	search := []*trialStep{}
	for _, level := range []float64{40, 32, 16, 22, 28, 32, 36} {
		s := *effect
		s.level, s.purpose, s.remark, s.pause = level, "threshold", "", 2*time.Second
		search = append(search, &s)
	}
	search[0].remark, search[len(search)-1].remark = "drum speed off by 6 %", "drum speed off by 6 %"
	run("2026-11-24", "h", append(append(append([]*trialStep{}, horizontal[:at+1]...), search...), horizontal[at+1:]...), 31)

	b.now = time.Date(2026, 11, 25, 9, 31, 0, 0, zone)
	var again []*trialStep
	for _, s := range horizontal[at-4 : at+5] {
		c := *s
		c.remark = ""
		again = append(again, &c)
	}
	run("2026-11-25", "h-again", again, 32)
	vertical := sweep()
	for _, s := range vertical {
		if s.frequency > 11.9e9 && s.frequency < 12.6e9 {
			s.level = 47.4 + 0.5*b.rng.Float64()
		}
	}
	run("2026-11-25", "v", vertical, 33)
}
