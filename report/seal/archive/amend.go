package archive

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"regexp"
	"strings"
)

// replaceInDictionary replaces text of an object, but never in its stream.
func replaceInDictionary(body []byte, old, new string) []byte {
	d := dictionary(body)
	amended := bytes.ReplaceAll(d, []byte(old), []byte(new))
	return append(amended[:len(amended):len(amended)], body[len(d):]...)
}

// amendPages gives each link the flag that it is printed, which the archival
// form demands of every annotation.
func (e *editor) amendPages() error {
	for i, body := range e.file.objects {
		if bytes.HasPrefix(body, []byte("<</Type /Page\n")) {
			e.file.objects[i] = replaceInDictionary(body,
				"/Type /Annot /Subtype /Link ", "/Type /Annot /Subtype /Link /F 4 ")
		}
	}
	return nil
}

// amendFonts names the fonts as they are called, marked as subsets, and maps
// each glyph to its character. The library writes one range over all codes,
// which is not allowed to run over the second byte.
func (e *editor) amendFonts() error {
	toUnicode, err := stream("", []byte(unicodeMap()))
	if err != nil {
		return err
	}
	all := sha256.New()
	for i, body := range e.file.objects {
		if i+1 != e.file.info { // the library writes there when it worked
			all.Write(body)
		}
	}
	digest := all.Sum(nil)
	for i, body := range e.file.objects {
		if bytes.Contains(body[:min(len(body), 200)], []byte("/CIDInit /ProcSet")) {
			e.file.objects[i] = toUnicode
			continue
		}
		for _, name := range e.document.Fonts {
			known := "/utf8" + strings.ToLower(name)
			for _, end := range []string{"\n", " "} {
				e.file.objects[i] = replaceInDictionary(e.file.objects[i], known+end, "/"+tag(name, digest)+"+"+name+end)
			}
		}
	}
	return nil
}

// tag is the six letters that mark a subset of a font.
func tag(name string, digest []byte) string {
	sum := sha256.Sum256(append([]byte(name), digest...))
	letters := make([]byte, 6)
	for i := range letters {
		letters[i] = 'A' + sum[i]%26
	}
	return string(letters)
}

// unicodeMap maps every two-byte code to the character of the same number.
func unicodeMap() string {
	var b strings.Builder
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	const block = 64 // at most 100 ranges may stand in one block
	for high := 0; high < 256; high++ {
		if high%block == 0 {
			fmt.Fprintf(&b, "%d beginbfrange\n", block)
		}
		fmt.Fprintf(&b, "<%02X00> <%02XFF> <%02X00>\n", high, high, high)
		if high%block == block-1 {
			b.WriteString("endbfrange\n")
		}
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend")
	return b.String()
}

var (
	outlineParent = regexp.MustCompile(`/Parent (\d+) 0 R`)
	outlineRoot   = []byte("<</Type /Outlines")
)

// amendOutline counts the entries of the outline: each is closed at first, and
// says how many it holds.
func (e *editor) amendOutline() error {
	children := map[string]int{}
	var entries []int
	root := -1
	for i, body := range e.file.objects {
		switch {
		case bytes.HasPrefix(body, outlineRoot):
			root = i
		case bytes.HasPrefix(body, []byte("<</Title ")):
			parent := outlineParent.FindSubmatch(body)
			if parent == nil {
				return fmt.Errorf("entry %d of the outline has no parent", i+1)
			}
			children[string(parent[1])]++
			entries = append(entries, i)
		}
	}
	if root < 0 {
		return nil
	}
	for _, i := range entries {
		count := ""
		if n := children[fmt.Sprint(i+1)]; n > 0 {
			count = fmt.Sprintf("/Count -%d", n)
		}
		body := bytes.TrimSuffix(e.file.objects[i], []byte("/Count 0>>"))
		e.file.objects[i] = append(body[:len(body):len(body)], count+">>"...)
	}
	count := fmt.Sprintf("%s /Count %d", outlineRoot, children[fmt.Sprint(root+1)])
	e.file.objects[root] = bytes.Replace(e.file.objects[root], outlineRoot, []byte(count), 1)
	return nil
}

// addImages adds the raster images to the resources of the pages.
func (e *editor) addImages(images []Image) error {
	if len(images) == 0 {
		return nil
	}
	names := "/XObject <<\n"
	for _, image := range images {
		n := e.add(plainStream(fmt.Sprintf(
			"/Type /XObject /Subtype /Image /Width %d /Height %d /ColorSpace /%s /BitsPerComponent 8 /Filter /%s",
			image.Width, image.Height, image.ColourSpace, image.Filter), image.Data))
		names += fmt.Sprintf("/%s %d 0 R\n", image.Name, n)
	}
	const resources = 1 // the library keeps those of all pages in object 2
	before := e.file.objects[resources]
	after := bytes.Replace(before, []byte("/XObject <<\n"), []byte(names), 1)
	if len(after) == len(before) {
		return fmt.Errorf("the resources have no place for images")
	}
	e.file.objects[resources] = after
	return nil
}
