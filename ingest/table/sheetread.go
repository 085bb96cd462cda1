package table

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"fieldheld/ingest/place"
)

// SheetName is one sheet of a workbook.
type SheetName struct {
	Name   string
	Hidden bool
}

// workbook is one sheet of an .xlsx file, read in order through a row iterator.
type workbook struct {
	name     string
	sheet    string
	sheets   []SheetName
	date1904 bool
	file     *excelize.File
	rows     *excelize.Rows
	number   int   // rows taken from the iterator
	last     int   // number of the last row that the sheet holds
	head     []Row // the first of them
}

// openWorkbook reads a workbook into memory, proves that it is whole, and
// stands before the first row of the sheet that the entry names.
func openWorkbook(src Source, entry Entry, r io.Reader) (*workbook, error) {
	where := place.Place{File: src.Name()}
	data, err := io.ReadAll(io.LimitReader(r, mostPacked+1))
	if err != nil {
		return nil, readError(where, err)
	}
	if len(data) > mostPacked {
		return nil, damaged(where, fmt.Sprintf("the workbook is larger than %d MB", mostPacked>>20))
	}
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, damaged(where, "the workbook is cut off or damaged: "+Clean(err.Error()))
	}
	parts, err := proveWhole(where, archive, len(data))
	if err != nil {
		return nil, err
	}
	b := &workbook{name: src.Name()}
	b.file, err = excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue: true, UnzipSizeLimit: mostUnpacked,
	})
	if err != nil {
		return nil, damaged(where, "the workbook cannot be opened: "+Clean(err.Error()))
	}
	if err := b.choose(where, entry, archive, parts); err != nil {
		b.close()
		return nil, err
	}
	return b, nil
}

// choose picks the sheet and reads its first rows.
func (b *workbook) choose(where place.Place, entry Entry, archive *zip.Reader, parts map[string]part) error {
	relation := ""
	for _, sheet := range b.file.WorkBook.Sheets.Sheet {
		b.sheets = append(b.sheets, SheetName{Name: Clean(sheet.Name), Hidden: sheet.State != "" && sheet.State != "visible"})
		if b.sheet == "" && (entry.Sheet == "" || strings.EqualFold(sheet.Name, entry.Sheet)) {
			b.sheet, relation = sheet.Name, sheet.ID
		}
	}
	if b.sheet == "" {
		return b.noSheet(where, entry)
	}
	if entry.Sheet == "" && len(b.sheets) > 1 && b.hidden() {
		return b.hiddenFirst(where)
	}
	where.Sheet = b.sheet
	part, err := sheetPart(archive, relation, parts)
	if err != nil {
		return damaged(where, err.Error())
	}
	b.last = part.lastRow
	if props, err := b.file.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		b.date1904 = *props.Date1904
	}
	if b.rows, err = b.file.Rows(b.sheet); err != nil {
		return damaged(where, "the sheet cannot be read: "+Clean(err.Error()))
	}
	for len(b.head) < headRows {
		row, err := b.next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return err
		}
		b.head = append(b.head, row)
	}
	return nil
}

// hidden reports whether the chosen sheet is one that is not seen.
func (b *workbook) hidden() bool {
	for _, s := range b.sheets {
		if s.Name == Clean(b.sheet) {
			return s.Hidden
		}
	}
	return false
}

// hiddenFirst asks which sheet is meant where the first is not the first seen.
func (b *workbook) hiddenFirst(where place.Place) error {
	where.Sheet = Clean(b.sheet)
	return &place.Error{Messages: place.Messages{{
		Place: where, What: "the first sheet of the workbook is hidden, so that the entry has to say which sheet it means",
		Found: "sheets " + b.sheetNames(), Expected: "an entry with the name of a sheet",
		Hint: "add sheet = \"…\" to the job sheet's entry",
	}}}
}

// sheetNames lists the sheets for messages.
func (b *workbook) sheetNames() string {
	var names []string
	for _, s := range b.sheets {
		name := "“" + s.Name + "”"
		if s.Hidden {
			name += " (hidden)"
		}
		names = append(names, name)
	}
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}

func (b *workbook) noSheet(where place.Place, entry Entry) error {
	var names []string
	for _, s := range b.sheets {
		names = append(names, s.Name)
	}
	m := place.Message{
		Place: where, What: "the workbook has no sheet of that name", Found: "sheets " + b.sheetNames(),
		Expected: "a sheet named “" + Clean(entry.Sheet) + "”",
		Hint:     "correct the entry's sheet in the job sheet",
	}
	if near := place.Nearest(entry.Sheet, names); near != "" {
		m.Hint = "did you mean “" + near + "”? " + m.Hint
	}
	if entry.Sheet == "" {
		m.What, m.Expected, m.Hint = "the workbook has no sheet", "at least one sheet", "name the right file, or copy it again"
	}
	return &place.Error{Messages: place.Messages{m}}
}

// next takes one row from the iterator.
func (b *workbook) next() (Row, error) {
	where := place.Place{File: b.name, Sheet: b.sheet, Row: b.number + 1}
	if !b.rows.Next() {
		if err := b.rows.Error(); err != nil {
			return Row{}, damaged(where, "the sheet cannot be read further: "+Clean(err.Error()))
		}
		if b.number < b.last {
			return Row{}, damaged(where, fmt.Sprintf("the sheet breaks off before its last row, %d", b.last))
		}
		return Row{}, io.EOF
	}
	cells, err := b.rows.Columns()
	if err != nil {
		return Row{}, damaged(where, "the row cannot be read: "+Clean(err.Error()))
	}
	b.number++
	row := Row{Number: b.number, Cells: make([][]byte, len(cells))}
	for i, c := range cells {
		row.Cells[i] = trim([]byte(c))
	}
	return row, nil
}

// timeCell looks the number format of a cell up.
func (b *workbook) timeCell(row, column int) bool {
	name, err := excelize.CoordinatesToCellName(column+1, row)
	if err != nil {
		return false
	}
	id, err := b.file.GetCellStyle(b.sheet, name)
	if err != nil {
		return false
	}
	style, err := b.file.GetStyle(id)
	if err != nil {
		return false
	}
	if style.CustomNumFmt != nil {
		return strings.ContainsAny(strings.ToLower(*style.CustomNumFmt), "hs:")
	}
	switch style.NumFmt { // the built-in formats of times, ECMA-376 part 1, 18.8.30
	case 18, 19, 20, 21, 45, 46, 47:
		return true
	}
	return false
}

func (b *workbook) close() error {
	if b.rows != nil {
		b.rows.Close()
	}
	return b.file.Close()
}

// sheetChunks hands out the rows of a sheet.
type sheetChunks struct {
	book  *workbook
	after int
	begun bool
}

func (s *sheetChunks) next() (*Chunk, error) {
	const most = 2000
	var rows []Row
	if !s.begun {
		s.begun, rows = true, append(rows, s.book.head...)
	}
	for len(rows) < most {
		row, err := s.book.next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return nil, io.EOF
	}
	return &Chunk{rows: rows, after: s.after}, nil
}

func (s *sheetChunks) release(*Chunk) {}
