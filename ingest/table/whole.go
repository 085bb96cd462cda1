package table

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"fieldheld/ingest/place"
)

// Limits on workbooks, so that no file can claim more memory than it is worth.
const (
	mostPacked   = 256 << 20 // the file itself
	mostUnpacked = 1 << 30   // all parts together
	mostOther    = 64 << 20  // the parts that hold no cells, together
)

// part is what is known of one part of a workbook after it was read through.
type part struct {
	sheet   bool   // its first element is that of a sheet
	ended   bool   // and it is closed at the end
	lastRow int    // number of its last row
	fault   string // why its rows cannot be told apart
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
			return nil, damaged(where, fmt.Sprintf("the part %s of the workbook is damaged: %s", Clean(entry.Name), Clean(err.Error())))
		}
		if all += size; !cells {
			other += size
		}
		parts[name] = p
	}
	if _, ok := parts["xl/workbook.xml"]; !ok {
		return nil, &place.Error{Messages: place.Messages{{
			Place: where, What: "the file is a zip archive, but no .xlsx workbook",
			Expected: "delimited text or an .xlsx workbook",
			Hint:     "unpack it first, or save the table as .xlsx",
		}}}
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

// sheetPart returns what is known of the part that a sheet is stored in.
func sheetPart(archive *zip.Reader, relation string, parts map[string]part) (part, error) {
	target, err := relationTarget(archive, relation)
	if err != nil {
		return part{}, err
	}
	name := strings.ToLower(strings.TrimPrefix(path.Join("xl", target), "/"))
	if strings.HasPrefix(target, "/") {
		name = strings.ToLower(strings.TrimPrefix(path.Clean(target), "/"))
	}
	p, ok := parts[name]
	switch {
	case !ok:
		return part{}, fmt.Errorf("the workbook lacks the part %s that the sheet is stored in", Clean(name))
	case !p.sheet:
		return part{}, errors.New("the sheet holds no cells: it is a chart or a dialogue")
	case !p.ended:
		return part{}, errors.New("the sheet breaks off: its end is missing")
	case p.fault != "":
		return part{}, errors.New(p.fault)
	}
	return p, nil
}

// relationTarget looks up where the workbook says that a sheet is stored.
func relationTarget(archive *zip.Reader, id string) (string, error) {
	r, err := archive.Open("xl/_rels/workbook.xml.rels")
	if err != nil {
		return "", errors.New("the workbook does not say where its sheets are stored")
	}
	defer r.Close()
	var list struct {
		Relationship []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		}
	}
	if err := xml.NewDecoder(r).Decode(&list); err != nil {
		return "", fmt.Errorf("the list of sheets cannot be read: %w", err)
	}
	for _, relation := range list.Relationship {
		if relation.ID == id {
			return relation.Target, nil
		}
	}
	return "", errors.New("the workbook does not say where the sheet is stored")
}

func damaged(where place.Place, what string) error {
	return &place.Error{Messages: place.Messages{{
		Place: where, What: what,
		Expected: "a whole workbook",
		Hint:     "copy the file again; if that does not help, open it in a spreadsheet program, look at it row by row and save it anew",
	}}}
}

func tooMuch(where place.Place, name, what string) error {
	return &place.Error{Messages: place.Messages{{
		Place: where, What: "the workbook holds more than a log of a test day can",
		Found:    "in the part " + Clean(name) + " " + what,
		Expected: "a sheet of at most some million cells",
		Hint:     "save the one sheet that is needed as a workbook of its own, or as delimited text",
	}}}
}

func tooLarge(where place.Place, name string) error {
	return &place.Error{Messages: place.Messages{{
		Place: where, What: "the workbook unpacks to more than a log of a test day can be",
		Found:    "the part " + Clean(name) + " breaks the limit",
		Expected: fmt.Sprintf("at most %d MB of sheets and %d MB of everything else", mostUnpacked>>20, mostOther>>20),
		Hint:     "save the one sheet that is needed as a workbook of its own, or as delimited text",
	}}}
}
