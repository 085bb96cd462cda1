package record

import "fieldheld/templates/wording"

// A file may have more odd rows than anybody reads: then it says so once, with the
// first of each reason, and needs no memory for the others.
const (
	mostProblems = 1000 // listed row by row
	mostReasons  = 20   // told with their first row beyond that
)

// A file of which nearly nothing can be read is not read on: it is no such record.
const (
	manyUnread = 500_000
	fewRead    = 0.01 // part of the rows
)

// hopeless reports whether a file is not worth reading further.
func (f *File) hopeless() bool {
	return f.RowsUnread > manyUnread && float64(f.RowsRead) < fewRead*float64(f.RowsUnread)
}

// flood is what is kept of the problems of a file that has too many.
type flood struct {
	count map[RowProblemKind]int
	first []RowProblem // of each reason, as far as they are told
	known map[oddity]bool
}

// note adds a problem, to the list or to the flood.
func (f *File) note(p RowProblem) {
	if f.flood == nil && len(f.Problems) < mostProblems {
		f.Problems = append(f.Problems, p)
		return
	}
	if f.flood == nil {
		f.flood = &flood{count: map[RowProblemKind]int{}, known: map[oddity]bool{}}
		for _, before := range f.Problems {
			f.flood.add(before)
		}
		f.Problems = f.Problems[:0]
	}
	f.flood.add(p)
}

func (l *flood) add(p RowProblem) {
	l.count[p.Kind]++
	if len(l.first) == mostReasons {
		return
	}
	if key := p.oddity(); !l.known[key] {
		l.known[key] = true
		l.first = append(l.first, p)
	}
}

// oddity is what the reasons of rows have in common, whatever stood in their cells:
// the reason, and what a cell was meant to hold.
type oddity struct {
	kind       RowProblemKind
	code, what string
}

func (p RowProblem) oddity() oddity {
	what, _ := p.Reason.Values["what"].(wording.Text)
	return oddity{p.Kind, p.Reason.Code, what.Code}
}

// sumUp makes one remark of a flood.
func (f *File) sumUp() {
	if f.flood == nil {
		return
	}
	var counts, first []wording.Text
	for _, counted := range []wording.Text{
		wording.Say("flood.unreadable", wording.Values{"rows": f.flood.count[Unreadable]}),
		wording.Say("flood.no-value", wording.Values{"rows": f.flood.count[NoValue]}),
		wording.Say("flood.unknown-mark", wording.Values{"rows": f.flood.count[UnknownMark]}),
		wording.Say("flood.duplicate", wording.Values{"rows": f.flood.count[Duplicate]}),
	} {
		if counted.Values["rows"] != 0 {
			counts = append(counts, counted)
		}
	}
	for _, p := range f.flood.first {
		first = append(first, wording.Say("flood.row", wording.Values{"row": p.Row, "reason": p.Reason}))
	}
	remark := RowProblem{Row: f.flood.first[0].Row, Kind: Remark, Reason: wording.Say("remark.flood", wording.Values{"counts": counts, "first": first})}
	f.Problems, f.flood = append(f.Problems, remark), nil
}
