package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
)

// equipment says how the calibration of an asset will stand on the date of the test.
func (b *builder) equipment(e *ingest.Equipment) Equipment {
	planned := Equipment{Equipment: *e}
	date := func(t time.Time) string { return t.Format(time.DateOnly) }
	switch e.CalibrationOn(b.plan.Date, b.plan.Date, b.Sheet.MeasuresField(&e.Equipment)) {
	case jobsheet.CalibrationNotRequired:
		planned.State = "not required: " + e.CalibrationReason
	case jobsheet.CalibrationNotStated:
		planned.State, planned.Fault = "needs a calibration, and none is stated", "none is stated"
	case jobsheet.CalibrationEndUnknown:
		planned.State, planned.Fault = "no date is stated on which it ends", "has no date on which it ends"
	case jobsheet.CalibrationUseUnknown:
		planned.State = "cannot be told: no test date is stated"
	case jobsheet.CalibrationEnded:
		planned.Fault = "ends on " + date(e.Due) + ", before the test"
	case jobsheet.CalibrationBegunLater:
		planned.Fault = "stated for " + date(e.Calibrated) + ", after the test"
	case jobsheet.CalibrationValid:
		planned.State = "valid"
	}
	if planned.State == "" {
		planned.State = planned.Fault
	}
	return planned
}

// concerns lists what has to be settled before the test.
func (b *builder) concerns() {
	add := func(format string, args ...any) {
		b.plan.Concerns = append(b.plan.Concerns, fmt.Sprintf(format, args...))
	}
	for _, group := range b.plan.Groups() {
		c := group.Cells[0]
		name := fmt.Sprintf("%s, %s to %s", capital(group.Name()), c.From, c.To)
		if c.Count.Short > 0 {
			add("%s: %s cannot reach the level: %s.", name, counted(c.Count.Short, "step"), Ranges(c, Short))
		}
		if b.plan.Forecast && c.Count.NoForecast > 0 {
			add("%s: there is no forecast for %s: %s.", name, counted(c.Count.NoForecast, "step"), Ranges(c, NoForecast))
		}
	}
	b.unknownPositions(add)
	for i := range b.plan.Equipment {
		if e := &b.plan.Equipment[i]; e.Fault != "" {
			add("%s: its calibration %s.", partName(&e.Equipment), e.Fault)
		}
		if e := &b.plan.Equipment[i]; len(e.Differences) > 0 {
			add("Job sheet and register differ about %s: %s. The job sheet is followed.", e.Asset, strings.Join(e.Differences, "; "))
		}
	}
	if b.plan.Forecast && b.plan.unrated() {
		add("No rating is stated that the foretold power could be compared with: forward_max in [forecast], or rated_power of an asset.")
	}
	if !quantity.Defined(b.Requirement.Rule.Margin(b.Budget)) {
		add("The guarded decision rule needs the uncertainty of the field, and none is stated: the level to hold is above the limit by an unknown guard band.")
	}
}

// unknownPositions says where the number of antenna positions is not known, and
// what would make it known.
func (b *builder) unknownPositions(add func(string, ...any)) {
	for _, polarization := range quantity.Polarizations() {
		from, to, unknown := b.Requirement.UnknownPositions(polarization)
		if !unknown {
			continue
		}
		missing := "positions in [requirement]"
		if !(b.Sheet.Article.Width > 0) {
			missing = "width in [article], or " + missing
		}
		add("%s, %s to %s: how many antenna positions are needed is not known (%s); the plan has one.",
			capital(string(polarization)), from, to, missing)
	}
}

// unrated reports whether any step has a forecast and no rating.
func (p *Plan) unrated() bool {
	for i := range p.Cells {
		if p.Cells[i].Count.NoRating > 0 {
			return true
		}
	}
	return false
}

// notes lists what a reader of the plan has to know.
func (b *builder) notes() {
	add := func(format string, args ...any) {
		b.plan.Notes = append(b.plan.Notes, fmt.Sprintf(format, args...))
	}
	add("The steps are the largest that the requirement allows, rounded down to whole hertz. Frequencies of interest come on top.")
	add("The times are of the steps alone. Changes of antenna, polarization and position, breaks and the search for thresholds come on top.")
	if !b.plan.LevellingStated {
		add("For levelling %g s a step is allowed, as the job sheet states none (levelling in [plan]).", b.plan.Levelling.Seconds())
	}
	if b.plan.Date.IsZero() {
		add("No date of the test is stated (date in [plan]), so that the calibrations cannot be judged.")
	}
	if b.plan.Forecast {
		add("Forward power goes with the square of the field. It is foretold from the low-level record as it stands, for the unmodulated carrier; that the amplifier compresses near its rating, or that a tuning is changed, is not in it.")
		if crest := Crest(b.Requirement.Modulation); crest > 1 {
			add("The crest of the modulation takes %.3g times the power of the carrier; headroom is that of the crest.", float64(crest))
		}
		if b.Requirement.Rule.Guarded && b.Budget != nil {
			most := ""
			if b.Uncertainty.Varies() {
				most = "at most "
			}
			add("The level to hold lies above the lowest acceptable level by the guard band of %s%s.", most, b.Requirement.Rule.Margin(b.Budget))
		}
	}
	for i := range b.Forecasts {
		b.noteRecord(&b.Forecasts[i])
	}
}

// wideStep is the distance between two points of a low-level record, as a part of
// the frequency, above which a reader should know that nothing was measured between.
const wideStep = 0.05

// noteRecord says what of a low-level record could not be used, and how dense it is.
func (b *builder) noteRecord(f *ingest.Forecast) {
	low := f.Record
	if n := low.File.RowsUnread; n > 0 {
		first := slices.IndexFunc(low.File.Problems, func(p record.RowProblem) bool { return p.Kind == record.Unreadable })
		problem := low.File.Problems[first]
		b.plan.Notes = append(b.plan.Notes, fmt.Sprintf("%s: not used, because unreadable: %s; the first is row %d: %s.",
			low.File.Path, counted(n, "row"), problem.Row, problem.Reason))
	}
	if n := len(f.Left); n > 0 {
		b.plan.Notes = append(b.plan.Notes, fmt.Sprintf("%s: not used, because its correction does not reach there: %s, from %s to %s.",
			low.File.Path, counted(n, "point"), f.Left[0].Frequency, f.Left[n-1].Frequency))
	}
	widest, at := 0.0, 0
	for i := 1; i < len(low.Points); i++ {
		if step := float64(low.Points[i].Frequency/low.Points[i-1].Frequency) - 1; step > widest {
			widest, at = step, i
		}
	}
	if widest > wideStep {
		b.plan.Notes = append(b.plan.Notes, fmt.Sprintf("%s: its points are up to %.0f %% apart (%s to %s); between them the forecast is interpolated.",
			low.File.Path, 100*widest, low.Points[at-1].Frequency, low.Points[at].Frequency))
	}
}

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// Ranges names the steps of a cell with that reach: single frequencies, and
// ranges where neighbours follow each other.
func Ranges(c *Cell, reach Reach) string {
	var parts []string
	for i := 0; i < len(c.Steps); i++ {
		if c.Steps[i].Reach != reach {
			continue
		}
		begin := i
		for i+1 < len(c.Steps) && c.Steps[i+1].Reach == reach {
			i++
		}
		text := megahertz(c.Steps[begin].Frequency)
		if i > begin {
			text += " to " + megahertz(c.Steps[i].Frequency)
		}
		parts = append(parts, text)
	}
	const most = 12
	if more := len(parts) - most; more > 0 {
		parts = append(parts[:most], fmt.Sprintf("and %d ranges more", more))
	}
	return strings.Join(parts, ", ")
}

// megahertz writes a frequency of a step with as many digits as a reader needs.
func megahertz(f quantity.Frequency) string {
	digits := math.Pow(10, math.Floor(math.Log10(float64(f)))-5)
	return quantity.Frequency(math.Round(float64(f)/digits) * digits).String()
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
