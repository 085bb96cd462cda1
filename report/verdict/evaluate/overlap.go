package evaluate

import (
	"cmp"
	"slices"
	"sort"

	"fieldheld/ingest/quantity"
)

// A moment counts once: where the windows of two visits overlap, the shared time
// counts for neither, whichever runs and days they belong to. Only visits of one
// run with the same written frequency may share time, because they are the same
// field under one name. A row that is no test step shares time with no visit.

// sharedTimes returns the times that visits share which must not, as windows
// that are in order and do not touch. Required or not, every visit counts.
func sharedTimes(runs []Run) []window {
	type edge struct {
		at   quantity.Instant
		who  int // the run and written frequency that may share time with itself
		open bool
	}
	type identity struct {
		run       int
		frequency quantity.Frequency
		step      bool
	}
	var edges []edge
	known := map[identity]int{}
	for i := range runs {
		for _, v := range slices.Concat(runs[i].Visits, runs[i].OtherRows) {
			if v.Record.End <= v.Record.Start {
				continue
			}
			id := identity{i, v.Frequency(), v.IsStep()}
			who, ok := known[id]
			if !ok {
				who = len(known)
				known[id] = who
			}
			edges = append(edges, edge{v.Record.Start, who, true}, edge{v.Record.End, who, false})
		}
	}
	slices.SortStableFunc(edges, func(a, b edge) int {
		if c := cmp.Compare(a.at, b.at); c != 0 || a.open == b.open {
			return c
		}
		if a.open { // a window does not hold its end: close first
			return 1
		}
		return -1
	})
	var shared []window
	open, holders := make([]int, len(known)), 0
	for _, e := range edges {
		before := holders
		if e.open {
			if open[e.who]++; open[e.who] == 1 {
				holders++
			}
		} else if open[e.who]--; open[e.who] == 0 {
			holders--
		}
		switch {
		case before < 2 && holders >= 2:
			shared = append(shared, window{start: e.at})
		case before >= 2 && holders < 2:
			shared[len(shared)-1].end = e.at
		}
	}
	return shared
}

// within returns the parts of sorted windows that lie in w, none where none does.
func (w window) within(sorted []window) []window {
	first := sort.Search(len(sorted), func(i int) bool { return sorted[i].end > w.start })
	behind := first
	for behind < len(sorted) && sorted[behind].start < w.end {
		behind++
	}
	return sorted[first:behind]
}

// holds reports whether a time lies in one of a visit's few windows.
func holds(windows []window, t quantity.Instant) bool {
	for _, w := range windows {
		if w.start <= t && t < w.end {
			return true
		}
	}
	return false
}
