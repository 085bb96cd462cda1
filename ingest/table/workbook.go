package table

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"sort"
	"time"

	"github.com/xuri/excelize/v2"
)

// WorkbookSheet is one sheet to be written. A cell is a string, an int, a
// float64, a time.Time or nil for an empty cell; its type decides how the
// workbook stores it. Numbers keep 15 significant digits, as workbooks do. The
// first row is set bold where Heading is true.
type WorkbookSheet struct {
	Name    string
	Heading bool
	Widths  []float64 // of the columns, in characters; may be shorter than the rows
	Rows    [][]any
}

// workbookTime is the fixed time of everything in a workbook that asks for one,
// so that the same rows always give the same bytes.
var workbookTime = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)

// WriteWorkbook writes the sheets as an .xlsx workbook. The same sheets give
// the same bytes. A text is stored as text whatever it begins with, never as a
// formula; a time is stored as the date and time of its own zone, to the
// millisecond, and as a bare date when it is a midnight.
func WriteWorkbook(w io.Writer, sheets []WorkbookSheet) error {
	if len(sheets) == 0 {
		return fmt.Errorf("a workbook needs at least one sheet")
	}
	file := excelize.NewFile()
	defer file.Close() //nolint:errcheck // nothing is read back from it
	styles, err := newWorkbookStyles(file)
	if err != nil {
		return err
	}
	for i, sheet := range sheets {
		if i == 0 {
			err = file.SetSheetName(file.GetSheetName(0), sheet.Name)
		} else {
			_, err = file.NewSheet(sheet.Name)
		}
		if err == nil {
			err = writeSheet(file, sheet, styles)
		}
		if err != nil {
			return fmt.Errorf("sheet %q: %w", sheet.Name, err)
		}
	}
	stamp := workbookTime.Format(time.RFC3339)
	if err := file.SetDocProps(&excelize.DocProperties{Created: stamp, Modified: stamp}); err != nil {
		return fmt.Errorf("document properties: %w", err)
	}
	packed, err := file.WriteToBuffer()
	if err != nil {
		return fmt.Errorf("write workbook: %w", err)
	}
	return repack(w, packed.Bytes())
}

// workbookStyles are the indices of the cell styles that a sheet uses.
type workbookStyles struct{ heading, date, moment int }

func newWorkbookStyles(file *excelize.File) (workbookStyles, error) {
	dateFormat, momentFormat := "yyyy-mm-dd", "yyyy-mm-dd hh:mm:ss.000"
	var styles workbookStyles
	for _, s := range []struct {
		index *int
		style excelize.Style
	}{
		{&styles.heading, excelize.Style{Font: &excelize.Font{Bold: true}}},
		{&styles.date, excelize.Style{CustomNumFmt: &dateFormat}},
		{&styles.moment, excelize.Style{CustomNumFmt: &momentFormat}},
	} {
		index, err := file.NewStyle(&s.style)
		if err != nil {
			return styles, fmt.Errorf("cell style: %w", err)
		}
		*s.index = index
	}
	return styles, nil
}

func writeSheet(file *excelize.File, sheet WorkbookSheet, styles workbookStyles) error {
	stream, err := file.NewStreamWriter(sheet.Name)
	if err != nil {
		return err
	}
	for i, width := range sheet.Widths {
		if err := stream.SetColWidth(i+1, i+1, width); err != nil {
			return err
		}
	}
	for i, row := range sheet.Rows {
		cells := make([]any, len(row))
		for j, value := range row {
			if cells[j], err = workbookCell(value, styles, i == 0 && sheet.Heading); err != nil {
				return fmt.Errorf("row %d, column %d: %w", i+1, j+1, err)
			}
		}
		reference, err := excelize.CoordinatesToCellName(1, i+1)
		if err != nil {
			return err
		}
		if err := stream.SetRow(reference, cells); err != nil {
			return err
		}
	}
	return stream.Flush()
}

// workbookCell gives a value the style that its type needs.
func workbookCell(value any, styles workbookStyles, heading bool) (any, error) {
	cell := excelize.Cell{Value: value}
	if heading {
		cell.StyleID = styles.heading
	}
	switch v := value.(type) {
	case nil:
		return nil, nil
	case string, int, float64:
	case time.Time:
		cell.Value, cell.StyleID = serialDate(v), styles.moment
		if v.Hour() == 0 && v.Minute() == 0 && v.Second() == 0 && v.Nanosecond() == 0 {
			cell.StyleID = styles.date
		}
	default:
		return nil, fmt.Errorf("a cell cannot hold a %T", value)
	}
	return cell, nil
}

// serialDate counts the days since the end of 1899, as workbooks store dates
// (right for every day after February 1900).
func serialDate(t time.Time) float64 {
	local := time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), time.UTC)
	milliseconds := local.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Round(time.Millisecond).Milliseconds()
	return float64(milliseconds) / float64(24*time.Hour/time.Millisecond)
}

// repack writes the entries of a workbook sorted by name and with a fixed time:
// the library orders the sheets of a workbook by chance.
func repack(w io.Writer, packed []byte) error {
	archive, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	if err != nil {
		return fmt.Errorf("read back workbook: %w", err)
	}
	entries := append([]*zip.File(nil), archive.File...)
	sort.Slice(entries, func(i, j int) bool { return entries[i].Name < entries[j].Name })
	out := zip.NewWriter(w)
	for _, entry := range entries {
		if err := repackEntry(out, entry); err != nil {
			return fmt.Errorf("write workbook, %s: %w", entry.Name, err)
		}
	}
	return out.Close()
}

func repackEntry(out *zip.Writer, entry *zip.File) error {
	from, err := entry.Open()
	if err != nil {
		return err
	}
	defer from.Close() //nolint:errcheck // read only
	to, err := out.CreateHeader(&zip.FileHeader{Name: entry.Name, Method: zip.Deflate, Modified: workbookTime})
	if err != nil {
		return err
	}
	_, err = io.Copy(to, from)
	return err
}
