package book

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Chart is a chart of the workbook's own kind: lines through points.
type Chart struct {
	Title          string
	XTitle, YTitle string
	Row            int     // below which it stands, from 0
	XFrom, XTo     float64 // range of the horizontal axis
	Logarithmic    bool    // the horizontal axis; it is best cut at powers of ten, which alone are labelled
	Series         []Series
}

// The size of a chart, in pixels, and how many rows it takes.
const (
	chartWidth, chartHeight = 1000, 420
	ChartRows               = 23
)

// Series is one line of a chart: two columns of a sheet, row by row. Its
// name is the heading of the second. Where a cell is empty, the line is broken.
type Series struct {
	Sheet       string
	X, Y        int    // columns, from 1
	First, Last int    // rows, from 1
	Colour      string // six hexadecimal digits
	Dashed      bool
}

// addChart puts a chart into a sheet that has been written.
func addChart(file *excelize.File, sheet string, c *Chart) error {
	chart := &excelize.Chart{
		Type:         excelize.Scatter,
		Title:        excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: c.Title}}},
		Dimension:    excelize.ChartDimension{Width: chartWidth, Height: chartHeight},
		Legend:       excelize.ChartLegend{Position: "bottom"},
		ShowBlanksAs: "gap",
		XAxis: excelize.ChartAxis{Minimum: &c.XFrom, Maximum: &c.XTo, MajorGridLines: true, MinorGridLines: c.Logarithmic,
			Font: excelize.Font{Color: chartInk}, Title: excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: c.XTitle}}}},
		YAxis: excelize.ChartAxis{MajorGridLines: true,
			Font: excelize.Font{Color: chartInk}, Title: excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: c.YTitle}}}},
	}
	if c.Logarithmic {
		chart.XAxis.NumFmt.CustomNumFmt = logarithmicMark
	}
	for _, s := range c.Series {
		x, err := s.column(s.X)
		if err != nil {
			return err
		}
		y, err := s.column(s.Y)
		if err != nil {
			return err
		}
		heading := s
		heading.First, heading.Last = 1, 1
		name, err := heading.column(s.Y)
		if err != nil {
			return err
		}
		series := excelize.ChartSeries{Name: name, Categories: x, Values: y,
			Fill:   excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s.Colour}},
			Line:   excelize.LineOptions{Type: excelize.LineSolid, Width: 1.25},
			Marker: excelize.ChartMarker{Symbol: "none"}}
		if s.Dashed {
			series.Line.Dash = excelize.LineDashDash
		}
		chart.Series = append(chart.Series, series)
	}
	corner, err := excelize.CoordinatesToCellName(1, c.Row+1)
	if err != nil {
		return err
	}
	return file.AddChart(sheet, corner, chart)
}

// column writes the rows of the series in a column as workbooks refer to them.
func (s Series) column(column int) (string, error) {
	name, err := excelize.ColumnNumberToName(column)
	if err != nil {
		return "", err
	}
	if s.First == s.Last {
		return fmt.Sprintf("'%s'!$%s$%d", s.Sheet, name, s.First), nil
	}
	return fmt.Sprintf("'%s'!$%s$%d:$%s$%d", s.Sheet, name, s.First, name, s.Last), nil
}

// chartInk is the colour of the labels of axes.
const chartInk = "404040"

// logarithmicMark is a number format that shows numbers as they are, and by which
// mendChart tells a logarithmic axis.
const logarithmicMark = "0.######"

// categoryOnly are elements of an axis of categories, which an axis of values may
// not have.
var categoryOnly = regexp.MustCompile(`<(auto|lblAlgn|lblOffset|noMultiLvlLbl) val="[^"]*"></(auto|lblAlgn|lblOffset|noMultiLvlLbl)>`)

// mendChart mends the XML of a chart. The library writes the horizontal axis as if
// it were one of categories: its values as texts, which programs are free to
// number 1, 2, 3; with elements that it may not have; and never logarithmic.
func mendChart(chart []byte) []byte {
	text := string(chart)
	for _, tag := range []string{"<xVal><strRef>", "</strRef></xVal>"} {
		text = strings.ReplaceAll(text, tag, strings.ReplaceAll(tag, "strRef", "numRef"))
	}
	text = categoryOnly.ReplaceAllString(text, "")
	if strings.Contains(text, `formatCode="`+logarithmicMark+`"`) {
		text = strings.Replace(text, "<scaling><orientation", `<scaling><logBase val="10"></logBase><orientation`, 1)
	}
	return []byte(text)
}
