package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/regular"
)

// hintAbove says on stderr that a folder is one day of a test over several, which
// is judged as a whole.
func hintAbove(stderr io.Writer, dir string) {
	if above := testAbove(dir); above != "" {
		fmt.Fprintln(stderr, printable(fmt.Sprintf("fieldheld: %s is one day of the test in %s; check the folder above: fieldheld check %s", dir, above, above)))
	}
}

// deepest is how many folders up a test is looked for.
const deepest = 3

// testAbove returns the folder of the test that lists the folder as one of its days;
// "" where none does. A sheet above that cannot be read as a whole still says which
// days it has.
func testAbove(dir string) string {
	day, err := os.Stat(dir)
	if err != nil {
		return ""
	}
	above := dir
	for range deepest {
		above = filepath.Join(above, "..")
		if filepath.IsAbs(dir) && above == filepath.Dir(above) {
			return ""
		}
		for _, folder := range daysOf(filepath.Join(above, jobsheet.FileName)) {
			info, err := os.Stat(filepath.Join(above, filepath.FromSlash(folder)))
			if err == nil && os.SameFile(info, day) {
				return above
			}
		}
	}
	return ""
}

// daysOf returns the folders that a job sheet lists as days.
func daysOf(path string) []string {
	file, err := regular.Open(path)
	if err != nil {
		return nil
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, largestSheetAbove))
	if err != nil {
		return nil
	}
	sheet, _ := jobsheet.Parse(data, jobsheet.FileName) // problems of a sheet that nobody asked for are not told
	if sheet == nil {
		return nil
	}
	var folders []string
	for i := range sheet.Days {
		folders = append(folders, sheet.Days[i].Folder)
	}
	return folders
}

// largestSheetAbove is the size up to which a job sheet above is read.
const largestSheetAbove = 4 << 20
