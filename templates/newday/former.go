package newday

import (
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/templates/wording"
)

// results are the sections of a job sheet that tell what happened on a day.
var results = []string{"day", "environment", "run.harmonic", "event", "deviation", "photo", "annex", "witness"}

// dayOnly are the keys that belong to one day, one report or one specimen.
var dayOnly = map[string][]string{
	"plan": {"date"},
	"report": {"number", "revision", "issued", "reason", "replaces", "replaces_file", "changed_by", "omitted", "witness", "external",
		"conclusion"},
	"customer":    {"order"},
	"article":     {"serial", "versions", "condition", "received", "sampling"},
	"site":        {"bonding", "modulation_record"},
	"requirement": {"agreed_by"},
	"tuning":      {"change"},
	"signature":   {"date"},
	"run":         {"purpose"},
	"run.probe":   {"from", "to"},
}

// largest is the size up to which a file is taken over.
const largest = 64 << 20

// takeOver reads a former day's sheet and the files that the setup needs.
func (p *planner) takeOver(former fs.FS) error {
	data, err := readFile(former, jobsheet.FileName)
	if err != nil {
		return takenOver(err)
	}
	sheet, err := jobsheet.Parse(data, jobsheet.FileName)
	if err != nil {
		return takenOver(err)
	}
	r := &sheetReader{form: p.form}
	r.read(data)
	for _, name := range r.unknown {
		p.day.Concerns = append(p.day.Concerns, fmt.Sprintf("[%s] of the former day is not taken over.", name))
	}
	if len(sheet.Days) > 0 {
		p.day.Concerns = append(p.day.Concerns, "The former test took several days. What the sheets of those days say is not taken over, their runs and equipment among it; "+
			"name the folder of one day where that has a sheet of its own.")
	}
	p.former = map[string]string{}
	for _, b := range firstOfPlaces(r.blocks) {
		if !slices.Contains(results, b.section) {
			p.blocks = append(p.blocks, p.kept(b))
		}
	}
	for _, name := range setupFiles(sheet) {
		if p.replaced(sheet, name) || slices.ContainsFunc(p.day.Files, func(f File) bool { return f.Path == name }) {
			continue
		}
		data, err := readFile(former, name)
		if err != nil {
			return takenOver(err)
		}
		p.day.Files = append(p.day.Files, File{name, data})
	}
	return nil
}

// firstOfPlaces leaves out the entries of probes that came to the place of another
// one in the course of a run: whether a probe will be changed the new day shows.
func firstOfPlaces(all blocks) blocks {
	seen := map[string]bool{}
	return slices.DeleteFunc(slices.Clone(all), func(b *block) bool {
		if b.section == "run" {
			clear(seen)
		}
		place, named := b.get("place")
		_, from := b.get("from")
		_, to := b.get("to")
		if b.section != "run.probe" || !named && !from && !to {
			return false
		}
		again := seen[place]
		seen[place] = true
		return again
	})
}

// replaced reports whether the answers name another file instead.
func (p *planner) replaced(sheet *jobsheet.Sheet, name string) bool {
	if sheet.Register != nil && name == sheet.Register.File {
		return p.answers.Register != nil
	}
	return name == sheet.Requirement.File && (p.answers.RequirementFile != nil || p.answers.Profile != "")
}

// kept returns a block without what belongs to the former day; that stays as the
// example of its key.
func (p *planner) kept(b *block) *block {
	k := &block{section: b.section}
	for _, v := range b.values {
		if belongsToDay(b.section, v.key) {
			if name := b.section + "." + v.key; p.former[name] == "" {
				p.former[name] = v.toml
			}
			continue
		}
		k.values = append(k.values, v)
	}
	return k
}

// belongsToDay reports whether a key tells of one day only. So do the offset and
// the start of a file's clock, whichever file of a run it is.
func belongsToDay(section, name string) bool {
	for _, key := range dayOnly[section] {
		if name == key || strings.HasPrefix(name, key+".") {
			return true
		}
	}
	if section != "run" && section != "run.probe" {
		return false
	}
	parts := strings.Split(name, ".")
	last := parts[len(parts)-1]
	mapping := len(parts) > 1 && (parts[len(parts)-2] == "columns" || parts[len(parts)-2] == "units")
	return !mapping && (last == "clock_offset" || last == "start")
}

// setupFiles are the files that a sheet names and that are no records.
func setupFiles(sheet *jobsheet.Sheet) []string {
	var names []string
	for _, file := range sheet.Files() {
		if file.Role.Correction() || file.Role == jobsheet.RegisterFile || file.Role == jobsheet.ForecastFile || file.Role == jobsheet.LogoFile {
			names = append(names, file.Entry.File)
		}
	}
	if sheet.Requirement.File != "" {
		names = append(names, sheet.Requirement.File)
	}
	return names
}

func readFile(former fs.FS, name string) ([]byte, error) {
	file, err := former.Open(name)
	if err != nil {
		return nil, place.NewError(place.Place{File: name}, wording.Say("former.unreadable", wording.Values{"error": err}))
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, largest+1))
	if err == nil && len(data) > largest {
		err = place.NewError(place.Place{File: name}, wording.Say("former.too-large", wording.Values{"most": largest >> 20}))
	}
	return data, err
}
