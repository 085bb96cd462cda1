package archive

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

var (
	structureOf  = regexp.MustCompile(`/StructTreeRoot (\d+) 0 R`)
	parentTreeOf = regexp.MustCompile(`/ParentTree (\d+) 0 R`)
	destination  = regexp.MustCompile(`/Dest \[(\d+) 0 R`)
	pageParents  = regexp.MustCompile(`(\d+) \[([^\]]*)\]`)
)

// checkStructure checks that everything drawn is either furniture or belongs to one
// element of the logical structure (6.7.3; ISO 14289-1, 7.1), that figures are said in
// words (7.3) and links belong to an element (7.18.5). A file without a structure is of
// conformance level U and needs none.
func checkStructure(x *examined) (found []string) {
	if x.conformance() != "A" {
		return nil
	}
	if !bytes.Contains(x.catalog(), []byte("/MarkInfo <</Marked true>>")) || !bytes.Contains(x.catalog(), []byte("/Lang ")) {
		found = append(found, "the catalog does not say that the file is tagged, or in which language")
	}
	owners, err := x.owners()
	if err != nil {
		return append(found, err.Error())
	}
	err = x.eachContent(func(page int, content []byte) {
		pieces, fault := markedContents(content)
		if fault != "" {
			found = append(found, fmt.Sprintf("page %d: %s", page, fault))
		}
		if pieces != len(owners[page-1]) {
			found = append(found, fmt.Sprintf("page %d: %d marked contents, of which %d belong to an element", page, pieces, len(owners[page-1])))
		}
		for i, owner := range owners[page-1] {
			if element, err := x.file.object(owner); err != nil || !bytes.HasPrefix(element, []byte("<</S /")) {
				found = append(found, fmt.Sprintf("page %d: marked content %d belongs to no element", page, i))
			}
		}
	})
	for i, body := range x.file.hidden {
		if to := destination.FindSubmatch(body); to != nil {
			if page, err := x.file.object(string(to[1])); err != nil || !bytes.HasPrefix(page, pageStart) {
				found = append(found, fmt.Sprintf("hidden object %d: a link that leads to no page", i+1))
			}
		}
		switch {
		case bytes.HasPrefix(body, []byte("<</S /Figure ")) && !bytes.Contains(body, []byte(" /Alt ")):
			found = append(found, fmt.Sprintf("hidden object %d: a figure that is not said in words", i+1))
		case bytes.Contains(body, []byte("/Type /Annot")) && (!bytes.Contains(body, []byte("/StructParent ")) || !bytes.Contains(body, []byte("/Contents "))):
			found = append(found, fmt.Sprintf("hidden object %d: a link of no element, or without words", i+1))
		}
	}
	return appendError(found, err)
}

// owners are, for each page and each of its marked contents, the number of the element
// that it belongs to.
func (x *examined) owners() ([][]string, error) {
	root, err := x.follow(x.catalog(), structureOf)
	if err != nil {
		return nil, err
	}
	tree, err := x.follow(root, parentTreeOf)
	if err != nil {
		return nil, err
	}
	owners := make([][]string, (&editor{file: x.file}).pageCount())
	for _, entry := range pageParents.FindAllSubmatch(tree, -1) {
		page, err := strconv.Atoi(string(entry[1]))
		if err != nil || page >= len(owners) {
			return nil, fmt.Errorf("the parent tree speaks of page %s, of %d", entry[1], len(owners))
		}
		for _, reference := range strings.SplitAfter(string(entry[2]), " R") {
			if number, _, is := strings.Cut(strings.TrimSpace(reference), " "); is {
				owners[page] = append(owners[page], number)
			}
		}
	}
	return owners, nil
}

// markedContents counts the marked contents of a page that belong to an element, which
// are numbered from 0, and says what stands in none and is no furniture either.
func markedContents(content []byte) (pieces int, fault string) {
	open, last := "", ""
	scan(content, func(token string, _ []byte) {
		switch token {
		case "BMC", "BDC":
			if open != "" {
				fault = "marked contents within each other"
			}
			open = token
			if token == "BDC" {
				if last != strconv.Itoa(pieces)+">>" {
					fault = fmt.Sprintf("marked content %s stands where number %d is due", last, pieces)
				}
				pieces++
			}
		case "EMC":
			open = ""
		case "Tj", "TJ", "S", "f", "Do":
			if open == "" {
				fault = "something is drawn that neither belongs to an element nor is furniture"
			}
		}
		if token != "" {
			last = token
		}
	})
	if open != "" {
		fault = "a marked content is not closed"
	}
	return pieces, fault
}
