package main

import (
	"bufio"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/regular"
	"fieldheld/report/verdict/requirement"
	"fieldheld/templates/newday"
)

// newFlags are the flags of the command, as they are written.
type newFlags struct {
	like, date, requirementFile, register string
	assets                                []string
	answers                               newday.Answers
}

func newNew() *cobra.Command {
	var flags newFlags
	cmd := &cobra.Command{
		Use:   "new DIR",
		Short: "Begin a day: a commented job sheet and empty folders",
		Long: `new makes the folder of a test day: a job sheet in which every key is explained,
and empty folders for the records. What the flags do not say is asked on a
terminal; an empty answer leaves the key to be filled in.

With --like the customer, the article, the equipment and the setup of a former
day are kept, with the files that they need (register, corrections, requirement);
its results are dropped. Calibration dates and assets are compared with the
register at once.

Nothing that exists is overwritten.`,
		Example: "  fieldheld new 2026-12-01 --like 2026-11-18\n  fieldheld new 2026-12-01 --profile mil-std-461g-rs103-ground-navy --article \"winch controller WK-3\"",
		Args:    takes("folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := args[0]
			if isTerminal(cmd.InOrStdin()) {
				asks := asker{in: bufio.NewReader(cmd.InOrStdin()), out: cmd.ErrOrStderr(), given: cmd.Flags().Changed}
				if err := flags.ask(asks, dir); err != nil {
					return err
				}
			}
			day, err := flags.plan(dir)
			if err != nil {
				return err
			}
			missing, err := day.Missing(dir)
			if err != nil {
				return err
			}
			files := map[string][]byte{}
			for _, file := range missing {
				files[file.Path] = file.Data
			}
			if err := writeDay(dir, files, day.Folders...); err != nil {
				return fmt.Errorf("beginning the day: %w", err)
			}
			return printNewDay(cmd.OutOrStdout(), dir, day)
		},
	}
	set := cmd.Flags()
	set.StringVar(&flags.like, "like", "", "keep customer, equipment and setup of the former `DAY`")
	set.StringVar(&flags.date, "date", "", "date of the test, `YYYY-MM-DD` (default: the name of DIR, or today)")
	set.StringVar(&flags.answers.Number, "number", "", "`NUMBER` of the report")
	set.StringVar(&flags.answers.TimeZone, "zone", "", "time `ZONE` of the laboratory, such as Europe/Oslo")
	set.StringVar(&flags.answers.Laboratory, "laboratory", "", "`NAME` of the laboratory")
	set.StringVar(&flags.answers.Customer, "customer", "", "`NAME` of the customer")
	set.StringVar(&flags.answers.Article, "article", "", "`NAME` of the equipment under test")
	set.StringVar(&flags.answers.Profile, "profile", "", "built-in requirement `NAME` (fieldheld requirements lists them)")
	set.StringVar(&flags.requirementFile, "requirement", "", "requirement `FILE` of your own; it is copied into the folder")
	set.StringVar(&flags.answers.From, "from", "", "the part of the requirement that is shown begins at `FREQUENCY`")
	set.StringVar(&flags.answers.To, "to", "", "and ends at `FREQUENCY`")
	set.StringVar(&flags.register, "register", "", "`FILE` with the list of equipment; it is copied into the folder")
	set.StringArrayVar(&flags.assets, "asset", nil, "an asset that is used and its role, `\"FP-03=field probe\"`; once for each")
	cmd.MarkFlagsMutuallyExclusive("profile", "requirement")
	return cmd
}

// plan turns the flags into a day.
func (f *newFlags) plan(dir string) (*newday.Day, error) {
	answers := f.answers
	var err error
	if answers.Date, err = testDate(f.date, dir); err != nil {
		return nil, err
	}
	if answers.Profile != "" {
		if _, err := requirement.Builtin(answers.Profile); err != nil {
			return nil, err
		}
	}
	if answers.RequirementFile, err = fileToCopy(f.requirementFile); err != nil {
		return nil, err
	}
	if file := answers.RequirementFile; file != nil {
		if _, err := requirement.Parse(file.Data, file.Path); err != nil {
			return nil, err
		}
	}
	if answers.Register, err = fileToCopy(f.register); err != nil {
		return nil, err
	}
	for _, text := range f.assets {
		name, role, ok := strings.Cut(text, "=")
		if !ok {
			return nil, fmt.Errorf("--asset %q has no role; write it behind the asset: --asset \"FP-03=field probe\"", text)
		}
		answers.Assets = append(answers.Assets, newday.Asset{Name: strings.TrimSpace(name), Role: strings.TrimSpace(role)})
	}
	var former fs.FS
	if f.like != "" {
		root, err := os.OpenRoot(f.like)
		if err != nil {
			return nil, fmt.Errorf("the former day cannot be opened: %w", err)
		}
		defer root.Close()
		former = root.FS()
	}
	return newday.Plan(answers, former)
}

// testDate is the date that a flag gives, else that of the folder's name, else today.
func testDate(flag, dir string) (time.Time, error) {
	if flag != "" {
		date, err := time.Parse(time.DateOnly, flag)
		if err != nil {
			return date, fmt.Errorf("--date %q is no date; write it as 2026-11-18", flag)
		}
		return date, nil
	}
	if date, err := time.Parse(time.DateOnly, filepath.Base(filepath.Clean(dir))); err == nil {
		return date, nil
	}
	year, month, day := time.Now().Date()
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC), nil
}

// fileToCopy reads a file that goes into the new folder under its own name; nil
// for no path.
func fileToCopy(path string) (*newday.File, error) {
	if path == "" {
		return nil, nil
	}
	data, err := regular.Read(path, 4<<20)
	if err != nil {
		return nil, fmt.Errorf("a file for the new day cannot be read: %w", err)
	}
	return &newday.File{Path: filepath.Base(path), Data: data}, nil
}

// printNewDay says what was written, what is still to be filled in, and what the
// register says against the day.
func printNewDay(out io.Writer, dir string, day *newday.Day) error {
	p := newPrinter(out)
	p.head("The day is begun.")
	p.line("")
	p.line("  the job sheet  %s", filepath.Join(dir, jobsheet.FileName))
	p.line("  for records    %s", strings.Join(day.Folders, ", "))
	if len(day.Files) > 0 {
		var names []string
		for _, file := range day.Files {
			names = append(names, file.Path)
		}
		p.line("  taken along    %s", strings.Join(names, ", "))
	}
	if len(day.ToFillIn) > 0 {
		p.line("")
		p.head("To be filled in before the day can be checked:")
		for _, m := range day.ToFillIn {
			p.wrapped(2, "- "+m.Place.Key)
		}
	}
	if len(day.Concerns) > 0 {
		p.line("")
		p.head("To be looked at before the test:")
		for _, concern := range day.Concerns {
			p.wrapped(2, "- "+concern)
		}
	}
	return p.err
}
