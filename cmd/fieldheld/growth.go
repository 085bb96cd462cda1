package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// growth follows the logs and dwell records of a day that is watched, by the
// machine's clock: when each of them was last seen to grow. The times that the
// files write are not used, because the clock of a logger may be off, and a logger
// that stands still writes none.
type growth struct {
	dir   string
	files map[string]*follower // by the path that the job sheet writes
}

// follower is one file that is followed.
type follower struct {
	there     bool
	size      int64
	modified  time.Time
	last      time.Time       // when it was last seen to grow; zero where it was not yet
	distances []time.Duration // from one growth to the next, the newest of them
}

func newGrowth(dir string) *growth {
	return &growth{dir: dir, files: map[string]*follower{}}
}

// look notes what has grown. What is there when a file is first looked at was not
// seen to grow.
func (g *growth) look(runs []jobsheet.Run, at time.Time) {
	seen := map[string]bool{}
	for i := range runs {
		for _, f := range followed(&runs[i]) {
			path := f.Entry.File
			if seen[path] {
				continue
			}
			seen[path] = true
			file := g.files[path]
			first := file == nil
			if first {
				file = &follower{}
				g.files[path] = file
			}
			file.note(filepath.Join(g.dir, filepath.FromSlash(path)), at)
			if first {
				file.last = time.Time{}
			}
		}
	}
}

// followed lists the files of a run that grow while it goes on.
func followed(run *jobsheet.Run) []jobsheet.NamedFile {
	return slices.DeleteFunc(run.Files(), func(f jobsheet.NamedFile) bool {
		return f.Role != jobsheet.DwellFile && f.Role != jobsheet.ProbeFile
	})
}

// mostDistances is how many distances between growths are kept.
const mostDistances = 9

// note looks at the file. A text grows when it becomes longer; of a workbook, which
// is written anew, any change counts.
func (f *follower) note(path string, at time.Time) {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() {
		f.there = false
		return
	}
	grew := !f.there || info.Size() > f.size
	if strings.EqualFold(filepath.Ext(path), ".xlsx") {
		grew = grew || info.Size() != f.size || !info.ModTime().Equal(f.modified)
	}
	f.there, f.size, f.modified = true, info.Size(), info.ModTime()
	if !grew {
		return
	}
	if !f.last.IsZero() {
		f.distances = append(f.distances, at.Sub(f.last))
		f.distances = f.distances[max(0, len(f.distances)-mostDistances):]
	}
	f.last = at
}

// silentAfter is how long a log may stand still. Silence is told within ten
// seconds; the watching looks once a second.
const silentAfter = 8 * time.Second

// fewestDistances is how many growths a log needs before its own rhythm counts.
const fewestDistances = 3

// patience is how long this log may stand still: one that is written in blocks is
// given twice its usual distance. A single long silence does not move the median.
func (f *follower) patience() time.Duration {
	if len(f.distances) < fewestDistances {
		return silentAfter
	}
	var list []int64
	for _, d := range f.distances {
		list = append(list, int64(d))
	}
	return max(silentAfter, 2*time.Duration(quantity.Median(list)))
}

// going returns the run that is going on: the one whose probe logs were last seen
// to grow. A dwell record counts as well, but later, because somebody may mend one
// of a run that is over. Runs that share their logs are told by their dwell records, then
// by the newest visit. Nil where nothing was seen to grow.
func (g *growth) going(runs []jobsheet.Run, newest func(id string) time.Time) *jobsheet.Run {
	var best *jobsheet.Run
	var grew, dwell time.Time
	for i := range runs {
		run := &runs[i]
		at, own := g.lastGrowth(run)
		switch {
		case at.IsZero():
			continue
		case best == nil, at.After(grew),
			at.Equal(grew) && own.After(dwell),
			at.Equal(grew) && own.Equal(dwell) && newest(run.ID).After(newest(best.ID)):
			best, grew, dwell = run, at, own
		}
	}
	return best
}

// lastGrowth is when a run was last seen to go on, and when its dwell record was
// last seen to grow.
func (g *growth) lastGrowth(run *jobsheet.Run) (at, dwell time.Time) {
	for _, f := range followed(run) {
		file := g.files[f.Entry.File]
		if file == nil || file.last.IsZero() {
			continue
		}
		last := file.last
		if f.Role == jobsheet.DwellFile {
			dwell = last
			last = last.Add(-silentAfter)
		}
		if last.After(at) {
			at = last
		}
	}
	return at, dwell
}

// begun reports whether any record of the run is there.
func (g *growth) begun(run *jobsheet.Run) bool {
	return slices.ContainsFunc(followed(run), func(f jobsheet.NamedFile) bool {
		file := g.files[f.Entry.File]
		return file != nil && file.there
	})
}

// silence is a probe whose log stands still while its run goes on.
type silence struct {
	probe, file string
	since       time.Time // by the machine's clock; zero where the log was never seen to grow
	there       bool      // whether there is a log at all
}

// silences lists the probes of the run whose logs stand still while they are in use.
func (g *growth) silences(run *jobsheet.Run, at time.Time) []silence {
	var list []silence
	begun := g.firstSeen(run)
	for i := range run.Probes {
		probe := &run.Probes[i]
		file := g.files[probe.Log.File]
		if file == nil || !inUse(probe, at) {
			continue
		}
		from := file.last
		if from.IsZero() {
			from = begun
		}
		if !from.IsZero() && from.Before(probe.From) {
			from = probe.From // before that nothing was expected of it
		}
		if from.IsZero() || at.Sub(from) < file.patience() {
			continue
		}
		name := probe.Asset
		if name == "" {
			name = "the probe of " + probe.Log.File
		}
		list = append(list, silence{probe: name, file: probe.Log.File, since: file.last, there: file.there})
	}
	return list
}

// inUse reports whether the job sheet names the probe for a time: one that is not
// there yet is not expected, and one that was taken away is not silent.
func inUse(probe *jobsheet.Probe, at time.Time) bool {
	from, to := probe.Valid()
	now := quantity.InstantOf(at)
	return from <= now && now < to
}

// firstSeen is a time at which the run was going on at the latest: that of the first
// growth that is known of any of its files.
func (g *growth) firstSeen(run *jobsheet.Run) time.Time {
	var first time.Time
	for _, f := range followed(run) {
		file := g.files[f.Entry.File]
		if file == nil || file.last.IsZero() {
			continue
		}
		begun := file.last
		for _, d := range file.distances {
			begun = begun.Add(-d)
		}
		if first.IsZero() || begun.Before(first) {
			first = begun
		}
	}
	return first
}
