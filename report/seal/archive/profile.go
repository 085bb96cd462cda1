package archive

import (
	"encoding/binary"
	"math"
)

// standardRGB returns an ICC profile, version 2.1, of the sRGB colour space
// (IEC 61966-2-1): three primaries and a curve, adapted to the white of the
// profile connection space.
func standardRGB() []byte {
	tags := []struct {
		name string
		data []byte
	}{
		{"desc", description("sRGB")},
		{"cprt", append(typeOf("text"), "no copyright; may be used freely\x00"...)},
		{"wtpt", colour(0.9642, 1, 0.8249)},
		{"rXYZ", colour(0.4360747, 0.2225045, 0.0139322)},
		{"gXYZ", colour(0.3850649, 0.7168786, 0.0971045)},
		{"bXYZ", colour(0.1430804, 0.0606169, 0.7141733)},
		{"rTRC", curve()}, {"gTRC", nil}, {"bTRC", nil},
	}
	const fixedPart = 128
	body := make([]byte, 0, 4096)
	directory := number32(nil, uint32(len(tags)))
	begin := fixedPart + 4 + 12*len(tags)
	at, length := 0, 0
	for _, tag := range tags {
		if tag.data != nil { // a tag without data shares those before it
			at, length = begin+len(body), len(tag.data)
			body = append(body, tag.data...)
			for len(body)%4 != 0 {
				body = append(body, 0)
			}
		}
		directory = append(directory, tag.name...)
		directory = number32(directory, uint32(at), uint32(length))
	}
	profile := number32(nil, uint32(begin+len(body)), 0, 0x02100000)
	profile = append(profile, "mntrRGB XYZ "...)
	profile = append(profile, 0, 26, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0) // a fixed date: 1 January of the 26th year
	profile = append(profile, "acsp"...)
	profile = append(profile, make([]byte, 28)...)
	profile = append(profile, coordinates(0.9642, 1, 0.8249)...)
	profile = append(profile, make([]byte, fixedPart-len(profile))...)
	return append(append(profile, directory...), body...)
}

func number32(b []byte, values ...uint32) []byte {
	for _, v := range values {
		b = binary.BigEndian.AppendUint32(b, v)
	}
	return b
}

func typeOf(signature string) []byte { return append([]byte(signature), 0, 0, 0, 0) }

func coordinates(x, y, z float64) []byte {
	var b []byte
	for _, v := range []float64{x, y, z} {
		b = number32(b, uint32(int32(math.Round(v*65536))))
	}
	return b
}

func colour(x, y, z float64) []byte { return append(typeOf("XYZ "), coordinates(x, y, z)...) }

// curve is the transfer from a coded value to light, at 1024 places.
func curve() []byte {
	const places = 1024
	b := number32(typeOf("curv"), places)
	for i := range places {
		v := float64(i) / (places - 1)
		light := v / 12.92
		if v > 0.04045 {
			light = math.Pow((v+0.055)/1.055, 2.4)
		}
		b = binary.BigEndian.AppendUint16(b, uint16(math.Round(light*65535)))
	}
	return b
}

// description is a text in the form of version 2: ASCII, and no others.
func description(text string) []byte {
	b := number32(typeOf("desc"), uint32(len(text)+1))
	b = append(append(b, text...), 0)
	b = number32(b, 0, 0)
	b = append(b, 0, 0, 0)
	return append(b, make([]byte, 67)...)
}
