// Package picture reads the pictures of a day, JPEG and PNG, as pages show them:
// what cannot be shown is told when the day is read and not when its report is made.
package picture

import (
	"bytes"
	"compress/zlib"
	"image"
	"image/color"
	_ "image/jpeg" // decoded where it has four colours
	_ "image/png"  // always decoded

	"fieldheld/templates/wording"
)

// Picture is a picture that can be shown.
type Picture struct {
	Width, Height int // pixels, as they are kept
	Grey          bool
	JPEG          []byte // the file where it is shown as it is; nil where it is decoded
	Turn          int    // quarter turns to the right that bring it upright

	decoded image.Image
}

// Problem says why a picture cannot be shown.
type Problem struct{ Text wording.Text }

// Error writes what is wrong in one clause.
func (p *Problem) Error() string { return p.Text.String() }

func problem(text wording.Text) (*Picture, error) { return nil, &Problem{text} }

// Bounds on pictures: how many bytes the file of one may have, how many pixels, and
// how many bytes it may take where it has to be decoded.
const (
	LargestFile    = 64 << 20
	mostPixels     = 200_000_000
	largestDecoded = 200 << 20
)

// Read reads a picture: a JPEG is taken as it is, a PNG and one of four colours are
// decoded. The error is a *Problem that names the file.
func Read(file string, data []byte) (*Picture, error) {
	config, kind, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil || kind != "jpeg" && kind != "png" {
		return problem(wording.Say("picture.no-picture", wording.Values{"file": file, "found": Describe(data)}))
	}
	if float64(config.Width)*float64(config.Height) > mostPixels {
		return problem(wording.Say("picture.too-many-pixels", wording.Values{"file": file, "width": config.Width, "height": config.Height, "most": mostPixels / 1_000_000}))
	}
	if config.Width == 0 || config.Height == 0 {
		return problem(wording.Say("picture.damaged", wording.Values{"file": file, "error": "it has no pixels"}))
	}
	if kind == "jpeg" {
		if err := wholeJPEG(data); err != nil {
			return problem(wording.Say("picture.damaged", wording.Values{"file": file, "error": err}))
		}
	}
	p := &Picture{Width: config.Width, Height: config.Height}
	if kind == "jpeg" && config.ColorModel != color.CMYKModel {
		p.JPEG, p.Turn, p.Grey = data, orientation(data), config.ColorModel == color.GrayModel
		return p, nil
	}
	if size := decodedBytes(config, data); size > largestDecoded {
		return problem(wording.Say("picture.too-large-decoded", wording.Values{"file": file, "size": int(size) >> 20, "most": largestDecoded >> 20}))
	}
	if p.decoded, _, err = image.Decode(bytes.NewReader(data)); err != nil {
		return problem(wording.Say("picture.damaged", wording.Values{"file": file, "error": err}))
	}
	return p, nil
}

// Describe says what a file is that is no picture, by its first bytes.
func Describe(data []byte) string {
	trimmed := bytes.TrimLeft(data, "\ufeff \t\r\n")
	switch {
	case len(data) == 0:
		return "an empty file"
	case bytes.HasPrefix(data, []byte("%PDF-")):
		return "a PDF file"
	case bytes.HasPrefix(data, []byte("GIF8")):
		return "a GIF picture"
	case bytes.HasPrefix(data, []byte("II*\x00")), bytes.HasPrefix(data, []byte("MM\x00*")):
		return "a TIFF picture"
	case bytes.HasPrefix(data, []byte("RIFF")) && bytes.Contains(data[:min(len(data), 16)], []byte("WEBP")):
		return "a WebP picture"
	case len(data) > 12 && bytes.Equal(data[4:8], []byte("ftyp")):
		return "a HEIC picture or a film"
	case bytes.HasPrefix(data, []byte{0xFF, 0xD8}):
		return "a JPEG whose beginning cannot be read"
	case bytes.HasPrefix(data, []byte("\x89PNG")):
		return "a PNG whose beginning cannot be read"
	case IsSVG(trimmed):
		return "an SVG drawing"
	}
	return "a file of another kind"
}

// Looks reports whether a file begins as a picture of a kind that is shown, damaged
// or not.
func Looks(data []byte) bool {
	return bytes.HasPrefix(data, []byte{0xFF, 0xD8}) || bytes.HasPrefix(data, []byte("\x89PNG"))
}

// IsSVG reports whether a file is an SVG drawing: XML whose first element is one.
func IsSVG(data []byte) bool {
	data = bytes.TrimLeft(data, "\ufeff \t\r\n")
	for bytes.HasPrefix(data, []byte("<?")) || bytes.HasPrefix(data, []byte("<!")) {
		end := []byte(">")
		if bytes.HasPrefix(data, []byte("<!--")) {
			end = []byte("-->")
		}
		at := bytes.Index(data, end)
		if at < 0 {
			return false
		}
		data = bytes.TrimLeft(data[at+len(end):], " \t\r\n")
	}
	return bytes.HasPrefix(data, []byte("<svg")) && len(data) > 4 && bytes.ContainsAny(data[4:5], " \t\r\n>/")
}

// decodedBytes is how many bytes a picture takes while it is decoded. A JPEG that
// comes in several scans is kept as its coefficients until the last of them.
func decodedBytes(config image.Config, data []byte) float64 {
	const coefficient = 4 // bytes, for each pixel and colour
	each, colours := 4.0, 3.0
	switch config.ColorModel {
	case color.RGBA64Model, color.NRGBA64Model:
		each = 8
	case color.Gray16Model:
		each = 2
	case color.GrayModel:
		each, colours = 1, 1
	case color.CMYKModel:
		colours = 4
	}
	if bytes.HasPrefix(data, []byte{0xFF, 0xD8}) && bytes.Contains(data, []byte{0xFF, 0xC2}) {
		each += coefficient * colours
	}
	return each * float64(config.Width) * float64(config.Height)
}

// Samples returns the red, green and blue of a decoded picture on white, compressed
// as zlib does.
func (p *Picture) Samples() ([]byte, error) { return samples(p.decoded) }

func samples(picture image.Image) ([]byte, error) {
	var out bytes.Buffer
	z := zlib.NewWriter(&out)
	bounds := picture.Bounds()
	line := make([]byte, 0, 3*bounds.Dx())
	for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
		line = line[:0]
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			r, g, b, a := picture.At(x, y).RGBA() // multiplied by a already
			paper := 0xFFFF - a
			line = append(line, byte((r+paper)>>8), byte((g+paper)>>8), byte((b+paper)>>8))
		}
		if _, err := z.Write(line); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return out.Bytes(), err
}
