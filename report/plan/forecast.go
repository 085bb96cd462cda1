package plan

import (
	"fmt"
	"math"
	"sort"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
)

// forecastFor returns the low-level record of a cell; nil where none was made.
// It lists the ratings of the path first.
func (b *builder) forecastFor(c *Cell) *ingest.Forecast {
	var found *ingest.Forecast
	for i := range b.Forecasts {
		if b.Forecasts[i].Sheet.Serves(c.Polarization, c.Position) {
			found = &b.Forecasts[i]
		}
	}
	b.rate(c, found)
	return found
}

// step foretells what one step takes: the square law makes the forward power go
// with the square of the field.
func (b *builder) step(c *Cell, f quantity.Frequency, forecast *ingest.Forecast) Step {
	undefined := quantity.Undefined[quantity.Power]()
	s := Step{Frequency: f, Limit: b.Requirement.Limit(f, c.Polarization), Forward: undefined, Peak: undefined,
		Headroom: quantity.Undefined[quantity.Decibel]()}
	s.Aim = b.aim(f, s.Limit)
	if forecast == nil {
		s.Why = "no low-level record"
		return s
	}
	perRootWatt, why := Transfer(forecast.Record, f)
	if s.Why = why; why != "" {
		return s
	}
	s.Forward = ForwardFor(s.Aim, perRootWatt)
	s.Peak = s.Forward * quantity.Power(Crest(b.Requirement.Modulation))
	s.Reach = NoRating
	for i := range c.Ratings {
		rating := &c.Ratings[i]
		if !b.counts(rating, f) {
			continue
		}
		headroom := rating.note(f, s.Peak)
		if quantity.Lower(s.Headroom, headroom) != s.Headroom {
			s.Headroom, s.Part = headroom, rating.Part
		}
	}
	switch {
	case s.Headroom >= -quantity.LevelSlack:
		s.Reach = Reached
	case quantity.Defined(s.Headroom):
		s.Reach = Short
	}
	return s
}

// aim is the level that has to be held: what the decision rule asks for, and at
// least the limit.
func (b *builder) aim(f quantity.Frequency, limit quantity.FieldStrength) quantity.FieldStrength {
	budget := b.Budget
	if b.Uncertainty.Varies() {
		budget = b.Uncertainty.For(f, b.Probes...)
	}
	least := limit.Plus(b.Requirement.ToleranceLow).Plus(b.Requirement.Rule.Margin(budget))
	if least > limit {
		return least
	}
	return limit
}

// Transfer returns the field per root watt at a frequency, V/m/√W, between the
// points of a low-level record straight in decibels over the logarithm of
// frequency. Outside the record nothing is foretold; why says so.
func Transfer(low *record.LowLevel, f quantity.Frequency) (perRootWatt float64, why string) {
	points := low.Points
	first, last := points[0], points[len(points)-1]
	switch {
	case !first.Frequency.AtOrBelow(f):
		return math.NaN(), fmt.Sprintf("below the low-level record, which begins at %s", first.Frequency)
	case !f.AtOrBelow(last.Frequency):
		return math.NaN(), fmt.Sprintf("above the low-level record, which ends at %s", last.Frequency)
	}
	i := sort.Search(len(points), func(i int) bool { return points[i].Frequency >= f })
	switch {
	case i == 0:
		return transferOf(first), ""
	case i == len(points):
		return transferOf(last), ""
	}
	below, above := points[i-1], points[i]
	part := f.LogPart(below.Frequency, above.Frequency)
	return transferOf(below) * math.Pow(transferOf(above)/transferOf(below), part), ""
}

func transferOf(p record.LowLevelPoint) float64 {
	return float64(p.Field) / math.Sqrt(float64(p.Forward))
}

// ForwardFor returns the forward power that a field needs where one watt gives
// perRootWatt V/m: P = (E/K)².
func ForwardFor(e quantity.FieldStrength, perRootWatt float64) quantity.Power {
	root := float64(e) / perRootWatt
	return quantity.Power(root * root)
}

// Crest is how many times the power of the unmodulated carrier the crest of the
// modulation takes: once for a pulse, (1 + m)² for an amplitude modulation of
// depth m.
func Crest(m quantity.Modulation) quantity.Ratio {
	if m.Kind == quantity.AM {
		return (1 + m.Amount) * (1 + m.Amount)
	}
	return 1
}
