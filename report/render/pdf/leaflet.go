package pdf

import (
	"bytes"
	"fmt"
	"io"
	"reflect"
	"sort"
	"strings"
	"time"

	"fieldheld/report"
	"fieldheld/report/render/layout"
	"fieldheld/report/seal/archive"
)

// leaflet is a short paper for the bench, beside the report: a plan, or what to
// repeat. It is set with the same means.
type leaflet struct {
	title   string // of the file and its first page
	sheet   *report.Sheet
	program report.Program
	subject string
	date    time.Time // that the file bears; zero for none
	compose func(*layout.Flow)
}

// write lays the leaflet out to count its pages, draws it and writes it as
// PDF/A-3u. The error is a MissingGlyphs where it holds characters that the
// fonts lack. Nothing is written then.
func (l *leaflet) write(w io.Writer) error {
	types, err := layout.NewTypefaces()
	if err != nil {
		return err
	}
	_, measured, err := l.layOut(types, nil, false)
	if err != nil {
		return err
	}
	f, _, err := l.layOut(types, measured, true)
	if err != nil {
		return err
	}
	if err := missingGlyphs(types, l.fieldsWith); err != nil {
		return err
	}
	var made bytes.Buffer
	if err := f.Output(&made); err != nil {
		return fmt.Errorf("draw the %s: %w", strings.ToLower(l.title), err)
	}
	d := l.description()
	d.Structure = f.Structure()
	return archive.Write(w, made.Bytes(), d, nil, nil)
}

// layOut lays the leaflet out, and draws it where draw is set. Only the number of
// pages, which stands at the foot of each, is taken from the layout before.
func (l *leaflet) layOut(types *layout.Typefaces, earlier *layout.Pagination, draw bool) (*layout.Flow, *layout.Pagination, error) {
	f := layout.Begin(layout.Options{Format: formatOf(l.sheet), Typefaces: types, Furniture: l.furniture(), Prepare: clean, Earlier: earlier, Draw: draw})
	f.Bookmark(0, l.title, f.Y)
	l.compose(f)
	found, err := f.End()
	if err != nil {
		return nil, nil, fmt.Errorf("draw the %s: %w", strings.ToLower(l.title), err)
	}
	return f, found, nil
}

// furniture is what stands on every page.
func (l *leaflet) furniture() layout.Furniture {
	right := l.title
	if number := clean(l.sheet.Report.Number); number != "" {
		right += " for report " + number
	}
	return layout.Furniture{HeadRight: right, HeadLeft: clean(l.sheet.Laboratory.Name), Foot: clean(l.sheet.Article.Name)}
}

// headline sets the title of the leaflet, a text at its right, and a line below.
func (l *leaflet) headline(f *layout.Flow, right, below string) {
	f.Y += 8
	f.Text(f.Format.Left(), f.Y+layout.TitleStyle.Size, layout.TitleStyle, l.title)
	f.TextRight(f.Format.Right(), f.Y+layout.TitleStyle.Size, layout.TitleStyle, clean(right))
	f.Y += layout.TitleStyle.Leading + 4
	f.Lines(layout.HeadingStyle, below, 0, 8)
}

func (l *leaflet) description() archive.Document {
	program := strings.TrimSpace(l.program.Name + " " + l.program.Version)
	d := archive.Document{Title: strings.TrimSpace(l.title + " " + clean(l.sheet.Report.Number)), Author: clean(l.sheet.Laboratory.Name),
		Subject: l.subject, Keywords: "radiated susceptibility, field strength", Creator: program, Producer: program,
		Language: "en-GB", Date: l.date, Fonts: layout.FontNames()}
	if d.Date.IsZero() {
		d.Date = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC) // a date that depends on nothing
	}
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
