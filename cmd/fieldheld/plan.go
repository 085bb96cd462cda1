package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/plan"
	"fieldheld/report/render/pdf"
	"fieldheld/templates/wording"
)

func newPlan() *cobra.Command {
	var asJSON bool
	var stepsFile, target string
	cmd := &cobra.Command{
		Use:   "plan DAY",
		Short: "Before the test: steps, time, antenna positions, forecast of power",
		Long: `plan says what a test takes before it is made: the steps of every cell, the time,
the antenna positions, and how the calibrations stand on the day. It needs only
the article and the requirement in the job sheet. Where [forecast] names a
low-level record (frequency, forward, field), it foretells the forward power of
each step, and names the steps that cannot reach their level.

It writes nothing unless -o or --steps names a file. Exit code: 0 the plan is
made, whatever it says; 2 the input or the call is wrong.`,
		Example: "  fieldheld plan 2026-11-18\n  fieldheld plan 2026-11-18 --steps steps.csv -o plan.pdf",
		Args:    takes("day's folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			folder, err := ingest.OpenPlan(args[0])
			if err != nil {
				return err
			}
			defer folder.Close()
			paper, steps := output{flag: "--output", path: target}, output{flag: "--steps", path: stepsFile}
			if err := mayWrite(inputsOf(args[0], folder), paper, steps); err != nil {
				return err
			}
			if asJSON && (paper.standard() || steps.standard()) {
				return errors.New("--json and a file for standard output cannot both be written there; name a file")
			}
			p, err := report.BuildPlan(folder)
			if err != nil {
				return err
			}
			if err := save(cmd, paper.as(func(w io.Writer) error { return pdf.WritePlan(w, p, program()) }),
				steps.as(func(w io.Writer) error { return writeSteps(w, p) })); err != nil {
				return err
			}
			if asJSON {
				data, err := p.JSON()
				if err != nil {
					return err
				}
				_, err = cmd.OutOrStdout().Write(data)
				return err
			}
			return printPlan(answersTo(cmd, paper, steps), p, filepath.ToSlash(args[0]))
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document and nothing else")
	cmd.Flags().StringVar(&stepsFile, "steps", "", "write the steps for the generator to `FILE` as CSV")
	cmd.Flags().StringVarP(&target, "output", "o", "", "write the plan to `FILE` as PDF")
	return cmd
}

// writeSteps writes the steps of every cell as CSV for a generator.
func writeSteps(w io.Writer, p *plan.Plan) error {
	out := csv.NewWriter(w)
	_ = out.Write([]string{"Polarization", "Position", "Step", "Frequency (Hz)", "Limit (V/m)", "Level to hold (V/m)", "Dwell (s)", "Settle (s)",
		"Modulation", "Forward (W)", "Headroom (dB)", "Reach"})
	dwell, settle := decimal(p.Requirement.Required().Seconds()), decimal(p.Settle.Seconds())
	for i := range p.Cells {
		c := &p.Cells[i]
		for k := range c.Steps {
			s := &c.Steps[k]
			_ = out.Write([]string{string(c.Polarization), strconv.Itoa(int(c.Position)), strconv.Itoa(k + 1), decimal(s.Frequency), decimal(s.Limit), decimal(s.Aim),
				dwell, settle, p.Requirement.Modulation.String(), rounded(s.Forward, 4), rounded(s.Headroom, 4), s.Reach.String()})
		}
	}
	out.Flush()
	return out.Error() // of any row
}

// rounded writes a foretold figure with a few decimals; "" for one that is not known.
func rounded[T quantity.Number](x T, decimals int) string {
	if !quantity.Defined(x) {
		return ""
	}
	return strconv.FormatFloat(float64(x), 'f', decimals, 64)
}

// printPlan prints a plan in 80 columns.
func printPlan(out io.Writer, p *plan.Plan, dir string) error {
	t := newPrinter(out)
	t.wrapped(0, p.Sheet.Article.Name)
	t.wrapped(0, p.Requirement.Title+" ("+p.Requirement.Source+")")
	t.line("")
	t.head("%d steps, %s of testing", p.Steps, plan.LongTime(p.Time))
	t.wrapped(2, fmt.Sprintf("%g s a step: %g s dwell, %g s settling, %g s levelling; %s", p.StepTime.Seconds(),
		p.Requirement.Required().Seconds(), p.Settle.Seconds(), p.Levelling.Seconds(), p.Requirement.Modulation))
	t.planCells(p)
	t.planPositions(p)
	t.planRatings(p)
	t.planEquipment(p)
	t.list("To settle before the test", p.Concerns)
	t.list("What this rests on", p.Notes)
	if n := len(p.Requirement.Notes); n > 0 {
		t.wrapped(2, fmt.Sprintf("- The requirement comes with %d notes; the paper prints them.", n))
	}
	t.cautions()
	t.line("")
	t.line("  fieldheld plan %s --steps steps.csv -o plan.pdf", dir)
	return t.err
}

func (p *printer) planCells(made *plan.Plan) {
	p.line("")
	head := fmt.Sprintf("%-18s %-12s %3s %6s %12s", "range", "polarization", "pos", "steps", "time")
	if made.Forecast {
		head += fmt.Sprintf(" %10s %11s", "most power", "headroom")
	}
	p.line("%s", head)
	for i := range made.Cells {
		c := &made.Cells[i]
		line := fmt.Sprintf("%-18s %-12s %3d %6d %12s", planSpan(c), c.Polarization, c.Position, len(c.Steps), plan.LongTime(c.Time))
		if made.Forecast {
			most, headroom := "-", "-"
			if c.Greatest != nil {
				most = c.Greatest.Forward.String()
			}
			if c.Least != nil {
				headroom = fmt.Sprintf("%+.2f dB", roundTowardsVerdict(float64(c.Least.Headroom)))
			}
			line += fmt.Sprintf(" %10s %11s", most, headroom)
		}
		p.line("%s", line)
	}
}

// planPositions prints where the antenna stands, where there is more than one place.
func (p *printer) planPositions(plan *plan.Plan) {
	seen := map[string]bool{}
	for i := range plan.Cells {
		c := &plan.Cells[i]
		key := fmt.Sprintf("%s - %s", c.From, c.To)
		if c.Position < 2 || int(c.Position) != c.Positions || seen[key] {
			continue // the last position has the range in which all of them are needed
		}
		if len(seen) == 0 {
			p.line("")
			p.head("Antenna positions")
		}
		seen[key] = true
		if !quantity.Defined(c.Spacing) {
			p.wrapped(2, fmt.Sprintf("%s: %d; the width of the article's setup is not stated", key, c.Positions))
			continue
		}
		var centres []string
		for k := range plan.Cells {
			if other := &plan.Cells[k]; other.From == c.From && other.Polarization == c.Polarization {
				centres = append(centres, fmt.Sprintf("%.2f m", float64(other.Centre)))
			}
		}
		p.wrapped(2, fmt.Sprintf("%s: %d, %.2f m apart, centres at %s from the edge of the setup", key, c.Positions, float64(c.Spacing), strings.Join(centres, ", ")))
	}
}

// planRatings prints the headroom of every part that states a rating.
func (p *printer) planRatings(plan *plan.Plan) {
	if !plan.Forecast {
		return
	}
	var lines []string
	for _, group := range plan.Groups() {
		for _, r := range group.Cells[0].Ratings {
			text := "no step is forecast"
			if quantity.Defined(r.Least) {
				text = fmt.Sprintf("%+.2f dB at %s", roundTowardsVerdict(float64(r.Least)), r.At)
			}
			if r.Beyond > 0 {
				text += fmt.Sprintf("; steps that need more: %d", r.Beyond)
			}
			lines = append(lines, fmt.Sprintf("%s: %s, %s: %s", group.Name(), r.Part, r.Power, text))
		}
	}
	p.list("Headroom of every part that states a rating", lines)
}

// planEquipment prints how every calibration will stand.
func (p *printer) planEquipment(plan *plan.Plan) {
	title := "Equipment"
	if !plan.Date.IsZero() {
		title += " on " + plan.Date.Format(time.DateOnly)
	}
	var lines []string
	for i := range plan.Equipment {
		e := &plan.Equipment[i]
		lines = append(lines, fmt.Sprintf("%s (%s): %s", e.Asset, e.Role, e.State))
	}
	p.list(title, lines)
}

// list prints a titled list; nothing for an empty one.
func (p *printer) list(title string, items []string) {
	if len(items) == 0 {
		return
	}
	p.line("")
	p.head("%s", title)
	for _, item := range items {
		for k, line := range wrap(item, columns-4) {
			if k == 0 {
				p.line("  - %s", line)
			} else {
				p.line("    %s", line)
			}
		}
	}
}

// cautions prints the cautions that every test has.
func (p *printer) cautions() {
	var items []string
	for _, block := range wording.Safety() {
		items = append(items, block.Items...)
	}
	p.list("Cautions", items)
}

// planSpan writes the range of a cell of the plan.
func planSpan(c *plan.Cell) string {
	if c.From == c.To {
		return c.From.String()
	}
	return c.From.String() + " - " + c.To.String()
}
