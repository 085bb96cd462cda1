package signature

import (
	"bytes"
	"crypto"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"time"

	"fieldheld/report/seal/archive"
)

// update is an incremental update that holds a signature. The signature's own
// digits stand in data[from:to], between angle brackets; all else is signed.
type update struct {
	data     []byte
	from, to int
}

// newUpdate writes the update that follows a document, with zeros in the place
// of a message of the given length.
func newUpdate(before []byte, signer string, d Details, length int) (*update, error) {
	r, err := open(before)
	if err != nil {
		return nil, err
	}
	page, err := r.firstPage()
	if err != nil {
		return nil, err
	}
	w := &updateWriter{reader: r, before: len(before), offsets: map[int]int{}}
	field, dictionary := r.size, r.size+1
	catalog, count, err := withField(r.catalog, field)
	if err != nil {
		return nil, err
	}
	annotated, err := withAnnotation(r.bodies[page], field)
	if err != nil {
		return nil, err
	}
	w.object(r.root, catalog)
	w.object(page, annotated)
	// A field without extent is not drawn; its flags are "print" and "locked".
	w.object(field, fmt.Sprintf("<</Type /Annot /Subtype /Widget /FT /Sig /T (Signature%d) /V %d 0 R /F 132 /Rect [0 0 0 0] /P %d 0 R>>",
		count, dictionary, page))
	w.offsets[dictionary] = w.at()
	fmt.Fprintf(&w.buffer, "%d 0 obj\n<</Type /Sig /Filter /Adobe.PPKLite /SubFilter /ETSI.CAdES.detached\n/ByteRange ", dictionary)
	byteRange := w.buffer.Len()
	w.buffer.WriteString(rangeText(0, 0, 0))
	fmt.Fprintf(&w.buffer, "\n/M (D:%s+00'00')\n/Name %s\n", d.Time.Format(timeLayout), archive.TextString(signer))
	fmt.Fprintf(&w.buffer, "/Reason %s\n/Location %s\n/Contents <", archive.TextString(d.Reason), archive.TextString(d.Place))
	u := &update{from: w.buffer.Len(), to: w.buffer.Len() + 2*length}
	w.buffer.Write(bytes.Repeat([]byte("0"), 2*length))
	w.buffer.WriteString(">>>\nendobj\n")
	w.finish()
	u.data = w.buffer.Bytes()
	first, second := len(before)+u.from-1, len(before)+u.to+1 // the angle brackets are not signed
	copy(u.data[byteRange:], rangeText(first, second, len(before)+len(u.data)-second))
	return u, nil
}

const timeLayout = "20060102150405"

// rangeText writes which bytes are signed, always in the same width.
func rangeText(first, second, length int) string {
	text := fmt.Sprintf("[0 %d %d %d]", first, second, length)
	const width = 48
	return fmt.Sprintf("%-*s", width, text)
}

// readText reads the digits of a text string behind its mark; "" for what is none.
func readText(digits []byte) string {
	text, err := archive.ReadTextString("<FEFF" + string(digits) + ">")
	if err != nil {
		return ""
	}
	return text
}

// digest hashes what is signed: the document and the update, but for the place
// of the signature.
func (u *update) digest(before []byte, hash crypto.Hash) []byte {
	return digestOf(hash, before, u.data[:u.from-1], u.data[u.to+1:])
}

// fill puts the message into its place.
func (u *update) fill(message []byte) error {
	if hex.EncodedLen(len(message)) > u.to-u.from {
		return errors.New("the signature is longer than the place that was left for it; this is a fault of the program")
	}
	hex.Encode(u.data[u.from:], message)
	return nil
}

// sameBut reports whether data begin with the update, whatever stands in the
// place of the signature.
func (u *update) sameBut(data []byte) bool {
	return len(data) >= len(u.data) && bytes.Equal(data[:u.from], u.data[:u.from]) && bytes.Equal(data[u.to:len(u.data)], u.data[u.to:])
}

// found is what an update says that its reader cannot know.
type found struct {
	Details
	name    string
	message []byte // padded
}

var signatureObject = regexp.MustCompile(`/M \(D:(\d{14})\+00'00'\)\n/Name <FEFF([0-9A-F]*)>\n` +
	`/Reason <FEFF([0-9A-F]*)>\n/Location <FEFF([0-9A-F]*)>\n/Contents <([0-9a-f]*)>>>\nendobj\n`)

// findUpdate takes an update apart, which is at the begin of the data.
func findUpdate(data []byte) (*found, bool) {
	parts := signatureObject.FindSubmatch(data)
	if parts == nil {
		return nil, false
	}
	at, err := time.Parse(timeLayout, string(parts[1]))
	if err != nil {
		return nil, false
	}
	message, err := hex.DecodeString(string(parts[5]))
	if err != nil {
		return nil, false
	}
	details := Details{Time: at, Reason: readText(parts[3]), Place: readText(parts[4])}
	return &found{details, readText(parts[2]), message}, true
}

var formFields = []byte("/AcroForm <</Fields [")

// withField adds a field to the form of a catalog, and returns how many the
// form has then.
func withField(catalog []byte, field int) (string, int, error) {
	before, after, ok := bytes.Cut(catalog, formFields)
	if !ok {
		before, ok = bytes.CutSuffix(catalog, []byte(">>"))
		if !ok {
			return "", 0, errors.New("the catalog does not end as expected")
		}
		return fmt.Sprintf("%s%s%d 0 R] /SigFlags 3>>\n>>", before, formFields, field), 1, nil
	}
	list, after, ok := bytes.Cut(after, []byte("]"))
	if !ok {
		return "", 0, errors.New("the list of form fields does not end")
	}
	return fmt.Sprintf("%s%s%s %d 0 R]%s", before, formFields, list, field, after), bytes.Count(list, []byte(" R")) + 1, nil
}

// withAnnotation adds an annotation to a page.
func withAnnotation(page []byte, annotation int) (string, error) {
	list, contents := []byte("/Annots ["), []byte("/Contents ")
	if before, after, ok := bytes.Cut(page, list); ok {
		return fmt.Sprintf("%s%s%d 0 R %s", before, list, annotation, after), nil
	}
	if before, after, ok := bytes.Cut(page, contents); ok {
		return fmt.Sprintf("%s%s%d 0 R]\n%s%s", before, list, annotation, contents, after), nil
	}
	return "", errors.New("the first page has no place for a signature")
}

// updateWriter writes objects and their table behind a document.
type updateWriter struct {
	*reader
	before  int // bytes of the document
	buffer  bytes.Buffer
	offsets map[int]int
}

func (w *updateWriter) at() int { return w.before + w.buffer.Len() }

func (w *updateWriter) object(number int, body string) {
	w.offsets[number] = w.at()
	fmt.Fprintf(&w.buffer, "%d 0 obj\n%s\nendobj\n", number, body)
}

// finish writes table and trailer. The first half of the identity is that of
// the report, the second that of this revision.
func (w *updateWriter) finish() {
	id := digestOf(crypto.SHA256, []byte(w.id), w.buffer.Bytes())[:16]
	begin := w.at()
	w.buffer.WriteString("xref\n")
	for _, number := range sortedKeys(w.offsets) {
		fmt.Fprintf(&w.buffer, "%d 1\n%010d 00000 n \n", number, w.offsets[number])
	}
	fmt.Fprintf(&w.buffer, "trailer\n<</Size %d /Root %d 0 R /Info %d 0 R /ID [<%s> <%x>] /Prev %d>>\nstartxref\n%d\n%%%%EOF\n",
		w.size+2, w.root, w.info, w.id, id, w.table, begin)
}
