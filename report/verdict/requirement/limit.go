package requirement

import (
	"cmp"
	"slices"

	"fieldheld/ingest/quantity"
)

// Limit returns the required level at f, V/m: between the ends of a segment
// straight in dB over log10 f, on the border of two segments and where they
// overlap the higher one. It is undefined (NaN) outside every required range
// of the polarization. Borders have the slack of frequencies.
func (r *Requirement) Limit(f quantity.Frequency, polarization quantity.Polarization) quantity.FieldStrength {
	level := highest(r.Limits, f, polarization)
	if quantity.Defined(level) && r.whole != nil {
		level = highest(r.whole, f, polarization)
	}
	return level
}

// LimitNear is Limit, but for a frequency outside the required ranges by no
// more than q, Hz, the resolution in which a dwell record is written, it is the
// limit at that range's end. Between two ranges that near the higher one counts.
// A limit at a listed frequency counts within half of q of it.
func (r *Requirement) LimitNear(f, q quantity.Frequency, polarization quantity.Polarization) quantity.FieldStrength {
	level := r.Limit(f, polarization)
	for _, l := range r.Limits {
		if listed := l.near(f, q/2); l.Applies(polarization) && quantity.Defined(listed) {
			level = higher(level, l.At(listed))
		}
	}
	if quantity.Defined(level) {
		return level
	}
	for _, rg := range r.Ranges() {
		if rg.Polarization == polarization && f.Within(rg.From-q, rg.To+q) {
			level = higher(level, r.Limit(min(max(f, rg.From), rg.To), polarization))
		}
	}
	return level
}

// highest returns the highest level that the segments give at f, NaN where none does.
func highest(limits []Limit, f quantity.Frequency, polarization quantity.Polarization) quantity.FieldStrength {
	level := quantity.Undefined[quantity.FieldStrength]()
	for _, l := range limits {
		if l.Applies(polarization) && l.holds(f) {
			level = higher(level, l.At(f))
		}
	}
	return level
}

// holds reports whether the limit applies at f, with the slack of frequencies.
func (l Limit) holds(f quantity.Frequency) bool {
	if l.lists() {
		return quantity.Defined(l.near(f, 0))
	}
	return f.Within(l.From, l.To)
}

func higher(a, b quantity.FieldStrength) quantity.FieldStrength {
	if !quantity.Defined(a) || b > a {
		return b
	}
	return a
}

// At returns the level of the segment at f, which lies within it. Flat segments
// and ends give the level exactly as written.
func (l Limit) At(f quantity.Frequency) quantity.FieldStrength {
	switch {
	case l.LowLevel == l.HighLevel, f <= l.From:
		return l.LowLevel
	case f >= l.To:
		return l.HighLevel
	}
	return l.LowLevel.Between(l.HighLevel, f.LogPart(l.From, l.To))
}

// Ranges returns the contiguous required ranges, horizontal ones first, then
// vertical, each ascending. Segments of a polarization that touch or overlap
// make one range.
func (r *Requirement) Ranges() []Range {
	var ranges []Range
	for _, polarization := range quantity.Polarizations() {
		ranges = append(ranges, rangesOf(r.Limits, polarization)...)
	}
	return ranges
}

func rangesOf(limits []Limit, polarization quantity.Polarization) []Range {
	var own []Limit
	for _, l := range limits {
		if l.Applies(polarization) {
			own = append(own, l)
		}
	}
	slices.SortFunc(own, func(a, b Limit) int { return cmp.Compare(a.From, b.From) })
	var ranges []Range
	for _, l := range own {
		if n := len(ranges); n > 0 && l.From.AtOrBelow(ranges[n-1].To) {
			ranges[n-1].To = max(ranges[n-1].To, l.To)
			continue
		}
		ranges = append(ranges, Range{Polarization: polarization, From: l.From, To: l.To})
	}
	return ranges
}

// cut returns the part of the segments between from and to. A segment that
// keeps nothing but one end falls away.
func cut(limits []Limit, from, to quantity.Frequency) []Limit {
	var parts []Limit
	for _, l := range limits {
		if l.lists() {
			parts = append(parts, l.among(from, to)...)
			continue
		}
		part := l
		part.From, part.To = max(l.From, from), min(l.To, to)
		if part.To.AtOrBelow(part.From) {
			continue
		}
		part.LowLevel, part.HighLevel = l.At(part.From), l.At(part.To)
		parts = append(parts, part)
	}
	return parts
}

// among returns the limit at those of its listed frequencies that lie between from and
// to; nothing where none does.
func (l Limit) among(from, to quantity.Frequency) []Limit {
	part := l
	part.Frequencies = nil
	for _, f := range l.Frequencies {
		if f.Within(from, to) {
			part.Frequencies = append(part.Frequencies, f)
		}
	}
	if !part.lists() {
		return nil
	}
	part.From, part.To = part.Frequencies[0], part.Frequencies[len(part.Frequencies)-1]
	part.LowLevel, part.HighLevel = l.At(part.From), l.At(part.To)
	return []Limit{part}
}
