package pdf

import (
	"bytes"
	"fmt"
	"io"
	"reflect"
	"sort"
	"strings"
	"time"

	"fieldheld/charts"
	"fieldheld/report"
	"fieldheld/report/seal/archive"
	"fieldheld/templates/fonts"
)

// leaflet is a short paper for the bench, beside the report: a plan, or what to
// repeat. It is set with the same means.
type leaflet struct {
	title   string // of the file and its first page
	sheet   *report.Sheet
	program report.Program
	subject string
	date    time.Time // that the file bears; zero for none
	compose func(*flow)
}

// write lays the leaflet out to count its pages, draws it and writes it as
// PDF/A-3u. The error is a MissingGlyphs where it holds characters that the
// fonts lack. Nothing is written then.
func (l *leaflet) write(w io.Writer) error {
	types, err := newTypefaces()
	if err != nil {
		return err
	}
	measured, err := l.layOut(types, newRegister(0), false)
	if err != nil {
		return err
	}
	f, err := l.layOut(types, measured.found, true)
	if err != nil {
		return err
	}
	if err := types.err(l.fieldsWith); err != nil {
		return err
	}
	var made bytes.Buffer
	if err := f.doc.Output(&made); err != nil {
		return fmt.Errorf("draw the %s: %w", strings.ToLower(l.title), err)
	}
	return archive.Write(w, made.Bytes(), l.description(), nil, nil)
}

// layOut lays the leaflet out, and draws it where draw is set. Only the number of
// pages, which stands at the foot of each, is taken from the layout before.
func (l *leaflet) layOut(types *typefaces, earlier *register, draw bool) (*flow, error) {
	format := a4
	if l.sheet.Report.Page == letter.name {
		format = letter
	}
	f := &flow{paper: newPaper(format, types, draw), found: newRegister(0), earlier: earlier}
	f.begun = func() { l.furniture(f) }
	f.newPage()
	f.bookmark(0, l.title, f.y)
	l.compose(f)
	if f.fault != nil {
		return nil, fmt.Errorf("draw the %s: %w", strings.ToLower(l.title), f.fault)
	}
	return f, nil
}

// furniture draws what stands on every page.
func (l *leaflet) furniture(f *flow) {
	top, foot := margin-16, f.format.height-margin+16
	right := l.title
	if number := clean(l.sheet.Report.Number); number != "" {
		right += " for report " + number
	}
	f.textRight(f.format.right(), top, furniture, right)
	f.text(f.format.left(), top, furniture,
		f.types.fit(furniture, clean(l.sheet.Laboratory.Name), f.format.body()-f.types.width(furniture, right)-20))
	f.rule(f.format.left(), f.format.right(), top+5, 0.4, charts.Accent)
	f.textRight(f.format.right(), foot, furniture, fmt.Sprintf("Page %d of %d", f.page, f.earlier.pages))
	f.text(f.format.left(), foot, furniture, f.types.fit(furniture, clean(l.sheet.Article.Name), f.format.body()-90))
}

// headline sets the title of the leaflet, a text at its right, and a line below.
func (l *leaflet) headline(f *flow, right, below string) {
	f.y += 8
	f.text(f.format.left(), f.y+titleStyle.size, titleStyle, l.title)
	f.textRight(f.format.right(), f.y+titleStyle.size, titleStyle, clean(right))
	f.y += titleStyle.leading + 4
	f.lines(headStyle, below, 0, 8)
}

func (l *leaflet) description() archive.Document {
	program := strings.TrimSpace(l.program.Name + " " + l.program.Version)
	d := archive.Document{Title: strings.TrimSpace(l.title + " " + clean(l.sheet.Report.Number)), Author: clean(l.sheet.Laboratory.Name),
		Subject: l.subject, Keywords: "radiated susceptibility, field strength", Creator: program, Producer: program,
		Language: "en-GB", Date: l.date}
	if d.Date.IsZero() {
		d.Date = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC) // a date that depends on nothing
	}
	for cut := range fonts.Cut(fonts.Cuts) {
		d.Fonts = append(d.Fonts, cut.Face().Name)
	}
	d.Fonts = append(d.Fonts, fonts.Regular.Fallback().Name, fonts.Bold.Fallback().Name)
	return d
}

// fieldsWith names the keys of the job sheet whose texts hold the character.
func (l *leaflet) fieldsWith(c rune) []string {
	var found []string
	w := walker{visit: func(path, text string) {
		if strings.ContainsRune(clean(text), c) {
			found = append(found, path)
		}
	}}
	w.walk("", reflect.ValueOf(l.sheet).Elem())
	sort.Strings(found)
	return found
}

// sideBySide makes a table of several entries a row, to be read across: as many as
// fit, up to most.
func (f *flow) sideBySide(columns []column, entries [][]cell, most int) *table {
	for across := most; ; across-- {
		t := beside(columns, entries, across)
		if across == 1 || f.shapeOf(t).total <= f.format.body()+0.01 {
			return t
		}
	}
}

// beside makes a table of so many entries a row, an empty column between them.
func beside(columns []column, entries [][]cell, across int) *table {
	t := &table{dense: true}
	for i := range across {
		if i > 0 {
			t.columns = append(t.columns, column{})
		}
		t.columns = append(t.columns, columns...)
	}
	for begin := 0; begin < len(entries); begin += across {
		var r row
		for k := begin; k < min(begin+across, len(entries)); k++ {
			if k > begin {
				r.cells = append(r.cells, cell{})
			}
			r.cells = append(r.cells, entries[k]...)
		}
		r.cells = append(r.cells, make([]cell, len(t.columns)-len(r.cells))...)
		t.add(r)
	}
	return t
}
