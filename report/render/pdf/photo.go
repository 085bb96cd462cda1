package pdf

import (
	"errors"
	"fmt"

	"fieldheld/ingest/picture"
	"fieldheld/report/render/layout"
	"fieldheld/report/seal/archive"
)

// photo is a picture ready for the page.
type photo struct {
	image archive.Image
	turn  int // quarter turns to the right that bring it upright
	err   error
}

// photoPages sets the photos that the job sheet names, two beside each other
// where they are upright.
func (b *book) photoPages() {
	photos := b.report.Sheet.Photos
	if len(photos) == 0 {
		return
	}
	b.Heading(layout.Heading{Level: 2, Text: "Photos"})
	for i := range photos {
		caption := list(". ", fmt.Sprintf("Photo %d", i+1), photos[i].Caption)
		p, err := b.picture(photos[i].File, fmt.Sprintf("Photo%d", i+1))
		if err != nil {
			b.Paragraph(fmt.Sprintf("%s: not shown, %s cannot be read (%v).", caption, photos[i].File, err))
			continue
		}
		b.Picture(p, caption)
	}
}

// picture puts the picture of a file among the resources of the document, under a
// name, and returns it as pages take it.
func (b *book) picture(file, name string) (layout.Picture, error) {
	p := b.photo(file)
	if p.err != nil {
		return layout.Picture{}, p.err
	}
	image := p.image
	image.Name = name
	b.images = append(b.images, image)
	return layout.Picture{Name: name, Width: image.Width, Height: image.Height, Turn: p.turn}, nil
}

// photo returns the picture of a file. Its bytes are asked for once.
func (b *book) photo(file string) *photo {
	if p := b.photos[file]; p != nil {
		return p
	}
	p := &photo{}
	b.photos[file] = p
	if b.attachments.Picture == nil {
		p.err = errors.New("no pictures were given")
		return p
	}
	data, err := b.attachments.Picture(file)
	if err != nil {
		p.err = err
		return p
	}
	*p = readPhoto(file, data)
	return p
}

// readPhoto makes a picture ready: a JPEG is taken as it is, anything else is plain
// red, green and blue.
func readPhoto(file string, data []byte) photo {
	read, err := picture.Read(file, data)
	if err != nil {
		return photo{err: err}
	}
	p := photo{turn: read.Turn, image: archive.Image{Width: read.Width, Height: read.Height, ColourSpace: "DeviceRGB", Filter: "DCTDecode", Data: read.JPEG}}
	if read.Grey {
		p.image.ColourSpace = "DeviceGray"
	}
	if read.JPEG == nil {
		p.image.Filter = "FlateDecode"
		p.image.Data, p.err = read.Samples()
	}
	return p
}
