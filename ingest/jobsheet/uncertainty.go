package jobsheet

import (
	"fmt"
	"math"

	"fieldheld/ingest/document"
	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

func readUncertainty(t *document.Table) *Uncertainty {
	u := &Uncertainty{CoverageFactor: quantity.Ratio(t.Number("coverage_factor", math.NaN()))}
	t.Require("contribution")
	for _, c := range t.Tables("contribution") {
		contribution := readContribution(c)
		for i := range u.Contributions {
			if before := &u.Contributions[i]; contribution.meets(before) {
				c.Fail("name", wording.Say("uncertainty.stated-twice", wording.Values{"name": contribution.Name, "line": before.Place.Row}))
				break
			}
		}
		u.Contributions = append(u.Contributions, contribution)
	}
	t.Close()
	return u
}

// meets reports whether two parts of one contribution hold for one probe in one range:
// nobody can tell which of them counts there. Where neither is a part, both count.
func (c *Contribution) meets(other *Contribution) bool {
	if c.Name != other.Name || c.isWhole() && other.isWhole() || c.Probe != other.Probe && c.Probe != "" && other.Probe != "" {
		return false
	}
	from, to := max(c.From, other.From), c.To
	if other.To > 0 && (to == 0 || other.To < to) {
		to = other.To
	}
	return to == 0 || from < to
}

func (c *Contribution) isWhole() bool { return c.From == 0 && c.To == 0 && c.Probe == "" }

// divisors are the usual ones of a distribution given by its half-width
// (JCGM 100:2008 4.3; u-shaped: arcsine).
var divisors = map[string]quantity.Ratio{
	"normal": 1, "rectangular": quantity.Ratio(math.Sqrt(3)), "triangular": quantity.Ratio(math.Sqrt(6)),
	"u-shaped": quantity.Ratio(math.Sqrt2),
}

// contribution reads the value of a contribution, which is above 0 dB: one that
// adds nothing is not stated.
func contribution(text string) (quantity.Decibel, error) {
	d, err := quantity.ParseDecibel(text)
	if err == nil && !(d > 0) {
		err = fmt.Errorf("%q is not above 0 dB: it adds no uncertainty", text)
	}
	return d, err
}

func readContribution(t *document.Table) Contribution {
	t.Require("name", "value")
	c := Contribution{
		Place:        t.Place(),
		From:         document.Quantity(t, "from", 0, "30 MHz", quantity.ParseFrequency),
		To:           document.Quantity(t, "to", 0, "200 MHz", quantity.ParseFrequency),
		Probe:        t.Name("probe"),
		Name:         t.Name("name"),
		Value:        document.Quantity(t, "value", 0, "1.0 dB", contribution),
		Distribution: t.Choice("distribution", "normal", "normal", "rectangular", "triangular", "u-shaped"),
	}
	c.Divisor = quantity.Ratio(t.Number("divisor", float64(divisors[c.Distribution])))
	c.Sensitivity = quantity.Ratio(t.Number("sensitivity", 1))
	c.DegreesOfFreedom = t.Number("degrees_of_freedom", math.Inf(1))
	if c.From > 0 && c.To > 0 && c.From >= c.To {
		t.Fail("to", wording.Say("sheet.limits-backwards", wording.Values{"first": c.From, "second": c.To}))
	}
	if c.DegreesOfFreedom < 1 {
		t.Fail("degrees_of_freedom", wording.Say("sheet.degrees-of-freedom", wording.Values{"found": c.DegreesOfFreedom}))
	}
	t.Close()
	return c
}
