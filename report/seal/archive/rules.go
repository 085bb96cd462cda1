package archive

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
)

// Violations checks a file of this package against the rules of the archival
// form that such a file could break, and returns what it found, one line each.
// Clause numbers are of ISO 19005-3. It is no full validator: it relies on how
// this package writes files, and refuses what it does not know.
func Violations(data []byte) []string {
	f, err := parse(data)
	if err != nil {
		return []string{err.Error()}
	}
	x := &examined{data: data, file: f}
	var found []string
	for _, r := range rules {
		for _, what := range r.check(x) {
			found = append(found, r.clause+": "+what)
		}
	}
	return found
}

// examined is a file under examination.
type examined struct {
	data []byte
	file *file
}

// rule is one rule of the archival form.
type rule struct {
	clause string
	check  func(*examined) []string
}

var rules = []rule{
	{"6.1.2 header", checkHeader},
	{"6.1.3 trailer", checkTrailer},
	{"6.1.7 streams", checkStreams},
	{"6.1.13 limits", checkLimits},
	{"6.2.3 output intent", checkIntent},
	{"6.2.11 fonts", checkFonts},
	{"6.2.11.5 glyphs", checkGlyphs},
	{"6.3 annotations", checkAnnotations},
	{"6.5 actions", checkActions},
	{"6.6.2 metadata", checkMetadata},
	{"6.6.3 information", checkInformation},
	{"6.7 logical structure", checkStructure},
	{"6.8 attached files", checkAttached},
}

func checkHeader(x *examined) []string {
	if !bytes.HasPrefix(x.data, []byte(header)) {
		return []string{"the file does not begin with the header and four bytes above 127"}
	}
	return nil
}

var identity = regexp.MustCompile(`/ID \[<([0-9a-f]{32})> <([0-9a-f]{32})>\]`)

func checkTrailer(x *examined) (found []string) {
	begin, end, err := firstTable(x.data)
	if err != nil {
		return []string{err.Error()}
	}
	if identity.Find(x.data[begin:end]) == nil {
		found = append(found, "the trailer has no identity of the file")
	}
	if bytes.Contains(x.data[begin:end], []byte("/Encrypt")) {
		found = append(found, "the file is encrypted")
	}
	if end != len(x.data) {
		found = append(found, fmt.Sprintf("%d bytes follow the end mark", len(x.data)-end))
	}
	return found
}

func checkStreams(x *examined) (found []string) {
	for i, body := range x.file.objects {
		d := dictionary(body)
		if len(d) == len(body) {
			continue
		}
		eachName(d, func(name string) {
			switch name {
			case "/LZWDecode", "/Crypt", "/FFilter", "/FDecodeParms":
				found = append(found, fmt.Sprintf("object %d: %s", i+1, name))
			}
		})
	}
	return found
}

func checkLimits(x *examined) (found []string) {
	const mostNested, longest = 28, 32767
	err := x.eachContent(func(page int, content []byte) {
		depth, deepest := 0, 0
		longestText := 0
		scan(content, func(token string, text []byte) {
			longestText = max(longestText, len(text))
			switch token {
			case "q":
				depth++
			case "Q":
				depth--
			}
			deepest = max(deepest, depth)
		})
		if depth != 0 || deepest > mostNested || longestText > longest {
			found = append(found, fmt.Sprintf("page %d: graphics states left open %d, nested %d, longest text %d bytes", page, depth, deepest, longestText))
		}
	})
	return appendError(found, err)
}

func appendError(found []string, err error) []string {
	if err != nil {
		found = append(found, err.Error())
	}
	return found
}

var (
	intentOf  = regexp.MustCompile(`/OutputIntents \[(\d+) 0 R\]`)
	profileOf = regexp.MustCompile(`/DestOutputProfile (\d+) 0 R`)
)

func checkIntent(x *examined) []string {
	intent, err := x.follow(x.catalog(), intentOf)
	if err != nil {
		return []string{err.Error()}
	}
	if !bytes.Contains(intent, []byte("/S /GTS_PDFA1")) {
		return []string{"the output intent is of another kind"}
	}
	profile, err := x.follow(intent, profileOf)
	if err != nil {
		return []string{err.Error()}
	}
	data, err := inflate(profile, largestProfile)
	if err != nil {
		return []string{err.Error()}
	}
	if !bytes.Contains(dictionary(profile), []byte("/N 3")) || len(data) < 128 || string(data[36:40]) != "acsp" || string(data[16:20]) != "RGB " {
		return []string{"the output intent has no profile of red, green and blue"}
	}
	return nil
}

func (x *examined) catalog() []byte { return x.file.objects[x.file.root-1] }

// follow returns the object that an entry refers to.
func (x *examined) follow(body []byte, entry *regexp.Regexp) ([]byte, error) {
	m := entry.FindSubmatch(dictionary(body))
	if m == nil {
		return nil, fmt.Errorf("there is no entry %s", strings.Fields(entry.String())[0])
	}
	return x.file.object(string(m[1]))
}

func checkAnnotations(x *examined) (found []string) {
	for i, body := range x.file.all() {
		all := bytes.Count(dictionary(body), []byte("/Type /Annot"))
		if good := bytes.Count(dictionary(body), []byte("/Type /Annot /Subtype /Link /F 4 ")); good != all {
			found = append(found, fmt.Sprintf("object %d: %d of %d annotations are no links that are printed", i+1, all-good, all))
		}
	}
	return found
}

// actions are the names of what a report never does when it is opened or clicked.
var actions = map[string]bool{"/JavaScript": true, "/JS": true, "/AA": true, "/Launch": true, "/OpenAction": true, "/RichMedia": true,
	"/Movie": true, "/Sound": true, "/SubmitForm": true, "/ImportData": true, "/GoToR": true, "/GoToE": true}

func checkActions(x *examined) (found []string) {
	for i, body := range x.file.all() {
		eachName(dictionary(body), func(name string) {
			if actions[name] {
				found = append(found, fmt.Sprintf("object %d: %s", i+1, name))
			}
		})
	}
	return found
}

// eachName calls visit with each name of a dictionary, its slash before it and its
// escapes read. What stands in a text is no name.
func eachName(body []byte, visit func(name string)) {
	const delimiters = "()<>[]{}/% \t\r\n\f\x00"
	for i := 0; i < len(body); {
		switch body[i] {
		case '(':
			_, length := literal(body[i:])
			i += length
		case '/':
			end := i + 1
			for end < len(body) && !strings.ContainsRune(delimiters, rune(body[end])) {
				end++
			}
			visit("/" + readName(string(body[i+1:end])))
			i = end
		default:
			i++
		}
	}
}

// described is what the metadata say.
type described struct {
	RDF struct {
		Description struct {
			Part        string `xml:"http://www.aiim.org/pdfa/ns/id/ part"`
			Conformance string `xml:"http://www.aiim.org/pdfa/ns/id/ conformance"`
			Title       item   `xml:"http://purl.org/dc/elements/1.1/ title"`
			Author      item   `xml:"http://purl.org/dc/elements/1.1/ creator"`
			Subject     item   `xml:"http://purl.org/dc/elements/1.1/ description"`
			Keywords    string `xml:"http://ns.adobe.com/pdf/1.3/ Keywords"`
			Producer    string `xml:"http://ns.adobe.com/pdf/1.3/ Producer"`
			Creator     string `xml:"http://ns.adobe.com/xap/1.0/ CreatorTool"`
			Created     string `xml:"http://ns.adobe.com/xap/1.0/ CreateDate"`
			Modified    string `xml:"http://ns.adobe.com/xap/1.0/ ModifyDate"`
		} `xml:"Description"`
	} `xml:"RDF"`
}

// item is the one entry of a list in the metadata.
type item struct {
	Alt string `xml:"Alt>li"`
	Seq string `xml:"Seq>li"`
}

var metadataOf = regexp.MustCompile(`/Metadata (\d+) 0 R`)

// metadata reads the packet of metadata.
func (x *examined) metadata() (described, []byte, error) {
	var d described
	object, err := x.follow(x.catalog(), metadataOf)
	if err != nil {
		return d, nil, err
	}
	if bytes.Contains(dictionary(object), []byte("/Filter")) {
		return d, nil, errors.New("the metadata are compressed")
	}
	packet := bytes.TrimSuffix(object[len(dictionary(object)):], []byte("\nendstream"))
	packet = bytes.TrimPrefix(packet, []byte("\nstream\n"))
	if len(packet) > largestPacket {
		return d, nil, fmt.Errorf("the metadata have %d bytes; at most %d are read", len(packet), largestPacket)
	}
	decoder := xml.NewDecoder(bytes.NewReader(packet))
	if err := decoder.Decode(&d); err != nil && !errors.Is(err, io.EOF) {
		return d, packet, fmt.Errorf("the metadata cannot be read: %w", err)
	}
	return d, packet, nil
}

// conformance is the level that the file keeps: A where it is tagged.
func (x *examined) conformance() string {
	if bytes.Contains(x.catalog(), []byte("/StructTreeRoot ")) {
		return "A"
	}
	return "U"
}

func checkMetadata(x *examined) (found []string) {
	d, packet, err := x.metadata()
	if err != nil {
		return []string{err.Error()}
	}
	first, _, _ := bytes.Cut(packet, []byte("\n"))
	if !bytes.HasPrefix(first, []byte("<?xpacket begin=\"\uFEFF\"")) || bytes.Contains(first, []byte("bytes=")) || bytes.Contains(first, []byte("encoding=")) {
		found = append(found, "the packet of metadata does not begin as it must")
	}
	if d.RDF.Description.Part != "3" || d.RDF.Description.Conformance != x.conformance() {
		found = append(found, fmt.Sprintf("part %q, conformance %q", d.RDF.Description.Part, d.RDF.Description.Conformance))
	}
	return found
}

func checkInformation(x *examined) (found []string) {
	d, _, err := x.metadata()
	if err != nil {
		return []string{err.Error()}
	}
	m := d.RDF.Description
	const xmpDate, length = "2006-01-02T15:04:05+00:00", 19
	date := func(s string) string {
		if len(s) != len(xmpDate) {
			return "no date"
		}
		return "(D:" + strings.NewReplacer("-", "", "T", "", ":", "").Replace(s[:length]) + "+00'00')"
	}
	info := x.file.objects[x.file.info-1]
	for _, entry := range [][2]string{{"Title", text(m.Title.Alt)}, {"Author", text(m.Author.Seq)}, {"Subject", text(m.Subject.Alt)}, {"Keywords", text(m.Keywords)},
		{"Creator", text(m.Creator)}, {"Producer", text(m.Producer)}, {"CreationDate", date(m.Created)}, {"ModDate", date(m.Modified)}} {
		stated := "/" + entry[0] + " "
		if entry[1] == "()" {
			if bytes.Contains(info, []byte(stated)) {
				found = append(found, entry[0]+" stands in the information only")
			}
			continue
		}
		if !bytes.Contains(info, []byte(stated+entry[1])) {
			found = append(found, entry[0]+" differs between information and metadata")
		}
	}
	return found
}

func checkAttached(x *examined) (found []string) {
	list := associatedFiles.FindSubmatch(x.catalog())
	specifications, left := 0, int64(LargestFiles)
	for i, body := range x.file.objects {
		if !bytes.HasPrefix(body, []byte("<</Type /Filespec")) {
			continue
		}
		specifications++
		if list == nil || !bytes.Contains(list[1], fmt.Appendf(nil, "%d 0 R", i+1)) {
			found = append(found, fmt.Sprintf("object %d is not associated with the document", i+1))
		}
		a, err := x.file.attachment(fmt.Sprint(i+1), left)
		if err != nil {
			found = append(found, err.Error())
			continue
		}
		left -= int64(len(a.Data))
		if !strings.Contains(a.MIME, "/") || !strings.Contains(" Source Data Alternative Supplement Unspecified ", " "+a.Relationship+" ") {
			found = append(found, fmt.Sprintf("%s: kind %q, relationship %q", a.Name, a.MIME, a.Relationship))
		}
	}
	if names := bytes.Count(x.catalog(), []byte("/EmbeddedFiles")); specifications > 0 && names != 1 {
		found = append(found, "the catalog does not list the attached files")
	}
	return found
}
