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
	Name     string // number and revision
	Draft    bool
	Evidence string // how much of it the document carries: a level of package evidence
	Digest   string // SHA-256 of the manifest of the input files, hexadecimal

	Program string // what made it, with its version; only read
}

// The types of reports in the metadata.
const (
	issuedType = "test report"
	draftType  = "draft of a test report"
)

// What stands before the values that have no element of their own in the metadata.
const (
	evidencePrefix = "evidence: "
	digestPrefix   = "manifest of the input files, SHA-256: "
)

func (i Identity) kind() string {
	if i.Draft {
		return draftType
	}
	return issuedType
}

// largestPacket is more than the metadata of any report.
const largestPacket = 1 << 16

// IdentityOf reads the identity of a report out of its metadata: those that its
// catalog names, and not what a picture in it carries. A report of an earlier version
// of the program, which says what made it and not which it is, counts as issued. It
// is not found where the document was made by another program; the error says why a
// document cannot be judged.
func IdentityOf(document []byte) (is Identity, found bool, err error) {
	f, err := parse(document)
	if err != nil {
		return is, false, err
	}
	ref := metadataOf.FindSubmatch(f.objects[f.root-1])
	if ref == nil {
		return is, false, nil
	}
	holder, err := f.object(string(ref[1]))
	if err != nil {
		return is, false, err
	}
	begin := bytes.Index(holder, []byte("<x:xmpmeta"))
	end := bytes.LastIndex(holder, []byte("</x:xmpmeta>"))
	if begin < 0 || end < begin || end-begin > largestPacket {
		return is, false, errors.New("its metadata cannot be read")
	}
	return identityIn(holder[begin : end+len("</x:xmpmeta>")])
}

// identityIn reads the identity out of a packet of metadata.
func identityIn(metadata []byte) (is Identity, found bool, err error) {
	packet := xml.NewDecoder(bytes.NewReader(metadata))
	var inside []string
	made := ""
	for {
		token, err := packet.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Identity{}, false, err
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
				case "relation":
					is.Evidence += strings.TrimPrefix(text, strings.TrimSpace(evidencePrefix))
				case "source":
					is.Digest += strings.TrimPrefix(text, strings.TrimSpace(digestPrefix))
				case "CreatorTool":
					made += text
				}
			}
		}
	}
	is.Program, is.Evidence, is.Digest = made, strings.TrimSpace(is.Evidence), strings.TrimSpace(is.Digest)
	return is, strings.HasPrefix(made, "fieldheld "), nil
}
