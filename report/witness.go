package report

import (
	"time"

	"fieldheld/ingest/jobsheet"
)

// PresenceOf says when a witness was there, as the job sheet says it: in words, or
// from when to when in the report's zone; "" where it says nothing.
func (r *Report) PresenceOf(w *jobsheet.Witness) string {
	text := w.Present
	at := func(word string, t time.Time) {
		if t.IsZero() {
			return
		}
		if text != "" {
			text += " "
		}
		text += word + " " + t.In(r.zone()).Format("2006-01-02 15:04 -07:00")
	}
	at("from", w.From)
	at("to", w.To)
	return text
}
