package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/table"
)

// noon is when the watching of the tests begins, by the machine's clock. No file of
// theirs says anything of it.
var noon = time.Date(2026, 11, 18, 12, 0, 0, 0, time.UTC)

// second is so many seconds after noon.
func second(n int) time.Time { return noon.Add(time.Duration(n) * time.Second) }

// followedDay is a day of two runs with two probes each, whose files a test writes.
type followedDay struct {
	*testing.T
	*growth
	runs []jobsheet.Run
}

func follow(t *testing.T) *followedDay {
	d := &followedDay{T: t, growth: newGrowth(t.TempDir())}
	for _, id := range []string{"H1", "V1"} {
		run := jobsheet.Run{ID: id, Dwell: table.Entry{File: id + "-dwell.csv"}}
		for _, asset := range []string{"FP-03", "FP-04"} {
			run.Probes = append(run.Probes, jobsheet.Probe{Asset: asset, Log: table.Entry{File: id + "-" + asset + ".csv"}})
		}
		d.runs = append(d.runs, run)
	}
	return d
}

// append lets files grow by a row.
func (d *followedDay) append(names ...string) {
	d.Helper()
	for _, name := range names {
		file, err := os.OpenFile(filepath.Join(d.dir, name), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
		require.NoError(d, err)
		_, err = file.WriteString("a row\n")
		require.NoError(d, err)
		require.NoError(d, file.Close())
	}
}

// at looks at the files and returns the run that goes on, "" for none, and the
// probes that are silent.
func (d *followedDay) at(n int) (going string, silent []string) {
	d.look(d.runs, second(n))
	run := d.going(d.runs, func(string) time.Time { return time.Time{} })
	if run == nil {
		return "", nil
	}
	for _, s := range d.silences(run, second(n)) {
		silent = append(silent, s.probe+" since "+clockTime(s.since))
	}
	return run.ID, silent
}

func TestALogThatStandsStillIsSilent(t *testing.T) {
	d := follow(t)
	d.append("H1-dwell.csv", "H1-FP-03.csv", "H1-FP-04.csv")
	going, silent := d.at(0)
	assert.Empty(t, going, "what is there already was not seen to grow")
	assert.Empty(t, silent)
	for n := 1; n <= 20; n++ {
		d.append("H1-FP-03.csv")
		if n <= 5 {
			d.append("H1-FP-04.csv")
		}
		going, silent = d.at(n)
		assert.Equal(t, "H1", going)
		if n < 5+8 {
			assert.Empty(t, silent, n)
		} else {
			assert.Equal(t, []string{"FP-04 since 12:00:05"}, silent, "within ten seconds, and for as long as it lasts")
		}
	}
	d.append("H1-FP-04.csv")
	_, silent = d.at(21)
	assert.Empty(t, silent, "it writes again")
}

func TestSilenceOfALogThatNeverGrew(t *testing.T) {
	d := follow(t)
	d.append("H1-FP-04.csv")
	for n := range 12 {
		d.append("H1-FP-03.csv")
		_, silent := d.at(n)
		assert.Equal(t, n >= 9, len(silent) == 1, "%d: %v", n, silent)
	}
	d.look(d.runs, second(12))
	list := d.silences(&d.runs[0], second(12))
	require.Len(t, list, 1)
	assert.True(t, list[0].since.IsZero(), "no time is claimed that was not seen")
	assert.True(t, list[0].there)

	require.NoError(t, os.Remove(filepath.Join(d.dir, "H1-FP-04.csv")))
	d.look(d.runs, second(13))
	list = d.silences(&d.runs[0], second(13))
	require.Len(t, list, 1)
	assert.False(t, list[0].there)
}

func TestTheNextRunTakesOver(t *testing.T) {
	d := follow(t)
	d.at(0)
	d.append("H1-FP-03.csv", "H1-FP-04.csv", "H1-dwell.csv")
	going, _ := d.at(1)
	assert.Equal(t, "H1", going)
	d.append("V1-FP-03.csv", "V1-FP-04.csv")
	going, silent := d.at(30)
	assert.Equal(t, "V1", going)
	assert.Empty(t, silent, "the logs of a run that is over may stand still")
	d.append("H1-dwell.csv")
	going, _ = d.at(31)
	assert.Equal(t, "V1", going, "a dwell record that is mended afterwards begins no run again")
	d.append("H1-dwell.csv")
	going, silent = d.at(60)
	assert.Equal(t, "H1", going, "but one that goes on while no log does")
	assert.Equal(t, []string{"FP-03 since 12:00:01", "FP-04 since 12:00:01"}, silent)
}

// TestALogInBlocksIsGivenItsTime: a logger that writes every twenty seconds is not
// silent in between, and one long silence does not make the next one unseen.
func TestALogInBlocksIsGivenItsTime(t *testing.T) {
	d := follow(t)
	d.runs = d.runs[:1]
	d.runs[0].Probes = d.runs[0].Probes[:1]
	d.at(0)
	now := 0
	for range 6 {
		now += 20
		d.append("H1-FP-03.csv")
		d.at(now)
	}
	_, silent := d.at(now + 39)
	assert.Empty(t, silent)
	_, silent = d.at(now + 40)
	assert.Len(t, silent, 1)
	d.append("H1-FP-03.csv")
	d.at(now + 600)
	_, silent = d.at(now + 640)
	assert.Len(t, silent, 1, "the long silence has not become the rhythm")
}

// TestAWorkbookGrowsWhenItIsWritten: its size says nothing of its rows.
func TestAWorkbookGrowsWhenItIsWritten(t *testing.T) {
	d := follow(t)
	d.runs[0].Probes[0].Log.File = "log.xlsx"
	path := filepath.Join(d.dir, "log.xlsx")
	require.NoError(t, os.WriteFile(path, []byte("rows"), 0o644))
	require.NoError(t, os.Chtimes(path, noon, noon))
	d.at(0)
	going, _ := d.at(1)
	assert.Empty(t, going)
	require.NoError(t, os.Chtimes(path, second(2), second(2)))
	going, _ = d.at(2)
	assert.Equal(t, "H1", going)
}

// TestAShorterLogHasNoNewRow: only what becomes longer has.
func TestAShorterLogHasNoNewRow(t *testing.T) {
	d := follow(t)
	d.append("H1-FP-03.csv", "H1-FP-03.csv", "H1-FP-03.csv")
	d.at(0)
	require.NoError(t, os.Truncate(filepath.Join(d.dir, "H1-FP-03.csv"), 6))
	going, _ := d.at(1)
	assert.Empty(t, going)
	d.append("H1-FP-03.csv")
	going, _ = d.at(2)
	assert.Equal(t, "H1", going, "a logger that began anew goes on")
}

// TestOnlyProbesInUseAreSilent: a probe that was changed is expected to write while
// the job sheet names it, and at no other time.
func TestOnlyProbesInUseAreSilent(t *testing.T) {
	d := follow(t)
	d.runs = d.runs[:1]
	d.runs[0].Probes[0].To, d.runs[0].Probes[1].From = second(20), second(30)
	d.at(0)
	for n := 1; n <= 60; n++ {
		d.append("H1-dwell.csv")
		if n < 5 {
			d.append("H1-FP-03.csv")
		}
		_, silent := d.at(n)
		switch {
		case n >= 4+8 && n < 20:
			assert.Equal(t, []string{"FP-03 since 12:00:04"}, silent, n)
		case n < 30+8:
			assert.Empty(t, silent, "%d: the one is silent no longer, the other is not there yet", n)
		case n == 30+8:
			d.append("H1-FP-04.csv")
		case n < 30+8+1+8:
			assert.Empty(t, silent, n)
		default:
			assert.Equal(t, []string{"FP-04 since 12:00:39"}, silent, n)
		}
	}
}
