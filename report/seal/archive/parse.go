package archive

import (
	"bytes"
	"errors"
	"fmt"
	"sort"
	"strconv"
	"strings"
)

// file is a PDF file taken apart: the bodies of its objects, without the words
// "obj" and "endobj", and which of them are catalog and document information.
type file struct {
	objects    [][]byte
	hidden     [][]byte // those of the logical structure, numbered behind the others; they stand in one of these
	root, info int      // numbers
	end        int      // offset behind the end mark of this revision
}

var errNoTable = errors.New("the file has no table of objects that can be read")

// parse reads a file with one classic table of objects. Of a file that was
// continued, by a signature for example, it reads the first revision.
func parse(data []byte) (*file, error) {
	if len(data) > largestFile {
		return nil, fmt.Errorf("the file has %d bytes; at most %d are read", len(data), largestFile)
	}
	begin, end, err := firstTable(data)
	if err != nil {
		return nil, err
	}
	offsets, rest, err := tableOffsets(data[begin:end])
	if err != nil {
		return nil, err
	}
	f := &file{end: end}
	if f.root, err = reference(rest, "/Root "); err != nil {
		return nil, err
	}
	if f.info, err = reference(rest, "/Info "); err != nil {
		return nil, err
	}
	for i, from := range offsets {
		if from <= 0 || from >= begin {
			return nil, fmt.Errorf("object %d lies outside the file", i+1)
		}
	}
	sorted := append([]int{begin}, offsets...)
	sort.Ints(sorted)
	f.objects = make([][]byte, len(offsets))
	for i, from := range offsets {
		body := bytes.TrimSpace(data[from:sorted[sort.SearchInts(sorted, from+1)]])
		head := []byte(strconv.Itoa(i+1) + " 0 obj")
		if !bytes.HasPrefix(body, head) || !bytes.HasSuffix(body, []byte("endobj")) {
			return nil, fmt.Errorf("object %d does not stand where the table says", i+1)
		}
		f.objects[i] = bytes.TrimSpace(body[len(head) : len(body)-len("endobj")])
	}
	for _, n := range []int{f.root, f.info} {
		if n < 1 || n > len(f.objects) {
			return nil, fmt.Errorf("the trailer names object %d, of %d", n, len(f.objects))
		}
	}
	if bytes.Contains(rest[:bytes.Index(rest, []byte(">>\nstartxref"))+1], []byte("/XRefStm ")) {
		return f, f.unhide()
	}
	return f, nil
}

// all are all objects, the hidden ones too.
func (f *file) all() [][]byte {
	return append(f.objects[:len(f.objects):len(f.objects)], f.hidden...)
}

var (
	hiddenStart      = []byte("<</Type /ObjStm ")
	hiddenTableStart = []byte("<</Type /XRef ")
)

// unhide reads the objects that stand in a stream of objects, as addStructure writes it.
func (f *file) unhide() error {
	n := len(f.objects)
	if n < 2 || !bytes.HasPrefix(f.objects[n-2], hiddenStart) || !bytes.HasPrefix(f.objects[n-1], hiddenTableStart) {
		return errors.New("the hidden objects do not stand where the program writes them")
	}
	holder := f.objects[n-2]
	count, err := reference(dictionary(holder), "/N ")
	if err != nil {
		return err
	}
	first, err := reference(dictionary(holder), "/First ")
	if err != nil {
		return err
	}
	data, err := inflate(holder, largestStructure)
	if err != nil {
		return err
	}
	if first < 0 || first > len(data) || count < 0 || count > mostObjects {
		return errors.New("the stream of hidden objects does not hold what it says")
	}
	places := strings.Fields(string(data[:first]))
	if len(places) != 2*count {
		return errors.New("the stream of hidden objects does not say where they stand")
	}
	offsets := make([]int, count+1)
	offsets[count] = len(data) - first
	for i := range count {
		number, wrong := strconv.Atoi(places[2*i])
		offset, wrongToo := strconv.Atoi(places[2*i+1])
		if wrong != nil || wrongToo != nil || number != n+1+i || offset < 0 || offset > len(data)-first || i > 0 && offset < offsets[i-1] {
			return fmt.Errorf("hidden object %d does not stand where the stream says", i+1)
		}
		offsets[i] = offset
	}
	for i := range count {
		f.hidden = append(f.hidden, bytes.TrimSpace(data[first+offsets[i]:first+offsets[i+1]]))
	}
	return nil
}

// OurForm reports whether a file has the form that Write gives, though its
// contents may be damaged: another program that saves a file gives it its own.
func OurForm(data []byte) bool {
	if !bytes.HasPrefix(data, []byte(header)) {
		return false
	}
	_, err := parse(data)
	return err == nil
}

// firstTable finds the first table of objects: where it begins, and where the
// revision ends that it belongs to.
func firstTable(data []byte) (begin, end int, err error) {
	mark := []byte("startxref\n")
	for at := 0; ; {
		i := bytes.Index(data[at:], mark)
		if i < 0 {
			return 0, 0, errNoTable
		}
		at += i + len(mark)
		line, tail, found := bytes.Cut(data[at:min(at+40, len(data))], []byte("\n"))
		offset, err := strconv.Atoi(string(line))
		if !found || err != nil || !bytes.HasPrefix(tail, []byte("%%EOF")) {
			continue
		}
		if offset <= 0 || offset >= at || !bytes.HasPrefix(data[offset:], []byte("xref\n")) {
			continue
		}
		end = at + len(line) + 1 + len("%%EOF")
		if end < len(data) && data[end] == '\n' {
			end++
		}
		return offset, end, nil
	}
}

// tableOffsets reads the table and returns the offsets of objects 1, 2, … and
// what follows the table.
func tableOffsets(table []byte) (offsets []int, rest []byte, err error) {
	lines := bytes.SplitN(table, []byte("\n"), 3)
	if len(lines) < 3 {
		return nil, nil, errNoTable
	}
	var first, count int
	if _, err := fmt.Sscanf(string(lines[1]), "%d %d", &first, &count); err != nil || first != 0 || count < 2 {
		return nil, nil, errNoTable
	}
	const entry = 20 // bytes of an entry
	rest = lines[2]
	if count > mostObjects {
		return nil, nil, fmt.Errorf("the file has %d objects; at most %d are read", count, mostObjects)
	}
	if len(rest) < count*entry {
		return nil, nil, errNoTable
	}
	offsets = make([]int, 0, count)
	for i := 1; i < count; i++ {
		offset, err := strconv.Atoi(string(rest[i*entry : i*entry+10]))
		if err != nil {
			return nil, nil, errNoTable
		}
		offsets = append(offsets, offset)
	}
	return offsets, rest[count*entry:], nil
}

// reference returns the number of the object that an entry refers to.
func reference(dictionary []byte, key string) (int, error) {
	_, after, found := bytes.Cut(dictionary, []byte(key))
	if !found {
		return 0, fmt.Errorf("there is no entry %s", key)
	}
	number, _, _ := bytes.Cut(after, []byte(" "))
	n, err := strconv.Atoi(string(number))
	if err != nil {
		return 0, fmt.Errorf("the entry %s refers to no object", key)
	}
	return n, nil
}

// dictionary is the part of an object before its stream.
func dictionary(body []byte) []byte {
	if i := bytes.Index(body, []byte("\nstream\n")); i >= 0 {
		return body[:i]
	}
	return body
}
