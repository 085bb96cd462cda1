package table

import (
	"archive/zip"
	"bytes"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"fieldheld/ingest/place"
	"fieldheld/templates/wording"
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
		return nil, damaged(where, wording.Say("workbook.large", wording.Values{"most": mostPacked >> 20}))
	}
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, damaged(where, wording.Say("workbook.cut-off", wording.Values{"error": Clean(err.Error())}))
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
		return nil, damaged(where, wording.Say("workbook.not-opened", wording.Values{"error": Clean(err.Error())}))
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
	part, fault := sheetPart(archive, relation, parts)
	if !fault.IsZero() {
		return damaged(where, fault)
	}
	b.last = part.lastRow
	if props, err := b.file.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		b.date1904 = *props.Date1904
	}
	rows, err := b.file.Rows(b.sheet)
	if err != nil {
		return damaged(where, wording.Say("workbook.sheet-unreadable", wording.Values{"error": Clean(err.Error())}))
	}
	b.rows = rows
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
	return place.NewError(where, wording.Say("workbook.hidden-sheet", wording.Values{"sheets": b.sheetNames()}))
}

// sheetNames lists the sheets for messages.
func (b *workbook) sheetNames() []wording.Text {
	var names []wording.Text
	for _, s := range b.sheets {
		names = append(names, wording.Say("workbook.sheet", wording.Values{"name": s.Name, "hidden": s.Hidden}))
	}
	return names
}

func (b *workbook) noSheet(where place.Place, entry Entry) error {
	var names []string
	for _, s := range b.sheets {
		names = append(names, s.Name)
	}
	if entry.Sheet == "" {
		return place.NewError(where, wording.Say("workbook.no-sheet", wording.Values{"sheets": b.sheetNames()}))
	}
	return place.NewError(where, wording.Say("workbook.unknown-sheet", wording.Values{"sheets": b.sheetNames(), "sheet": Clean(entry.Sheet),
		"near": place.Nearest(entry.Sheet, names)}))
}

// next takes one row from the iterator.
func (b *workbook) next() (Row, error) {
	where := place.Place{File: b.name, Sheet: b.sheet, Row: b.number + 1}
	if !b.rows.Next() {
		if err := b.rows.Error(); err != nil {
			return Row{}, damaged(where, wording.Say("workbook.sheet-not-further", wording.Values{"error": Clean(err.Error())}))
		}
		if b.number < b.last {
			return Row{}, damaged(where, wording.Say("workbook.breaks-off", wording.Values{"last": b.last}))
		}
		return Row{}, io.EOF
	}
	cells, err := b.rows.Columns()
	if err != nil {
		return Row{}, damaged(where, wording.Say("workbook.row-unreadable", wording.Values{"error": Clean(err.Error())}))
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
