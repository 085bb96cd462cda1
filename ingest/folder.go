package ingest

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"slices"
	"sort"
	"sync"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/picture"
	"fieldheld/ingest/place"
	"fieldheld/ingest/regular"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// Folder is the open folder of a test day. Nothing outside it can be read
// through it, by whatever path or link.
type Folder struct {
	Sheet *jobsheet.Sheet
	// Progress, where set, is told how many bytes of the records have been read.
	// It is called from several goroutines.
	Progress func(bytes int64)

	root  store
	mutex sync.Mutex
	files map[string]*File
}

// largestSheet is the size up to which a job sheet is read.
const largestSheet = 4 << 20

// LargestRequirement is the size up to which a requirement file is read; RoleRequirement
// and RoleAnnex are roles in the list of evidence.
const (
	LargestRequirement = 4 << 20
	RoleRequirement    = "requirement"
	RoleAnnex          = "annex"
)

// Open opens the folder of a day and reads its job sheet, and those of the days
// that it names. The error is a *place.Error where a sheet cannot be trusted.
// Close the folder after use.
func Open(dir string) (*Folder, error) {
	return joined(open(dir, jobsheet.Evaluation))
}

// joined reads the sheets of the days that the sheet of a folder names.
func joined(folder *Folder, err error) (*Folder, error) {
	if err != nil {
		return nil, err
	}
	err = folder.Sheet.Join(func(entry table.Entry) ([]byte, error) {
		return folder.named(&entry, roleSheet, largestSheet)
	})
	if err == nil {
		err = folder.sameRequirements()
	}
	if err != nil {
		folder.Close()
		return nil, err
	}
	return folder, nil
}

// OpenFiles opens a day whose files are in memory, by their paths as the job
// sheet writes them, with forward slashes. It touches nothing on the machine.
func OpenFiles(files map[string][]byte) (*Folder, error) {
	return joined(fill(inMemory(files), "the evidence", jobsheet.Evaluation))
}

// OpenPlan opens the folder of a test to come, whose job sheet needs no runs yet.
func OpenPlan(dir string) (*Folder, error) { return open(dir, jobsheet.Planning) }

func open(dir string, use jobsheet.Use) (*Folder, error) {
	root, err := os.OpenRoot(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, place.NewError(place.Place{}, wording.Say("folder.not-there", wording.Values{"folder": dir, "file": jobsheet.FileName}))
	}
	if err != nil {
		return nil, place.NewError(place.Place{}, wording.Say("folder.not-opened", wording.Values{"folder": dir, "file": jobsheet.FileName, "error": err}))
	}
	return fill(onDisk{root}, dir, use)
}

// fill reads the job sheet of a folder that was opened. Dir names the folder in
// messages.
func fill(root store, dir string, use jobsheet.Use) (*Folder, error) {
	folder := &Folder{root: root, files: map[string]*File{}}
	data, err := folder.Bytes(jobsheet.FileName, roleSheet, largestSheet)
	if err != nil {
		root.Close()
		if errors.Is(err, fs.ErrNotExist) {
			return nil, place.NewError(place.Place{}, wording.Say("folder.no-sheet", wording.Values{"folder": dir, "file": jobsheet.FileName}))
		}
		return nil, err
	}
	folder.Sheet, err = jobsheet.ParseFor(use, data, jobsheet.FileName)
	if err != nil {
		root.Close()
		return nil, err
	}
	return folder, nil
}

// named reads a whole file that a sheet names; the error points at the line.
func (f *Folder) named(entry *table.Entry, role string, limit int64) ([]byte, error) {
	data, err := f.Bytes(entry.File, role, limit)
	if err != nil {
		return nil, &place.Error{Messages: sheetError(entry, err)}
	}
	return data, nil
}

// sameRequirements compares the requirement files that the sheets of the days
// name with the one of the whole test.
func (f *Folder) sameRequirements() error {
	var problems place.Messages
	for i := range f.Sheet.Days {
		entry := f.Sheet.Days[i].Requirement
		if entry == nil {
			continue
		}
		whole := table.Entry{Place: f.Sheet.Requirement.Place, File: f.Sheet.Requirement.File}
		want, err := f.named(&whole, RoleRequirement, LargestRequirement)
		if err != nil {
			return err
		}
		got, err := f.named(entry, RoleRequirement, LargestRequirement)
		if err != nil {
			return err
		}
		if !bytes.Equal(want, got) {
			problems.Add(place.Message{Place: entry.Place, Text: wording.Say("folder.other-requirement", wording.Values{"found": entry.File, "file": whole.File, "place": whole.Place})})
		}
	}
	return problems.Err()
}

// Close closes the folder.
func (f *Folder) Close() error { return f.root.Close() }

// Bytes reads a whole file of at most limit bytes and notes it as evidence.
func (f *Folder) Bytes(path, role string, limit int64) ([]byte, error) {
	s := &source{folder: f, path: path, role: role}
	stream, err := s.Open()
	if err != nil {
		return nil, err
	}
	defer stream.Close()
	data, err := io.ReadAll(io.LimitReader(stream, limit+1))
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", path, err)
	}
	if int64(len(data)) > limit {
		return nil, place.NewError(place.Place{File: path}, wording.Say("file.too-large", wording.Values{"most": limit >> 20, "role": role}))
	}
	// One more read meets the end, at which the digest is known.
	_, err = io.Copy(io.Discard, stream)
	return data, err
}

// source is one file of the folder for the readers. The digest is taken of what
// they read, so that no file is read twice for it.
type source struct {
	folder *Folder
	path   string
	role   string
}

var _ table.Source = (*source)(nil)

// Name returns the path as the job sheet writes it.
func (s *source) Name() string { return s.path }

// Size returns the size of the file, -1 where it cannot be told: opening it then
// says why.
func (s *source) Size() int64 {
	info, err := s.folder.root.Stat(s.path)
	if err != nil {
		return -1
	}
	return info.Size()
}

// Open opens the file at its first byte.
func (s *source) Open() (io.ReadCloser, error) {
	file, err := s.folder.root.Open(s.path)
	if err != nil {
		return nil, err
	}
	return &hashing{file: file, source: s, digest: sha256.New()}, nil
}

// canOpen reports why the file cannot be opened.
func (s *source) canOpen() error {
	stream, err := s.Open()
	if err != nil {
		return err
	}
	return stream.Close()
}

// hashing is an open file whose digest is noted when its end is met.
type hashing struct {
	file   fs.File
	source *source
	digest hash.Hash
	size   int64
	done   bool
}

// Read reads, hashes and counts.
func (h *hashing) Read(p []byte) (int, error) {
	n, err := h.file.Read(p)
	h.digest.Write(p[:n])
	h.size += int64(n)
	if progress := h.source.folder.Progress; progress != nil && n > 0 {
		progress(int64(n))
	}
	if errors.Is(err, io.EOF) && !h.done {
		h.done = true
		h.source.folder.note(h.source.path, h.source.role, h.size, hex.EncodeToString(h.digest.Sum(nil)))
	}
	return n, err
}

// Close closes the file.
func (h *hashing) Close() error { return h.file.Close() }

// note enters a file that was read to its end into the list of evidence.
func (f *Folder) note(path, role string, size int64, digest string) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	file := f.files[path]
	if file == nil {
		file = &File{Path: path}
		f.files[path] = file
	}
	file.Size, file.SHA256 = size, digest
	file.addRole(role)
}

func (file *File) addRole(role string) {
	for _, known := range file.Roles {
		if known == role {
			return
		}
	}
	file.Roles = append(file.Roles, role)
	sort.Strings(file.Roles)
}

// evidence returns every file that was read, sorted by path.
func (f *Folder) evidence() []File {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	files := make([]File, 0, len(f.files))
	for _, file := range f.files {
		listed := *file
		listed.Roles = slices.Clone(file.Roles) // a later reading adds to the other
		files = append(files, listed)
	}
	sort.Slice(files, func(i, j int) bool { return files[i].Path < files[j].Path })
	return files
}

// identities returns a function that gives one path for all paths of a file,
// whatever links and the case of letters make of them.
func (f *Folder) identities() func(path string) string {
	type known struct {
		path string
		info fs.FileInfo
	}
	var files []known
	return func(path string) string {
		info, err := f.root.Stat(path)
		if err != nil {
			return path
		}
		for _, file := range files {
			if f.root.Same(file.info, info) {
				return file.path
			}
		}
		files = append(files, known{path, info})
		return path
	}
}

// sheetError turns an error about opening a file that the job sheet names into a
// message that points at the line that names it.
func sheetError(entry *table.Entry, err error) place.Messages {
	var known *place.Error
	if errors.As(err, &known) {
		return known.Messages
	}
	var shown *picture.Problem
	if errors.As(err, &shown) {
		return place.Messages{{Place: entry.Place, Text: shown.Text}}
	}
	text := wording.Say("file.unreadable", wording.Values{"file": entry.File, "error": err})
	if errors.Is(err, fs.ErrNotExist) {
		text = wording.Say("file.not-there", wording.Values{"file": entry.File})
	} else if other := (&regular.NotRegularError{}); errors.As(err, &other) {
		text = wording.Say("file.not-regular", wording.Values{"file": entry.File, "kind": other.Kind})
	} else if isEscape(err) {
		text = wording.Say("file.escapes", wording.Values{"file": entry.File})
	}
	return place.Messages{{Place: entry.Place, Text: text}}
}

// isEscape reports whether an error of os.Root says that a path leads out of it.
func isEscape(err error) bool {
	var path *fs.PathError
	return errors.As(err, &path) && path.Err != nil && path.Err.Error() == "path escapes from parent"
}

// Picture reads a photo, logo or annex that the job sheet names.
func (f *Folder) Picture(path string) ([]byte, error) {
	return f.Bytes(path, rolePhoto, picture.LargestFile)
}

// Size returns the size of all records that the job sheet names, each path once.
func (f *Folder) Size() int64 {
	seen, total := map[string]bool{}, int64(0)
	for _, named := range f.Sheet.Records() {
		if path := named.Entry.File; !seen[path] {
			seen[path] = true
			total += max(0, (&source{folder: f, path: path}).Size())
		}
	}
	return total
}
