package requirement

import "fieldheld/ingest/quantity"

// CellRange is one antenna position of a required range.
type CellRange struct {
	Position int
	From, To quantity.Frequency
	Known    bool
}

// CellsOf is replaced by the real one on merging.
func (r *Requirement) CellsOf(rg Range) []CellRange {
	var cells []CellRange
	for p := 1; p <= r.PositionsFor(rg); p++ {
		cells = append(cells, CellRange{p, rg.From, rg.To, true})
	}
	return cells
}

// UnknownPositions is replaced by the real one on merging.
func (r *Requirement) UnknownPositions(string) (from, to quantity.Frequency, unknown bool) {
	return 0, 0, false
}
