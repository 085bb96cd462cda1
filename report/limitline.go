package report

import (
	"slices"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/requirement"
)

// LimitPiece is a piece of the limit line, of one segment of the requirement.
type LimitPiece struct {
	From, To quantity.Frequency
	segment  requirement.Limit
}

// At returns the limit at a frequency within the piece.
func (p LimitPiece) At(f quantity.Frequency) quantity.FieldStrength { return p.segment.At(f) }

// Flat reports whether the limit is the same over the whole piece.
func (p LimitPiece) Flat() bool { return p.segment.LowLevel == p.segment.HighLevel }

// LimitIn returns the pieces of the limit line that lie in a cell, in the order of the
// requirement. Optional segments that the day does not include are none of it.
func (r *Report) LimitIn(c *Cell) []LimitPiece {
	var pieces []LimitPiece
	for _, l := range r.Requirement.Limits {
		if !l.Applies(c.Polarization) {
			continue
		}
		for _, piece := range piecesOf(l) {
			if from, to := max(piece.From, c.From), min(piece.To, c.To); from <= to {
				pieces = append(pieces, LimitPiece{from, to, l})
			}
		}
	}
	return pieces
}

// piecesOf returns the pieces of a segment: itself, or each of the frequencies at which
// alone it applies.
func piecesOf(l requirement.Limit) []LimitPiece {
	if len(l.Frequencies) == 0 {
		return []LimitPiece{{l.From, l.To, l}}
	}
	var pieces []LimitPiece
	for _, f := range l.Frequencies {
		pieces = append(pieces, LimitPiece{f, f, l})
	}
	return pieces
}

// LimitLine is the limit over frequency, of the polarizations for which it is the same.
type LimitLine struct {
	Polarizations []quantity.Polarization
	Pieces        []LimitPiece
}

// LimitLines returns the limit lines of the requirement: one that holds for every
// polarization, or one for each.
func (r *Report) LimitLines() []LimitLine {
	var lines []LimitLine
	for _, polarization := range quantity.Polarizations() {
		var pieces []LimitPiece
		for _, l := range r.Requirement.Limits {
			if l.Applies(polarization) {
				pieces = append(pieces, piecesOf(l)...)
			}
		}
		if len(pieces) == 0 {
			continue
		}
		i := slices.IndexFunc(lines, func(line LimitLine) bool { return slices.EqualFunc(line.Pieces, pieces, LimitPiece.same) })
		if i < 0 {
			lines = append(lines, LimitLine{Pieces: pieces})
			i = len(lines) - 1
		}
		lines[i].Polarizations = append(lines[i].Polarizations, polarization)
	}
	return lines
}

func (p LimitPiece) same(other LimitPiece) bool {
	return p.From == other.From && p.To == other.To && p.segment.LowLevel == other.segment.LowLevel && p.segment.HighLevel == other.segment.HighLevel
}

// LevelSpan is a level at the lower and at the upper end of a segment.
type LevelSpan struct{ Low, High quantity.FieldStrength }

func (s LevelSpan) plus(d quantity.Decibel) LevelSpan {
	return LevelSpan{s.Low.Plus(d), s.High.Plus(d)}
}

// Levels are the levels that follow from a segment of the limit.
type Levels struct {
	Limit   LevelSpan
	Lowest  LevelSpan // acceptable
	Guarded LevelSpan // the lowest one with the guard band: what has to be shown
	Highest LevelSpan // acceptable; NaN where there is no upper tolerance
}

// LevelsOf returns the levels that follow from a segment of the limit.
func (r *Report) LevelsOf(l *requirement.Limit) Levels {
	q, limit := r.Requirement, LevelSpan{l.LowLevel, l.HighLevel}
	return Levels{Limit: limit, Lowest: limit.plus(q.ToleranceLow), Guarded: limit.plus(q.ToleranceLow + r.AskedMargin()),
		Highest: limit.plus(q.ToleranceHigh)}
}

// StepRules are the rules on the step size that reach into what the day shows.
func (r *Report) StepRules() []requirement.StepRule {
	ranges := r.Requirement.Ranges()
	return slices.DeleteFunc(slices.Clone(r.Requirement.Steps), func(rule requirement.StepRule) bool {
		return !slices.ContainsFunc(ranges, func(part requirement.Range) bool {
			return rule.From <= part.To && rule.To >= part.From && (rule.From == rule.To || part.From == part.To || rule.From < part.To && rule.To > part.From)
		})
	})
}
