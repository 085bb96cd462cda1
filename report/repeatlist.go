package report

import (
	"math"
	"slices"

	"fieldheld/ingest/quantity"
)

// RepeatSetup is the part of the repeat list that one setup of the bench serves:
// one antenna in one polarization at one position.
type RepeatSetup struct {
	Antenna      string // "" where the job sheet does not say it, or no run was near
	Polarization quantity.Polarization
	Position     quantity.Position
	Entries      []RepeatEntry // ascending
}

// RepeatEntry is one frequency to run again, with what the bench needs to know.
// Figures that are not known are NaN.
type RepeatEntry struct {
	Repeat
	Limit     quantity.FieldStrength
	Sustained quantity.FieldStrength // that the best visit reached
	Forward   quantity.Power         // that the limit needs, by the best visit
	Run       string                 // of that visit; "" for a frequency that was not visited
}

// RepeatSetups is the repeat list in the order in which a bench works it off with
// the fewest changes: by antenna, in the order of the runs, then by polarization
// and position, then ascending. To change an antenna takes longest, to turn it
// less, to change a frequency nothing. The antenna of a frequency that was not
// visited is that of the nearest one in the same cell.
func (r *Report) RepeatSetups() []RepeatSetup {
	var setups []RepeatSetup
	for _, repeat := range r.Repeat {
		entry, antenna := r.repeatEntry(repeat)
		k := slices.IndexFunc(setups, func(s RepeatSetup) bool {
			return s.Antenna == antenna && s.Polarization == repeat.Polarization && s.Position == repeat.Position
		})
		if k < 0 {
			setups = append(setups, RepeatSetup{Antenna: antenna, Polarization: repeat.Polarization, Position: repeat.Position})
			k = len(setups) - 1
		}
		setups[k].Entries = append(setups[k].Entries, entry)
	}
	// The list is by polarization, position and range already; a stable sort by
	// antenna keeps that.
	slices.SortStableFunc(setups, func(a, b RepeatSetup) int { return r.antennaRank(a.Antenna) - r.antennaRank(b.Antenna) })
	return setups
}

// antennaRank is the place of an antenna in the order of the runs; an unknown one
// comes last.
func (r *Report) antennaRank(antenna string) int {
	for i := range r.Runs {
		if antenna != "" && r.Runs[i].Sheet.Antenna == antenna {
			return i
		}
	}
	return len(r.Runs)
}

// repeatEntry completes an entry of the list and tells its antenna.
func (r *Report) repeatEntry(repeat Repeat) (RepeatEntry, string) {
	entry := RepeatEntry{Repeat: repeat, Limit: quantity.Undefined[quantity.FieldStrength](),
		Sustained: quantity.Undefined[quantity.FieldStrength](), Forward: quantity.Undefined[quantity.Power]()}
	cell := r.cellAt(repeat)
	if cell == nil {
		return entry, ""
	}
	entry.Limit = r.Requirement.LimitNear(repeat.Frequency, cell.Resolution, repeat.Polarization)
	step := nearestStep(cell, repeat.Frequency)
	if step == nil {
		return entry, ""
	}
	run := &r.Runs[step.Best.Run]
	if step.Frequency == repeat.Frequency {
		entry.Sustained, entry.Forward, entry.Run = step.Best.Sustained, step.Best.Power.ForLimit, run.ID
	}
	return entry, run.Sheet.Antenna
}

func (r *Report) cellAt(repeat Repeat) *Cell {
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Polarization == repeat.Polarization && c.Position == repeat.Position &&
			repeat.Frequency.Within(c.From-c.Resolution, c.To+c.Resolution) {
			return c
		}
	}
	return nil
}

// nearestStep returns the step whose frequency is nearest on a logarithmic axis;
// nil where the cell has none.
func nearestStep(c *Cell, f quantity.Frequency) *Step {
	var nearest *Step
	least := math.Inf(1)
	for k := range c.Steps {
		if away := math.Abs(math.Log(float64(c.Steps[k].Frequency / f))); away < least {
			nearest, least = &c.Steps[k], away
		}
	}
	return nearest
}

// RepeatGroup is neighbours of the repeat list that are to be run again for one reason
// in one polarization at one position.
type RepeatGroup struct {
	Polarization quantity.Polarization
	Position     quantity.Position
	Why          string
	Frequencies  []quantity.Frequency // that a generator is set to, in the order of the list
}

// RepeatGroups is the repeat list in its order, neighbours of one reason together.
func (r *Report) RepeatGroups() []RepeatGroup {
	var groups []RepeatGroup
	for _, repeat := range r.Repeat {
		n := len(groups)
		if n == 0 || groups[n-1].Polarization != repeat.Polarization || groups[n-1].Position != repeat.Position || groups[n-1].Why != repeat.Why {
			groups = append(groups, RepeatGroup{Polarization: repeat.Polarization, Position: repeat.Position, Why: repeat.Why})
			n++
		}
		groups[n-1].Frequencies = append(groups[n-1].Frequencies, repeat.Setting)
	}
	return groups
}
