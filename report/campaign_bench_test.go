package report_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/templates/demoday"
)

// BenchmarkCampaign reads and evaluates two runs of a long campaign, 1,863 steps
// each, with ten times the rows of probe logs from one size to the next.
func BenchmarkCampaign(b *testing.B) {
	for _, readings := range []int{5, 50} {
		c := demoday.Campaign{Seed: 1, Positions: 1, ReadingsPerSecond: readings}
		dir := b.TempDir()
		require.NoError(b, c.Write(dir))
		b.Run(fmt.Sprintf("readings-per-second=%d", readings), func(b *testing.B) {
			b.ReportAllocs()
			rows := 0
			for b.Loop() {
				folder, err := ingest.Open(dir)
				require.NoError(b, err)
				r, err := report.Build(folder, report.Program{Name: "fieldheld"})
				require.NoError(b, err)
				require.NoError(b, folder.Close())
				rows = 0
				for _, f := range r.Files {
					rows += f.RowsRead
				}
			}
			b.ReportMetric(float64(rows), "rows/op")
		})
	}
}

// BenchmarkDemo reads and evaluates the demo's day.
func BenchmarkDemo(b *testing.B) {
	dir := b.TempDir()
	require.NoError(b, demoday.Demo().Write(dir))
	for b.Loop() {
		folder, err := ingest.Open(dir)
		require.NoError(b, err)
		_, err = report.Build(folder, report.Program{Name: "fieldheld"})
		require.NoError(b, err)
		require.NoError(b, folder.Close())
	}
}
