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
	"time"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/seal/archive"
	"fieldheld/report/seal/evidence"
	"fieldheld/report/seal/signature"
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
	Number  string // of the report, as its job sheet says; "" where that was not reached
	Name    string // number and revision, as the file says of itself; "" where it does not
	Draft   bool   // the report says that it is a draft
	Verdict string // on the day, as the evaluation gives it; "" where that was not reached
	Layers  []Layer
	Signed  bool
	Known   bool // every signature is of a signer that the reader trusts
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

// ErrEncrypted says that the file is encrypted, so that nothing in it can be told.
var ErrEncrypted = errors.New("the file is encrypted, which no report is when it is written; ask for the report as it was written")

// largest is how many bytes of attachments are taken out of a report.
const largest = 1 << 30

// Options say what an audit rests on.
type Options struct {
	Program report.Program
	Day     string          // folder of the day, for a report that does not carry its files; "" for one that does
	Trust   signature.Trust // the signers that the reader knows
	Now     time.Time       // at which certificates are judged; zero: their dates are not judged
	Inside  bool            // where the report carries no files, judge what it carries and do not ask for a folder
}

// auditor works through the layers.
type auditor struct {
	Options
	document []byte
	bundle   *evidence.Bundle
	front    string // what page 1 prints, without blanks
	signed   []signature.Signature
	salvaged bool // another program saved the report: only its evidence can be judged
	result   Result
}

// Run audits a report. The error is ErrNoReport for another file, or says which
// input cannot be used; what does not hold is in the result. Nothing is written.
func Run(document []byte, o Options) (*Result, error) {
	a := &auditor{Options: o, document: document}
	if !a.isReport() {
		if _, err := archive.Salvage(document, largest); errors.Is(err, archive.ErrEncrypted) {
			return nil, ErrEncrypted
		}
		return nil, ErrNoReport
	}
	if is, found, err := archive.IdentityOf(document); err == nil && found {
		a.result.Name, a.result.Draft = is.Name, is.Draft
	}
	if !a.file() {
		return &a.result, nil
	}
	if !a.salvaged {
		a.signatures()
		a.printed()
	}
	if len(a.bundle.Data) > 0 && !a.attachments() {
		return &a.result, nil
	}
	if len(a.bundle.Data) == 0 && a.Day == "" {
		if a.result.Fails() {
			return &a.result, nil
		}
		if a.Inside {
			a.add("evaluation", NotShown, "the report does not carry its input files, so that nothing was evaluated")
			return &a.result, nil
		}
		return nil, errors.New("the report does not carry its input files; name the folder that holds them: --day DIR")
	}
	folder := a.open()
	if folder == nil {
		return &a.result, nil
	}
	defer folder.Close()
	a.evaluate(folder)
	a.listed()
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
		if bytes.Contains(a.document, fmt.Appendf(nil, mark, a.Program.Name)) {
			return true
		}
	}
	bundle, err := evidence.Salvage(a.document, largest) // another program may have packed these marks
	return err == nil && bundle.Manifest != nil && bundle.Results != nil
}

// sameVersion reports whether the report says that this version made it.
func (a *auditor) sameVersion() bool {
	made := a.document[:a.bundle.End]
	return bytes.Contains(made, fmt.Appendf(nil, "/Creator (%s %s)", a.Program.Name, a.Program.Version)) ||
		bytes.Contains(made, fmt.Appendf(nil, "<xmp:CreatorTool>%s %s<", a.Program.Name, a.Program.Version))
}

// file checks the structure of the PDF and takes the evidence out.
func (a *auditor) file() bool {
	const name = "file"
	if err := archive.Intact(a.document); err != nil {
		return a.salvage(name, err)
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

// salvage takes the evidence out of a file that is not as it was written, where
// its form is that of another program and the evidence is whole.
func (a *auditor) salvage(name string, fault error) bool {
	what := damage(a.document)
	if archive.OurForm(a.document) || isCut(a.document) {
		return a.add(name, Fails, "%s: %v", what, fault)
	}
	bundle, err := evidence.Salvage(a.document, largest)
	if err != nil || bundle.Manifest == nil || bundle.Results == nil {
		return a.add(name, Fails, "%s: %v", what, fault)
	}
	a.bundle, a.salvaged = bundle, true
	a.add(name, NotShown, "%s; %d input files, manifest and results could be taken out and are judged below; pages and signature cannot be judged", what, len(bundle.Data))
	return true
}

// isCut reports whether a file lacks its end mark.
func isCut(document []byte) bool {
	const tail = 1024 // bytes within which other programs leave the end mark
	return !bytes.Contains(document[max(0, len(document)-tail):], []byte("%%EOF"))
}

// damage says what seems to have happened to a file that is not as it was written.
func damage(document []byte) string {
	switch {
	case bytes.Contains(document, []byte("/Encrypt ")):
		return "the file is encrypted, which no report is; another program saved it again"
	case isCut(document):
		return "the file is cut: it has no end mark"
	case !bytes.Contains(document, []byte("/XRefStm ")) && (bytes.Contains(document, []byte("/ObjStm")) || bytes.Contains(document, []byte("/XRef"))), // ours have both tables
		bytes.Contains(document, []byte("/Linearized")):
		return "another program saved the report again"
	default:
		return "the file is damaged, or another program saved it again"
	}
}

// printed compares the manifest and the results inside with what the front page
// prints.
func (a *auditor) printed() {
	const name = "manifest"
	front, err := evidence.FrontText(a.document)
	if err != nil {
		a.add(name, Fails, "%v", err)
		return
	}
	a.front = front
	if a.bundle.Manifest == nil {
		return // the files are compared with the digest that page 1 prints
	}
	if err := a.bundle.CheckNames(); err != nil {
		a.add(name, Fails, "%v", err)
		return
	}
	if err := a.bundle.CheckPrinted(front); err != nil {
		a.add(name, Fails, "%v", err)
		return
	}
	a.add(name, Holds, "page 1 prints the digest of the manifest inside, %s", evidence.Digest(a.bundle.Manifest))
	if err := a.bundle.CheckStatements(front); err != nil {
		a.add("front page", Fails, "%v", err)
		return
	}
	a.add("front page", Holds, "page 1 prints answer, behaviour and the state of every cell as the results inside say them")
}

// open opens the input files as a day: the folder that was named, or the files
// inside, in memory. It is nil where they are no day.
func (a *auditor) open() *ingest.Folder {
	open := func() (*ingest.Folder, error) { return ingest.OpenFiles(a.bundle.Data) }
	if a.Day != "" {
		open = func() (*ingest.Folder, error) { return ingest.Open(a.Day) }
	}
	folder, err := open()
	if err != nil {
		a.add("evaluation", Fails, "the day cannot be evaluated: %v", err)
		return nil
	}
	return folder
}

// attachments compares every input file inside with the manifest.
func (a *auditor) attachments() bool {
	const name = "evidence"
	for _, check := range []func() error{a.bundle.CheckNames, a.bundle.CheckFiles} {
		if err := check(); err != nil {
			return a.add(name, Fails, "%v", err)
		}
	}
	return a.add(name, Holds, "all %d input files inside are those of the manifest", len(a.bundle.Inputs))
}

// listed compares the list of attachments with what is inside. It comes last: a
// change that the list shows, too, is better named by the layer that it is of.
func (a *auditor) listed() {
	if list := a.bundle.List; list != nil && !bytes.Equal(list, a.bundle.NameList()) {
		a.add("attachments", Fails, "attachments.sha256 does not list what is inside")
	}
}
