package charts

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func stripOf(states ...Proof) Strip {
	b := StripBand{Range: band}
	for i, s := range states {
		f := band.From * math.Pow(band.To/band.From, float64(i)/float64(max(1, len(states)-1)))
		b.Steps = append(b.Steps, StripStep{Frequency: f, State: s})
	}
	return Strip{Frequencies: band, Rows: []StripRow{{Label: "horizontal", Bands: []StripBand{b}}}}
}

// bars counts the filled shapes of a colour, and how low the lowest of them reaches.
func bars(t *testing.T, s Strip) (met, unmet int, lowest float64) {
	p := &paper{}
	require.NoError(t, s.Draw(p, width, 90))
	lowest = math.Inf(1)
	for _, f := range p.fills {
		switch f.colour {
		case Accent:
			met++
		case Ink:
			unmet++
			lowest = math.Min(lowest, f.path[0].Points[0].Y)
		}
	}
	return met, unmet, lowest
}

func TestStripShowsEveryStep(t *testing.T) {
	met, unmet, lowest := bars(t, stripOf(Met, Met, NotMet, NotShown, MetWithDeviations, Met))
	assert.Equal(t, 4, met, "met and accepted steps fill the band")
	assert.Equal(t, 1, unmet)
	m := stripOf(Met).measures()
	assert.Less(t, lowest, stripOf(Met).Height()-1-m.band, "a step that is not met falls out below the band")
}

func TestStripOfNothingShownIsOpen(t *testing.T) {
	met, unmet, _ := bars(t, stripOf(NotShown, NotShown))
	assert.Zero(t, met+unmet)
}

func TestStripStaysWithinItsArea(t *testing.T) {
	for rows := 1; rows <= 20; rows += 6 {
		s := stripOf(NotMet, Met, NotMet, Met, Met)
		for len(s.Rows) < rows {
			s.Rows = append(s.Rows, s.Rows[0])
		}
		p := &paper{}
		require.NoError(t, s.Draw(p, width, 90))
		left, bottom, right, top := p.bounds()
		assert.GreaterOrEqual(t, left, 0.0)
		assert.GreaterOrEqual(t, bottom, 0.0)
		assert.LessOrEqual(t, right, width)
		assert.LessOrEqual(t, top, s.Height())
	}
}

func TestStripLeavesHolesOpen(t *testing.T) {
	s := stripOf(Met, Met, Met)
	b := &s.Rows[0].Bands[0]
	middle := b.Steps[1].Frequency
	b.Holes = []Range{{middle, band.To}}
	from, to := b.share(1, 1.01)
	assert.Less(t, from, middle)
	assert.InDelta(t, middle*1.01, to, 1, "no further into the hole than the bar of one step")
}

func TestMarksDifferInForm(t *testing.T) {
	forms := map[[3]int]Proof{}
	for _, state := range []Proof{NotShown, NotMet, Met, MetWithDeviations} {
		p := &paper{}
		Mark(p, state, 0, 0, 6)
		dashed := 0
		for _, s := range p.strokes {
			dashed += len(s.dashes)
		}
		form := [3]int{len(p.fills), len(p.strokes), dashed}
		other, taken := forms[form]
		assert.False(t, taken, "%v looks like %v", state, other)
		forms[form] = state
	}
}

func TestArcsEndWhereTheyShould(t *testing.T) {
	path := arcSegments(Point{1, 2}, 3, 0, math.Pi, true)
	assert.Equal(t, MoveTo, path[0].Kind)
	assert.Len(t, path, 3, "half a circle in two quarters")
	assert.InDelta(t, -2, path[2].Points[2].X, 1e-9)
	assert.InDelta(t, 2, path[2].Points[2].Y, 1e-9)
}

// Where only listed frequencies are asked for, the bar of a step says nothing of what
// lies between them.
func TestStepsAskedForAloneHaveNarrowBars(t *testing.T) {
	b := StripBand{Range: Range{30, 300}, Steps: []StripStep{
		{Frequency: 30, State: Met, Within: Range{30, 60}}, {Frequency: 60, State: Met, Within: Range{30, 60}},
		{Frequency: 100, State: Met, Within: Range{100, 100}}, {Frequency: 300, State: Met}}}
	share := func(i int) [2]float64 {
		from, to := b.share(i, 1)
		return [2]float64{from, to}
	}
	assert.InDeltaSlice(t, []float64{math.Sqrt(30 * 60), 60}, asSlice(share(1)), 1e-9, "up to the end of its part")
	assert.InDeltaSlice(t, []float64{100 / aloneLeast, 100 * aloneLeast}, asSlice(share(2)), 1e-9)
	assert.InDeltaSlice(t, []float64{math.Sqrt(100 * 300), 300}, asSlice(share(3)), 1e-9, "the whole band where nothing is set")
}

func asSlice(pair [2]float64) []float64 { return pair[:] }
