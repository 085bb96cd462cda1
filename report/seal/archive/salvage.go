package archive

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"strconv"
)

// ErrEncrypted says that a file is encrypted, which no report is.
var ErrEncrypted = errors.New("the file is encrypted")

// Salvage takes the attached files out of a PDF file that another program wrote,
// in whatever order and form of tables. It looks for the objects themselves, and
// believes nothing else of the file: what it finds has to be compared with its
// digests. Only names and data of the files are filled in. Files of more than
// limit bytes together, and of more than LargestFiles, are refused.
func Salvage(data []byte, limit int64) ([]Attachment, error) {
	if len(data) > largestFile {
		return nil, fmt.Errorf("the file has %d bytes; at most %d are read", len(data), largestFile)
	}
	if encryption.Match(data) {
		return nil, ErrEncrypted
	}
	s := &salvager{data: data, bodies: map[int][]byte{}, streams: map[int][]byte{}, left: largestContents}
	if err := s.objects(); err != nil {
		return nil, err
	}
	limit = min(limit, LargestFiles)
	var files []Attachment
	for _, number := range s.order {
		a, ok, err := s.attachment(s.bodies[number], limit)
		if err != nil {
			return nil, err
		}
		if ok {
			limit -= int64(len(a.Data))
			files = append(files, a)
		}
	}
	return files, nil
}

var (
	encryption  = regexp.MustCompile(`/Encrypt\s+\d+\s+\d+\s+R|/Encrypt\s*<<`)
	objectBegin = regexp.MustCompile(`(?:^|[\s>])(\d{1,7})\s+\d{1,5}\s+$`)
	lengthOf    = regexp.MustCompile(`/Length\s+(\d{1,10})(\s+\d+\s+R)?`)
	countOf     = regexp.MustCompile(`/N\s+(\d{1,7})\b`)
	firstOf     = regexp.MustCompile(`/First\s+(\d{1,9})\b`)
	embeddedIn  = regexp.MustCompile(`/EF\s*<<[^>]*/U?F\s+(\d{1,7})\s+\d+\s+R`)
	unicodeName = regexp.MustCompile(`/UF\s*[(<]`)
	plainName   = regexp.MustCompile(`/F\s*[(<]`)
)

// salvager holds the objects that were found, the last one of each number.
type salvager struct {
	data    []byte
	bodies  map[int][]byte // without streams
	streams map[int][]byte // as they are packed
	order   []int
	left    int64 // how many bytes object streams may still grow to

	endAt, streamAt found // where the words were found last
}

// objects finds every object, and those in streams of objects.
func (s *salvager) objects() error {
	for at := 0; at < len(s.data); {
		number, body := s.nextObject(at)
		if body < 0 {
			break
		}
		at = s.object(number, body)
		if len(s.order) > mostObjects {
			return fmt.Errorf("the file has more than %d objects", mostObjects)
		}
	}
	for _, number := range append([]int(nil), s.order...) {
		if bytes.Contains(s.bodies[number], []byte("/ObjStm")) {
			if err := s.unpack(number); err != nil {
				return fmt.Errorf("the objects in object %d: %w", number, err)
			}
		}
	}
	return nil
}

// nextObject finds the next head of an object, "12 0 obj", from an offset on, and
// returns its number and where its body begins; -1 where there is none. It looks for
// the word and then at the few letters before it: a file of any other kind is gone
// through at once.
func (s *salvager) nextObject(at int) (number, body int) {
	const longest = 40 // of the numbers and blanks before the word
	word := []byte("obj")
	for {
		next := bytes.Index(s.data[at:], word)
		if next < 0 {
			return 0, -1
		}
		begin, end := at+next, at+next+len(word)
		m := objectBegin.FindSubmatch(s.data[max(at, begin-longest):begin])
		if m != nil && (end == len(s.data) || !isWord(s.data[end])) {
			if number, err := strconv.Atoi(string(m[1])); err == nil {
				return number, end
			}
		}
		at = end
	}
}

func isWord(c byte) bool {
	return c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c == '_'
}

// bodyEnd finds where the body of an object ends, at the word that begins its
// stream or ends the object, and where that word does; nil where it does not.
func (s *salvager) bodyEnd(at int) []int {
	ends := s.nextWord(&s.endAt, at, "endobj")
	streams := at
	for {
		begin := s.nextWord(&s.streamAt, streams, "stream")
		if begin < 0 || ends >= 0 && ends < begin {
			if ends < 0 {
				return nil
			}
			return []int{ends, ends + len("endobj")}
		}
		rest := s.data[begin+len("stream"):]
		switch {
		case begin > 0 && isWord(s.data[begin-1]): // endstream
		case bytes.HasPrefix(rest, []byte("\r\n")):
			return []int{begin, begin + len("stream") + 2}
		case bytes.HasPrefix(rest, []byte("\n")):
			return []int{begin, begin + len("stream") + 1}
		}
		streams = begin + 1
	}
}

// nextWord finds a word from an offset on, -1 for nowhere. Where it was found last is
// kept, so that a file without the word is gone through once.
func (s *salvager) nextWord(last *found, at int, word string) int {
	if last.known && at >= last.from && (last.at < 0 || at <= last.at) {
		return last.at
	}
	*last = found{known: true, from: at, at: bytes.Index(s.data[at:], []byte(word))}
	if last.at >= 0 {
		last.at += at
	}
	return last.at
}

// found is where a word stands first from an offset on; -1 for nowhere.
type found struct {
	known    bool
	from, at int
}

// object notes the object whose body begins at an offset, and returns where the
// next one may begin.
func (s *salvager) object(number, at int) int {
	end := s.bodyEnd(at)
	if end == nil {
		return len(s.data)
	}
	body, next := s.data[at:end[0]], end[1]
	s.note(number, body)
	delete(s.streams, number)
	if s.data[end[0]] == 'e' {
		return next
	}
	length := -1
	if m := lengthOf.FindSubmatch(body); m != nil && m[2] == nil {
		if n, err := strconv.Atoi(string(m[1])); err == nil && n <= len(s.data)-next {
			length = n
		}
	}
	word := []byte("endstream")
	if length < 0 || !bytes.HasPrefix(bytes.TrimLeft(s.data[next+length:min(len(s.data), next+length+len(word)+2)], "\r\n"), word) {
		if length = bytes.Index(s.data[next:], word); length < 0 {
			return len(s.data)
		}
	}
	s.streams[number] = s.data[next : next+length]
	return next + length
}

func (s *salvager) note(number int, body []byte) {
	if _, known := s.bodies[number]; !known {
		s.order = append(s.order, number)
	}
	s.bodies[number] = body
}

// unpack notes the objects in a stream of objects.
func (s *salvager) unpack(number int) error {
	body := s.bodies[number]
	data, err := s.unpacked(number, s.left)
	if err != nil {
		return err
	}
	s.left -= int64(len(data))
	count, first := countOf.FindSubmatch(body), firstOf.FindSubmatch(body)
	if count == nil || first == nil {
		return errors.New("it does not say how many there are")
	}
	n, err := strconv.Atoi(string(count[1]))
	if err != nil {
		return err
	}
	begin, err := strconv.Atoi(string(first[1]))
	if err != nil || begin > len(data) {
		return errors.New("they begin behind its end")
	}
	words := bytes.Fields(data[:begin])
	if n > len(words)/2 || len(s.order)+n > mostObjects {
		return errors.New("there are fewer than it says, or too many")
	}
	offset := func(i int) int {
		if i == n {
			return len(data)
		}
		at, err := strconv.Atoi(string(words[2*i+1]))
		if err != nil || at < 0 || at > len(data)-begin {
			return len(data)
		}
		return begin + at
	}
	for i := range n {
		inner, err := strconv.Atoi(string(words[2*i]))
		if from, to := offset(i), offset(i+1); err == nil && from <= to {
			s.note(inner, data[from:to])
		}
	}
	return nil
}

// unpacked returns the data of a stream.
func (s *salvager) unpacked(number int, limit int64) ([]byte, error) {
	packed, ok := s.streams[number]
	body := s.bodies[number]
	switch {
	case !ok:
		return nil, fmt.Errorf("object %d has no data", number)
	case bytes.Contains(body, []byte("/Predictor")):
		return nil, fmt.Errorf("object %d is packed in a way that is not read", number)
	case bytes.Contains(body, []byte("/FlateDecode")):
		return unzip(packed, limit)
	case bytes.Contains(body, []byte("/Filter")):
		return nil, fmt.Errorf("object %d is packed in a way that is not read", number)
	case int64(len(packed)) > limit:
		return nil, fmt.Errorf("object %d is larger than the %d bytes that are read of it", number, limit)
	}
	return bytes.TrimSuffix(packed, []byte("\n")), nil
}

// attachment reads an attached file where a body describes one.
func (s *salvager) attachment(body []byte, limit int64) (a Attachment, ok bool, err error) {
	holder := embeddedIn.FindSubmatch(body)
	if holder == nil {
		return a, false, nil
	}
	name := unicodeName.FindIndex(body)
	if name == nil {
		name = plainName.FindIndex(body)
	}
	if name == nil || body[name[1]-1] == '<' && bytes.HasPrefix(body[name[1]:], []byte("<")) {
		return a, false, nil
	}
	a.Name = anyText(body[name[1]-1:])
	number, err := strconv.Atoi(string(holder[1]))
	if err != nil {
		return a, false, err
	}
	if a.Data, err = s.unpacked(number, limit); err != nil {
		return a, false, fmt.Errorf("attached file %s: %w", a.Name, err)
	}
	return a, true, nil
}

// anyText reads a text, literal or in digits, that begins at the first byte.
func anyText(data []byte) string {
	var raw []byte
	if data[0] == '<' {
		digits, _, _ := bytes.Cut(data[1:], []byte(">"))
		plain := bytes.Join(bytes.Fields(digits), nil)
		raw = make([]byte, hex.DecodedLen(len(plain)))
		n, err := hex.Decode(raw, plain)
		if err != nil {
			return ""
		}
		raw = raw[:n]
	} else {
		raw = literalBytes(data)
	}
	if !bytes.HasPrefix(raw, []byte("\xFE\xFF")) {
		return string(raw)
	}
	return ofUTF16(raw[2:])
}

// literalBytes reads a literal text with every escape that a PDF file knows.
func literalBytes(data []byte) []byte {
	var raw []byte
	depth := 0
	letters := map[byte]byte{'n': '\n', 'r': '\r', 't': '\t', 'b': '\b', 'f': '\f'}
	for i := 0; i < len(data); i++ {
		switch c := data[i]; {
		case c == '\\' && i+1 < len(data):
			i++
			if next := data[i]; next >= '0' && next <= '7' {
				value, k := 0, 0
				for ; k < 3 && i+k < len(data) && data[i+k] >= '0' && data[i+k] <= '7'; k++ {
					value = value*8 + int(data[i+k]-'0')
				}
				raw, i = append(raw, byte(value)), i+k-1
			} else if letter, ok := letters[next]; ok {
				raw = append(raw, letter)
			} else {
				raw = append(raw, next)
			}
		case c == '(':
			if depth++; depth > 1 {
				raw = append(raw, c)
			}
		case c == ')':
			if depth--; depth == 0 {
				return raw
			}
			raw = append(raw, c)
		default:
			raw = append(raw, c)
		}
	}
	return raw
}
