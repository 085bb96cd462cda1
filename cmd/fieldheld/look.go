package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"fieldheld/ingest"
	"fieldheld/ingest/place"
	"fieldheld/ingest/record"
	"fieldheld/templates/wording"
)

func newLook() *cobra.Command {
	var day, sheet, kind string
	cmd := &cobra.Command{
		Use:   "look FILE",
		Short: "Show how a file is read: columns, units, times, rows, what is odd",
		Long: `look shows how a log, a workbook or a table would be read: its kind, encoding,
delimiter and decimal mark, the header row, what each column is taken for and why,
the zone of its times, the first and last rows, gaps, rows that cannot be read,
and the lines to paste into the job sheet where something must be said otherwise.

With --job the file is read as the job sheet of the day says.`,
		Example: "  fieldheld look 2026-11-18/probe/h1.csv\n  fieldheld look 2026-11-18/power/power.xlsx --sheet V1\n" +
			"  fieldheld look 2026-11-18/probe/h1.csv --job 2026-11-18",
		Args: takes("file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			looks, err := lookAt(args[0], day, sheet, record.Kind(kind))
			if err != nil {
				return err
			}
			p := newPrinter(cmd.OutOrStdout())
			usable := true
			for i, look := range looks {
				if i > 0 {
					p.line("")
				}
				p.look(look)
				usable = usable && len(look.Problems) == 0
			}
			if p.err == nil && !usable {
				return fmt.Errorf("%s cannot be used as it is", args[0])
			}
			return p.err
		},
	}
	cmd.Flags().StringVar(&day, "job", "", "read the file as the job sheet of this day's folder, `DAY`, says")
	cmd.Flags().StringVar(&sheet, "sheet", "", "`NAME` of the sheet of a workbook (default: the first)")
	cmd.Flags().StringVar(&kind, "kind", "", "what the file is, one of "+kindNames()+" (default: found out)")
	return cmd
}

func kindNames() string {
	var names []string
	for _, k := range record.Kinds() {
		names = append(names, string(k))
	}
	return strings.Join(names, ", ")
}

func lookAt(path, day, sheet string, kind record.Kind) ([]*record.Look, error) {
	if day == "" {
		if kind != record.AnyKind && !slices.Contains(record.Kinds(), kind) {
			return nil, fmt.Errorf("--kind %s is not known; choose one of %s", kind, kindNames())
		}
		look, err := ingest.LookAt(path, sheet, kind)
		if err != nil {
			return nil, err
		}
		if kind == record.AnyKind && len(look.Problems) > 0 {
			look = lookAgain(path, sheet, look)
		}
		return []*record.Look{look}, nil
	}
	if sheet != "" || kind != record.AnyKind {
		return nil, errors.New("--job reads the file as the job sheet says, so that --sheet and --kind say nothing; leave them out, or leave --job out")
	}
	folder, err := ingest.Open(day)
	if err != nil {
		return nil, err
	}
	defer folder.Close()
	var maxGap time.Duration
	if stated := folder.Sheet.Requirement.MaxGap; stated != nil {
		maxGap = *stated
	}
	return folder.LookAt(day, path, maxGap)
}

// lookAgain tries every kind on a file that cannot be used as the one that its header
// fits best: the only one as which it can be used is its kind, and one of a kind that
// its header fits is told by what else it lacks. A file that fits no kind is called
// none.
func lookAgain(path, sheet string, first *record.Look) *record.Look {
	if !headerLacks(first) {
		return first
	}
	var usable, fitting []*record.Look
	none := *first
	none.Kind, none.Lines = "none that is known", nil
	asked := first.Problems[0]
	none.Problems = place.Messages{{Place: asked.Place, Text: wording.Say("look.fits-none", wording.Values{"found": asked.Found(), "hint": asked.Hint()})}}
	for _, k := range record.Kinds() {
		look, err := ingest.LookAt(path, sheet, k)
		switch {
		case err != nil:
		case len(look.Problems) == 0:
			usable = append(usable, look)
		case !headerLacks(look):
			fitting = append(fitting, look)
		default:
			none.Problems.Add(place.Message{Text: lacks(look)})
		}
	}
	switch {
	case len(usable) == 1:
		return usable[0]
	case len(usable) == 0 && len(fitting) == 1:
		return fitting[0]
	case len(usable)+len(fitting) > 0:
		return first
	}
	return &none
}

// headerLacks reports whether a file cannot be used because its header has not the
// columns of the kind.
func headerLacks(l *record.Look) bool {
	if len(l.Problems) == 0 {
		return false
	}
	switch l.Problems[0].Text.Code {
	case "header.lacks", "header.data-alone", "header.none":
		return true
	}
	return false
}

// lacks says shortly why the header fits no record of the kind of a look.
func lacks(l *record.Look) wording.Text {
	text := l.Problems[0].Text
	if text.Code == "header.lacks" {
		return wording.Say("look.lacks", wording.Values{"lacks": text.Values["lacks"], "kind": text.Values["kind"]})
	}
	return wording.Say("look.knows-no-column", wording.Values{"kind": string(l.Kind)})
}

// look prints how one file is read.
func (p *printer) look(l *record.Look) {
	title := l.Path
	if l.Sheet != "" {
		title += ", sheet " + l.Sheet
	}
	p.head("%s", title)
	p.fact("kind", string(l.Kind))
	p.fact("encoding", because(l.Encoding, l.Why.Encoding))
	if l.Delimiter != 0 {
		p.fact("delimiter", because(delimiterName(l.Delimiter), l.Why.Delimiter))
	}
	if l.Delimiter != 0 && l.Decimal != 0 {
		p.fact("decimal mark", because(string(l.Decimal), l.Why.Decimal))
	}
	if l.Detector != "" {
		p.fact("detector", l.Detector+", as the heading says")
	}
	if len(l.Sheets) > 1 {
		var names []string
		for _, s := range l.Sheets {
			name := s.Name
			if s.Hidden {
				name += " (hidden)"
			}
			names = append(names, name)
		}
		p.fact("sheets", strings.Join(names, ", "))
	}
	header := "none"
	if l.HeaderRow > 0 {
		header = because(fmt.Sprintf("row %d", l.HeaderRow), l.Why.Header)
	}
	if l.UnitRow > 0 {
		header += fmt.Sprintf(", units in row %d", l.UnitRow)
	}
	p.fact("header", header)
	p.times(l)
	p.columns(l)
	for _, m := range l.Problems {
		p.line("")
		p.head("It cannot be used as it is:")
		for _, line := range strings.Split(m.String(), "\n") {
			p.line("  %s", line)
		}
	}
	if len(l.Problems) == 0 {
		p.rows(l)
	}
	if len(l.Lines) > 0 {
		p.line("")
		p.line("The same, said in the job sheet; change what must be read otherwise:")
		for _, line := range l.Lines {
			p.line("  %s", line)
		}
	}
}

// because writes a decision with what decided it.
func because(what, why string) string {
	if why == "" {
		return what
	}
	return what + " (" + why + ")"
}

// fact prints a short fact under its name.
func (p *printer) fact(name, value string) {
	for i, line := range wrap(value, columns-16) {
		if i > 0 {
			name = ""
		}
		p.line("  %-13s %s", name, line)
	}
}

func delimiterName(r rune) string {
	switch r {
	case '\t':
		return "tab"
	case ',':
		return "comma"
	case ';':
		return "semicolon"
	case ' ':
		return "blanks"
	default:
		return fmt.Sprintf("%q", string(r))
	}
}

func (p *printer) times(l *record.Look) {
	t := l.Times
	if t == nil {
		return
	}
	text := t.How
	if t.Order != "" {
		text += ", " + because(t.Order, t.OrderWhy)
	}
	p.fact("times", text)
	if t.Zone != "" {
		p.fact("zone", fmt.Sprintf("%s (%s)", t.Zone, t.ZoneWhy))
	}
	if t.Start != "" {
		p.fact("start", t.Start)
	}
	if t.ClockOffset != 0 {
		p.fact("clock offset", t.ClockOffset.String()+" (added)")
	}
}

func (p *printer) columns(l *record.Look) {
	p.line("")
	p.line("  %-3s %-24s %-14s %-8s %s", "", "column", "taken for", "unit", "why")
	const most = 60 // of the columns that are not read
	unread := 0
	for _, c := range l.Columns {
		taken := c.Quantity
		if taken == "" {
			if unread++; unread > most {
				continue
			}
			taken = "-"
		}
		why := c.Why
		if c.UnitWhy != "" {
			why = strings.TrimPrefix(why+"; unit "+c.UnitWhy, "; ")
		}
		first := fmt.Sprintf("  %-3s %-24s %-14s %-8s ", c.Letter, c.Heading, taken, c.Unit)
		for i, line := range wrap(why, max(20, columns-54)) {
			if i > 0 {
				first = strings.Repeat(" ", 54)
			}
			p.line("%s%s", first, line)
			first = ""
		}
		if first != "" {
			p.line("%s", strings.TrimRight(first, " "))
		}
	}
	if more := unread - most; more > 0 {
		p.line("  and %s that are not read", counted(more, "more column", "more columns"))
	}
}

func (p *printer) rows(l *record.Look) {
	p.line("")
	p.fact("rows", fmt.Sprintf("%d read, %d not read", l.File.RowsRead, l.File.RowsUnread))
	if l.Interval > 0 {
		p.fact("interval", fmt.Sprintf("%s between samples; up to %s counts as continuous; %s", l.Interval, l.Longest, counted(l.GapCount, "gap is longer", "gaps are longer")))
	}
	for _, gap := range l.Gaps {
		p.line("    gap of %s behind row %d", gap.Length, gap.After)
	}
	if hidden := l.GapCount - len(l.Gaps); hidden > 0 {
		p.line("    ... and %d more", hidden)
	}
	p.values("first rows", l.First)
	p.values("last rows", l.Last)
	if len(l.File.Problems) == 0 {
		return
	}
	p.line("")
	p.line("  What is odd: %d", len(l.File.Problems))
	for i, problem := range l.File.Problems {
		if i == mostListed {
			p.line("    ... and %d more", len(l.File.Problems)-mostListed)
			break
		}
		p.wrapped(4, oddity(problem))
	}
}

// oddity says what is odd about a row, or about the whole file.
func oddity(problem record.RowProblem) string {
	what := ""
	switch problem.Kind {
	case record.Unreadable:
		what = "not read"
	case record.Duplicate:
		what = "repeats the row before, kept"
	case record.UnknownMark:
		what = "unknown mark, taken as invalid"
	case record.NoValue:
		what = "no reading, kept with its time as invalid"
	case record.Remark:
		return problem.Reason.String()
	}
	return fmt.Sprintf("row %d, %s: %s", problem.Row, what, problem.Reason)
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func (p *printer) values(title string, rows []record.LookRow) {
	if len(rows) == 0 {
		return
	}
	p.line("")
	p.line("  %s", title)
	for _, row := range rows {
		var parts []string
		for _, v := range row.Values {
			parts = append(parts, v.Quantity+" "+v.Text)
		}
		for i, line := range wrap(strings.Join(parts, "; "), columns-12) {
			number := fmt.Sprintf("%7d", row.Row)
			if i > 0 {
				number = strings.Repeat(" ", 7)
			}
			p.line("  %s  %s", number, line)
		}
	}
}
