package uncertainty

import (
	"math"
	"slices"

	"fieldheld/ingest/quantity"
)

// Statement is what a laboratory states of the uncertainty of its field: the
// contributions, of which some may hold for a part of the frequencies or for one
// probe only. Those of one name are parts of one contribution. A nil Statement
// states nothing.
type Statement struct {
	contributions []Contribution
	k             quantity.Ratio // undefined: by the degrees of freedom
	whole         *Budget        // where every contribution holds everywhere
}

// State makes a statement; nil where there is no contribution. An undefined coverage
// factor is found for each budget from its degrees of freedom.
func State(contributions []Contribution, k quantity.Ratio) *Statement {
	if len(contributions) == 0 {
		return nil
	}
	s := &Statement{contributions: contributions, k: k}
	if !s.Varies() {
		s.whole = s.combine(contributions)
	}
	return s
}

// Varies reports whether the uncertainty may differ by frequency or probe.
func (s *Statement) Varies() bool {
	return s != nil && slices.ContainsFunc(s.contributions, Contribution.bounded)
}

// bounded reports whether a contribution holds for a part only.
func (c Contribution) bounded() bool { return c.From > 0 || c.To > 0 || c.Probe != "" }

// holds reports whether a contribution holds at a frequency, for a probe.
func (c *Contribution) holds(f quantity.Frequency, probe string) bool {
	low, high := c.From, c.To
	if !(high > 0) {
		high = quantity.Frequency(math.Inf(1))
	}
	return (c.Probe == "" || c.Probe == probe) && f.Within(low, high)
}

func (s *Statement) combine(contributions []Contribution) *Budget {
	b := Combine(contributions, s.k)
	if !quantity.Defined(s.k) {
		b = Combine(contributions, coverageFactor(b))
	}
	return &b
}

// coverage is the coverage probability of a normal distribution for k = 2.
const coverage = 0.9545

// fewDegrees is the number of effective degrees of freedom below which k = 2 is
// not enough for that coverage (JCGM 100:2008 annex G, from memory).
const fewDegrees = 30

// coverageFactor is k where the laboratory gives none: 2, or Student's t where the
// effective degrees of freedom are few.
func coverageFactor(b Budget) quantity.Ratio {
	if b.DegreesOfFreedom >= fewDegrees {
		return 2
	}
	return b.CoverageFromT(coverage)
}

// For is the budget at a frequency for a level that rests on the probes, by their
// assets: the one with the largest expanded uncertainty. It is nil where for any of
// them a contribution is not stated there: what is not stated is not zero.
func (s *Statement) For(f quantity.Frequency, probes ...string) *Budget {
	if s == nil || s.whole != nil {
		return s.everywhere()
	}
	if len(probes) == 0 {
		probes = []string{""}
	}
	var largest *Budget
	for i, probe := range probes {
		if slices.Contains(probes[:i], probe) {
			continue
		}
		held := s.at(f, probe)
		if held == nil {
			return nil
		}
		if b := s.combine(held); largest == nil || b.Expanded > largest.Expanded {
			largest = b
		}
	}
	return largest
}

func (s *Statement) everywhere() *Budget {
	if s == nil {
		return nil
	}
	return s.whole
}

// at lists the contributions that hold at a frequency for a probe, one of each name:
// where two meet at a border, the larger. It is nil where a name is missing.
func (s *Statement) at(f quantity.Frequency, probe string) []Contribution {
	var held []Contribution
	for _, c := range s.contributions {
		if !c.holds(f, probe) {
			continue
		}
		i := slices.IndexFunc(held, func(other Contribution) bool { return other.Name == c.Name && (c.bounded() || other.bounded()) })
		switch {
		case i < 0:
			held = append(held, c)
		case c.standard() > held[i].standard():
			held[i] = c
		}
	}
	for _, c := range s.contributions {
		if !slices.ContainsFunc(held, func(other Contribution) bool { return other.Name == c.Name }) {
			return nil
		}
	}
	return held
}

// Piece is a range of frequencies in which a budget holds, for a probe, or for all
// where it is "". Budget is nil where something is not stated.
type Piece struct {
	From, To quantity.Frequency
	Probe    string
	Budget   *Budget
}

// Pieces parts a range for a probe where the budget changes.
func (s *Statement) Pieces(from, to quantity.Frequency, probe string) []Piece {
	borders := []quantity.Frequency{from, to}
	for i := range s.contributions {
		for _, border := range []quantity.Frequency{s.contributions[i].From, s.contributions[i].To} {
			if border > from && border < to {
				borders = append(borders, border)
			}
		}
	}
	slices.Sort(borders)
	var pieces []Piece
	for i := 1; i < len(borders); i++ {
		low, high := borders[i-1], borders[i]
		if low == high && from < to {
			continue
		}
		piece := Piece{From: low, To: high, Probe: probe, Budget: s.For(middle(low, high), probe)}
		if n := len(pieces); n > 0 && sameBudget(pieces[n-1].Budget, piece.Budget) {
			pieces[n-1].To = high
			continue
		}
		pieces = append(pieces, piece)
	}
	return pieces
}

func middle(low, high quantity.Frequency) quantity.Frequency {
	return quantity.Frequency(math.Sqrt(float64(low) * float64(high)))
}

func sameBudget(a, b *Budget) bool {
	if a == nil || b == nil {
		return a == b
	}
	return slices.Equal(a.Contributions, b.Contributions) && a.CoverageFactor == b.CoverageFactor
}

// Same reports whether two lists of pieces say the same, whichever probes they are of.
func Same(a, b []Piece) bool {
	return slices.EqualFunc(a, b, func(a, b Piece) bool {
		return a.From == b.From && a.To == b.To && a.Budget != nil && b.Budget != nil &&
			a.Budget.Standard == b.Budget.Standard && a.Budget.Expanded == b.Budget.Expanded
	})
}

// Gap is a part of a range in which a contribution is not stated.
type Gap struct {
	Name     string
	From, To quantity.Frequency
}

// Gaps lists what of a range the contributions do not cover for a probe.
func (s *Statement) Gaps(from, to quantity.Frequency, probe string) []Gap {
	var gaps []Gap
	for i := range s.contributions {
		name := s.contributions[i].Name
		if slices.ContainsFunc(s.contributions[:i], func(c Contribution) bool { return c.Name == name }) {
			continue
		}
		one := &Statement{k: s.k}
		for _, c := range s.contributions {
			if c.Name == name {
				one.contributions = append(one.contributions, c)
			}
		}
		for _, piece := range one.Pieces(from, to, probe) {
			if piece.Budget == nil {
				gaps = append(gaps, Gap{Name: name, From: piece.From, To: piece.To})
			}
		}
	}
	return gaps
}

// Probes lists the assets that contributions name.
func (s *Statement) Probes() []string {
	var probes []string
	for i := range s.contributions {
		if probe := s.contributions[i].Probe; probe != "" && !slices.Contains(probes, probe) {
			probes = append(probes, probe)
		}
	}
	return probes
}
