package demoday

import "fieldheld/ingest/table"

// inlineEntry writes how a file is to be read.
func (d *Day) inlineEntry(e table.Entry) inline {
	var t inline
	t.text("file", e.File)
	t.text("sheet", e.Sheet)
	if e.ClockOffset != 0 {
		t.text("clock_offset", durationText(e.ClockOffset))
	}
	if e.Zone != nil {
		t.text("time_zone", e.Zone.String())
	}
	if e.Delimiter != 0 {
		t.text("delimiter", string(e.Delimiter))
	}
	if e.Decimal != 0 {
		t.text("decimal", string(e.Decimal))
	}
	t.raw("header_row", countText(e.HeaderRow))
	if e.FrequencyResolution > 0 {
		t.text("frequency_resolution", frequencyText(e.FrequencyResolution))
	}
	t.raw("columns", textsByKey(byName(e.Columns)))
	t.raw("units", textsByKey(byName(e.Units)))
	t.text("time_format", e.TimeFormat)
	t.raw("start", timeText(e.Start, d.Location()))
	return t
}

func byName(texts map[table.Column]string) map[string]string {
	named := make(map[string]string, len(texts))
	for column, text := range texts {
		named[string(column)] = text
	}
	return named
}
