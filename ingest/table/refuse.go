package table

import (
	"bytes"

	"fieldheld/ingest/place"
	"fieldheld/templates/wording"
)

// refuse answers for files that are recognised as something else than a table.
func refuse(where place.Place, head []byte) error {
	var text wording.Text
	switch {
	case bytes.HasPrefix(head, []byte("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1")):
		if bytes.Contains(head, wide("EncryptedPackage")) || bytes.Contains(head, wide("EncryptionInfo")) {
			text = wording.Say("table.password", nil)
		} else {
			text = wording.Say("table.old-workbook", nil)
		}
	case bytes.HasPrefix(head, []byte("%PDF")):
		text = wording.Say("table.pdf", nil)
	case bytes.HasPrefix(head, []byte{0x1F, 0x8B}), bytes.HasPrefix(head, []byte("7z\xBC\xAF\x27\x1C")), bytes.HasPrefix(head, []byte("Rar!")):
		text = wording.Say("table.compressed", nil)
	case bytes.HasPrefix(head, []byte("\x89PNG")), bytes.HasPrefix(head, []byte("\xFF\xD8\xFF")), bytes.HasPrefix(head, []byte("GIF8")):
		text = wording.Say("table.picture", nil)
	case bytes.HasPrefix(bytes.TrimSpace(head), []byte("{\\rtf")):
		text = wording.Say("table.formatted", nil)
	default:
		return nil
	}
	return place.NewError(where, text)
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
	if len(sample) == 0 {
		return place.NewError(where, wording.Say("table.zeros", nil))
	}
	return place.NewError(where, wording.Say("table.not-text", wording.Values{"count": strange, "bytes": len(sample)}))
}
