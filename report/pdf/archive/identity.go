package archive

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
)

// Identity is which report a document is. It stands in the metadata, so that
// nobody has to read it off a page.
type Identity struct {
	Name  string // number and revision
	Draft bool
}

// The types of reports in the metadata.
const (
	issuedType = "test report"
	draftType  = "draft of a test report"
)

func (i Identity) kind() string {
	if i.Draft {
		return draftType
	}
	return issuedType
}

// largestPacket is more than the metadata of any report.
const largestPacket = 1 << 16

// IdentityOf reads the identity of a report out of its metadata. A report of an
// earlier version of the program, which says what made it and not which it is,
// counts as issued. It is not found where the document is no report.
func IdentityOf(document []byte) (is Identity, found bool) {
	begin := bytes.Index(document, []byte("<x:xmpmeta"))
	if begin < 0 {
		return is, false
	}
	end := bytes.Index(document[begin:], []byte("</x:xmpmeta>"))
	if end < 0 || end > largestPacket {
		return is, false
	}
	packet := xml.NewDecoder(bytes.NewReader(document[begin : begin+end+len("</x:xmpmeta>")]))
	var inside []string
	made := ""
	for {
		token, err := packet.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Identity{}, false
		}
		switch t := token.(type) {
		case xml.StartElement:
			inside = append(inside, t.Name.Local)
		case xml.EndElement:
			inside = inside[:len(inside)-1]
		case xml.CharData:
			text := strings.TrimSpace(string(t))
			for _, name := range inside {
				switch name {
				case "identifier":
					is.Name += text
				case "type":
					is.Draft = is.Draft || text == draftType
				case "CreatorTool":
					made += text
				}
			}
		}
	}
	return is, strings.HasPrefix(made, "fieldheld ")
}
