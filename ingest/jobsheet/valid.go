package jobsheet

import (
	"cmp"
	"math"
	"slices"
	"time"

	"fieldheld/ingest/document"
	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

// Succeeds reports whether an entry is one of several of a place that follow one
// another, or could be: it says where the probe stands, or from when or to when its
// log counts. Other entries are probes side by side.
func (p *Probe) Succeeds() bool { return p.Standing != "" || p.IsBounded() }

// IsBounded reports whether the entry is valid for a part of time only.
func (p *Probe) IsBounded() bool { return !p.From.IsZero() || !p.To.IsZero() }

// Valid is the time in which the readings of the entry count, the first instant
// included, the last not. An end that the sheet leaves open lies beyond all times.
func (p *Probe) Valid() (from, to quantity.Instant) {
	from, to = math.MinInt64, math.MaxInt64
	if !p.From.IsZero() {
		from = quantity.InstantOf(p.From)
	}
	if !p.To.IsZero() {
		to = quantity.InstantOf(p.To)
	}
	return from, to
}

// Places lists the places of a run at which its field was measured, each with the
// indices of its entries in the order of their times. Entries that follow one another
// share a place; every other one has a place of its own.
func (r *Run) Places() [][]int {
	var places [][]int
	known := map[string]int{}
	for i := range r.Probes {
		p := &r.Probes[i]
		if k, ok := known[p.Standing]; ok && p.Succeeds() {
			places[k] = append(places[k], i)
			continue
		}
		if p.Succeeds() {
			known[p.Standing] = len(places)
		}
		places = append(places, []int{i})
	}
	for _, entries := range places {
		slices.SortStableFunc(entries, func(a, b int) int {
			from, _ := r.Probes[a].Valid()
			other, _ := r.Probes[b].Valid()
			return cmp.Compare(from, other)
		})
	}
	return places
}

// String names the entry by its asset and its log.
func (p *Probe) String() string {
	if p.Asset == "" {
		return p.Log.File
	}
	return p.Asset + " (" + p.Log.File + ")"
}

// readSpan reads from when and to when a log counts.
func readSpan(t *document.Table, zone *time.Location) (from, to time.Time) {
	from, to = t.DateTime("from", zone), t.DateTime("to", zone)
	if !from.IsZero() && !to.IsZero() && !from.Before(to) {
		t.Fail("to", wording.Say("probe.gone-before", wording.Values{"from": clockTime(from), "to": clockTime(to)}))
	}
	return from, to
}

// checkPlaces reports entries of one place that are valid at one moment: which of
// their readings is the field there nobody can tell.
func (r *Run) checkPlaces(probes []*document.Table) {
	for _, entries := range r.Places() {
		for k := 1; k < len(entries); k++ {
			before, after := &r.Probes[entries[k-1]], &r.Probes[entries[k]]
			_, to := before.Valid()
			if from, _ := after.Valid(); to <= from {
				continue
			}
			t := probes[entries[k]]
			key := "from"
			if !t.Has(key) {
				key = "place"
			}
			t.Fail(key, wording.Say("probe.two-at-once", wording.Values{"before": before.Timed(nil), "after": after.Timed(nil)}))
		}
	}
}

// Timed names the entry with its times in a zone; in that in which they are written
// for none.
func (p *Probe) Timed(zone *time.Location) wording.Text {
	in := func(t time.Time) string {
		switch {
		case t.IsZero():
			return ""
		case zone != nil:
			t = t.In(zone)
		}
		return clockTime(t)
	}
	return wording.Say("probe.timed", wording.Values{"probe": p, "from": in(p.From), "to": in(p.To)})
}

func clockTime(t time.Time) string { return t.Format("2006-01-02 15:04:05.999") }
