package record

import (
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// ReadMotionRecord reads when antenna elements moved, in the order of the file.
// A record without any motion is one: nothing moved.
func ReadMotionRecord(src table.Source, entry table.Entry, s Settings) (*MotionRecord, error) {
	m := &motionReader{}
	if err := readTable(src, entry, s, motionKind, m); err != nil {
		return nil, err
	}
	return m.record, nil
}

type motionReader struct{ record *MotionRecord }

func (m *motionReader) check(l *layout) error {
	if m.record.File.RowsUnread == 0 {
		return nil
	}
	return m.record.File.finish(l)
}

func (m *motionReader) read(l *layout) (evidence, error) {
	record := &MotionRecord{}
	r := &reader{layout: l}
	err := r.eachRow(&record.File, func(row *table.Row) wording.Text {
		start, end, reason := r.span(row)
		if reason.IsZero() {
			record.Motions = append(record.Motions, Motion{Row: row.Number, Start: start, End: end})
			record.File.saw(start)
			record.File.saw(end)
		}
		return reason
	})
	m.record = record
	return r.seen, err
}
