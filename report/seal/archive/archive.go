// Package archive brings a PDF file of the drawing library into its archival
// form, PDF/A-3 at conformance level U (ISO 19005-3, ISO 32000-1): a file that
// carries all it needs to be shown, and the files that it rests on.
//
// The library can neither write the header, the trailer and the catalog that
// the archival form asks for, nor attach files without breaking its links. The
// whole file is therefore written anew, which is quick: its objects are taken
// over, some of them amended, and new ones added. The result depends on the
// input alone; nothing comes from the clock or the machine.
package archive

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
	"strconv"
	"time"

	"fieldheld/report/structure"
)

// Document is what a file says of itself. Its dates are one and the same.
type Document struct {
	Title, Author, Subject, Keywords string
	Creator                          string   // the program that wrote the content
	Producer                         string   // what wrote the file
	Language                         string   // such as "en-GB"
	Identity                         Identity // of a report; the zero value of other papers
	Date                             time.Time
	Fonts                            []string           // PostScript names of the fonts, under which the library knows them too
	Structure                        *structure.Element // logical structure; nil for a file without tags
}

// Image is a raster image that the content draws as /Name.
type Image struct {
	Name          string
	Width, Height int    // pixels
	ColourSpace   string // DeviceRGB or DeviceGray
	Filter        string // DCTDecode or FlateDecode
	Data          []byte // encoded as the filter says, eight bits a component
}

// Attachment is a file that the document carries.
type Attachment struct {
	Name         string // relative path with forward slashes
	MIME         string // such as "text/csv"
	Relationship string // Source, Data, Alternative, Supplement or Unspecified
	Description  string
	Date         time.Time // zero: the document's
	Data         []byte
}

// Write writes the archival form of a file that the library made.
func Write(w io.Writer, made []byte, d Document, images []Image, files []Attachment) error {
	f, err := parse(made)
	if err != nil {
		return fmt.Errorf("write the archival form: %w", err)
	}
	e := &editor{file: f, document: d}
	for _, step := range []func() error{
		e.amendPages, e.amendFonts, e.amendOutline,
		func() error { return e.addImages(images) },
		func() error { return e.replaceEnds(files) },
		e.addStructure,
	} {
		if err := step(); err != nil {
			return fmt.Errorf("write the archival form: %w", err)
		}
	}
	if err := e.write(w); err != nil {
		return fmt.Errorf("write the archival form: %w", err)
	}
	return nil
}

// editor holds the objects of a file while they are amended. Object k has the
// index k−1.
type editor struct {
	file     *file
	document Document
}

// add appends an object and returns its number.
func (e *editor) add(body []byte) int {
	e.file.objects = append(e.file.objects, body)
	return len(e.file.objects)
}

// header marks the file as PDF 1.7 that holds bytes above 127.
const header = "%PDF-1.7\n%\xE2\xE3\xCF\xD3\n"

// counter counts what passes, and takes its digest.
type counter struct {
	w      io.Writer
	digest hash.Hash
	at     int
}

func (c *counter) Write(b []byte) (int, error) {
	n, err := c.w.Write(b)
	c.digest.Write(b[:n])
	c.at += n
	return n, err
}

// write writes header, objects, table of objects and trailer. The identity of
// the file is the digest of what stands before the table.
func (e *editor) write(w io.Writer) error {
	c := &counter{w: w, digest: sha256.New()}
	if _, err := io.WriteString(c, header); err != nil {
		return err
	}
	table := fmt.Appendf(nil, "xref\n0 %d\n0000000000 65535 f \n", len(e.file.objects)+1)
	hiddenTable := 0 // offset of the table of hidden objects, 0 for none
	for i, body := range e.file.objects {
		if bytes.HasPrefix(body, hiddenTableStart) {
			hiddenTable = c.at
		}
		table = fmt.Appendf(table, "%010d 00000 n \n", c.at)
		for _, part := range [][]byte{[]byte(strconv.Itoa(i+1) + " 0 obj\n"), body, []byte("\nendobj\n")} {
			if _, err := c.Write(part); err != nil {
				return err
			}
		}
	}
	begin := c.at
	id := c.digest.Sum(nil)[:16]
	further := ""
	if hiddenTable > 0 {
		further = fmt.Sprintf(" /XRefStm %d", hiddenTable)
	}
	trailer := fmt.Appendf(table, "trailer\n<</Size %d /Root %d 0 R /Info %d 0 R /ID [<%x> <%x>]%s>>\nstartxref\n%d\n%%%%EOF\n",
		len(e.file.objects)+len(e.file.hidden)+1, e.file.root, e.file.info, id, id, further, begin)
	_, err := c.Write(trailer)
	return err
}

// stream is the body of a stream object whose data are compressed.
func stream(entries string, data []byte) ([]byte, error) {
	var b bytes.Buffer
	z, err := zlib.NewWriterLevel(&b, zlib.DefaultCompression)
	if err != nil {
		return nil, err
	}
	if _, err := z.Write(data); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return plainStream(entries+" /Filter /FlateDecode", b.Bytes()), nil
}

// plainStream is the body of a stream object whose data stand as they are.
func plainStream(entries string, data []byte) []byte {
	body := fmt.Appendf(make([]byte, 0, len(data)+len(entries)+64), "<<%s /Length %d>>\nstream\n", entries, len(data))
	return append(append(body, data...), "\nendstream"...)
}
