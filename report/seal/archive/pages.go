package archive

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strconv"
)

var (
	rootOf = regexp.MustCompile(`/Root\s+(\d{1,7})\s+\d{1,5}\s+R`)
	treeOf = regexp.MustCompile(`/Pages\s+(\d{1,7})\s+\d{1,5}\s+R`)
	kidsOf = regexp.MustCompile(`/Kids\s*\[([^\]]*)\]`)
	kidsAt = regexp.MustCompile(`/Kids\s+(\d{1,7})\s+\d{1,5}\s+R`)
	oneRef = regexp.MustCompile(`(\d{1,7})\s+\d{1,5}\s+R`)
)

// CountPages counts the pages of a PDF file that another program wrote. It follows
// the tree of pages, whatever the file says about its number, and shows none of them.
func CountPages(data []byte) (int, error) {
	if len(data) > largestFile {
		return 0, fmt.Errorf("the file has %d bytes; at most %d are read", len(data), largestFile)
	}
	if encryption.Match(data) {
		return 0, ErrEncrypted
	}
	const tail = 2048 // some programs write behind the end
	if !bytes.Contains(data[max(0, len(data)-tail):], []byte("%%EOF")) {
		return 0, errors.New("its end is missing")
	}
	s := &salvager{data: data, bodies: map[int][]byte{}, streams: map[int][]byte{}, left: largestContents}
	if err := s.objects(); err != nil {
		return 0, err
	}
	tree, err := s.pageTree()
	if err != nil {
		return 0, err
	}
	c := &pageCounter{salvager: s, seen: map[int]bool{}}
	if err := c.count(tree, 0); err != nil {
		return 0, err
	}
	if c.pages == 0 {
		return 0, errors.New("it has no pages")
	}
	return c.pages, nil
}

// pageTree returns the object at the top of the tree of pages.
func (s *salvager) pageTree() (int, error) {
	roots := rootOf.FindAllSubmatch(s.data, -1)
	if len(roots) == 0 {
		return 0, errors.New("it does not say where its contents begin")
	}
	root, err := strconv.Atoi(string(roots[len(roots)-1][1])) // the last one counts where a file was changed
	if err != nil {
		return 0, err
	}
	tree := treeOf.FindSubmatch(s.bodies[root])
	if tree == nil {
		return 0, errors.New("its pages are not found")
	}
	return strconv.Atoi(string(tree[1]))
}

// pageCounter goes through a tree of pages.
type pageCounter struct {
	*salvager
	seen  map[int]bool
	pages int
}

// count counts the pages below an object.
func (c *pageCounter) count(number, depth int) error {
	const deepest = 64
	body, known := c.bodies[number]
	switch {
	case !known:
		return fmt.Errorf("object %d, one of its pages, is missing", number)
	case c.seen[number] || depth > deepest:
		return errors.New("its pages are not in one order")
	}
	c.seen[number] = true
	kids, list := kidsOf.FindSubmatch(body), []byte(nil)
	if kids != nil {
		list = kids[1]
	} else if at := kidsAt.FindSubmatch(body); at != nil {
		other, err := strconv.Atoi(string(at[1]))
		if err != nil {
			return err
		}
		list = c.bodies[other]
	} else {
		if c.pages++; c.pages > mostPages {
			return fmt.Errorf("it has more than %d pages", mostPages)
		}
		return nil
	}
	for _, kid := range oneRef.FindAllSubmatch(list, -1) {
		next, err := strconv.Atoi(string(kid[1]))
		if err != nil {
			return err
		}
		if err := c.count(next, depth+1); err != nil {
			return err
		}
	}
	return nil
}
