package record_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"sort"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/place"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// FuzzDialects writes a log from known values in a dialect that nobody chose: it
// reads back as exactly those values, or is asked about; it never reads as others.
func FuzzDialects(f *testing.F) {
	for seed := range uint64(400) {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) {
		d := newDialect(rand.New(rand.NewPCG(seed, 14)))
		samples := d.samples()
		text := d.write(samples)
		settings := record.Settings{Zone: d.zone, Date: samples[0].at.AddDate(0, 0, 2)}
		log, err := record.ReadProbeLog(table.Bytes("probe/h1.csv", text), d.entry(), settings)
		var told *place.Error
		if errors.As(err, &told) {
			return // it asks
		}
		require.NoError(t, err)
		show := func() string { return string(text) }
		look, err := record.LookAt(table.Bytes("probe/h1.csv", text), d.entry(), settings, record.KindProbeLog)
		require.NoError(t, err)
		require.Empty(t, look.Problems, "%s", show())
		stated, err := record.ReadProbeLog(table.Bytes("probe/h1.csv", text), look.Entry, settings)
		require.NoError(t, err, "read as look says, %v\n%s", look.Lines, show())
		require.Equal(t, log.Times, stated.Times, "read as look says, %v\n%s", look.Lines, show())
		require.Equal(t, fmt.Sprint(log.Readings), fmt.Sprint(stated.Readings), "read as look says, %v\n%s", look.Lines, show())
		require.Equal(t, log.Faults, stated.Faults, "read as look says, %v\n%s", look.Lines, show())
		require.Len(t, log.Times, len(samples), "%s", show())
		if d.newest { // samples of one time stay in the order of the file
			for i, j := 0, len(samples)-1; i < j; i, j = i+1, j-1 {
				samples[i], samples[j] = samples[j], samples[i]
			}
			sort.SliceStable(samples, func(i, j int) bool { return samples[i].at.Before(samples[j].at) })
		}
		for i, s := range samples {
			require.WithinDuration(t, s.at, log.Times[i].In(time.UTC), time.Microsecond, "sample %d of\n%s", i, show())
			if s.missing == "" || d.axes {
				require.InEpsilon(t, d.reading(s), float64(log.Readings[i]), 1e-9, "sample %d of\n%s", i, show())
			}
			require.Equal(t, d.bad(s), log.Faults[i] != 0, "sample %d of\n%s", i, show())
		}
		if d.frequencies {
			require.Len(t, log.Frequencies, len(samples))
		}
	})
}

// TestMostDialectsAreReadWithoutAQuestion keeps the reader from asking its way out.
func TestMostDialectsAreReadWithoutAQuestion(t *testing.T) {
	const tried = 2000
	asked := map[string]int{}
	read := 0
	for seed := range uint64(tried) {
		d := newDialect(rand.New(rand.NewPCG(seed, 15)))
		samples := d.samples()
		_, err := record.ReadProbeLog(table.Bytes("probe/h1.csv", d.write(samples)), d.entry(), record.Settings{Zone: d.zone, Date: samples[0].at.AddDate(0, 0, 2)})
		var told *place.Error
		switch {
		case err == nil:
			read++
		case errors.As(err, &told):
			asked[told.Messages[0].What()]++
		default:
			t.Fatal(err)
		}
	}
	t.Logf("%d of %d read; asked: %v", read, tried, asked)
	const order = "no row of the file shows whether its dates have the day or the month first"
	assert.Equal(t, tried, read+asked[order], "nothing is asked but what no row shows: %v", asked)
	assert.Greater(t, read, tried*4/5)
}
