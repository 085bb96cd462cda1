package jobsheet

import (
	"slices"

	"fieldheld/ingest/document"
	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

func readDeviation(t *document.Table) Deviation {
	t.Require("covers", "reason", "agreed_by")
	d := Deviation{
		Place:    t.Place(),
		Covers:   t.Texts("covers"),
		Run:      t.Text("run"),
		From:     optionalFrequency(t, "from"),
		To:       optionalFrequency(t, "to"),
		LevelMin: document.Quantity(t, "level_min", quantity.Undefined[quantity.FieldStrength](), "46.5 V/m", quantity.ParseFieldStrength),
		Reason:   t.Text("reason"),
		AgreedBy: t.Text("agreed_by"),
	}
	if d.From > d.To {
		t.Fail("to", wording.Say("sheet.range-backwards", wording.Values{"from": d.From, "to": d.To}))
	}
	d.refuseBoundless(t)
	d.refuseIdleLevel(t)
	t.Close()
	return d
}

// bounded are the checks whose findings say that the field itself was not shown.
// Who agrees to do without it has to say between which frequencies.
var bounded = []string{"samples", "correction-range", "probe-fault", "dwell", "level", "overlevel", "modulation",
	"frequency-agreement", "overlap", "levelling", "coarse"}

// refuseBoundless reports an entry that would accept a field that was not shown
// wherever it was not shown.
func (d *Deviation) refuseBoundless(t *document.Table) {
	covered := slices.IndexFunc(d.Covers, func(name string) bool { return slices.Contains(bounded, name) })
	if covered < 0 {
		return
	}
	for _, key := range []string{"from", "to"} {
		if !t.Has(key) {
			t.Fail(key, wording.Say("sheet.deviation-without-range", wording.Values{"check": d.Covers[covered], "key": key}))
		}
	}
}

// refuseIdleLevel reports a least level that nothing would be compared with.
func (d *Deviation) refuseIdleLevel(t *document.Table) {
	if t.Has("level_min") && !slices.Contains(d.Covers, "level") {
		t.Fail("level_min", wording.Say("sheet.idle-least-level", wording.Values{"covers": d.Covers}))
	}
}
