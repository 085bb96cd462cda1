package archive

import (
	"encoding/hex"
	"fmt"
	"strings"
	"unicode/utf16"
)

// TextString writes a text string (ISO 32000-1, 7.9.2.2) as UTF-16 in hexadecimal
// digits, whatever its letters.
func TextString(s string) string {
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, unit := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", unit)
	}
	return b.String() + ">"
}

// ReadTextString reads a text string as TextString writes it, or as a literal one
// with the escapes of its own brackets.
func ReadTextString(s string) (string, error) {
	if strings.HasPrefix(s, "(") && strings.HasSuffix(s, ")") {
		return strings.NewReplacer(`\\`, `\`, `\(`, "(", `\)`, ")").Replace(s[1 : len(s)-1]), nil
	}
	raw, err := hex.DecodeString(strings.TrimSuffix(strings.TrimPrefix(s, "<FEFF"), ">"))
	if err != nil || len(raw)%2 != 0 {
		return "", fmt.Errorf("%q is no text", s)
	}
	return ofUTF16(raw), nil
}

// ofUTF16 reads a text of big-endian UTF-16; half a unit at its end is left out.
func ofUTF16(raw []byte) string {
	units := make([]uint16, len(raw)/2)
	for i := range units {
		units[i] = uint16(raw[2*i])<<8 | uint16(raw[2*i+1])
	}
	return string(utf16.Decode(units))
}
