package evidence

import (
	"encoding/json"
	"errors"
	"fmt"
	"path"
	"sort"
	"strings"
	"unicode"

	"fieldheld/report/seal/archive"
)

// Verify takes the evidence out of a report and says what does not agree within
// the file: its structure, the digests of the files inside, the digest and the
// statements that the first pages print. It evaluates nothing. Files of more than
// limit bytes together are refused.
func Verify(pdf []byte, limit int64) (*Bundle, error) {
	if err := archive.Intact(pdf); err != nil {
		return nil, fmt.Errorf("the file is damaged: %w", err)
	}
	b, err := Extract(pdf, limit)
	if err != nil {
		return nil, err
	}
	if violations := archive.Violations(pdf[:b.End]); len(violations) > 0 {
		return nil, fmt.Errorf("the file is not as it was written: %s", violations[0])
	}
	if b.Manifest == nil {
		return b, nil
	}
	front, err := FrontText(pdf)
	if err != nil {
		return nil, err
	}
	for _, check := range []func() error{b.CheckNames, b.CheckFiles,
		func() error { return b.CheckPrinted(front) },
		func() error { return b.CheckStatements(front) },
	} {
		if err := check(); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// endOfFront is the head of the table that closes the front page: who is
// responsible, and in which function.
const endOfFront = "ResponsibleDateNameFunction"

// FrontText is what the front page of a report prints, without blanks, so that a
// broken line parts nothing. It goes on overleaf where page 1 is full.
func FrontText(pdf []byte) (string, error) {
	pages, err := archive.Texts(pdf)
	if err != nil {
		return "", fmt.Errorf("the pages cannot be read: %w", err)
	}
	var b strings.Builder
	first := 0
	for i, page := range pages {
		for _, t := range page {
			b.WriteString(squeezed(t.Text))
		}
		if i == 0 {
			first = b.Len()
		}
		if strings.Contains(b.String(), endOfFront) {
			return b.String(), nil
		}
	}
	return b.String()[:first], nil
}

// squeezed is a text without blanks and without what pages do not print.
func squeezed(text string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsSpace(c) || unicode.IsControl(c) || unicode.Is(unicode.Cf, c) {
			return -1
		}
		return c
	}, text)
}

// CheckNames reports a file inside whose name leads out of the day's folder.
func (b *Bundle) CheckNames() error {
	for _, in := range b.Inputs {
		if leadsOut(in.Path) {
			return fmt.Errorf("the manifest lists a file whose name leads out of its folder: %q", in.Path)
		}
	}
	for name := range b.Data {
		if leadsOut(name) {
			return fmt.Errorf("the report carries a file whose name leads out of its folder: %q", name)
		}
	}
	return nil
}

// leadsOut reports whether a path does not stay below a folder, on whatever
// machine it is written to.
func leadsOut(name string) bool {
	for _, read := range []string{name, strings.ReplaceAll(name, "\\", "/")} { // a backslash parts folders on some machines only
		clean := path.Clean(read)
		drive := len(clean) > 1 && clean[1] == ':'
		if clean == "." || clean == ".." || strings.HasPrefix(clean, "../") || path.IsAbs(clean) || drive {
			return true
		}
	}
	return name == "" || strings.ContainsRune(name, 0)
}

// CheckFiles compares every file inside with the manifest.
func (b *Bundle) CheckFiles() error {
	if b.Level != Files {
		return nil
	}
	listed := map[string]bool{}
	for _, in := range b.Inputs {
		if listed[in.Path] {
			return fmt.Errorf("the manifest lists %s twice", in.Path)
		}
		listed[in.Path] = true
		data, ok := b.Data[in.Path]
		if !ok {
			return fmt.Errorf("%s is in the manifest and not inside", in.Path)
		}
		if found := Digest(data); found != in.SHA256 {
			return fmt.Errorf("%s is not the file of the manifest: its SHA-256 is %s, the manifest says %s", in.Path, found, in.SHA256)
		}
	}
	var unlisted []string
	for name := range b.Data {
		if !listed[name] {
			unlisted = append(unlisted, name)
		}
	}
	sort.Strings(unlisted)
	if len(unlisted) > 0 {
		return fmt.Errorf("%s is inside and not in the manifest", unlisted[0])
	}
	return nil
}

// CheckPrinted reports whether the first pages lack the digest of the manifest.
func (b *Bundle) CheckPrinted(front string) error {
	if digest := Digest(b.Manifest); !strings.Contains(front, digest) {
		return fmt.Errorf("page 1 does not print the digest of the manifest inside, %s", digest)
	}
	return nil
}

// Statements are what the results say of the whole test.
type Statements struct {
	Schema    *int    `json:"schema"`
	Report    *string `json:"report"` // the number
	Revision  int     `json:"revision"`
	Draft     bool    `json:"draft"`
	Day       *string `json:"day"`
	Answer    *string `json:"answer"`
	Behaviour *string `json:"behaviour"`
	Cells     *[]struct {
		Polarization *string  `json:"polarization"`
		Position     *int     `json:"position"`
		From         *float64 `json:"from_hz"`
		To           *float64 `json:"to_hz"`
		State        *string  `json:"state"`
		Steps        *int     `json:"steps"`
		StepsMet     *int     `json:"steps_met"`
	} `json:"cells"`
}

// Statements reads what the results say of the whole test. Results that lack one
// of these statements are an error.
func (b *Bundle) Statements() (*Statements, error) {
	if b.Results == nil {
		return nil, errors.New("the report carries no results")
	}
	var s Statements
	if err := json.Unmarshal(b.Results, &s); err != nil {
		return nil, fmt.Errorf("the results inside cannot be read: %w", err)
	}
	for _, key := range []struct {
		name    string
		present bool
	}{
		{"schema", s.Schema != nil}, {"report", s.Report != nil}, {"day", s.Day != nil},
		{"answer", s.Answer != nil && *s.Answer != ""}, {"behaviour", s.Behaviour != nil && *s.Behaviour != ""},
		{"cells", s.Cells != nil && len(*s.Cells) > 0},
	} {
		if !key.present {
			return nil, fmt.Errorf("the results inside do not say %q", key.name)
		}
	}
	for i, c := range *s.Cells {
		if c.Polarization == nil || c.Position == nil || c.From == nil || c.To == nil || c.State == nil || c.Steps == nil || c.StepsMet == nil {
			return nil, fmt.Errorf("the results inside do not say all of cell %d", i+1)
		}
	}
	return &s, nil
}

// CheckStatements reports a statement of the results that the first pages do not
// print: answer, behaviour, and the state of each cell with its steps.
func (b *Bundle) CheckStatements(front string) error {
	s, err := b.Statements()
	if err != nil {
		return err
	}
	for _, text := range []string{*s.Answer, *s.Behaviour} {
		if !strings.Contains(front, squeezed(text)) {
			return fmt.Errorf("page 1 does not print what the results inside say: %q", text)
		}
	}
	wanted := map[string]int{}
	for _, c := range *s.Cells {
		text := fmt.Sprintf("%s, position %d: %s, %d of %d steps met", *c.Polarization, *c.Position, *c.State, *c.StepsMet, *c.Steps)
		row := squeezed(fmt.Sprintf("%s %d %s %d of %d", *c.Polarization, *c.Position, *c.State, *c.StepsMet, *c.Steps))
		wanted[row]++
		if strings.Count(front, row) < wanted[row] {
			return fmt.Errorf("the matrix on page 1 does not print what the results inside say: %s", text)
		}
	}
	return nil
}
