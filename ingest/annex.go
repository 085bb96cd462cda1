package ingest

import (
	"bytes"
	"io"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/picture"
	"fieldheld/ingest/place"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// AnnexKind is what the file of an annex is.
type AnnexKind string

// The kinds of annexes. Only pictures are shown on pages: pages of a foreign PDF and
// drawings could bring fonts, scripts and links of their own into the report, so that
// they go with it as files.
const (
	PictureAnnex AnnexKind = "picture"
	PDFAnnex     AnnexKind = "PDF"
	SVGAnnex     AnnexKind = "SVG drawing"
)

// Annex is an annex with what its file is.
type Annex struct {
	Sheet *jobsheet.Annex
	Kind  AnnexKind
}

// LargestAnnex is the size up to which an annex is read.
const LargestAnnex = picture.LargestFile

// readBounded reads a whole file that is to be at most as large as a picture.
func readBounded(source table.Source, entry table.Entry) ([]byte, error) {
	stream, err := source.Open()
	if err != nil {
		return nil, err
	}
	defer stream.Close()
	data, err := io.ReadAll(io.LimitReader(stream, picture.LargestFile+1))
	if err != nil {
		return nil, err
	}
	if len(data) > picture.LargestFile {
		return nil, place.NewError(entry.Place, wording.Say("picture.file-too-large", wording.Values{"file": entry.File, "most": picture.LargestFile >> 20}))
	}
	_, err = io.Copy(io.Discard, stream) // one more read meets the end, at which the digest is known
	return data, err
}

// readPicture reads a picture to know that it can be shown.
func readPicture(source table.Source, entry table.Entry, _ record.Settings) (any, *record.File, error) {
	data, err := readBounded(source, entry)
	if err != nil {
		return nil, nil, err
	}
	_, err = picture.Read(entry.File, data)
	return nil, nil, err
}

// readAnnex tells what the file of an annex is.
func readAnnex(source table.Source, entry table.Entry, _ record.Settings) (any, *record.File, error) {
	data, err := readBounded(source, entry)
	if err != nil {
		return nil, nil, err
	}
	switch {
	case bytes.HasPrefix(data, []byte("%PDF-")):
		return PDFAnnex, nil, nil
	case picture.IsSVG(data):
		return SVGAnnex, nil, nil
	case !picture.Looks(data):
		return nil, nil, place.NewError(entry.Place, wording.Say("annex.other-kind", wording.Values{"file": entry.File, "found": picture.Describe(data)}))
	}
	_, err = picture.Read(entry.File, data)
	return PictureAnnex, nil, err
}
