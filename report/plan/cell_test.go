package plan_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/report/plan"
)

func TestLimitSpanOfACell(t *testing.T) {
	c := &plan.Cell{Steps: []plan.Step{{Limit: 50}, {Limit: 200}, {Limit: 100}}}
	low, high := c.LimitSpan()
	assert.Equal(t, []quantity.FieldStrength{50, 200}, []quantity.FieldStrength{low, high})
	low, high = (&plan.Cell{Steps: c.Steps[1:2]}).LimitSpan()
	assert.Equal(t, low, high, "one limit")
	low, high = (&plan.Cell{}).LimitSpan()
	assert.True(t, math.IsInf(float64(low), 1) && math.IsInf(float64(high), -1))
}

func TestOneRatingLimitsACell(t *testing.T) {
	ratings := []plan.Rating{{Part: "PA-1", Power: 1600}, {Part: "CB-1", Power: 900}}
	for _, test := range []struct {
		name  string
		parts []string
		want  *plan.Rating
	}{
		{"one", []string{"CB-1", "CB-1"}, &ratings[1]},
		{"one, where there is a forecast", []string{"", "PA-1", ""}, &ratings[0]},
		{"two", []string{"PA-1", "CB-1"}, nil},
		{"none", []string{"", ""}, nil},
		{"no step", nil, nil},
	} {
		c := &plan.Cell{Ratings: ratings}
		for _, part := range test.parts {
			c.Steps = append(c.Steps, plan.Step{Part: part})
		}
		got := c.OneRating()
		if test.want == nil {
			assert.Nil(t, got, test.name)
			continue
		}
		require.NotNil(t, got, test.name)
		assert.Equal(t, *test.want, *got, test.name)
	}
}

func TestWhatIsNotKnownIsCountedTogether(t *testing.T) {
	assert.Equal(t, 7, plan.Count{Reached: 100, Short: 10, NoRating: 4, NoForecast: 3}.Unknown())
}

func TestPlacesOfTheAntenna(t *testing.T) {
	cell := func(polarization quantity.Polarization, from, to quantity.Frequency, position quantity.Position, positions int) plan.Cell {
		return plan.Cell{Polarization: polarization, From: from, To: to, Position: position, Positions: positions}
	}
	p := &plan.Plan{Cells: []plan.Cell{cell("horizontal", 30e6, 200e6, 1, 1), cell("horizontal", 200e6, 1e9, 1, 3), cell("horizontal", 200e6, 1e9, 2, 3),
		cell("vertical", 30e6, 200e6, 1, 1), cell("vertical", 200e6, 1e9, 1, 3), cell("vertical", 200e6, 2e9, 1, 3)}}
	assert.Equal(t, []*plan.Cell{&p.Cells[0], &p.Cells[1], &p.Cells[2], &p.Cells[5]}, p.Places())
	assert.Same(t, &p.Cells[1], p.Widest())
	assert.Nil(t, (&plan.Plan{}).Widest())
	assert.Empty(t, (&plan.Plan{}).Places())
}
