package evidence

import (
	"fmt"
	"path"
	"sort"
	"strings"

	"fieldheld/report/seal/archive"
)

// Level says how much of the evidence a report carries.
type Level string

// The levels, as a user names them.
const (
	Files  Level = "files"  // every input file, the manifest and the results
	Hashes Level = "hashes" // the manifest and the results
	None   Level = "none"   // nothing
)

// Levels lists the levels.
func Levels() []Level { return []Level{Files, Hashes, None} }

// DefaultLimit is the size of all input files together, in bytes, up to which a
// report carries them where nothing else is said.
const DefaultLimit = 64 << 20

// Input is an input file of the day as the report lists it.
type Input struct {
	Path   string // relative to the day's folder, with forward slashes
	Roles  []string
	Size   int64
	SHA256 string // hexadecimal
}

// Bundle is the evidence that a report carries.
type Bundle struct {
	Level    Level
	Asked    Level             // what was asked for; more than Level where the files are too large
	Inputs   []Input           // sorted by path; of an extracted bundle without Roles, from its manifest
	Data     map[string][]byte // of each input by its path; empty unless Level is Files
	Manifest []byte
	Results  []byte // the results as JSON
	List     []byte // of an extracted bundle: the digests by the names of the attachments; nil where it has none
	End      int    // of an extracted bundle: bytes of the report as it was written; what follows was added later
}

// Names of what a report carries. Input files stand below a folder of their own,
// so that none can take the place of manifest or results. Their slashes are
// written as %2F: programs that save attachments make no folders, and some show
// the last part of a path only.
const (
	manifestName = "manifest.sha256"
	resultsName  = "results.json"
	listName     = "attachments.sha256"
	folder       = "day/"
)

func flat(path string) string {
	return strings.NewReplacer("%", "%25", "/", "%2F", "\\", "%5C").Replace(path)
}

func unflat(name string) string {
	return strings.NewReplacer("%25", "%", "%2F", "/", "%5C", "\\").Replace(name)
}

// Gather reads the input files and checks each against the digest that the
// evaluation found: a file that has changed since is an error. Where all files
// together are larger than limit bytes, the bundle holds the manifest and the
// results only. Read returns the bytes of an input by its path.
func Gather(inputs []Input, results []byte, level Level, limit int64, read func(path string) ([]byte, error)) (*Bundle, error) {
	b := &Bundle{Level: level, Asked: level, Data: map[string][]byte{}, Results: results}
	b.Inputs = append(b.Inputs, inputs...)
	sort.Slice(b.Inputs, func(i, j int) bool { return b.Inputs[i].Path < b.Inputs[j].Path })
	entries := make([]Entry, len(b.Inputs))
	for i, in := range b.Inputs {
		entries[i] = Entry{Path: in.Path, SHA256: in.SHA256}
	}
	b.Manifest = Manifest(entries)
	if level == Files && b.Size() > min(limit, archive.LargestFiles/2) { // manifest and results need room, too
		b.Level = Hashes
	}
	if b.Level != Files {
		return b, nil
	}
	for _, in := range b.Inputs {
		data, err := read(in.Path)
		if err != nil {
			return nil, fmt.Errorf("read the evidence %s: %w", in.Path, err)
		}
		if found := Digest(data); found != in.SHA256 {
			return nil, fmt.Errorf("%s has changed since it was evaluated: found SHA-256 %s, expected %s; run the report again", in.Path, found, in.SHA256)
		}
		b.Data[in.Path] = data
	}
	return b, nil
}

// Size is the size of all input files together, in bytes.
func (b *Bundle) Size() int64 {
	sum := int64(0)
	for _, in := range b.Inputs {
		sum += in.Size
	}
	return sum
}

// Note says in a sentence or two what the report carries.
func (b *Bundle) Note() string {
	switch {
	case b.Level == Files:
		return fmt.Sprintf("This file carries the evidence as attachments: all %d input files byte for byte, the manifest and the results as JSON. In their names the slashes of paths are written as %%2F; saved into one folder they are checked by sha256sum -c attachments.sha256.", len(b.Inputs))
	case b.Level == Hashes && b.Asked == Files:
		return fmt.Sprintf("This file carries the manifest and the results as JSON as attachments, but not the input files: together they have %d bytes, more than were allowed. They have to be kept beside the report.", b.Size())
	case b.Level == Hashes:
		return "This file carries the manifest and the results as JSON as attachments, but not the input files. They have to be kept beside the report."
	default:
		return "This file carries no evidence. The input files have to be kept beside the report."
	}
}

// Attachments returns the bundle as a report carries it.
func (b *Bundle) Attachments() []archive.Attachment {
	if b.Level == None {
		return nil
	}
	all := []archive.Attachment{
		{Name: manifestName, MIME: "text/plain", Relationship: "Data", Description: "SHA-256 of every input file", Data: b.Manifest},
		{Name: resultsName, MIME: "application/json", Relationship: "Data", Description: "results of the evaluation", Data: b.Results},
	}
	for _, in := range b.Inputs {
		data, carried := b.Data[in.Path]
		if !carried {
			continue
		}
		relationship := "Source"
		if in.is("photo") || in.is("logo") || in.is("annex") {
			relationship = "Supplement"
		}
		all = append(all, archive.Attachment{Name: flat(folder + in.Path), MIME: mimeOf(in.Path), Relationship: relationship,
			Description: strings.Join(in.Roles, ", "), Data: data})
	}
	if b.Level == Files {
		all = append(all, archive.Attachment{Name: listName, MIME: "text/plain", Relationship: "Data",
			Description: "SHA-256 of every attachment, by its name", Data: b.NameList()})
	}
	return all
}

// Carried are the names under which the report carries its input files, by path.
func (b *Bundle) Carried() map[string]string {
	names := map[string]string{}
	for path := range b.Data {
		names[path] = flat(folder + path)
	}
	return names
}

// NameList lists the attachments with their digests, by the names that they have
// as attachments: whoever saves them into one folder can check them there with
// `sha256sum -c`.
func (b *Bundle) NameList() []byte {
	entries := []Entry{{manifestName, Digest(b.Manifest)}, {resultsName, Digest(b.Results)}}
	for _, in := range b.Inputs {
		entries = append(entries, Entry{flat(folder + in.Path), in.SHA256})
	}
	return Manifest(entries)
}

func (in Input) is(role string) bool {
	for _, r := range in.Roles {
		if r == role {
			return true
		}
	}
	return false
}

// mimeOf is the kind of a file by its ending.
func mimeOf(name string) string {
	switch strings.ToLower(path.Ext(name)) {
	case ".csv":
		return "text/csv"
	case ".txt", ".log", ".tsv", ".dat":
		return "text/plain"
	case ".xlsx":
		return "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
	case ".toml":
		return "application/toml"
	case ".json":
		return "application/json"
	case ".jpg", ".jpeg":
		return "image/jpeg"
	case ".png":
		return "image/png"
	case ".svg":
		return "image/svg+xml"
	case ".pdf":
		return "application/pdf"
	default:
		return "application/octet-stream"
	}
}

// Extract takes the evidence out of a report. It checks nothing: whether files,
// manifest and results agree is for an audit to say. Of a report that was signed
// it reads what was signed. Files of more than limit bytes together are refused.
func Extract(pdf []byte, limit int64) (*Bundle, error) {
	contents, err := archive.Read(pdf, limit)
	if err != nil {
		return nil, fmt.Errorf("take the evidence out of the report: %w", err)
	}
	return bundleOf(contents.Files, contents.End)
}

// Salvage takes the evidence out of a report that another program saved again. It
// checks nothing, and knows nothing of its pages.
func Salvage(pdf []byte, limit int64) (*Bundle, error) {
	files, err := archive.Salvage(pdf, limit)
	if err != nil {
		return nil, fmt.Errorf("take the evidence out of the report: %w", err)
	}
	return bundleOf(files, len(pdf))
}

// bundleOf sorts the files of a report.
func bundleOf(files []archive.Attachment, end int) (*Bundle, error) {
	b := &Bundle{Level: None, Data: map[string][]byte{}, End: end}
	for _, a := range files {
		switch name, inside := strings.CutPrefix(unflat(a.Name), folder); {
		case inside:
			if _, twice := b.Data[name]; twice {
				return nil, fmt.Errorf("the report carries %s twice", name)
			}
			b.Data[name] = a.Data
			b.Level = Files
		case a.Name == manifestName:
			b.Manifest = a.Data
		case a.Name == resultsName:
			b.Results = a.Data
		case a.Name == listName && b.List == nil:
			b.List = a.Data
		default:
			return nil, fmt.Errorf("the report carries %s, which is no part of its evidence", a.Name)
		}
	}
	if b.Manifest == nil {
		return b, nil
	}
	if b.Level == None {
		b.Level = Hashes
	}
	entries, err := ParseManifest(b.Manifest)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		b.Inputs = append(b.Inputs, Input{Path: e.Path, SHA256: e.SHA256, Size: int64(len(b.Data[e.Path]))})
	}
	return b, nil
}
