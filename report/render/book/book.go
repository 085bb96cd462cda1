// Package book writes workbooks: sheets of typed cells, and charts over them. It
// knows nothing of what they say.
package book

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"regexp"
	"sort"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// Sheet is one sheet to be written. A cell is a string, an int, a
// float64, a time.Time or nil for an empty cell; its type decides how the
// workbook stores it. Numbers keep 15 significant digits, as workbooks do. The
// first row is set bold where Heading is true.
type Sheet struct {
	Name    string
	Heading bool
	Widths  []float64 // of the columns, in characters; may be shorter than the rows
	Formats []string  // number formats of the columns, such as "0.00"; "" for none; likewise
	Wrapped []bool    // columns whose texts are broken into lines; likewise
	Frozen  int       // columns at the left that stay in sight; the heading stays as well
	Filter  bool      // the heading offers filters; it then has a different text in each column
	Rows    [][]any
	Folded  map[int]bool // rows, by index, that are folded under the one before them which is not, and unfold by a click
	Charts  []Chart      // of a sheet without rows
}

// workbookTime is the fixed time of everything in a workbook that asks for one,
// so that the same rows always give the same bytes.
var workbookTime = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)

// Write writes the sheets as an .xlsx workbook. The same sheets give
// the same bytes. A text is stored as text whatever it begins with, never as a
// formula; a time is stored as the date and time of its own zone, to the
// millisecond, and as a bare date when it is a midnight.
func Write(w io.Writer, sheets []Sheet) error {
	if len(sheets) == 0 {
		return fmt.Errorf("a workbook needs at least one sheet")
	}
	file := excelize.NewFile()
	defer file.Close() //nolint:errcheck // nothing is read back from it
	styles := &workbookStyles{file: file, made: map[cellLook]int{}}
	for i, sheet := range sheets {
		var err error
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
	for _, sheet := range sheets { // their data may stand in any sheet
		for i := range sheet.Charts {
			if err := addChart(file, sheet.Name, &sheet.Charts[i]); err != nil {
				return fmt.Errorf("sheet %q, chart %q: %w", sheet.Name, sheet.Charts[i].Title, err)
			}
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

// workbookStyles makes the cell styles that the sheets use, each once.
type workbookStyles struct {
	file *excelize.File
	made map[cellLook]int
}

// cellLook is what a style decides.
type cellLook struct {
	format        string
	bold, wrapped bool
}

const dateFormat, momentFormat = "yyyy-mm-dd", "yyyy-mm-dd hh:mm:ss.000"

func (s *workbookStyles) index(look cellLook) (int, error) {
	if look == (cellLook{}) {
		return 0, nil
	}
	if index, ok := s.made[look]; ok {
		return index, nil
	}
	style := excelize.Style{}
	if look.format != "" {
		style.CustomNumFmt = &look.format
	}
	if look.bold {
		style.Font = &excelize.Font{Bold: true, Family: "Calibri", Size: 11} // else without a typeface, which each program fills in otherwise
	}
	if look.wrapped {
		style.Alignment = &excelize.Alignment{WrapText: true, Horizontal: "left", Vertical: "top"}
	}
	index, err := s.file.NewStyle(&style)
	if err != nil {
		return 0, fmt.Errorf("cell style: %w", err)
	}
	s.made[look] = index
	return index, nil
}

func writeSheet(file *excelize.File, sheet Sheet, styles *workbookStyles) error {
	if len(sheet.Charts) > 0 {
		if len(sheet.Rows) > 0 { // a sheet that is streamed loses its charts in silence
			return fmt.Errorf("a sheet with charts cannot have rows")
		}
		return nil
	}
	if len(sheet.Folded) > 0 {
		below := false // the row that says what is folded stands above it
		if err := file.SetSheetProps(sheet.Name, &excelize.SheetPropsOptions{OutlineSummaryBelow: &below}); err != nil {
			return err
		}
	}
	stream, err := file.NewStreamWriter(sheet.Name)
	if err != nil {
		return err
	}
	if sheet.Heading && (sheet.Filter || sheet.Frozen > 0) {
		if err := stream.SetPanes(frozen(sheet.Frozen)); err != nil {
			return err
		}
	}
	for i, width := range sheet.Widths {
		if err := stream.SetColWidth(i+1, i+1, width); err != nil {
			return err
		}
	}
	for i := range sheet.Rows {
		cells, err := workbookRow(sheet, i, styles)
		if err != nil {
			return err
		}
		reference, err := excelize.CoordinatesToCellName(1, i+1)
		if err != nil {
			return err
		}
		if err := stream.SetRow(reference, cells, foldedRow(sheet.Folded[i])); err != nil {
			return err
		}
	}
	if sheet.Filter {
		if err := addFilter(stream, sheet); err != nil {
			return err
		}
	}
	return stream.Flush()
}

// foldedRow is the look of a row that is folded, or of one that is not.
func foldedRow(folded bool) excelize.RowOpts {
	if !folded {
		return excelize.RowOpts{}
	}
	return excelize.RowOpts{OutlineLevel: 1, Hidden: true}
}

// frozen keeps the first row and some columns at the left in sight.
func frozen(columns int) *excelize.Panes {
	corner, _ := excelize.CoordinatesToCellName(columns+1, 2) // fails only for numbers below 1
	panes := &excelize.Panes{Freeze: true, XSplit: columns, YSplit: 1, TopLeftCell: corner, ActivePane: "bottomLeft"}
	if columns > 0 {
		panes.ActivePane = "bottomRight"
	}
	return panes
}

// addFilter makes a table of the rows, without a look of its own.
func addFilter(stream *excelize.StreamWriter, sheet Sheet) error {
	if len(sheet.Rows) < 2 {
		return nil // a table needs a row below its heading
	}
	end, err := excelize.CoordinatesToCellName(len(sheet.Rows[0]), len(sheet.Rows))
	if err != nil {
		return err
	}
	off := false
	return stream.AddTable(&excelize.Table{Range: "A1:" + end, Name: sheet.Name, ShowRowStripes: &off})
}

// workbookRow gives each value of a row the style that its type and column need.
func workbookRow(sheet Sheet, i int, styles *workbookStyles) ([]any, error) {
	row := sheet.Rows[i]
	cells := make([]any, len(row))
	for k, value := range row {
		look := cellLook{bold: i == 0 && sheet.Heading}
		look.wrapped = k < len(sheet.Wrapped) && sheet.Wrapped[k] && !look.bold
		cell := excelize.Cell{Value: value}
		switch v := value.(type) {
		case nil:
			continue
		case string:
		case int, float64:
			if k < len(sheet.Formats) {
				look.format = sheet.Formats[k]
			}
		case time.Time:
			cell.Value, look.format = serialDate(v), momentFormat
			if v.Hour() == 0 && v.Minute() == 0 && v.Second() == 0 && v.Nanosecond() == 0 {
				look.format = dateFormat
			}
		default:
			return nil, fmt.Errorf("row %d, column %d: a cell cannot hold a %T", i+1, k+1, value)
		}
		var err error
		if cell.StyleID, err = styles.index(look); err != nil {
			return nil, err
		}
		cells[k] = cell
	}
	return cells, nil
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

// imageTypes are the kinds of pictures that a workbook might have. Ours have none,
// and the library lists them in an order of chance.
var imageTypes = regexp.MustCompile(`<Default Extension="[a-z]+" ContentType="image/[^"]*"></Default>`)

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
	contents, err := io.ReadAll(from)
	if err != nil {
		return err
	}
	switch {
	case strings.HasPrefix(entry.Name, "xl/charts/"):
		contents = mendChart(contents)
	case entry.Name == "[Content_Types].xml":
		contents = imageTypes.ReplaceAll(contents, nil)
	}
	_, err = to.Write(contents)
	return err
}
