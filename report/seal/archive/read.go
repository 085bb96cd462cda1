package archive

import (
	"bytes"
	"compress/zlib"
	"encoding/hex"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
)

// Contents is what was read back from a file of this package.
type Contents struct {
	Files []Attachment
	End   int // bytes of the first revision; what follows was added later
}

var (
	associatedFiles = regexp.MustCompile(`/AF \[((?:\d+ 0 R ?)*)\]`)
	referenced      = regexp.MustCompile(`(\d+) 0 R`)
	specification   = regexp.MustCompile(
		`(?s)^<</Type /Filespec /F (.*) /UF (.*) /AFRelationship /(\w+) /Desc (.*) /EF <</F (\d+) 0 R /UF \d+ 0 R>>>>$`)
	embedded = regexp.MustCompile(`^<</Type /EmbeddedFile /Subtype /(\S+) /Params <</Size (\d+) `)
)

// Read takes the attached files out of a file that Write made. Of a file that
// was continued later it reads the first revision. Files of more than limit
// bytes together, and of more than LargestFiles, are refused.
func Read(data []byte, limit int64) (*Contents, error) {
	f, err := parse(data)
	if err != nil {
		return nil, err
	}
	limit = min(limit, LargestFiles)
	c := &Contents{End: f.end}
	list := associatedFiles.FindSubmatch(f.objects[f.root-1])
	if list == nil {
		return c, nil
	}
	for _, ref := range referenced.FindAllSubmatch(list[1], -1) {
		a, err := f.attachment(string(ref[1]), limit)
		if err != nil {
			return nil, err
		}
		limit -= int64(len(a.Data))
		c.Files = append(c.Files, a)
	}
	return c, nil
}

// object returns the body of the object with the number.
func (f *file) object(number string) ([]byte, error) {
	n, err := strconv.Atoi(number)
	if err != nil || n < 1 || n > len(f.objects)+len(f.hidden) {
		return nil, fmt.Errorf("the file has no object %s", number)
	}
	if n > len(f.objects) {
		return f.hidden[n-len(f.objects)-1], nil
	}
	return f.objects[n-1], nil
}

func (f *file) attachment(number string, limit int64) (Attachment, error) {
	body, err := f.object(number)
	if err != nil {
		return Attachment{}, err
	}
	parts := specification.FindSubmatch(body)
	if parts == nil {
		return Attachment{}, fmt.Errorf("object %s does not describe an attached file", number)
	}
	a := Attachment{Relationship: string(parts[3])}
	if a.Name, err = ReadTextString(string(parts[2])); err != nil {
		return a, err
	}
	if a.Description, err = ReadTextString(string(parts[4])); err != nil {
		return a, err
	}
	holder, err := f.object(string(parts[5]))
	if err != nil {
		return a, err
	}
	entries := embedded.FindSubmatch(holder)
	if entries == nil {
		return a, fmt.Errorf("attached file %s: object %s does not hold it", a.Name, parts[5])
	}
	a.MIME = readName(string(entries[1]))
	stated, err := strconv.ParseInt(string(entries[2]), 10, 64)
	if err != nil || stated > limit {
		return a, fmt.Errorf("attached file %s: it states %s bytes, more than the %d that are read", a.Name, entries[2], limit)
	}
	if a.Data, err = inflate(holder, stated); err != nil {
		return a, fmt.Errorf("attached file %s, which states %d bytes: %w", a.Name, stated, err)
	}
	if int64(len(a.Data)) != stated {
		return a, fmt.Errorf("attached file %s: found %d bytes, expected %d", a.Name, len(a.Data), stated)
	}
	return a, nil
}

// inflate returns the data of a compressed stream object.
func inflate(body []byte, limit int64) ([]byte, error) {
	d := dictionary(body)
	return unzip(bytes.TrimPrefix(body[len(d):], []byte("\nstream\n")), limit)
}

// unzip unpacks data of at most limit bytes.
func unzip(packed []byte, limit int64) ([]byte, error) {
	z, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, fmt.Errorf("cannot be unpacked: %w", err)
	}
	data, err := io.ReadAll(io.LimitReader(z, limit+1))
	if err != nil {
		return nil, fmt.Errorf("cannot be unpacked: %w", err)
	}
	if int64(len(data)) > limit {
		return nil, fmt.Errorf("is larger when unpacked than the %d bytes that are read of it", limit)
	}
	return data, z.Close()
}

// readName reads a name as name writes it, without its slash.
func readName(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '#' && i+2 < len(s) {
			if raw, err := hex.DecodeString(s[i+1 : i+3]); err == nil {
				b.Write(raw)
				i += 2
				continue
			}
		}
		b.WriteByte(s[i])
	}
	return b.String()
}
