package layout

import (
	"fmt"

	"fieldheld/charts"
	"fieldheld/report/structure"
)

// mostContents is how many entries a table of contents has; beyond that the parts of
// sections are left to the outline.
const mostContents = 60

// Contents sets the table of contents: each listed heading with a leader and the
// number of its page, as the layout before found them.
func (f *Flow) Contents() {
	entries := f.earlier.contents
	if len(entries) > mostContents {
		entries = nil
		for _, e := range f.earlier.contents {
			if e.level == 1 {
				entries = append(entries, e)
			}
		}
	}
	var list *structure.Element
	for i, e := range entries {
		s, indent, pitch := BodyStyle, 0.0, BodyStyle.Leading
		if e.level > 1 {
			s, indent, pitch = TableStyle, 17, 11.5
		} else if i > 0 && entries[i-1].level > 1 {
			f.Y += 3
		}
		f.Reserve(pitch)
		if i == 0 {
			list = f.tags.root.Add("TOC")
		}
		link := list.Add("TOCI").Add("Reference").Add("Link")
		x, y := f.Format.Left()+indent, f.Y+BodyStyle.Size
		page := fmt.Sprint(f.PageOf(e.anchor))
		title := f.types.fit(s, e.text, f.Format.Measure()-indent-30)
		end := x
		f.within(link, func() {
			end += f.Text(x, y, s, title)
			f.TextRight(f.Format.Right(), y, s, page)
		})
		f.Rule(end+6, f.Format.Right()-f.types.width(s, page)-6, y, 0.25, charts.Grid)
		f.link(link, f.Format.Left(), f.Y, f.Format.Measure(), pitch, e.anchor, e.text+", page "+page)
		f.Y += pitch
	}
	f.Y += 8
}
