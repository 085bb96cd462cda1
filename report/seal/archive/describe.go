package archive

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"
	"time"
)

// replaceEnds writes document information and catalog anew, and adds what they
// name: metadata, colour profile and attached files.
func (e *editor) replaceEnds(files []Attachment) error {
	d := e.document
	e.file.objects[e.file.info-1] = d.information()
	metadata := e.add(plainStream("/Type /Metadata /Subtype /XML", d.metadata()))
	profile, err := stream("/N 3", standardRGB())
	if err != nil {
		return err
	}
	intent := e.add(fmt.Appendf(nil, "<</Type /OutputIntent /S /GTS_PDFA1 /OutputConditionIdentifier (sRGB)"+
		" /Info (sRGB IEC61966-2.1) /DestOutputProfile %d 0 R>>", e.add(profile)))
	specifications, err := e.attach(files)
	if err != nil {
		return err
	}
	catalog := e.file.objects[e.file.root-1]
	kept, _, found := bytes.Cut(catalog, []byte("/Names <<"))
	if !found {
		return fmt.Errorf("the catalog does not end as expected")
	}
	amended := append(kept[:len(kept):len(kept)], fmt.Sprintf(
		"/Metadata %d 0 R\n/OutputIntents [%d 0 R]\n/ViewerPreferences <</DisplayDocTitle true>>\n", metadata, intent)...)
	if len(specifications) > 0 {
		var associated, names strings.Builder
		for i, n := range specifications {
			fmt.Fprintf(&associated, "%d 0 R ", n)
			fmt.Fprintf(&names, "(%04d) %d 0 R ", i, n)
		}
		amended = fmt.Appendf(amended, "/AF [%s]\n/Names <</EmbeddedFiles <</Names [%s]>>>>\n", associated.String(), names.String())
	}
	e.file.objects[e.file.root-1] = append(amended, ">>"...)
	return nil
}

// attach adds the files and returns the numbers of their specifications.
func (e *editor) attach(files []Attachment) ([]int, error) {
	var numbers []int
	for _, a := range files {
		date := a.Date
		if date.IsZero() {
			date = e.document.Date
		}
		data, err := stream(fmt.Sprintf("/Type /EmbeddedFile /Subtype %s /Params <</Size %d /ModDate %s>>",
			name(a.MIME), len(a.Data), dateText(date)), a.Data)
		if err != nil {
			return nil, fmt.Errorf("attach %s: %w", a.Name, err)
		}
		n := e.add(data)
		numbers = append(numbers, e.add(fmt.Appendf(nil,
			"<</Type /Filespec /F %s /UF %s /AFRelationship /%s /Desc %s /EF <</F %d 0 R /UF %d 0 R>>>>",
			text(a.Name), text(a.Name), a.Relationship, text(a.Description), n, n)))
	}
	return numbers, nil
}

// name writes a name object; what is not a letter, figure or one of a few marks
// is written by its number.
func name(s string) string {
	var b strings.Builder
	b.WriteByte('/')
	for i := range len(s) {
		c := s[i]
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || strings.IndexByte(".-+_", c) >= 0 {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "#%02X", c)
		}
	}
	return b.String()
}

// text writes a text string: as it is where it is plain ASCII, else as UTF-16.
func text(s string) string {
	ascii := true
	for i := range len(s) {
		ascii = ascii && s[i] >= ' ' && s[i] < 0x7F
	}
	if ascii {
		return "(" + strings.NewReplacer(`\`, `\\`, "(", `\(`, ")", `\)`).Replace(s) + ")"
	}
	return TextString(s)
}

func dateText(t time.Time) string { return t.UTC().Format("(D:20060102150405+00'00')") }

// information is the document information. It says the same as the metadata.
func (d Document) information() []byte {
	b := []byte("<<")
	for _, entry := range [][2]string{
		{"Title", d.Title}, {"Author", d.Author}, {"Subject", d.Subject}, {"Keywords", d.Keywords},
		{"Creator", d.Creator}, {"Producer", d.Producer},
	} {
		if entry[1] != "" {
			b = fmt.Appendf(b, "/%s %s\n", entry[0], text(entry[1]))
		}
	}
	return fmt.Appendf(b, "/CreationDate %s\n/ModDate %s>>", dateText(d.Date), dateText(d.Date))
}

// accessible says that the file follows ISO 14289-1, and describes the property that
// says so, which the archival form does not know by itself (ISO 19005-3, 6.6.2.3).
const accessible = "</rdf:Description>\n" + `<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"` +
	` xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">` + "<pdfaExtension:schemas>" +
	`<rdf:Bag><rdf:li rdf:parseType="Resource"><pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>` +
	`<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI><pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>` +
	`<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource"><pdfaProperty:name>part</pdfaProperty:name>` +
	`<pdfaProperty:valueType>Integer</pdfaProperty:valueType><pdfaProperty:category>internal</pdfaProperty:category>` +
	`<pdfaProperty:description>part of ISO 14289</pdfaProperty:description></rdf:li></rdf:Seq></pdfaSchema:property></rdf:li></rdf:Bag>` +
	"</pdfaExtension:schemas></rdf:Description>\n" +
	`<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/"><pdfuaid:part>1</pdfuaid:part>` + "\n"

// metadata is the XMP packet.
func (d Document) metadata() []byte {
	date := d.Date.UTC().Format("2006-01-02T15:04:05+00:00")
	var b strings.Builder
	b.WriteString("<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` + "\n" +
		`<rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/"` +
		` xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"` +
		` xmlns:pdf="http://ns.adobe.com/pdf/1.3/">` + "\n" +
		"<pdfaid:part>3</pdfaid:part>\n<pdfaid:conformance>" + d.conformance() + "</pdfaid:conformance>\n<dc:format>application/pdf</dc:format>\n")
	element := func(before, value, after string) {
		if value != "" {
			b.WriteString(before + escape(value) + after + "\n")
		}
	}
	element(`<dc:title><rdf:Alt><rdf:li xml:lang="x-default">`, d.Title, "</rdf:li></rdf:Alt></dc:title>")
	element("<dc:creator><rdf:Seq><rdf:li>", d.Author, "</rdf:li></rdf:Seq></dc:creator>")
	element(`<dc:description><rdf:Alt><rdf:li xml:lang="x-default">`, d.Subject, "</rdf:li></rdf:Alt></dc:description>")
	element("<dc:language><rdf:Bag><rdf:li>", d.Language, "</rdf:li></rdf:Bag></dc:language>")
	if d.Identity.Name != "" {
		element("<dc:identifier>", d.Identity.Name, "</dc:identifier>")
		element("<dc:type><rdf:Bag><rdf:li>", d.Identity.kind(), "</rdf:li></rdf:Bag></dc:type>")
	}
	if d.Identity.Digest != "" {
		element("<dc:source>", digestPrefix+d.Identity.Digest, "</dc:source>")
	}
	if d.Identity.Evidence != "" {
		element("<dc:relation><rdf:Bag><rdf:li>", evidencePrefix+d.Identity.Evidence, "</rdf:li></rdf:Bag></dc:relation>")
	}
	element("<pdf:Keywords>", d.Keywords, "</pdf:Keywords>")
	element("<pdf:Producer>", d.Producer, "</pdf:Producer>")
	element("<xmp:CreatorTool>", d.Creator, "</xmp:CreatorTool>")
	element("<xmp:CreateDate>", date, "</xmp:CreateDate>")
	element("<xmp:ModifyDate>", date, "</xmp:ModifyDate>")
	element("<xmp:MetadataDate>", date, "</xmp:MetadataDate>")
	if d.Structure != nil {
		b.WriteString(accessible)
	}
	b.WriteString("</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"w\"?>")
	return []byte(b.String())
}

// conformance is the level of the archival form: A where the file is tagged, else U.
func (d Document) conformance() string {
	if d.Structure != nil {
		return "A"
	}
	return "U"
}

func escape(s string) string {
	var b bytes.Buffer
	if err := xml.EscapeText(&b, []byte(s)); err != nil {
		return "" // a buffer does not fail
	}
	return b.String()
}
