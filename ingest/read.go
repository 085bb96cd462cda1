package ingest

import (
	"errors"
	"fmt"
	"io"
	"runtime"
	"sync"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// Read reads every record that the job sheet names. maxGap is the longest gap
// that counts as continuous, 0 for three times the median distance of samples.
// The error is a *place.Error with the problems of all files.
func (f *Folder) Read(maxGap time.Duration) (*Day, error) {
	r := &reader{folder: f, settings: record.Settings{Zone: f.Sheet.Report.Zone, Date: f.Sheet.AboutDate(), MaxGap: maxGap},
		jobs: map[string]*job{}}
	day := &Day{Sheet: f.Sheet}
	registers := registers{}
	build := r.plan(day, registers) // what to read, and how to put it together
	r.run()
	if err := r.problems.Err(); err != nil {
		return nil, err
	}
	build()
	for _, job := range r.order {
		if job.file != nil {
			day.Read = append(day.Read, *job.file)
		}
	}
	day.Files = f.evidence()
	day.countRows()
	problems := day.detectorFaults()
	identity := f.identities()
	problems = append(problems, day.claim(identity)...)
	problems = append(problems, day.readTwice(identity)...)
	problems = append(problems, day.uniteEquipment(mergeEquipment(f.Sheet.Equipment, registers))...)
	return day, problems.Err()
}

// reader reads each file once, however many runs name it, several at a time.
type reader struct {
	folder   *Folder
	settings record.Settings
	jobs     map[string]*job
	order    []*job
	problems place.Messages
}

// job is one file to be read in one way.
type job struct {
	entry  table.Entry
	read   func(record.Settings) (any, *record.File, error)
	result any
	file   *record.File
	err    error
}

// add plans the reading of a file and returns its job; the same entry read in
// the same role is planned once.
func (r *reader) add(named jobsheet.NamedFile) *job {
	entry, kind := named.Entry, kindOf(named.Role)
	unplaced := *entry
	unplaced.Place = place.Place{}
	key := fmt.Sprintf("%s %d %+v", kind.role, kind.use, unplaced) // fmt writes maps sorted by key
	if known := r.jobs[key]; known != nil {
		return known
	}
	source := &source{folder: r.folder, path: entry.File, role: kind.role}
	j := &job{entry: *entry}
	j.read = func(settings record.Settings) (any, *record.File, error) {
		if err := source.canOpen(); err != nil {
			return nil, nil, err // the job sheet names something that is not there
		}
		return kind.read(source, *entry, settings)
	}
	r.jobs[key] = j
	r.order = append(r.order, j)
	return j
}

// run carries out all jobs, and those again whose files leave a question open that
// the other files of the day answer.
func (r *reader) run() {
	r.carryOut(r.order, r.settings)
	var open []*job
	beside := r.settings
	for _, j := range r.order {
		var doubt *record.DoubtfulMark
		switch {
		case errors.As(j.err, &doubt):
			open = append(open, j)
		case j.file != nil:
			beside.Beside = append(beside.Beside, j.file.Writing)
		}
	}
	r.carryOut(open, beside)
	for _, j := range r.order {
		if j.err != nil {
			r.problems = append(r.problems, sheetError(&j.entry, j.err)...)
		}
	}
}

// carryOut carries out jobs, as many at a time as there are processors.
func (r *reader) carryOut(jobs []*job, settings record.Settings) {
	var group sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for _, j := range jobs {
		slots <- struct{}{}
		group.Go(func() {
			defer func() { <-slots }()
			j.result, j.file, j.err = j.read(settings)
		})
	}
	group.Wait()
}

// result returns what a job has read; the zero value for no job.
func result[T any](j *job) T {
	var none T
	if j == nil {
		return none
	}
	return j.result.(T)
}

// The roles of files in the list of evidence.
const (
	roleSheet      = "job sheet"
	roleProbe      = "field-probe log"
	rolePower      = "power file"
	roleDwell      = "dwell record"
	roleMotion     = "motion record"
	roleCorrection = "correction table"
	roleRegister   = "equipment register"
	roleLowLevel   = "low-level record"
	rolePhoto      = "photo"
	roleLogo       = "logo"
	roleReplaced   = "replaced report"
)

// registers are the registers of equipment by the folder of the day whose sheet
// names them; "" is that of the whole test.
type registers map[string]*record.Register

// of returns the register for what the sheet of a day lists; nil for none.
func (r registers) of(folder string) *record.Register {
	if own := r[folder]; own != nil {
		return own
	}
	return r[""]
}

// plan adds the jobs of every file that the sheet names and returns the function
// that puts their results into the day.
func (r *reader) plan(day *Day, into registers) func() {
	sheet := r.folder.Sheet
	lists := map[string]*job{}
	var annexes []*job
	for _, named := range sheet.Files() {
		if named.Role < jobsheet.DwellFile && !named.Role.Foretells() {
			switch j := r.add(named); named.Role {
			case jobsheet.RegisterFile:
				lists[named.Folder] = j
			case jobsheet.AnnexFile:
				annexes = append(annexes, j)
			}
		}
	}
	var builds []func() Run
	for i := range sheet.Runs {
		builds = append(builds, r.planRun(&sheet.Runs[i]))
	}
	return func() {
		for folder, job := range lists {
			into[folder] = result[*record.Register](job)
		}
		for i, job := range annexes {
			day.Annexes = append(day.Annexes, Annex{Sheet: &sheet.Annexes[i], Kind: result[AnnexKind](job)})
		}
		for _, build := range builds {
			day.Runs = append(day.Runs, build())
		}
	}
}

// planRun adds the jobs of a run's files and returns the function that puts the
// run together.
func (r *reader) planRun(sheet *jobsheet.Run) func() Run {
	jobs := map[jobsheet.FileRole]*job{}
	logs, corrections := make([]*job, len(sheet.Probes)), make([]*job, len(sheet.Probes))
	for _, named := range sheet.Files() {
		switch j := r.add(named); named.Role {
		case jobsheet.ProbeFile:
			logs[named.Probe] = j
		case jobsheet.ProbeCorrectionFile:
			corrections[named.Probe] = j
		default:
			jobs[named.Role] = j
		}
	}
	return func() Run {
		run := Run{Sheet: sheet,
			Dwell:               result[*record.DwellRecord](jobs[jobsheet.DwellFile]),
			Power:               result[*record.PowerFile](jobs[jobsheet.PowerFile]),
			ForwardCorrection:   result[*record.Correction](jobs[jobsheet.ForwardCorrectionFile]),
			ReflectedCorrection: result[*record.Correction](jobs[jobsheet.ReflectedCorrectionFile]),
			Motion:              result[*record.MotionRecord](jobs[jobsheet.MotionFile])}
		for i := range logs {
			run.Probes = append(run.Probes, Probe{Sheet: &sheet.Probes[i],
				Log: result[*record.ProbeLog](logs[i]), Correction: result[*record.Correction](corrections[i])})
		}
		return run
	}
}

// readWhole reads a file that is evidence by its bytes alone.
func readWhole(source table.Source, entry table.Entry, _ record.Settings) (any, *record.File, error) {
	stream, err := source.Open()
	if err != nil {
		return nil, nil, err
	}
	defer stream.Close()
	buffer := make([]byte, 64<<10)
	for err == nil {
		_, err = stream.Read(buffer)
	}
	if !errors.Is(err, io.EOF) {
		return nil, nil, fmt.Errorf("reading %s: %w", entry.File, err)
	}
	return nil, nil, nil
}

// countRows adds to the list of evidence how many rows of each file were read.
func (d *Day) countRows() {
	for i := range d.Files {
		file := &d.Files[i]
		for _, read := range d.Read {
			if read.Path != file.Path {
				continue
			}
			file.RowsRead += read.RowsRead
			file.RowsUnread += read.RowsUnread
			if read.HasTimes {
				file.span(read.First, read.Last)
			}
		}
	}
}

// span widens the times of a file.
func (file *File) span(first, last quantity.Instant) {
	if from := first.UTC(); file.First.IsZero() || from.Before(file.First) {
		file.First = from
	}
	if to := last.UTC(); to.After(file.Last) {
		file.Last = to
	}
}
