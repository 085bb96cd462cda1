package table

import (
	"bytes"
	"fmt"

	"fieldheld/ingest/place"
)

// refuse answers for files that are recognised as something else than a table.
func refuse(where place.Place, head []byte) error {
	const asText = "open it in the program that wrote it, and save the table as delimited text or .xlsx"
	m := place.Message{Place: where, Expected: "delimited text or an .xlsx workbook"}
	switch {
	case bytes.HasPrefix(head, []byte("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1")):
		if bytes.Contains(head, wide("EncryptedPackage")) || bytes.Contains(head, wide("EncryptionInfo")) {
			m.What = "the workbook is protected by a password"
			m.Hint = "open it with its password, and save a copy without one"
		} else {
			m.What = "the file is a workbook of the old binary kind, .xls"
			m.Hint = "open it in a spreadsheet program, and save it as .xlsx"
		}
	case bytes.HasPrefix(head, []byte("%PDF")):
		m.What = "the file is a PDF document, which holds pages and no table"
		m.Hint = "export the log as delimited text or .xlsx from the program that printed it"
	case bytes.HasPrefix(head, []byte{0x1F, 0x8B}):
		m.What, m.Hint = "the file is compressed", "unpack it first"
	case bytes.HasPrefix(head, []byte("7z\xBC\xAF\x27\x1C")), bytes.HasPrefix(head, []byte("Rar!")):
		m.What, m.Hint = "the file is compressed", "unpack it first"
	case bytes.HasPrefix(head, []byte("\x89PNG")), bytes.HasPrefix(head, []byte("\xFF\xD8\xFF")), bytes.HasPrefix(head, []byte("GIF8")):
		m.What, m.Hint = "the file is a picture", asText
	case bytes.HasPrefix(bytes.TrimSpace(head), []byte("{\\rtf")):
		m.What, m.Hint = "the file is a formatted document", asText
	default:
		return nil
	}
	return &place.Error{Messages: place.Messages{m}}
}

// wide returns ASCII text as it stands in the directory of an old binary file.
func wide(text string) []byte {
	var b []byte
	for _, c := range []byte(text) {
		b = append(b, c, 0)
	}
	return b
}

// refuseBinary answers for files of which a good part is no text.
func refuseBinary(where place.Place, head []byte) error {
	sample := bytes.TrimRight(head[:min(len(head), 8<<10)], "\x00")
	strange := 0
	for _, b := range sample {
		if b < ' ' && b != '\n' && b != '\r' && b != '\t' && b != '\f' && b != '\v' && b != 0x1A {
			strange++
		}
	}
	const few = 8 // a stray one here and there is for the rows to report
	if len(sample) > 0 && (strange < few || strange*20 <= len(sample)) {
		return nil
	}
	m := place.Message{
		Place: where, What: "the file is not a text",
		Found:    fmt.Sprintf("%d control characters in the first %d bytes", strange, len(sample)),
		Expected: "delimited text or an .xlsx workbook",
		Hint:     "open it in the program that wrote it, and save the table as delimited text or .xlsx",
	}
	if len(sample) == 0 {
		m.What, m.Found = "the file holds nothing but zero bytes", ""
		m.Hint = "the logger seems to have lost power before it wrote anything: copy the file again, or use another record"
	}
	return &place.Error{Messages: place.Messages{m}}
}
