package record

import (
	"slices"

	"fieldheld/ingest/notation"
)

// leastRepeats is how many samples in a row make a block.
const leastRepeats = 10

// watchedRow is what one sample shows in the columns that a frozen probe would
// repeat, in the order of probeReader.watched.
type watchedRow struct {
	value    [4]float64
	eligible uint8 // bit i: value i is not zero and written with four digits or more
}

func (w *watchedRow) set(i int, n notation.Number) {
	w.value[i] = n.Value
	if n.Digits >= 4 && n.Value != 0 {
		w.eligible |= 1 << i
	}
}

// repeated returns the bits of the values that other repeats.
func (w *watchedRow) repeated(other *watchedRow) uint8 {
	bits := w.eligible & other.eligible
	if bits == 0 {
		return 0
	}
	for i := range w.value {
		if w.value[i] != other.value[i] {
			bits &^= 1 << i
		}
	}
	return bits
}

// findRepeats finds the runs of ten and more samples that repeat one value.
func (p *probeReader) findRepeats() {
	if p.careful {
		for i := 1; i < len(p.values); i++ {
			p.repeats[i] = p.values[i-1].repeated(&p.values[i])
		}
	}
	for bit, c := range p.watched {
		mask := uint8(1) << bit
		for first := 0; first+1 < len(p.repeats); {
			next := first + 1
			for next < len(p.repeats) && p.repeats[next]&mask != 0 {
				next++
			}
			if next-first >= leastRepeats {
				p.log.Repeats = append(p.log.Repeats, Block{First: first, Last: next - 1, Column: c.heading.text})
			}
			first = next
		}
	}
	slices.SortStableFunc(p.log.Repeats, func(a, b Block) int { return a.First - b.First })
}
