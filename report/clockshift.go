package report

import (
	"slices"
	"time"
)

// ClockShift is what was added to the times of a file so that its clock agrees with
// the others, and the runs for which it was.
type ClockShift struct {
	File  string
	Added time.Duration
	Runs  []string // ids
}

// ClockShifts returns the clocks that were shifted, in the order in which the runs name
// their files. A file that runs shift differently stands there more than once; one
// that no run shifts does not.
func (r *Report) ClockShifts() []ClockShift {
	var shifts []ClockShift
	for i := range r.Runs {
		run := r.Runs[i].Sheet
		for _, file := range run.Files() {
			added := file.Entry.ClockOffset
			if !file.Role.Timed() || added == 0 {
				continue
			}
			k := slices.IndexFunc(shifts, func(s ClockShift) bool { return s.File == file.Entry.File && s.Added == added })
			if k < 0 {
				shifts = append(shifts, ClockShift{File: file.Entry.File, Added: added})
				k = len(shifts) - 1
			}
			if !slices.Contains(shifts[k].Runs, run.ID) {
				shifts[k].Runs = append(shifts[k].Runs, run.ID)
			}
		}
	}
	return shifts
}
