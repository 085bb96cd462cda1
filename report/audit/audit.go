// Package audit says whether a report holds: it takes the evidence out of the
// PDF, checks every digest, evaluates the day again by the same path, compares
// every state and figure, and writes the report again to compare the bytes.
//
// It works in layers, from the file to the pages. Each layer holds, does not
// hold, or cannot be shown; what cannot be shown is never taken as holding.
package audit

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"strings"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/evidence"
	"fieldheld/report/pdf/archive"
	"fieldheld/report/signature"
)

// State is what is known of a layer.
type State int

// The states of a layer. The zero value is NotShown.
const (
	NotShown State = iota
	Holds
	Fails
)

// String writes the state for people.
func (s State) String() string {
	switch s {
	case Holds:
		return "holds"
	case Fails:
		return "does not hold"
	default:
		return "not shown"
	}
}

// Layer is one part of the answer.
type Layer struct {
	Name  string
	State State
	Found string // what was compared, or the first thing that does not hold
}

// Result is the answer, the layers in the order in which they rest on each other.
type Result struct {
	Number string // of the report, as its job sheet says
	Layers []Layer
	Signed bool
}

// Fails reports whether a layer does not hold.
func (r *Result) Fails() bool {
	for _, l := range r.Layers {
		if l.State == Fails {
			return true
		}
	}
	return false
}

// Holds reports whether every layer holds.
func (r *Result) Holds() bool {
	for _, l := range r.Layers {
		if l.State != Holds {
			return false
		}
	}
	return len(r.Layers) > 0
}

// ErrNoReport says that the file is no report of this program.
var ErrNoReport = errors.New("this file is no report: nothing in it says that this program made it")

// largest is how many bytes of attachments are taken out of a report.
const largest = 8 << 30

// auditor works through the layers.
type auditor struct {
	document []byte
	bundle   *evidence.Bundle
	program  report.Program
	result   Result
}

// Run audits a report. Day names the folder of the day for a report that does not
// carry its files; "" where it does. The error is ErrNoReport for another file,
// or says which input cannot be used; what does not hold is in the result.
func Run(document []byte, day string, program report.Program) (*Result, error) {
	a := &auditor{document: document, program: program}
	if !a.isReport() {
		return nil, ErrNoReport
	}
	if !a.file() {
		return &a.result, nil
	}
	a.signatures()
	a.printed()
	if len(a.bundle.Data) > 0 && !a.attachments() {
		return &a.result, nil
	}
	if len(a.bundle.Data) == 0 && day == "" {
		if a.result.Fails() {
			return &a.result, nil
		}
		return nil, errors.New("the report does not carry its input files; name the folder that holds them: --day DIR")
	}
	folder, remove, err := a.open(day)
	defer remove()
	if err != nil {
		return nil, err
	}
	if folder == nil {
		return &a.result, nil
	}
	defer folder.Close()
	a.evaluate(folder)
	return &a.result, nil
}

// add enters a layer.
func (a *auditor) add(name string, state State, format string, args ...any) bool {
	a.result.Layers = append(a.result.Layers, Layer{Name: name, State: state, Found: fmt.Sprintf(format, args...)})
	return state == Holds
}

// isReport reports whether anything in the file says that the program made it.
// It says so more than once, so that damage to one place does not hide a report.
func (a *auditor) isReport() bool {
	for _, mark := range []string{"/Creator (%s ", "/Producer (%s ", "<xmp:CreatorTool>%s ", "<pdf:Producer>%s "} {
		if bytes.Contains(a.document, fmt.Appendf(nil, mark, a.program.Name)) {
			return true
		}
	}
	return false
}

// sameVersion reports whether the report says that this version made it.
func (a *auditor) sameVersion() bool {
	return bytes.Contains(a.document[:a.bundle.End], fmt.Appendf(nil, "/Creator (%s %s)", a.program.Name, a.program.Version))
}

// file checks the structure of the PDF and takes the evidence out.
func (a *auditor) file() bool {
	const name = "file"
	if err := archive.Intact(a.document); err != nil {
		return a.add(name, Fails, "the file is damaged: %v", err)
	}
	bundle, err := evidence.Extract(a.document, largest)
	if err != nil {
		return a.add(name, Fails, "what the report carries cannot be taken out: %v", err)
	}
	a.bundle = bundle
	if violations := archive.Violations(a.document[:bundle.End]); len(violations) > 0 {
		return a.add(name, Fails, "the file is not as it was written: %s", violations[0])
	}
	return a.add(name, Holds, "a whole PDF/A file of %d bytes with %d input files inside", bundle.End, len(bundle.Data))
}

// signatures verifies what was added behind the report as it was written.
func (a *auditor) signatures() {
	const name = "signature"
	list, signed := signature.Read(a.document, a.bundle.End)
	if rest := len(a.document) - signed; rest > 0 {
		a.add(name, Fails, "%d bytes were added behind the report that are no signature", rest)
		return
	}
	a.result.Signed = len(list) > 0
	var who []string
	for i := range list {
		s := &list[i]
		if s.Problem != nil {
			a.add(name, Fails, "the signature of %s does not hold: %v", s.Name, s.Problem)
			return
		}
		who = append(who, fmt.Sprintf("%s on %s (certificate SHA-256 %s)", s.Name, s.Time.Format("2006-01-02 15:04:05Z"), s.Fingerprint()))
	}
	if len(who) == 0 {
		a.add(name, Holds, "the report is not signed, and nothing was added to it")
		return
	}
	a.add(name, Holds, "signed by %s; nothing was added afterwards. Whose certificate that is, the certificate does not prove by itself", strings.Join(who, "; "))
}

// printed compares the manifest inside with the digest that the front page prints.
func (a *auditor) printed() {
	const name = "manifest"
	pages, err := archive.Texts(a.document)
	if err != nil || len(pages) == 0 {
		a.add(name, Fails, "the pages cannot be read: %v", err)
		return
	}
	if a.bundle.Manifest == nil {
		return // the files are compared with the digest that page 1 prints
	}
	digest := evidence.Digest(a.bundle.Manifest)
	const front = 2 // pages that the front page may take
	for i, page := range pages[:min(len(pages), front)] {
		if strings.Contains(squeezed(page), digest) {
			a.add(name, Holds, "page %d prints the digest of the manifest inside, %s", i+1, digest)
			return
		}
	}
	a.add(name, Fails, "the front page does not print the digest of the manifest inside, %s", digest)
}

// squeezed is the text of a page without blanks, so that a broken line does not
// part a digest.
func squeezed(texts []archive.Text) string {
	var b strings.Builder
	for _, t := range texts {
		b.WriteString(strings.Join(strings.Fields(t.Text), ""))
	}
	return b.String()
}

// open opens the input files as a day: the folder that was named, or the files
// inside, written into a new folder that remove takes away. The folder is nil
// where they are no day.
func (a *auditor) open(day string) (folder *ingest.Folder, remove func(), err error) {
	remove = func() {}
	if day == "" {
		day, err = os.MkdirTemp("", "fieldheld-audit-*")
		if err != nil {
			return nil, remove, fmt.Errorf("a folder for the evidence: %w", err)
		}
		remove = func() { os.RemoveAll(day) }
		if err := spread(day, a.bundle.Data); err != nil {
			if errors.Is(err, errOutside) {
				a.add("evidence", Fails, "%v", err)
				err = nil
			}
			return nil, remove, err
		}
	}
	folder, err = ingest.Open(day)
	if err != nil {
		a.add("evaluation", Fails, "the day cannot be evaluated: %v", err)
		return nil, remove, nil
	}
	return folder, remove, nil
}

// attachments compares every input file inside with the manifest.
func (a *auditor) attachments() bool {
	const name = "evidence"
	listed := map[string]bool{}
	for _, in := range a.bundle.Inputs {
		listed[in.Path] = true
		data, ok := a.bundle.Data[in.Path]
		if !ok {
			return a.add(name, Fails, "%s is in the manifest and not inside", in.Path)
		}
		if found := evidence.Digest(data); found != in.SHA256 {
			return a.add(name, Fails, "%s is not the file of the manifest: its SHA-256 is %s, the manifest says %s", in.Path, found, in.SHA256)
		}
	}
	for path := range a.bundle.Data {
		if !listed[path] {
			return a.add(name, Fails, "%s is inside and not in the manifest", path)
		}
	}
	return a.add(name, Holds, "all %d input files inside are those of the manifest", len(listed))
}
