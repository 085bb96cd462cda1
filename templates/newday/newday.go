// Package newday prepares the folder of a test day that is still to come: a
// commented job sheet, the files that it takes over from a former day, and empty
// folders for the records. Calibration dates and assets are compared with the
// register at once, while there is still time to do something about them.
package newday

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
)

// Answers are what is known of the day before it begins. What is empty stays to
// be filled in, or is taken over from the former day.
type Answers struct {
	Date            time.Time // of the test
	Number          string    // of the report
	TimeZone        string    // name of the time zone database
	Laboratory      string
	Customer        string
	Article         string
	Profile         string // name of a built-in requirement, or
	RequirementFile *File  // one of the laboratory's own
	From, To        string // part of the requirement, such as "30 MHz"
	Register        *File  // the laboratory's list of equipment
	Assets          []Asset
}

// Asset is one asset with its role: "FP-03", "field probe".
type Asset struct{ Name, Role string }

// File is a file for the new day.
type File struct {
	Path string // in the day's folder, forward slashes
	Data []byte
}

// Day is a day that is ready to be written.
type Day struct {
	Sheet    []byte
	Files    []File         // taken over
	Folders  []string       // for the records
	ToFillIn place.Messages // what the sheet lacks before it can be checked
	Concerns []string       // what the register or the former day says against the day as it is planned
}

// Plan prepares a day from the answers and, where it is not nil, the folder of a
// former day, of which customer, article, equipment and setup are kept and
// results are dropped. The error is a *place.Error where the former day or the
// answers cannot be used.
func Plan(a Answers, former fs.FS) (*Day, error) {
	p := &planner{answers: a, day: &Day{}, form: readForm()}
	if former != nil {
		if err := p.takeOver(former); err != nil {
			return nil, err
		}
	}
	p.answer()
	p.layOut()
	r := &renderer{form: p.form, blocks: p.blocks, former: p.former, date: a.Date.Format(time.DateOnly)}
	p.day.Sheet = []byte(r.render(title(a)))
	sheet, err := jobsheet.Parse(p.day.Sheet, jobsheet.FileName)
	if err := p.sort(err); err != nil {
		return nil, err
	}
	p.folders()
	p.day.Concerns = append(p.day.Concerns, concerns(p.day, sheet, a.Date)...)
	return p.day, nil
}

// planner collects what a new day is made of.
type planner struct {
	answers Answers
	day     *Day
	form    []section
	blocks  blocks
	former  map[string]string
}

func title(a Answers) []string {
	return []string{
		"The job sheet of the test day " + a.Date.Format(time.DateOnly) + ".",
		"",
		"Lines that begin with # are remarks, or keys that are not set: take the # away and put",
		"in your own value. Values with a unit are written in quotation marks, the unit with them.",
		"",
		"  fieldheld check FOLDER            what is shown so far, and what is missing",
		"  fieldheld check --watch FOLDER    the same, again and again while the test runs",
		"  fieldheld help job-sheet          every key",
	}
}

// answer puts the answers in the place of what the former day says.
func (p *planner) answer() {
	a := p.answers
	text := func(section, key, answer string) {
		if answer != "" {
			p.blocks.of(section).set(key, quote(answer))
		}
	}
	p.blocks.of("plan").set("date", a.Date.Format(time.DateOnly))
	text("report", "number", a.Number)
	text("report", "time_zone", a.TimeZone)
	text("laboratory", "name", a.Laboratory)
	text("customer", "name", a.Customer)
	text("article", "name", a.Article)
	if a.Profile != "" || a.RequirementFile != nil {
		p.drop("requirement", "profile")
		p.drop("requirement", "file")
	}
	text("requirement", "profile", a.Profile)
	text("requirement", "from", a.From)
	text("requirement", "to", a.To)
	p.file("requirement", a.RequirementFile)
	p.file("register", a.Register)
	if a.Register != nil {
		p.drop("register", "sheet")
	}
	if len(a.Assets) > 0 {
		p.blocks = slices.DeleteFunc(p.blocks, func(b *block) bool { return b.section == "equipment" })
	}
	for _, asset := range a.Assets {
		b := p.blocks.add("equipment")
		b.set("asset", quote(asset.Name))
		b.set("role", quote(asset.Role))
	}
}

// file names a file in a section and takes it along, in the place of the one that
// the section named before.
func (p *planner) file(section string, file *File) {
	if file == nil {
		return
	}
	if before, ok := p.blocks.of(section).get("file"); ok {
		p.day.Files = slices.DeleteFunc(p.day.Files, func(f File) bool { return quote(f.Path) == before })
	}
	p.blocks.of(section).set("file", quote(file.Path))
	p.day.Files = append(p.day.Files, *file)
}

// drop takes a key away.
func (p *planner) drop(section, key string) {
	b := p.blocks.of(section)
	b.values = slices.DeleteFunc(b.values, func(v value) bool { return v.key == key })
}

// layOut adds two runs to begin with, where there are none.
func (p *planner) layOut() {
	for _, b := range p.blocks {
		if b.section == "run" {
			return
		}
	}
	for _, run := range []struct{ id, polarization, name string }{{"H1", "horizontal", "h1"}, {"V1", "vertical", "v1"}} {
		b := p.blocks.add("run")
		b.set("id", quote(run.id))
		b.set("polarization", quote(run.polarization))
		b.set("dwell.file", quote("dwell/"+run.name+".csv"))
		b.set("power.file", quote("power/"+run.name+".xlsx"))
		p.blocks.add("run.probe").set("file", quote("probe/"+run.name+".csv"))
	}
}

// sort keeps those problems of the new sheet that are keys to be filled in; any
// other is the answers' fault.
func (p *planner) sort(err error) error {
	if err == nil {
		return nil
	}
	var known *place.Error
	if !errors.As(err, &known) {
		return err
	}
	var problems place.Messages
	for _, m := range known.Messages {
		if !strings.Contains(m.Place.Key, ".") && m.Missing {
			continue // a table that is missing; the keys in it are listed by themselves
		}
		if m.Missing || m.Text.Code == "sheet.requirement-named-twice" {
			p.day.ToFillIn = append(p.day.ToFillIn, m)
		} else {
			m.Place.Row, m.Place.File = 0, "" // the sheet with this line is not written
			problems.Add(m)
		}
	}
	return problems.Err()
}

// folders lists the folders of the records.
func (p *planner) folders() {
	p.day.Folders = []string{"corrections", "dwell", "photos", "power", "probe"}
	for _, b := range p.blocks {
		for _, v := range b.values {
			name := strings.Trim(v.toml, `"`)
			if v.key != "file" && !strings.HasSuffix(v.key, ".file") {
				continue
			}
			if dir := path.Dir(name); dir != "." && !slices.Contains(p.day.Folders, dir) {
				p.day.Folders = append(p.day.Folders, dir)
			}
		}
	}
	slices.Sort(p.day.Folders)
}

// takenOver is the error of a former day that cannot be used.
func takenOver(err error) error { return fmt.Errorf("the former day: %w", err) }
