package demoday

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// writeText writes a grid as delimited text.
func (g grid) writeText(w io.Writer) error {
	layout := g.file.Layout
	out := transform.NewWriter(w, layout.Encoding.encoder())
	line := newLine(layout)
	for _, text := range layout.Preamble {
		line.raw(text)
	}
	for _, text := range layout.Comments {
		line.raw("# " + text)
	}
	if layout.Blank {
		line.raw("")
	}
	top, below := g.heads()
	line.texts(top)
	if below != nil {
		line.texts(below)
	}
	var cells, times []cell
	for i := range g.rows {
		cells = g.row(i, cells[:0])
		for k, c := range cells {
			if g.columns[k].moment {
				times = g.times(c.at, times[:0])
				line.cells(times)
			} else {
				line.cell(c)
			}
		}
		line.end()
		if line.buffer.Len() > 1<<16 {
			if err := line.flush(out); err != nil {
				return err
			}
		}
	}
	if err := line.flush(out); err != nil {
		return err
	}
	return out.Close()
}

// encoder returns the transformation from UTF-8.
func (e Encoding) encoder() transform.Transformer {
	var of encoding.Encoding
	switch e {
	case UTF8Mark:
		of = unicode.UTF8BOM
	case UTF16Little:
		of = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM)
	case UTF16Big:
		of = unicode.UTF16(unicode.BigEndian, unicode.UseBOM)
	case Windows1252:
		of = charmap.Windows1252
	default:
		return transform.Nop
	}
	return of.NewEncoder()
}

// line builds lines of delimited text.
type line struct {
	buffer    bytes.Buffer
	delimiter string
	end_      string
	comma     bool
	first     bool
}

func newLine(l Layout) *line {
	return &line{delimiter: string(l.delimiter()), end_: l.lineEnd(), comma: l.DecimalComma, first: true}
}

func (l *line) raw(text string) { l.buffer.WriteString(text + l.end_) }

func (l *line) texts(texts []string) {
	for _, text := range texts {
		l.cell(words(text))
	}
	l.end()
}

func (l *line) cells(cells []cell) {
	for _, c := range cells {
		l.cell(c)
	}
}

// cell writes one cell, quoted where its text holds the delimiter or a quote.
func (l *line) cell(c cell) {
	if !l.first {
		l.buffer.WriteString(l.delimiter)
	}
	l.first = false
	text := c.text
	if c.number && l.comma {
		text = strings.Replace(text, ".", ",", 1)
	}
	if strings.Contains(text, l.delimiter) || strings.ContainsAny(text, "\"\r\n") {
		text = `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
	}
	l.buffer.WriteString(text)
}

func (l *line) end() {
	l.buffer.WriteString(l.end_)
	l.first = true
}

func (l *line) flush(w io.Writer) error {
	if !utf8.Valid(l.buffer.Bytes()) {
		return fmt.Errorf("the text is not valid UTF-8")
	}
	_, err := l.buffer.WriteTo(w)
	return err
}
