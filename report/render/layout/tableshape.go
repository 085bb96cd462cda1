package layout

import "strings"

// shapeOf gives each column its width: what its cells need, the rest to the
// columns that wrap, or to the gaps where none does. Where there is not enough,
// columns that wrap become narrower, down to their longest word and then below.
func (f *Flow) shapeOf(t *Table) *shape {
	n := len(t.Columns)
	s := &shape{
		x: make([]float64, n), width: make([]float64, n), before: make([]float64, n),
		headLines: make([][]string, n), gap: columnGap, pad: t.padding(f.feather),
	}
	least, heads := make([]float64, n), make([]float64, n)
	for k, c := range t.Columns {
		s.headLines[k] = strings.Split(c.Head, "\n")
		s.headRows = max(s.headRows, len(s.headLines[k]))
		s.units = s.units || c.Unit != ""
		s.width[k], least[k], heads[k] = f.columnNeeds(t, s, k)
	}
	s.head = 3 + float64(s.headRows)*tableHeadStyle.Leading + 3.5
	if s.units {
		s.head += unitStyle.Leading
	}
	if t.Narrow {
		s.gap = narrowGap
	}
	s.pitch = TableStyle.Leading + 2*s.pad
	f.spread(t, s, least, heads)
	x := 0.0
	for k := range s.width {
		s.x[k] = x
		x += s.width[k] + s.gap
	}
	s.total = x - s.gap
	return s
}

// columnNeeds measures a column: the width in which nothing wraps, the one in
// which no word breaks, and the one of its head.
func (f *Flow) columnNeeds(t *Table, s *shape, k int) (whole, least, head float64) {
	c := t.Columns[k]
	head = f.types.width(unitStyle, c.Unit)
	for _, line := range s.headLines[k] {
		head = max(head, f.types.width(tableHeadStyle, line))
	}
	after := 0.0
	for i := range t.Rows {
		if k >= len(t.Rows[i].Cells) {
			continue
		}
		cell := &t.Rows[i].Cells[k]
		st := cellStyle(cell)
		width := f.types.widestLine(st, cell.Text) + markSpace(cell)
		if c.Wraps {
			longest := width
			if strings.ContainsAny(cell.Text, " \n") {
				longest = f.types.longestWord(st, cell.Text) + markSpace(cell)
			}
			least = max(least, longest)
		}
		if c.Align == Decimal {
			before := f.types.width(st, beforePoint(cell.Text))
			s.before[k] = max(s.before[k], before)
			after = max(after, width-before)
			continue
		}
		whole = max(whole, width)
	}
	if c.Align == Decimal {
		whole = s.before[k] + after
		if head > whole { // numbers stand under the end of a wider head
			s.before[k] += head - whole
		}
	}
	return max(whole, head), max(least, head), head
}

// spread fits the columns into the width of the page.
func (f *Flow) spread(t *Table, s *shape, least, heads []float64) {
	body := f.Format.Measure()
	need := s.gap * float64(len(s.width)-1)
	var wrapping []int
	for k := range s.width {
		need += s.width[k]
		if t.Columns[k].Wraps {
			wrapping = append(wrapping, k)
		}
	}
	switch extra := body - need; {
	case extra < 0:
		f.squeeze(s, least, heads, wrapping, -extra)
	case t.Narrow:
	case len(wrapping) > 0:
		total := 0.0
		for _, k := range wrapping {
			total += s.width[k]
		}
		for _, k := range wrapping {
			s.width[k] += extra * s.width[k] / total
		}
	case len(s.width) > 1:
		s.gap += extra / float64(len(s.width)-1)
	}
}

// squeeze takes width away from the columns that wrap: down to their longest
// words, then, where words must break, down to their heads, and at last from all
// in proportion. The widest gives first.
func (f *Flow) squeeze(s *shape, least, heads []float64, wrapping []int, over float64) {
	for _, floor := range [][]float64{least, heads} {
		for over > 0.01 {
			cut := s.cutWidest(floor, wrapping, over)
			if cut == 0 {
				break
			}
			over -= cut
		}
	}
	total := 0.0
	for _, k := range wrapping {
		total += s.width[k]
	}
	for _, k := range wrapping {
		s.width[k] -= max(over, 0) * s.width[k] / total
	}
}

// cutWidest narrows the widest columns that are above their floor, at most to the
// width of the next widest, and returns what it took.
func (s *shape) cutWidest(floor []float64, wrapping []int, over float64) float64 {
	widest, next := 0.0, 0.0
	for _, k := range wrapping {
		if s.width[k] <= floor[k]+0.01 {
			continue
		}
		switch w := s.width[k]; {
		case w > widest+0.01:
			widest, next = w, widest
		case w < widest-0.01:
			next = max(next, w)
		}
	}
	var chosen []int
	for _, k := range wrapping {
		if s.width[k] > floor[k]+0.01 && s.width[k] > widest-0.01 {
			chosen = append(chosen, k)
		}
	}
	const stride = 0.5 // of columns that are equally wide
	took := 0.0
	for _, k := range chosen {
		cut := min(over/float64(len(chosen)), max(widest-next, stride), s.width[k]-floor[k])
		s.width[k] -= cut
		took += cut
	}
	return took
}
