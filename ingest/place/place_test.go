package place

import (
	"errors"
	"testing"

	"fieldheld/templates/wording"

	"github.com/stretchr/testify/assert"
)

func TestAPlaceReadsAsAPersonWouldSayIt(t *testing.T) {
	for _, test := range []struct {
		place Place
		want  string
	}{
		{Place{File: "power/h1.xlsx", Sheet: "H1", Row: 12, Column: "Forward (W)"}, "power/h1.xlsx, sheet H1, row 12, column Forward (W)"},
		{Place{File: "job.toml", Row: 3, Key: "report.number"}, "job.toml, line 3, report.number"},
		{Place{File: "probe.csv"}, "probe.csv"},
		{Place{}, ""},
	} {
		assert.Equal(t, test.want, test.place.String())
	}
}

func TestAnEmptyListIsNoError(t *testing.T) {
	var list Messages
	assert.NoError(t, list.Err())
}

func TestMessagesAreSortedByPlace(t *testing.T) {
	list := Messages{{Place: Place{File: "b.csv", Row: 1}, Text: wording.Say("search.worst", nil)}, {Place: Place{File: "a.csv", Row: 9}, Text: wording.Say("search.range", nil)},
		{Place: Place{File: "a.csv", Row: 2}, Text: wording.Say("document.long-name", wording.Values{"letters": 300, "most": 200})}}
	err := list.Err()
	assert.EqualError(t, err, "a.csv, row 2: this name is too long to be shown\n    found:    300 letters\n    expected: at most 200\n"+
		"    to do:    put the rest into a description or the notes\n\na.csv, row 9: the frequency range of the effect\n\nb.csv, row 1: the frequency of the lowest threshold")
	var known *Error
	assert.True(t, errors.As(err, &known))
	assert.Equal(t, "search.worst", list[0].Text.Code, "the list itself keeps its order")
}

func TestNearest(t *testing.T) {
	names := []string{"polarization", "position", "power", "probe"}
	assert.Equal(t, "polarization", Nearest("polarisation", names))
	assert.Equal(t, "position", Nearest("Positon", names))
	assert.Equal(t, "", Nearest("chamber", names))
}
