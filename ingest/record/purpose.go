package record

import (
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// mostUnknown is how many unknown words for purposes are told, each where it stands
// first.
const mostUnknown = 5

// unknownPurpose is a word for the purpose of a row that is not known, with the row.
type unknownPurpose struct {
	row  int
	word string
}

// purpose reads what a row was made for. A word that is not known is kept for the
// question that it is: the row may be a step of the test, or none.
func (d *dwellReader) purpose(r *reader, row *table.Row) quantity.Purpose {
	word := r.text(row, table.Purpose)
	p, known := quantity.ParsePurpose(word)
	if known {
		return p
	}
	for _, before := range d.unknown {
		if before.word == word {
			return p
		}
	}
	d.unknown = append(d.unknown, unknownPurpose{row.Number, word})
	return p
}

// askPurpose asks what the words mean that are not known.
func (d *dwellReader) askPurpose(l *layout) error {
	var problems place.Messages
	for i, u := range d.unknown {
		if i == mostUnknown {
			break
		}
		problems.Add(place.Message{
			Place: l.file.Place(u.row, l.columns[table.Purpose].heading.text),
			Text: wording.Say("dwell.unknown-purpose", wording.Values{"word": u.word, "heading": l.columns[table.Purpose].heading.text,
				"known": quantity.Purposes()}),
		})
	}
	return problems.Err()
}
