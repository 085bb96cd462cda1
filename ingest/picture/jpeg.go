package picture

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"

	"github.com/bep/imagemeta"
)

// Marks of a JPEG (ITU-T T.81, table B.1).
const (
	markRestart0 = 0xD0
	markRestart7 = 0xD7
	markEnd      = 0xD9
	markScan     = 0xDA
)

var errNoEnd = errors.New("its end is missing")

// wholeJPEG goes through a JPEG from mark to mark and reports one that ends too
// early, holds no scan, or has marks among its pixels that cannot stand there. A
// JPEG goes into the report as it is, so nothing else would notice.
func wholeJPEG(data []byte) error {
	at, scans := 2, 0 // behind the mark of its beginning
	for {
		for at < len(data) && data[at] == 0xFF { // marks may be filled up
			at++
		}
		if at >= len(data) || data[at-1] != 0xFF {
			return errNoEnd
		}
		mark := data[at]
		at++
		switch {
		case mark == markEnd && scans == 0:
			return errors.New("it holds no pixels")
		case mark == markEnd:
			return nil // some cameras write more behind it
		case mark < 0xC0 || mark >= markRestart0 && mark <= markRestart7:
			return fmt.Errorf("byte %d is no mark that can stand there", at)
		}
		if at+2 > len(data) {
			return errNoEnd
		}
		length := int(binary.BigEndian.Uint16(data[at:]))
		if length < 2 || at+length > len(data) {
			return errNoEnd
		}
		at += length
		if mark == markScan {
			scans++
			at = scanEnd(data, at)
		} else if at < len(data) && data[at] != 0xFF {
			return fmt.Errorf("byte %d should be a mark", at+1)
		}
	}
}

// scanEnd finds the mark behind the pixels of a scan: 0xFF before anything but a
// zero, which stands for 0xFF itself, and the marks of a restart.
func scanEnd(data []byte, at int) int {
	for {
		next := bytes.IndexByte(data[at:], 0xFF)
		if next < 0 || at+next+1 >= len(data) {
			return len(data)
		}
		at += next
		if after := data[at+1]; after != 0 && (after < markRestart0 || after > markRestart7) {
			return at
		}
		at += 2
	}
}

// turns are the quarter turns to the right that bring a picture upright, by what its
// camera writes about how it was held (Exif, tag 0x0112). Mirrored pictures, which no
// camera takes, stay as they are.
var turns = map[uint16]int{3: 2, 6: 1, 8: 3}

// orientation reads from a JPEG how its camera was held: the quarter turns to
// the right that bring the picture upright. A picture that does not say is taken
// to be upright, and so is one whose description cannot be read: a photo is shown
// and nothing is computed from it.
func orientation(data []byte) int {
	turn := 0
	_, _ = imagemeta.Decode(imagemeta.Options{
		R: bytes.NewReader(data), ImageFormat: imagemeta.JPEG, Sources: imagemeta.EXIF,
		ShouldHandleTag: func(tag imagemeta.TagInfo) bool { return tag.Namespace == "IFD0" && tag.Tag == "Orientation" },
		HandleTag: func(tag imagemeta.TagInfo) error {
			held, _ := tag.Value.(uint16)
			turn = turns[held]
			return imagemeta.ErrStopWalking
		},
	})
	return turn
}
