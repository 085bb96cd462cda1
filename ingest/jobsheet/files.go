package jobsheet

import (
	"slices"
	"time"

	"fieldheld/ingest/table"
)

// FileRole is what a file is to the sheet that names it. Everything that differs
// by role (how the file is read, what its absence means) follows from this list
// and the one of ingest that says how each role is read.
type FileRole int

// The roles of the files that a job sheet names.
const (
	RegisterFile FileRole = iota
	ReplacedReportFile
	ForecastFile
	ForecastForwardFile // corrections of a forecast
	ForecastFieldFile
	PhotoFile
	LogoFile
	AnnexFile

	DwellFile // from here on of a run
	ProbeFile
	ProbeCorrectionFile
	PowerFile
	ForwardCorrectionFile
	ReflectedCorrectionFile
	MotionFile
)

// Needed reports whether a run has no field without files of the role.
func (r FileRole) Needed() bool {
	return r == DwellFile || r == ProbeFile || r == ProbeCorrectionFile
}

// Timed reports whether the rows of such a file have times, so that its clock can
// be shifted.
func (r FileRole) Timed() bool {
	return r == DwellFile || r == ProbeFile || r == PowerFile || r == MotionFile
}

// Correction reports whether such a file is a table over frequency that corrects
// another one.
func (r FileRole) Correction() bool {
	return r == ProbeCorrectionFile || r == ForwardCorrectionFile || r == ReflectedCorrectionFile ||
		r == ForecastForwardFile || r == ForecastFieldFile
}

// Foretells reports whether such a file is read before the test, to foretell what it
// takes, and not for its evaluation.
func (r FileRole) Foretells() bool {
	return r == ForecastFile || r == ForecastForwardFile || r == ForecastFieldFile
}

// NamedFile is one file that a job sheet names: with the entry that says how it is
// read, and whose it is.
type NamedFile struct {
	Role   FileRole
	Entry  *table.Entry
	Folder string // of the day whose register it is; "" for all days
	Probe  int    // index of the run's probe whose log or correction it is

	Forecast int // index of the forecast whose correction it is
}

// Files lists the files that the run names, in the order in which they are read.
func (r *Run) Files() []NamedFile {
	files := named(nil, NamedFile{Role: DwellFile, Entry: &r.Dwell}, NamedFile{Role: PowerFile, Entry: r.Power},
		NamedFile{Role: ForwardCorrectionFile, Entry: r.ForwardCorrection}, NamedFile{Role: ReflectedCorrectionFile, Entry: r.ReflectedCorrection},
		NamedFile{Role: MotionFile, Entry: r.Motion})
	for i := range r.Probes {
		files = named(files, NamedFile{Role: ProbeFile, Entry: &r.Probes[i].Log, Probe: i},
			NamedFile{Role: ProbeCorrectionFile, Entry: r.Probes[i].Correction, Probe: i})
	}
	return files
}

// Records lists the tables of rows that the sheet names for its evaluation: the
// registers and the files of all runs.
func (s *Sheet) Records() []NamedFile {
	files := named(nil, NamedFile{Role: RegisterFile, Entry: s.Register})
	for i := range s.Days {
		files = named(files, NamedFile{Role: RegisterFile, Entry: s.Days[i].Register, Folder: s.Days[i].Folder})
	}
	for i := range s.Runs {
		files = append(files, s.Runs[i].Files()...)
	}
	return files
}

// Files lists all files that the sheet names but requirements: its records, and
// what is only kept or only needed before the test.
func (s *Sheet) Files() []NamedFile {
	files := named(s.Records(), NamedFile{Role: ReplacedReportFile, Entry: s.Report.ReplacesFile}, NamedFile{Role: LogoFile, Entry: s.Report.Logo})
	for i := range s.Forecasts {
		f := &s.Forecasts[i]
		files = named(files, NamedFile{Role: ForecastFile, Entry: &f.Record}, NamedFile{Role: ForecastForwardFile, Entry: f.Forward, Forecast: i},
			NamedFile{Role: ForecastFieldFile, Entry: f.Field, Forecast: i})
	}
	for i := range s.Photos {
		files = named(files, NamedFile{Role: PhotoFile, Entry: s.Photos[i].entry()})
	}
	for i := range s.Annexes {
		files = named(files, NamedFile{Role: AnnexFile, Entry: s.Annexes[i].entry()})
	}
	return files
}

// entry is the photo as an entry of a file.
func (p *Photo) entry() *table.Entry { return &table.Entry{File: p.File, Place: p.Place} }

// entry is the annex as an entry of a file.
func (a *Annex) entry() *table.Entry { return &table.Entry{File: a.File, Place: a.Place} }

// named appends those files that the sheet has an entry for.
func named(files []NamedFile, more ...NamedFile) []NamedFile {
	for _, file := range more {
		if file.Entry != nil && file.Entry.File != "" {
			files = append(files, file)
		}
	}
	return files
}

// AboutDate is a date near that of the test: of issue, of the plan, or of the
// article's receipt. It is zero where the sheet states none of them.
func (s *Sheet) AboutDate() time.Time {
	for _, date := range []time.Time{s.Report.Issued, s.Plan.Date, s.Article.Received} {
		if !date.IsZero() {
			return date
		}
	}
	return time.Time{}
}

// Drop takes files out of the sheet: the register, the motion record, a photo, the
// logo or an annex alone, the power with its corrections, one of several probes that follow one another, and the
// whole run where it has no field without the file. It reports whether there was
// anything to take out.
func (s *Sheet) Drop(gone func(*table.Entry) bool) bool {
	is := func(entry *table.Entry) bool { return entry != nil && gone(entry) }
	dropped := false
	drop := func(entries ...**table.Entry) {
		for _, entry := range entries {
			dropped = dropped || *entry != nil
			*entry = nil
		}
	}
	if is(s.Register) {
		drop(&s.Register)
	}
	if is(s.Report.Logo) {
		drop(&s.Report.Logo)
	}
	pictures := len(s.Photos) + len(s.Annexes)
	s.Photos = slices.DeleteFunc(slices.Clone(s.Photos), func(p Photo) bool { return gone(p.entry()) })
	s.Annexes = slices.DeleteFunc(slices.Clone(s.Annexes), func(a Annex) bool { return gone(a.entry()) })
	dropped = dropped || len(s.Photos)+len(s.Annexes) < pictures
	for i := range s.Days {
		if is(s.Days[i].Register) {
			drop(&s.Days[i].Register)
		}
	}
	for i := range s.Runs {
		dropped = s.Runs[i].dropSuccessors(gone) || dropped
	}
	count := len(s.Runs)
	s.Runs = slices.DeleteFunc(s.Runs, func(run Run) bool {
		return slices.ContainsFunc(run.Files(), func(f NamedFile) bool { return f.Role.Needed() && gone(f.Entry) })
	})
	for i := range s.Runs {
		run := &s.Runs[i]
		if is(run.Power) || is(run.ForwardCorrection) || is(run.ReflectedCorrection) {
			drop(&run.Power, &run.ForwardCorrection, &run.ReflectedCorrection)
		}
		if is(run.Motion) {
			drop(&run.Motion)
		}
	}
	return dropped || len(s.Runs) < count
}

// dropSuccessors takes out those probes of the run whose files are gone and that
// another one of their place came before or follows: at their times the place then
// has no reading. A place that would lose all of its probes keeps them.
func (r *Run) dropSuccessors(gone func(*table.Entry) bool) bool {
	lost := map[int]bool{}
	for _, file := range r.Files() {
		if (file.Role == ProbeFile || file.Role == ProbeCorrectionFile) && gone(file.Entry) {
			lost[file.Probe] = true
		}
	}
	drop := map[int]bool{}
	for _, entries := range r.Places() {
		if slices.ContainsFunc(entries, func(i int) bool { return !lost[i] }) {
			for _, i := range entries {
				drop[i] = lost[i]
			}
		}
	}
	var left []Probe // a list of its own: the one there is may be somebody else's too
	for i := range r.Probes {
		if !drop[i] {
			left = append(left, r.Probes[i])
		}
	}
	dropped := len(left) < len(r.Probes)
	r.Probes = left
	return dropped
}
