package place

import (
	"errors"
	"testing"

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
	list := Messages{{Place: Place{File: "b.csv", Row: 1}, What: "third"}, {Place: Place{File: "a.csv", Row: 9}, What: "second"},
		{Place: Place{File: "a.csv", Row: 2}, What: "first", Found: "x", Expected: "y", Hint: "do z"}}
	err := list.Err()
	assert.EqualError(t, err, "a.csv, row 2: first\n    found:    x\n    expected: y\n    to do:    do z\n\na.csv, row 9: second\n\nb.csv, row 1: third")
	var known *Error
	assert.True(t, errors.As(err, &known))
	assert.Equal(t, "third", list[0].What, "the list itself keeps its order")
}

func TestNearest(t *testing.T) {
	names := []string{"polarization", "position", "power", "probe"}
	assert.Equal(t, "polarization", Nearest("polarisation", names))
	assert.Equal(t, "position", Nearest("Positon", names))
	assert.Equal(t, "", Nearest("chamber", names))
}
