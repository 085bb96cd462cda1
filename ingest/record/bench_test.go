package record

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"testing"
	"time"

	"fieldheld/ingest/table"
)

// longLog makes a probe log of the given number of rows at 50 readings a second,
// with three axes, the total and a status: about 73 bytes a row.
func longLog(rows int) []byte {
	random := rand.New(rand.NewPCG(3, 4))
	var b bytes.Buffer
	b.WriteString("Field probe FP-03\n\nTime,Ex (V/m),Ey (V/m),Ez (V/m),Field (V/m),Battery (V),Status\n")
	at := time.Date(2026, 11, 18, 8, 0, 0, 0, time.UTC)
	for range rows {
		b.Write(at.AppendFormat(nil, "2006-01-02T15:04:05.000Z"))
		for _, level := range []float64{180, 60, 40, 200} {
			b.WriteByte(',')
			b.Write(strconv.AppendFloat(nil, level*(0.9+0.2*random.Float64()), 'f', 3, 64))
		}
		b.WriteString(",3.90,OK\n")
		at = at.Add(20 * time.Millisecond)
	}
	return b.Bytes()
}

func BenchmarkReadProbeLog(b *testing.B) {
	for _, rows := range []int{300_000, 3_000_000} {
		data := longLog(rows)
		b.Run(fmt.Sprintf("rows=%d", rows), func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := ReadProbeLog(table.Bytes("probe/long.csv", data), table.Entry{}, Settings{Zone: time.UTC}); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(fmt.Sprintf("rows=%d/bare-scan", rows), func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			buffer := make([]byte, 1<<20)
			for b.Loop() {
				lines := 0
				r := bytes.NewReader(data)
				for {
					n, err := r.Read(buffer)
					lines += bytes.Count(buffer[:n], []byte{'\n'})
					if err == io.EOF {
						break
					}
				}
				if lines < rows {
					b.Fatal("lines are missing")
				}
			}
		})
	}
}
