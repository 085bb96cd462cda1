package record

import (
	"fmt"
	"strings"
)

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
	known map[string]bool
}

// note adds a problem, to the list or to the flood.
func (f *File) note(p RowProblem) {
	if f.flood == nil && len(f.Problems) < mostProblems {
		f.Problems = append(f.Problems, p)
		return
	}
	if f.flood == nil {
		f.flood = &flood{count: map[RowProblemKind]int{}, known: map[string]bool{}}
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
	if key := fmt.Sprint(p.Kind) + plainReason(p.Reason); !l.known[key] {
		l.known[key] = true
		l.first = append(l.first, p)
	}
}

// plainReason is a reason without what stood in the cell.
func plainReason(reason string) string {
	var b strings.Builder
	for {
		before, rest, quoted := strings.Cut(reason, "“")
		b.WriteString(before)
		if !quoted {
			return b.String()
		}
		if _, reason, quoted = strings.Cut(rest, "”"); !quoted {
			return b.String()
		}
	}
}

// sumUp makes one remark of a flood.
func (f *File) sumUp() {
	if f.flood == nil {
		return
	}
	var parts []string
	for _, kind := range []struct {
		kind RowProblemKind
		what string
	}{{Unreadable, "cannot be read"}, {NoValue, "have no reading and keep their time"}, {UnknownMark, "have an unknown mark"}, {Duplicate, "repeat the row before"}} {
		if n := f.flood.count[kind.kind]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d rows %s", n, kind.what))
		}
	}
	var first []string
	for _, p := range f.flood.first {
		first = append(first, fmt.Sprintf("row %d: %s", p.Row, p.Reason))
	}
	remark := RowProblem{Row: f.flood.first[0].Row, Kind: Remark,
		Reason: strings.Join(parts, ", ") + "; the first of each reason: " + strings.Join(first, "; ")}
	f.Problems, f.flood = append(f.Problems, remark), nil
}
