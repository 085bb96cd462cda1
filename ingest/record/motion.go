package record

import "fieldheld/ingest/table"

// ReadMotionRecord reads when antenna elements moved, in the order of the file.
func ReadMotionRecord(src table.Source, entry table.Entry, s Settings) (*MotionRecord, error) {
	var m *MotionRecord
	err := readTable(src, entry, s, motionKind, func(l *layout) (evidence, error) {
		m = &MotionRecord{}
		r := &reader{layout: l}
		err := r.eachRow(&m.File, func(row *table.Row) string {
			start, end, reason := r.span(row)
			if reason == "" {
				m.Motions = append(m.Motions, Motion{Row: row.Number, Start: start, End: end})
				m.File.saw(start)
				m.File.saw(end)
			}
			return reason
		})
		if err == nil && m.File.RowsUnread > 0 {
			err = m.File.orNothing(l)
		}
		return r.seen, err
	})
	if err != nil {
		return nil, err
	}
	return m, nil
}
