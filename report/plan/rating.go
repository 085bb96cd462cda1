package plan

import (
	"fmt"
	"slices"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// rate lists what the path of a cell gives or stands: the ratings that the
// forecast, the runs of the cell and the assets state.
func (b *builder) rate(c *Cell, forecast *ingest.Forecast) {
	add := func(part string, power quantity.Power) {
		if quantity.Defined(power) {
			c.Ratings = append(c.Ratings, Rating{Part: part, Power: power, Least: quantity.Undefined[quantity.Decibel](),
				At: quantity.Undefined[quantity.Frequency]()})
		}
	}
	if forecast != nil {
		add("forward_max of the forecast", forecast.Sheet.ForwardMax)
	}
	var runs []*jobsheet.Run
	for i := range b.Sheet.Runs {
		run := &b.Sheet.Runs[i]
		if run.Polarization == c.Polarization && run.Position == c.Position {
			runs = append(runs, run)
			add("forward_max of run "+run.ID, run.ForwardMax)
		}
	}
	for i := range b.Equipment {
		if e := &b.Equipment[i]; inPath(e, runs) {
			add(partName(e), e.RatedPower)
		}
	}
}

func partName(e *ingest.Equipment) string { return fmt.Sprintf("%s (%s)", e.Asset, e.Role) }

// inPath reports whether an asset is in the path of a cell: antennas and
// amplifiers where a run of the cell names them, or where no run is planned yet;
// all others always.
func inPath(e *ingest.Equipment, runs []*jobsheet.Run) bool {
	if e.Role != "antenna" && e.Role != "amplifier" || len(runs) == 0 {
		return true
	}
	return slices.ContainsFunc(runs, func(run *jobsheet.Run) bool { return run.Antenna == e.Asset || run.Amplifier == e.Asset })
}

// counts reports whether a rating holds at a frequency: one of an asset does only
// within the range for which the asset is meant.
func (b *builder) counts(r *Rating, f quantity.Frequency) bool {
	for i := range b.Equipment {
		if e := &b.Equipment[i]; partName(e) == r.Part {
			return (!quantity.Defined(e.From) || e.From.AtOrBelow(f)) && (!quantity.Defined(e.To) || f.AtOrBelow(e.To))
		}
	}
	return true
}

// note takes a step into account and returns the headroom that it leaves.
func (r *Rating) note(f quantity.Frequency, needed quantity.Power) quantity.Decibel {
	headroom := r.Power.Over(needed)
	if quantity.Lower(r.Least, headroom) != r.Least {
		r.Least, r.At = headroom, f
	}
	if headroom < -quantity.LevelSlack {
		r.Beyond++
	}
	return headroom
}
