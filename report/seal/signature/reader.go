package signature

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"sort"
	"strconv"
)

// reader knows of a document what its continuation needs.
type reader struct {
	table      int    // offset of the last table of objects
	size       int    // one more than the highest number of an object
	root, info int    // numbers of catalog and document information
	id         string // first half of the identity, hexadecimal
	catalog    []byte
	document   []byte
	offsets    map[int]int    // of the objects of the last revision that has them
	bodies     map[int][]byte // of the objects that were read
}

var (
	ending     = regexp.MustCompile(`startxref\n(\d{1,12})\n%%EOF\n$`)
	trailer    = regexp.MustCompile(`^trailer\n<</Size (\d+) /Root (\d+) 0 R /Info (\d+) 0 R /ID \[<([0-9a-f]+)> <[0-9a-f]+>\](?: /Prev (\d+))?(?: /XRefStm \d+)?>>\n`)
	section    = regexp.MustCompile(`^(\d{1,9}) (\d{1,9})\n`)
	pagesEntry = regexp.MustCompile(`/Pages (\d+) 0 R`)
	firstKid   = regexp.MustCompile(`/Kids \[(\d+) 0 R`)
)

var errForm = errors.New("the file is not written as the program writes a report")

// What is read of a document, like the limits of package archive.
const (
	mostObjects = 1 << 20
	mostTables  = 64 // of a report and its signatures
)

// open reads the tables and the catalog of a document.
func open(document []byte) (*reader, error) {
	const longestEnding = 64
	end := ending.FindSubmatch(document[max(0, len(document)-longestEnding):])
	if end == nil {
		return nil, errForm
	}
	r := &reader{table: whole(end[1]), document: document, offsets: map[int]int{}, bodies: map[int][]byte{}}
	previous, err := r.readTable(r.table, true)
	for count := 1; err == nil && previous > 0; count++ {
		if count > mostTables {
			return nil, fmt.Errorf("the file was continued more than %d times", mostTables)
		}
		previous, err = r.readTable(previous, false)
	}
	if err != nil {
		return nil, err
	}
	r.catalog, err = r.body(r.root)
	return r, err
}

// whole reads digits; 0 where they are no number.
func whole(digits []byte) int {
	n, err := strconv.Atoi(string(digits))
	if err != nil {
		return 0
	}
	return n
}

// readTable notes the offsets of a table that a later one does not give, and
// returns the offset of the table before it, 0 for none.
func (r *reader) readTable(at int, last bool) (previous int, err error) {
	if at <= 0 || at >= len(r.document) || !bytes.HasPrefix(r.document[at:], []byte("xref\n")) {
		return 0, errForm
	}
	rest := r.document[at+len("xref\n"):]
	const entry = 20 // bytes of an entry
	for {
		head := section.FindSubmatch(rest[:min(len(rest), 24)])
		if head == nil {
			break
		}
		first, count := whole(head[1]), whole(head[2])
		if rest = rest[len(head[0]):]; len(rest) < count*entry || len(r.offsets)+count > mostObjects {
			return 0, errForm
		}
		for i := range count {
			if _, known := r.offsets[first+i]; !known {
				r.offsets[first+i] = whole(rest[i*entry : i*entry+10])
			}
		}
		rest = rest[count*entry:]
	}
	const longestTrailer = 400
	parts := trailer.FindSubmatch(rest[:min(len(rest), longestTrailer)])
	if parts == nil {
		return 0, errForm
	}
	if last {
		r.size, r.root, r.info, r.id = whole(parts[1]), whole(parts[2]), whole(parts[3]), string(parts[4])
	}
	if previous = whole(parts[5]); previous >= at {
		return 0, errForm // tables that follow each other backwards end
	}
	return previous, nil
}

// body returns an object that has no stream.
func (r *reader) body(number int) ([]byte, error) {
	head := fmt.Appendf(nil, "%d 0 obj\n", number)
	at := r.offsets[number]
	if at <= 0 || at >= len(r.document) || !bytes.HasPrefix(r.document[at:], head) {
		return nil, fmt.Errorf("object %d does not stand where the table says", number)
	}
	body, _, ok := bytes.Cut(r.document[at+len(head):], []byte("\nendobj\n"))
	if !ok {
		return nil, fmt.Errorf("object %d does not end", number)
	}
	r.bodies[number] = body
	return body, nil
}

// firstPage returns the number of the first page, whose body has been read then.
func (r *reader) firstPage() (int, error) {
	pages := pagesEntry.FindSubmatch(r.catalog)
	if pages == nil {
		return 0, errForm
	}
	tree, err := r.body(whole(pages[1]))
	if err != nil {
		return 0, err
	}
	kid := firstKid.FindSubmatch(tree)
	if kid == nil {
		return 0, errForm
	}
	number := whole(kid[1])
	_, err = r.body(number)
	return number, err
}

func sortedKeys(m map[int]int) []int {
	keys := make([]int, 0, len(m))
	for key := range m {
		keys = append(keys, key)
	}
	sort.Ints(keys)
	return keys
}
