package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fieldheld/ingest/quantity"
)

// answer says in one sentence what was shown, to which requirement, as changed by
// what, and with which decision rule (ISO/IEC 17025:2017, 7.8.6.2).
func answer(r *Report) string {
	shown := cellsIn(r, Met, MetWithDeviations)
	rule := "by the decision rule of " + ruleInWords(r.Requirement)
	switch r.State {
	case Demonstrated:
		return fmt.Sprintf("The test field met %s %s, %s%s.", required(r), partsOf(shown), rule, reach(r))
	case DemonstratedWithDeviations:
		return fmt.Sprintf("The test field met %s %s, but for the accepted deviations in section 9, %s%s.", required(r), partsOf(shown), rule, reach(r))
	}
	much := fmt.Sprintf("it is shown for none of %s", combinations(len(r.Cells)))
	if len(shown) > 0 {
		much = fmt.Sprintf("it is shown for %d of %s (%s)", len(shown), combinations(len(r.Cells)), partsOf(shown))
	}
	return fmt.Sprintf("It was not demonstrated that the test field met %s: %s, %s%s.", strings.TrimSuffix(required(r), ","), much, rule, reach(r))
}

func combinations(n int) string {
	if n == 1 {
		return "one combination of range, polarization and position"
	}
	return fmt.Sprintf("%d combinations of range, polarization and position", n)
}

// required names the requirement with what the job sheet changes of it. One that
// is asked less of is never named alone.
func required(r *Report) string {
	name := fmt.Sprintf("“%s” (%s)", r.Requirement.Title, r.Requirement.Source)
	var changes []string
	for _, o := range r.Requirement.Overrides {
		if !o.NamesPart() {
			changes = append(changes, fmt.Sprintf("%s %s instead of %s", o.Name(), o.Is, o.Was))
		}
	}
	switch {
	case len(r.Requirement.Relaxations()) > 0:
		return fmt.Sprintf("the requirement as changed by the job sheet, %s with %s,", name, inWords(changes))
	case len(changes) > 0:
		return fmt.Sprintf("the requirement %s, with %s as the job sheet sets it,", name, inWords(changes))
	}
	return "the requirement " + name
}

// reach says how far the requirement itself reaches, where the day shows a part.
func reach(r *Report) string {
	own := map[string]string{}
	cut := false
	for _, o := range r.Requirement.Overrides {
		if o.Key == "from" || o.Key == "to" {
			own[o.Key], cut = o.Was, true
		}
	}
	ranges := r.Requirement.Ranges()
	if !cut || len(ranges) == 0 {
		return ""
	}
	from, to := ranges[0].From, ranges[0].To
	for _, rg := range ranges {
		from, to = min(from, rg.From), max(to, rg.To)
	}
	low, high := from.String(), to.String()
	if was, set := own["from"]; set {
		low = was
	}
	if was, set := own["to"]; set {
		high = was
	}
	return fmt.Sprintf("; the requirement itself reaches from %s to %s", low, high)
}

func ruleInWords(q *Requirement) string {
	if q.Rule.Guarded {
		return fmt.Sprintf("guarded acceptance with a guard band of %.3g times the expanded uncertainty", float64(q.Rule.Guard))
	}
	return "simple acceptance"
}

// cellsIn returns the cells that have one of the states.
func cellsIn(r *Report, states ...State) []*Cell {
	var cells []*Cell
	for i := range r.Cells {
		for _, s := range states {
			if r.Cells[i].State == s {
				cells = append(cells, &r.Cells[i])
			}
		}
	}
	return cells
}

// partsOf names the parts of the requirement that cells are: "from 30 MHz to
// 200 MHz, horizontal and vertical, at antenna position 1".
func partsOf(cells []*Cell) string {
	var ranges []string
	where := map[string]*polarizationsAt{}
	for _, c := range cells {
		part := partOf(c)
		if where[part] == nil {
			ranges, where[part] = append(ranges, part), &polarizationsAt{positions: map[quantity.Polarization][]string{}}
		}
		where[part].add(c)
	}
	for i, part := range ranges {
		ranges[i] = part + ", " + where[part].String()
	}
	return strings.Join(ranges, "; ")
}

// partOf names what a cell asks for over frequency: "from 30 MHz to 200 MHz", or "at 3
// listed frequencies from 88 MHz to 108 MHz", so that nothing is said of what lies
// between them.
func partOf(c *Cell) string {
	if len(c.Listed) == 0 {
		return fmt.Sprintf("from %s to %s", c.From, c.To)
	}
	var parts []string
	for _, part := range c.Swept {
		parts = append(parts, fmt.Sprintf("from %s to %s", part.From, part.To))
	}
	var alone []quantity.Frequency
	for _, f := range c.Listed {
		if _, swept := c.SweptAt(f); !swept {
			alone = append(alone, f)
		}
	}
	switch n := len(alone); {
	case n == 1:
		parts = append(parts, "at "+alone[0].String())
	case n > 1:
		parts = append(parts, fmt.Sprintf("at %d listed frequencies from %s to %s", n, alone[0], alone[n-1]))
	}
	return inWords(parts)
}

// polarizationsAt collects the polarizations of one range and their positions.
type polarizationsAt struct {
	polarizations []quantity.Polarization
	positions     map[quantity.Polarization][]string
}

func (p *polarizationsAt) add(c *Cell) {
	if _, known := p.positions[c.Polarization]; !known {
		p.polarizations = append(p.polarizations, c.Polarization)
	}
	p.positions[c.Polarization] = append(p.positions[c.Polarization], strconv.Itoa(int(c.Position)))
}

// String names polarizations together that have the same positions.
func (p *polarizationsAt) String() string {
	var parts, same []string
	for i, polarization := range p.polarizations {
		same = append(same, string(polarization))
		positions := inWords(p.positions[polarization])
		if i+1 < len(p.polarizations) && inWords(p.positions[p.polarizations[i+1]]) == positions {
			continue
		}
		word := "positions"
		if len(p.positions[polarization]) == 1 {
			word = "position"
		}
		parts, same = append(parts, fmt.Sprintf("%s, at antenna %s %s", inWords(same), word, positions)), nil
	}
	return strings.Join(parts, ", and ")
}

// inWords joins a list: "a, b and c".
func inWords(list []string) string {
	if n := len(list); n > 1 {
		return strings.Join(list[:n-1], ", ") + " and " + list[n-1]
	}
	return strings.Join(list, "")
}

// inNumbers gives the answer in numbers: the least margin of all steps, the
// uncertainty, and the risk that the level was not reached at that step. Where a
// step held no level for its dwell there is no least margin.
func inNumbers(r *Report) string {
	least, risk, noLevel := Extreme{Value: math.NaN()}, math.NaN(), 0
	for i := range r.Cells {
		s := &r.Cells[i].Statistics
		noLevel += s.NoLevel
		if m := s.LeastMargin; !math.IsNaN(m.Value) && !(least.Value <= m.Value) {
			least, risk = m, s.Risk
		}
	}
	uncertainty := "no uncertainty of the field is stated"
	if b := r.Budget; b != nil {
		uncertainty = fmt.Sprintf("expanded uncertainty U = %s dB (k = %.3g)", twoDigits(float64(b.Expanded)), float64(b.CoverageFactor))
	}
	asked := ""
	if margin := r.Requirement.Rule.Margin(r.Budget); margin > 0 {
		asked = fmt.Sprintf(" where %s dB is asked for", twoDigits(float64(margin)))
	}
	of := "Least margin"
	if len(cellsIn(r, NotShown)) > 0 {
		of = "Least margin of the steps that were held" // it says nothing of the others
	}
	switch {
	case noLevel > 0:
		return fmt.Sprintf("Least margin –: %s no level for the required dwell; %s.", counted(noLevel, "step held", "steps held"), uncertainty)
	case math.IsNaN(least.Value):
		return fmt.Sprintf("Least margin –: no step has a level; %s.", uncertainty)
	case math.IsNaN(risk):
		return fmt.Sprintf("%s %s%s, at %s (run %s); %s, so that the risk at that step is not known.",
			of, marginInWords(least.Value, r), asked, least.Frequency, least.Run, uncertainty)
	}
	return fmt.Sprintf("%s %s%s, at %s (run %s); %s; the risk that the level was not reached at that step is %s.",
		of, marginInWords(least.Value, r), asked, least.Frequency, least.Run, uncertainty, percentInWords(risk))
}

// marginInWords writes a margin with as many decimals as it takes to stand on the
// same side of what the decision rule asks for.
func marginInWords(margin float64, r *Report) string {
	asked := float64(r.Requirement.Rule.Margin(r.Budget))
	const few, many = 2, 9
	for decimals := few; decimals < many; decimals++ {
		text := strconv.FormatFloat(margin, 'f', decimals, 64)
		written, _ := strconv.ParseFloat(text, 64)
		if (written >= asked-float64(quantity.LevelSlack)) == (margin >= asked-float64(quantity.LevelSlack)) {
			return text + " dB"
		}
	}
	return strconv.FormatFloat(margin, 'f', many, 64) + " dB"
}

// twoDigits writes a number above zero with two significant digits.
func twoDigits(x float64) string {
	if !(x > 0) || math.IsInf(x, 0) {
		return strconv.FormatFloat(x, 'g', 2, 64)
	}
	return strconv.FormatFloat(x, 'f', max(0, 1-int(math.Floor(math.Log10(x)))), 64)
}

// percentInWords writes a probability in per cent; one that is very small as such.
func percentInWords(p float64) string {
	switch {
	case p < 0.00005:
		return "below 0.01 %"
	case p > 0.9995:
		return "above 99.9 %"
	}
	return twoDigits(100*p) + " %"
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "one " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Why says in a few words why a cell is not met or not shown: the open findings
// that act on it, by check. It is empty for every other cell.
func (r *Report) Why(c *Cell) string {
	if c.State != NotMet && c.State != NotShown {
		return ""
	}
	var checks []string
	counts := map[string]int{}
	for _, i := range c.Findings {
		f := &r.Findings[i]
		if f.State != Open || f.Check == observationCheck {
			continue
		}
		if counts[f.Check] == 0 {
			checks = append(checks, f.Check)
		}
		counts[f.Check]++
	}
	for i, check := range checks {
		if n := counts[check]; n > 1 {
			checks[i] = fmt.Sprintf("%s (%d)", check, n)
		}
	}
	return strings.Join(checks, ", ")
}
