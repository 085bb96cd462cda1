package archive

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

var (
	toUnicodeOf  = regexp.MustCompile(`/ToUnicode (\d+) 0 R`)
	descendantOf = regexp.MustCompile(`/DescendantFonts \[(\d+) 0 R\]`)
	descriptorOf = regexp.MustCompile(`/FontDescriptor (\d+) 0 R`)
	programOf    = regexp.MustCompile(`/FontFile2 (\d+) 0 R`)
	glyphsOf     = regexp.MustCompile(`/CIDToGIDMap (\d+) 0 R`)
	fontEntry    = regexp.MustCompile(`/F([0-9a-f]+) (\d+) 0 R`)
	contentsOf   = regexp.MustCompile(`/Contents (\d+) 0 R`)
	rangeLine    = regexp.MustCompile(`(?m)^<(..)(..)> <(..)(..)> <....>$`)
	subsetName   = regexp.MustCompile(`/BaseFont /[A-Z]{6}\+\S+`)
)

// checkFonts checks that every font is embedded as a named subset, and that its
// codes map to characters.
func checkFonts(x *examined) (found []string) {
	for i, body := range x.file.objects {
		if !bytes.HasPrefix(body, []byte("<</Type /Font\n")) && !bytes.HasPrefix(body, []byte("<</Type /Font ")) {
			continue
		}
		complain := func(err error) {
			if err != nil {
				found = append(found, fmt.Sprintf("object %d: %v", i+1, err))
			}
		}
		if !subsetName.Match(body) {
			complain(fmt.Errorf("the font is not named as a subset"))
		}
		switch {
		case bytes.Contains(body, []byte("/Subtype /Type0")):
			complain(x.checkToUnicode(body))
		case bytes.Contains(body, []byte("/Subtype /CIDFontType2")):
			descriptor, err := x.follow(body, descriptorOf)
			complain(err)
			if err == nil {
				_, err = x.follow(descriptor, programOf)
				complain(err)
			}
		default:
			complain(fmt.Errorf("the font is of a kind that is not embedded"))
		}
	}
	return found
}

// checkToUnicode checks that no range of the map runs over the second byte.
func (x *examined) checkToUnicode(font []byte) error {
	object, err := x.follow(font, toUnicodeOf)
	if err != nil {
		return err
	}
	table, err := inflate(object, largestProfile)
	if err != nil {
		return err
	}
	ranges := rangeLine.FindAllSubmatch(table, -1)
	if len(ranges) < 256 {
		return fmt.Errorf("the map to characters has %d ranges, expected 256", len(ranges))
	}
	for _, r := range ranges {
		if !bytes.Equal(r[1], r[3]) {
			return fmt.Errorf("the range %s of the map to characters runs over the second byte", r[0])
		}
	}
	return nil
}

// checkGlyphs checks that every code that a page shows has a glyph.
func checkGlyphs(x *examined) []string {
	maps, err := x.glyphMaps()
	if err != nil {
		return []string{err.Error()}
	}
	var found []string
	err = x.eachContent(func(page int, content []byte) {
		font, name := "", ""
		missing := map[int]bool{}
		scan(content, func(token string, shown []byte) {
			switch {
			case strings.HasPrefix(token, "/F"):
				name = token[2:]
			case token == "Tf":
				font = name
			case shown != nil:
				glyphs := maps[font]
				for i := 0; i+1 < len(shown); i += 2 {
					code := int(shown[i])<<8 | int(shown[i+1])
					if len(glyphs) < 2*code+2 || glyphs[2*code] == 0 && glyphs[2*code+1] == 0 {
						missing[code] = true
					}
				}
			}
		})
		for code := range missing {
			found = append(found, fmt.Sprintf("page %d shows U+%04X, for which its font has no glyph", page, code))
		}
	})
	return appendError(found, err)
}

// glyphMaps returns the glyph of each code, two bytes each, by the name of the
// font in the content.
func (x *examined) glyphMaps() (map[string][]byte, error) {
	maps := map[string][]byte{}
	const resources = 2
	object, err := x.file.object(strconv.Itoa(resources))
	if err != nil {
		return nil, err
	}
	entries := fontEntry.FindAllSubmatch(object, mostFonts+1)
	if len(entries) > mostFonts {
		return nil, fmt.Errorf("the file has more than %d fonts", mostFonts)
	}
	for _, entry := range entries {
		font, err := x.file.object(string(entry[2]))
		if err != nil {
			return nil, err
		}
		for _, step := range []*regexp.Regexp{descendantOf, glyphsOf} {
			if font, err = x.follow(font, step); err != nil {
				return nil, err
			}
		}
		if maps[string(entry[1])], err = inflate(font, largestGlyphMap); err != nil {
			return nil, err
		}
	}
	return maps, nil
}

// eachContent calls visit with the content of each page.
func (x *examined) eachContent(visit func(page int, content []byte)) error {
	page, left := 0, int64(largestContents)
	for _, body := range x.file.objects {
		if !bytes.HasPrefix(body, []byte("<</Type /Page\n")) {
			continue
		}
		if page++; page > mostPages {
			return fmt.Errorf("the file has more than %d pages", mostPages)
		}
		object, err := x.follow(body, contentsOf)
		if err != nil {
			return fmt.Errorf("page %d: %w", page, err)
		}
		content, err := inflate(object, min(left, largestContent))
		if err != nil {
			return fmt.Errorf("page %d: its content %w", page, err)
		}
		left -= int64(len(content))
		visit(page, content)
	}
	return nil
}

// scan calls visit for each token of a page's content: operators, numbers and
// names as words, literal texts with their bytes and an empty word.
func scan(content []byte, visit func(token string, text []byte)) {
	for i := 0; i < len(content); {
		switch c := content[i]; {
		case c == '(':
			text, length := literal(content[i:])
			visit("", text)
			i += length
		case c <= ' ':
			i++
		default:
			begin := i
			for i < len(content) && content[i] > ' ' && (content[i] != '(' || i == begin) {
				i++
			}
			visit(string(content[begin:i]), nil)
		}
	}
}

// literal reads a literal text in brackets and returns its bytes and how long it
// stands in the content.
func literal(content []byte) (text []byte, length int) {
	text = []byte{}
	depth := 0
	for i := 0; i < len(content); i++ {
		switch c := content[i]; c {
		case '\\':
			i++
			if i < len(content) {
				next := content[i]
				if next == 'r' {
					next = '\r'
				}
				text = append(text, next)
			}
		case '(':
			if depth++; depth > 1 {
				text = append(text, c)
			}
		case ')':
			if depth--; depth == 0 {
				return text, i + 1
			}
			text = append(text, c)
		default:
			text = append(text, c)
		}
	}
	return text, len(content)
}
