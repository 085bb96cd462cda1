package archive

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Text is a text that a page shows.
type Text struct {
	X, Y   float64 // where its baseline begins, in points from the lower left corner of the page
	Size   float64 // of its font, in points
	Turned bool    // it does not run from left to right
	Font   string  // PostScript name
	Text   string  // without the blanks at its end, which are not seen
}

// Texts returns what each page of a file of this package shows, in the order in
// which it is drawn. Of a file that was continued later it reads the first
// revision.
func Texts(data []byte) ([][]Text, error) {
	f, err := parse(data)
	if err != nil {
		return nil, err
	}
	x := &examined{data: data, file: f}
	names, err := x.fontNames()
	if err != nil {
		return nil, err
	}
	var pages [][]Text
	err = x.eachContent(func(_ int, content []byte) {
		r := &textReader{names: names, now: textState{matrix: [6]float64{1, 0, 0, 1, 0, 0}}}
		scan(content, r.token)
		pages = append(pages, r.texts)
	})
	return pages, err
}

var baseFont = regexp.MustCompile(`/BaseFont /(?:[A-Z]{6}\+)?(\S+)`)

// fontNames returns the PostScript name of each font by its name in the content.
func (x *examined) fontNames() (map[string]string, error) {
	names := map[string]string{}
	const resources = "2"
	object, err := x.file.object(resources)
	if err != nil {
		return nil, err
	}
	for _, entry := range fontEntry.FindAllSubmatch(object, -1) {
		font, err := x.file.object(string(entry[2]))
		if err != nil {
			return nil, err
		}
		name := baseFont.FindSubmatch(font)
		if name == nil {
			return nil, fmt.Errorf("font %s has no name", entry[1])
		}
		names[string(entry[1])] = string(name[1])
	}
	return names, nil
}

// textReader follows the content of a page.
type textReader struct {
	names    map[string]string
	operands []string
	now      textState
	saved    []textState
	shown    []byte
	at       [2]float64
	texts    []Text
}

type textState struct {
	matrix [6]float64
	font   string
	size   float64
}

func (r *textReader) token(token string, text []byte) {
	if text != nil {
		r.shown = text
		return
	}
	switch token {
	case "q":
		if len(r.saved) < deepestState { // the rules refuse what is deeper
			r.saved = append(r.saved, r.now)
		}
	case "Q":
		if n := len(r.saved); n > 0 {
			r.now, r.saved = r.saved[n-1], r.saved[:n-1]
		}
	case "cm":
		r.now.matrix = r.multiplied(r.numbers(6))
	case "Tf":
		if n := len(r.operands); n >= 2 {
			r.now.font = r.names[strings.TrimPrefix(r.operands[n-2], "/F")]
			r.now.size = r.numbers(1)[0]
		}
	case "Td":
		copy(r.at[:], r.numbers(2))
	case "Tj":
		r.show()
	default:
		const taken = 6 // is the most that an operator which is read takes
		if len(r.operands) == mostOperands {
			r.operands = append(r.operands[:0], r.operands[mostOperands-taken:]...)
		}
		r.operands = append(r.operands, token)
		return
	}
	r.operands = r.operands[:0]
}

// numbers returns the last operands as numbers.
func (r *textReader) numbers(count int) []float64 {
	values := make([]float64, count)
	for i := range values {
		if k := len(r.operands) - count + i; k >= 0 {
			values[i], _ = strconv.ParseFloat(r.operands[k], 64) // what is no number counts as zero
		}
	}
	return values
}

// multiplied is the transformation after a further one before it.
func (r *textReader) multiplied(by []float64) [6]float64 {
	m := r.now.matrix
	return [6]float64{
		by[0]*m[0] + by[1]*m[2], by[0]*m[1] + by[1]*m[3],
		by[2]*m[0] + by[3]*m[2], by[2]*m[1] + by[3]*m[3],
		by[4]*m[0] + by[5]*m[2] + m[4], by[4]*m[1] + by[5]*m[3] + m[5],
	}
}

func (r *textReader) show() {
	m := r.now.matrix
	r.texts = append(r.texts, Text{
		X: r.at[0]*m[0] + r.at[1]*m[2] + m[4], Y: r.at[0]*m[1] + r.at[1]*m[3] + m[5],
		Size: r.now.size, Turned: m[1] != 0, Font: r.now.font, Text: strings.TrimRight(ofUTF16(r.shown), " "),
	})
}

// PageText joins the texts of a page, each on a line.
func PageText(texts []Text) string {
	var b bytes.Buffer
	for _, t := range texts {
		b.WriteString(t.Text)
		b.WriteByte('\n')
	}
	return b.String()
}
