package table

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"strings"

	"fieldheld/ingest/place"
	"fieldheld/templates/wording"
)

// Limits on workbooks, so that no file can claim more memory than it is worth.
const (
	mostPacked   = 256 << 20 // the file itself
	mostUnpacked = 1 << 30   // all parts together
	mostOther    = 64 << 20  // the parts that hold no cells, together
)

// part is what is known of one part of a workbook after it was read through.
type part struct {
	sheet   bool         // its first element is that of a sheet
	ended   bool         // and it is closed at the end
	lastRow int          // number of its last row
	fault   wording.Text // why its rows cannot be told apart
}

// proveWhole reads every part of the archive to its end, against its size and
// checksum. The library that gives the cells takes a damaged workbook for a
// shorter one, so that this has to come first.
func proveWhole(where place.Place, archive *zip.Reader, packed int) (map[string]part, error) {
	parts := map[string]part{}
	all, other := int64(0), int64(0)
	most := min(mostUnpacked, max(ratioCounts, int64(packed)*mostRatio))
	var count markupCount
	for _, entry := range archive.File {
		name := strings.ToLower(strings.ReplaceAll(entry.Name, "\\", "/"))
		cells := strings.HasPrefix(name, "xl/worksheets/") || name == "xl/sharedstrings.xml"
		room := most - all
		if !cells {
			room = min(room, mostOther-other)
		}
		if name == "xl/sharedstrings.xml" {
			room = min(room, mostOfString)
		}
		p, size, err := readPart(entry, name, cells, room, &count)
		switch {
		case errors.Is(err, errTooLarge):
			return nil, tooLarge(where, entry.Name)
		case err != nil:
			if what, is := asTooMuch(err); is {
				return nil, tooMuch(where, entry.Name, what)
			}
			return nil, damaged(where, wording.Say("workbook.part-damaged", wording.Values{"part": Clean(entry.Name), "error": Clean(err.Error())}))
		}
		if all += size; !cells {
			other += size
		}
		parts[name] = p
	}
	if _, ok := parts["xl/workbook.xml"]; !ok {
		return nil, place.NewError(where, wording.Say("workbook.zip", nil))
	}
	return parts, nil
}

var errTooLarge = errors.New("too large")

// readPart reads one part of the archive and looks at it as a sheet.
func readPart(entry *zip.File, name string, cells bool, room int64, count *markupCount) (part, int64, error) {
	if entry.UncompressedSize64 > uint64(room) {
		return part{}, 0, errTooLarge
	}
	r, err := entry.Open()
	if err != nil {
		return part{}, 0, err
	}
	defer r.Close()
	var s sheetScan
	var m markupScan
	into := io.Writer(&s)
	if markup := strings.HasSuffix(name, ".xml") || strings.HasSuffix(name, ".rels"); markup {
		into = io.MultiWriter(&s, &m)
	}
	size, err := io.Copy(into, io.LimitReader(r, room+1))
	if err == nil && size > room {
		err = errTooLarge
	}
	if err == nil {
		err = count.add(name, cells, &m)
	}
	return s.finish(), size, err
}

// sheetPart returns what is known of the part that a sheet is stored in, or what is
// wrong with it.
func sheetPart(archive *zip.Reader, relation string, parts map[string]part) (found part, fault wording.Text) {
	target, fault := relationTarget(archive, relation)
	if !fault.IsZero() {
		return part{}, fault
	}
	name := strings.ToLower(strings.TrimPrefix(path.Join("xl", target), "/"))
	if strings.HasPrefix(target, "/") {
		name = strings.ToLower(strings.TrimPrefix(path.Clean(target), "/"))
	}
	p, ok := parts[name]
	switch {
	case !ok:
		return part{}, wording.Say("workbook.part-missing", wording.Values{"part": Clean(name)})
	case !p.sheet:
		return part{}, wording.Say("workbook.no-cells", nil)
	case !p.ended:
		return part{}, wording.Say("workbook.no-end", nil)
	case !p.fault.IsZero():
		return part{}, p.fault
	}
	return p, wording.Text{}
}

// relationTarget looks up where the workbook says that a sheet is stored.
func relationTarget(archive *zip.Reader, id string) (target string, fault wording.Text) {
	r, err := archive.Open("xl/_rels/workbook.xml.rels")
	if err != nil {
		return "", wording.Say("workbook.no-parts", nil)
	}
	defer r.Close()
	var list struct {
		Relationship []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		}
	}
	if err := xml.NewDecoder(r).Decode(&list); err != nil {
		return "", wording.Say("workbook.list-unreadable", wording.Values{"error": err})
	}
	for _, relation := range list.Relationship {
		if relation.ID == id {
			return relation.Target, wording.Text{}
		}
	}
	return "", wording.Say("workbook.sheet-not-stored", nil)
}

func damaged(where place.Place, fault wording.Text) error {
	return place.NewError(where, wording.Say("workbook.damaged", wording.Values{"fault": fault}))
}

func tooMuch(where place.Place, name string, what wording.Text) error {
	return place.NewError(where, wording.Say("workbook.too-much", wording.Values{"part": Clean(name), "what": what}))
}

func tooLarge(where place.Place, name string) error {
	return place.NewError(where, wording.Say("workbook.too-large", wording.Values{"part": Clean(name), "sheets": mostUnpacked >> 20, "other": mostOther >> 20}))
}
