package report

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

func on(day int) time.Time { return time.Date(2026, 11, day, 0, 0, 0, 0, time.UTC) }

// Each case moves one date; the dates of the others are in order.
func TestDisorder(t *testing.T) {
	zone := time.FixedZone("", 3600)
	for _, c := range []struct {
		name   string
		change func(*Report)
		want   []string
	}{
		{"in order, all on one day", func(*Report) {}, nil},
		{"received after the test", func(r *Report) { r.Sheet.Article.Received = on(19) },
			[]string{"dates in their order: the test began 2026-11-18, but the article was received 2026-11-19"}},
		{"issued before it is authorised", func(r *Report) { r.Sheet.Report.Issued, r.Sheet.Signatures[2].Date = on(19), on(20) },
			[]string{"dates in their order: the report is issued 2026-11-19, but “authorised by S. Berge” is dated 2026-11-20"}},
		{"authorised before it is reviewed", func(r *Report) {
			r.Sheet.Signatures[1].Date, r.Sheet.Signatures[2].Date, r.Sheet.Report.Issued = on(20), on(19), on(21)
		}, []string{"dates in their order: “authorised by S. Berge” is dated 2026-11-19, but “reviewed by S. Berge” is dated 2026-11-20"}},
		{"signed before the test ended, by the clock of the place", func(r *Report) {
			r.LastTest = time.Date(2026, 11, 18, 23, 30, 0, 0, time.UTC).In(zone)
			r.Sheet.Signatures[1].Date, r.Sheet.Signatures[2].Date, r.Sheet.Report.Issued = on(19), on(19), on(19)
		}, []string{"dates in their order: “tested by R. Tallholm” is dated 2026-11-18, but the test ended 2026-11-19"}},
		{"what is not stated contradicts nothing", func(r *Report) {
			r.Sheet.Signatures, r.Sheet.Article.Received, r.Sheet.Report.Issued = nil, time.Time{}, time.Time{}
		}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := &Report{FirstTest: on(18).Add(8 * time.Hour), LastTest: on(18).Add(14 * time.Hour), Sheet: &Sheet{
				Report: jobsheet.Report{Issued: on(18), Zone: zone}, Article: jobsheet.Article{Received: on(18)},
				Signatures: []jobsheet.Signature{{Role: "tested by", Name: "R. Tallholm", Date: on(18)},
					{Role: "reviewed by", Name: "S. Berge", Date: on(18)}, {Role: "authorised by", Name: "S. Berge", Date: on(18)}}}}
			c.change(r)
			assert.Equal(t, c.want, disorder(r))
		})
	}
}

func TestDimensioned(t *testing.T) {
	none := quantity.Undefined[quantity.Length]()
	sheet := func(distance, probe, width quantity.Length, heights ...quantity.Length) *Sheet {
		s := &Sheet{Site: jobsheet.Site{Distance: distance, ProbeHeight: probe}, Article: jobsheet.Article{Width: width}}
		for _, h := range heights {
			s.Runs = append(s.Runs, jobsheet.Run{Probes: []jobsheet.Probe{{Height: h}}})
		}
		return s
	}
	assert.True(t, dimensioned(sheet(1, 0.3, 1.2)))
	assert.True(t, dimensioned(sheet(1, none, 1.2, 0.3, 0.4)), "each probe has its height")
	assert.False(t, dimensioned(sheet(1, none, 1.2, 0.3, none)))
	assert.False(t, dimensioned(sheet(1, none, 1.2)), "no probe, no height")
	assert.False(t, dimensioned(sheet(none, 0.3, 1.2)))
	assert.False(t, dimensioned(sheet(1, 0.3, none)))
}

func TestEnvironmentIsOfTheTest(t *testing.T) {
	r := &Report{FirstTest: on(18).Add(8 * time.Hour), LastTest: on(19).Add(14 * time.Hour), Sheet: &Sheet{}}
	for day, want := range map[int]bool{17: false, 18: true, 19: true, 20: false} {
		r.Sheet.Environment = []jobsheet.Environment{{At: on(day).Add(23 * time.Hour)}}
		assert.Equal(t, want, environmentRead(r), "%d November", day)
	}
	r.Sheet.Environment = nil
	assert.False(t, environmentRead(r))
}

func TestUnidentified(t *testing.T) {
	asset := func(serial, certificate string, required bool) Equipment {
		return Equipment{Equipment: jobsheet.Equipment{Asset: "FP-03", Serial: serial, Certificate: certificate, CalibrationNotRequired: !required}}
	}
	assert.Empty(t, unidentified(&Report{Equipment: []Equipment{asset("77", "KC-1", true), asset("", "", false)}}))
	assert.Equal(t, []string{"serial number and certificate of FP-03, whose calibration is required: [[equipment]] or the register",
		"certificate of FP-03, whose calibration is required: [[equipment]] or the register"},
		unidentified(&Report{Equipment: []Equipment{asset("", "", true), asset("77", "", true)}}))
}

func TestAbsentItemsAreMissingOrOmitted(t *testing.T) {
	r := &Report{Sheet: &Sheet{}, Items: []Item{{Name: "uncertainty"}, {Name: "photos"}, {Name: "received", Present: true}}}
	r.Sheet.Report.Omitted = map[string]string{"photos": "drawings are in the procedure", "received": "stands there all the same"}
	omitted, absent := r.Absent("uncertainty")
	assert.Nil(t, omitted)
	assert.True(t, absent)
	omitted, absent = r.Absent("photos")
	assert.Equal(t, &Omission{"photos", "drawings are in the procedure"}, omitted)
	assert.True(t, absent)
	for _, name := range []string{"received", "no item"} {
		omitted, absent = r.Absent(name)
		assert.Nil(t, omitted, name)
		assert.False(t, absent, name)
	}
}
