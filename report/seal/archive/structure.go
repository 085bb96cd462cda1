package archive

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"fieldheld/report/structure"
)

// The objects of the logical structure, many and small, stand in one stream of objects,
// which takes a tenth of their place. The other objects keep their table, so that a
// reader that knows no such streams shows the pages all the same (a hybrid file,
// ISO 32000-1, 7.5.8.4).

// tree numbers the objects of the structure while they are written.
type tree struct {
	first   int      // number of the first object
	bodies  [][]byte // of the objects, from that one on
	numbers map[*structure.Element]int
	pages   []int   // numbers of the page objects
	parents [][]int // of each page, by the number of the marked content: the element that it belongs to
	links   []linked
}

// linked is a link that belongs to an element.
type linked struct {
	page, link int // from 1, as structure.Kid has them
	words      string
	element    int // number of its object
	annotation int // number of the object of the link itself
}

// addStructure adds the logical structure, and makes objects of the links on the pages,
// which it refers to. It comes last: its objects are numbered behind all others.
func (e *editor) addStructure() error {
	root := e.document.Structure
	if root == nil {
		return nil
	}
	stream := e.add(nil)
	table := e.add(nil)
	t := &tree{first: table + 1, numbers: map[*structure.Element]int{}, pages: e.pageObjects()}
	t.parents = make([][]int, len(t.pages))
	treeRoot, parentTree := t.reserve(), t.reserve()
	root.Walk(func(el *structure.Element) { t.numbers[el] = t.reserve() })
	if err := t.element(root, treeRoot); err != nil {
		return err
	}
	if err := e.moveLinks(t); err != nil {
		return err
	}
	t.set(treeRoot, fmt.Appendf(nil, "<</Type /StructTreeRoot /K [%d 0 R] /ParentTree %d 0 R /ParentTreeNextKey %d>>",
		t.numbers[root], parentTree, len(t.pages)+len(t.links)))
	t.set(parentTree, t.parentTree())
	catalog := e.file.objects[e.file.root-1]
	e.file.objects[e.file.root-1] = bytes.Replace(catalog, []byte("/ViewerPreferences "), fmt.Appendf(nil,
		"/MarkInfo <</Marked true>>\n/StructTreeRoot %d 0 R\n/Lang %s\n/ViewerPreferences ", treeRoot, text(e.document.Language)), 1)
	return e.hide(t, stream, table)
}

// pageObjects are the numbers of the pages, in their order.
func (e *editor) pageObjects() []int {
	var pages []int
	for i, body := range e.file.objects {
		if bytes.HasPrefix(body, pageStart) {
			pages = append(pages, i+1)
		}
	}
	return pages
}

func (e *editor) pageCount() int { return len(e.pageObjects()) }

var pageStart = []byte("<</Type /Page\n")

// reserve returns the number of a further object.
func (t *tree) reserve() int {
	t.bodies = append(t.bodies, nil)
	return t.first + len(t.bodies) - 1
}

func (t *tree) set(number int, body []byte) { t.bodies[number-t.first] = body }

// element writes an element and all below it.
func (t *tree) element(el *structure.Element, parent int) error {
	number := t.numbers[el]
	body := fmt.Appendf(nil, "<</S /%s /P %d 0 R", el.Kind, parent)
	if el.Alt != "" {
		body = fmt.Appendf(body, " /Alt %s", text(el.Alt))
	}
	switch {
	case el.Scope != "":
		body = fmt.Appendf(body, " /A <</O /Table /Scope /%s>>", el.Scope)
	case el.Span > 1:
		body = fmt.Appendf(body, " /A <</O /Table /ColSpan %d>>", el.Span)
	}
	home := 0 // page of the contents that are named by their number alone
	var kids []string
	for i := range el.Kids {
		kid := &el.Kids[i]
		if kid.Element != nil {
			kids = append(kids, fmt.Sprintf("%d 0 R", t.numbers[kid.Element]))
			if err := t.element(kid.Element, number); err != nil {
				return err
			}
			continue
		}
		if kid.Page < 1 || kid.Page > len(t.pages) {
			return fmt.Errorf("an element of the structure stands on page %d of %d", kid.Page, len(t.pages))
		}
		page := t.pages[kid.Page-1]
		if kid.Link > 0 {
			annotation := t.reserve()
			t.links = append(t.links, linked{kid.Page, kid.Link, kid.Text, number, annotation})
			kids = append(kids, fmt.Sprintf("<</Type /OBJR /Obj %d 0 R /Pg %d 0 R>>", annotation, page))
			continue
		}
		if home == 0 {
			home = page
		}
		if page == home {
			kids = append(kids, strconv.Itoa(kid.Content))
		} else {
			kids = append(kids, fmt.Sprintf("<</Type /MCR /Pg %d 0 R /MCID %d>>", page, kid.Content))
		}
		t.owns(kid, number)
	}
	if home > 0 {
		body = fmt.Appendf(body, " /Pg %d 0 R", home)
	}
	switch {
	case len(kids) == 1:
		body = fmt.Appendf(body, " /K %s", kids[0])
	case len(kids) > 1:
		body = fmt.Appendf(body, " /K [%s]", strings.Join(kids, " "))
	}
	t.set(number, append(body, ">>"...))
	return nil
}

// owns notes the element of a marked content.
func (t *tree) owns(kid *structure.Kid, number int) {
	parents := &t.parents[kid.Page-1]
	for len(*parents) <= kid.Content {
		*parents = append(*parents, 0)
	}
	(*parents)[kid.Content] = number
}

// parentTree leads from the marked contents of each page, and from each link, to the
// element that they belong to.
func (t *tree) parentTree() []byte {
	body := []byte("<</Nums [")
	for i, parents := range t.parents {
		list := make([]string, len(parents))
		for k, parent := range parents {
			list[k] = fmt.Sprintf("%d 0 R", parent)
		}
		body = fmt.Appendf(body, "%d [%s]\n", i, strings.Join(list, " "))
	}
	for i := range t.links {
		body = fmt.Appendf(body, "%d %d 0 R ", len(t.pages)+i, t.links[i].element)
	}
	return append(body, "]>>"...)
}

// moveLinks makes an object of each link of the pages, says there which element it
// belongs to and where it leads, and names the pages' entry in the parent tree.
func (e *editor) moveLinks(t *tree) error {
	of := map[[2]int]int{} // index in t.links by page and link
	for i := range t.links {
		of[[2]int{t.links[i].page, t.links[i].link}] = i
	}
	for k, number := range t.pages {
		body := e.file.objects[number-1]
		before, rest, has := bytes.Cut(body, []byte("/Annots ["))
		references := ""
		if has {
			list, after, _ := bytes.Cut(rest, []byte("]>>]"))
			list, rest = append(list[:len(list):len(list)], "]>>"...), after
			for i, link := range bytes.SplitAfter(list, []byte("]>>")) {
				if len(link) == 0 {
					continue
				}
				index, known := of[[2]int{k + 1, i + 1}]
				if !known {
					return fmt.Errorf("link %d of page %d belongs to no element", i+1, k+1)
				}
				l := &t.links[index]
				t.set(l.annotation, fmt.Appendf(bytes.TrimSuffix(link, []byte(">>")), " /StructParent %d /Contents %s>>", len(t.pages)+index, text(l.words)))
				references += fmt.Sprintf("%d 0 R ", l.annotation)
			}
			before = fmt.Appendf(before, "/Annots [%s]", references)
		} else {
			before, rest = bytes.TrimSuffix(body, []byte(">>")), []byte(">>")
		}
		entries := fmt.Sprintf("%s/StructParents %d\n/Tabs /S\n", pageStart, k)
		e.file.objects[number-1] = append([]byte(entries), append(bytes.TrimPrefix(before, pageStart), rest...)...)
	}
	return nil
}

// hide writes the objects of the structure into a stream of objects, and the table that
// says where in it each stands.
func (e *editor) hide(t *tree, streamNumber, tableNumber int) error {
	var head, bodies bytes.Buffer
	entries := make([]byte, 0, 7*len(t.bodies))
	for i, body := range t.bodies {
		if body == nil {
			return fmt.Errorf("object %d of the structure was not written", t.first+i)
		}
		fmt.Fprintf(&head, "%d %d ", t.first+i, bodies.Len())
		bodies.Write(body)
		bodies.WriteByte('\n')
		entries = append(entries, 2, byte(streamNumber>>16), byte(streamNumber>>8), byte(streamNumber), byte(i>>16), byte(i>>8), byte(i))
	}
	objects, err := stream(fmt.Sprintf("/Type /ObjStm /N %d /First %d", len(t.bodies), head.Len()), append(head.Bytes(), bodies.Bytes()...))
	if err != nil {
		return err
	}
	table, err := stream(fmt.Sprintf("/Type /XRef /Size %d /W [1 3 3] /Index [%d %d] /Root %d 0 R /Info %d 0 R",
		t.first+len(t.bodies), t.first, len(t.bodies), e.file.root, e.file.info), entries)
	if err != nil {
		return err
	}
	e.file.objects[streamNumber-1], e.file.objects[tableNumber-1] = objects, table
	e.file.hidden = t.bodies
	return nil
}
