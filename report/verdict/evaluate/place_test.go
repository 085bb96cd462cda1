package evaluate

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/verdict/requirement"
)

// second is a time so many seconds after the only visit of steady began.
func second(s float64) time.Time {
	return time.Date(2026, 11, 18, 9, 0, 0, 0, time.UTC).Add(time.Duration(s * float64(time.Second)))
}

// changed is the run of steady with a visit so long, the first probe of which was in
// use up to a time and the second one from another.
func changed(length, to, from float64, readings ...quantity.FieldStrength) ingest.Run {
	sheet, run := steady(readings...)
	run.Visits[0].End = quantity.InstantOf(second(length))
	for i := range run.Probes {
		log := run.Probes[i].Log
		log.File.Path = string(rune('a'+i)) + ".csv"
		sheet.Probes[i].Asset = "FP-" + string(rune('A'+i))
		for at := second(4); at.Before(second(length)); at = at.Add(100 * time.Millisecond) {
			log.Times, log.Rows = append(log.Times, quantity.InstantOf(at)), append(log.Rows, int32(len(log.Rows)+2))
			log.Readings, log.Faults = append(log.Readings, readings[i]), append(log.Faults, record.NoFault)
		}
	}
	sheet.Probes[0].To, sheet.Probes[1].From = second(to), second(from)
	return run
}

func TestAChangedProbe(t *testing.T) {
	none := math.NaN()
	for _, test := range []struct {
		name                                  string
		length, to, from                      float64
		readings                              []quantity.FieldStrength
		sources                               int
		sustained, available, low, high, held float64
		dwell                                 Dwell
		samples                               quantity.Samples
		file                                  string // of the part that gives the level
	}{
		{"changed before the visit", 4, -1, 0, []quantity.FieldStrength{30, 25}, 1, 25, none, 25, 25, 4, DwellShown, 40, "b.csv"},
		{"changed behind it", 4, 4, 5, []quantity.FieldStrength{30, 25}, 1, 30, none, 30, 30, 4, DwellShown, 40, "a.csv"},
		{"each alone is too short", 4, 2, 2, []quantity.FieldStrength{30, 30}, 1, none, 30, 30, 30, 2, DwellTooShort, 40, "a.csv"},
		{"one of them is long enough", 7, 3.5, 3.5, []quantity.FieldStrength{30, 25}, 1, 30, none, 25, 30, 3.5, DwellShown, 70, "a.csv"},
		{"the other one is", 7, 2, 2, []quantity.FieldStrength{30, 25}, 1, 25, none, 25, 30, 5, DwellShown, 70, "b.csv"},
		{"the longer one is too low", 7, 2, 2, []quantity.FieldStrength{30, 15}, 1, 15, none, 15, 30, 2, DwellShown, 70, "b.csv"},
		{"nothing in between", 7, 2, 4, []quantity.FieldStrength{30, 25}, 1, 25, none, 25, 30, 3, DwellShown, 50, "b.csv"},
		{"the visit lies between them", 4, 0, 4, []quantity.FieldStrength{30, 25}, 1, none, none, none, none, 0, DwellUnknown, 0, ""},
		{"one that stays beside them", 7, 3.5, 3.5, []quantity.FieldStrength{30, 25, 22}, 2, 22, none, 22, 30, 3.5, DwellShown, 140, "c.csv"},
		{"one that stays, and a gap", 7, 2, 6, []quantity.FieldStrength{30, 25, 22}, 2, none, 22, 22, 30, 2, DwellTooShort, 100, "c.csv"},
	} {
		run := changed(test.length, test.to, test.from, test.readings...)
		v := oneVisit(t, run, nil)
		same := func(what string, want float64, got quantity.FieldStrength) {
			t.Helper()
			if math.IsNaN(want) {
				assert.False(t, quantity.Defined(got), "%s: %s is %v", test.name, what, got)
				return
			}
			assert.InDelta(t, want, float64(got), 1e-9, "%s: %s", test.name, what)
		}
		assert.Len(t, v.Sources, test.sources, test.name)
		same("sustained", test.sustained, v.Sustained)
		same("available", test.available, v.Available)
		same("minimum", test.low, v.Minimum)
		same("maximum", test.high, v.Maximum)
		assert.InDelta(t, test.held, float64(v.Held), 0.06, test.name)
		assert.Equal(t, test.dwell, v.Dwell, test.name)
		assert.Equal(t, test.samples, v.Samples, test.name)
		if test.file != "" {
			assert.Equal(t, test.file, v.Sources[v.Deciding].File, test.name)
			assert.Positive(t, v.Sources[v.Deciding].LowestRow, test.name)
		} else {
			assert.Equal(t, -1, v.Sources[0].Probe, test.name)
			assert.Empty(t, v.Sources[0].Each(), test.name)
		}
	}
}

// A stretch of one probe and a reading of the next one that touches it are two: the
// reading at the moment of the change belongs to the probe that comes, and does not
// count among the least samples of the one that goes.
func TestTheChangeBelongsToTheNextProbe(t *testing.T) {
	run := changed(4, 3, 3, 30, 30)
	sparse := run.Probes[0].Log
	sparse.Times, sparse.Readings, sparse.Faults, sparse.Rows = []quantity.Instant{sparse.Times[5], sparse.Times[20]}, sparse.Readings[:2], sparse.Faults[:2], sparse.Rows[:2]
	sparse.Gap = 2e9
	v := oneVisit(t, run, func(r *requirement.Requirement) { r.Dwell, r.MinSamples = 2*time.Second, 3 })
	assert.Equal(t, DwellTooFew, v.Dwell, "two readings of the first probe and one of the second are not three of one")
	assert.False(t, quantity.Defined(v.Sustained))
	v = oneVisit(t, run, func(r *requirement.Requirement) { r.Dwell, r.MinSamples = 2*time.Second, 2 })
	assert.Equal(t, DwellShown, v.Dwell)
}

// Where one of two parts of a visit has no correction, the visit has no level: the
// other part may be the one that was high.
func TestAChangedProbeWithoutCorrection(t *testing.T) {
	run := changed(8, 4, 4, 30, 30)
	run.Probes[0].Correction = &record.Correction{Points: []record.CorrectionPoint{{Frequency: 200e6}, {Frequency: 300e6}}}
	v := oneVisit(t, run, nil)
	assert.False(t, quantity.Defined(v.Sources[0].Factor))
	assert.False(t, quantity.Defined(v.Sustained))
	assert.False(t, quantity.Defined(v.Maximum))
	assert.Len(t, v.Sources[0].Parts, 2)
}

func TestUsesOfProbes(t *testing.T) {
	run := changed(7, 2, 4, 30, 25)
	run.Probes[0].Log.Readings[65] = 3 // behind its time
	run.Probes[0].Log.Readings[66] = quantity.Undefined[quantity.FieldStrength]()
	uses := usesOf(&run, []window{{run.Visits[0].Start, run.Visits[0].End}})
	assert.Len(t, uses, 2)
	assert.Equal(t, []quantity.Samples{20, 50, 30, 40}, []quantity.Samples{uses[0].Readings, uses[0].Left, uses[1].Readings, uses[1].Left})
	assert.Equal(t, RowRange{22, 71}, uses[0].LeftRows)
	assert.Equal(t, []quantity.FieldStrength{3, 30}, []quantity.FieldStrength{uses[0].Low, uses[0].High})
	assert.Equal(t, second(2), uses[0].Last.UTC(), "it ends with the time that the sheet gives")
	assert.Equal(t, second(4), uses[1].First.UTC())

	run.Probes[1].Log = run.Probes[0].Log // one logger, with another probe from then on
	uses = usesOf(&run, []window{{run.Visits[0].Start, run.Visits[0].End}})
	assert.EqualValues(t, 20, uses[0].Left, "what the second entry reads is used")
	assert.EqualValues(t, 20, uses[1].Left)

	_, plain := steady(30, 30)
	assert.Nil(t, usesOf(&plain, []window{{plain.Visits[0].Start, plain.Visits[0].End}}))
}
