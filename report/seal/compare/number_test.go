package compare

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAReplacedReportIsNamedByItsWholeNumber(t *testing.T) {
	for _, c := range []struct {
		text, number string
		names        bool
	}{
		{"NT-0417, revision 0", "NT-0417", true},
		{"NT-0417", "NT-0417", true},
		{"replaces NT-0417.", "NT-0417", true},
		{"(NT-0417)", "NT-0417", true},
		{"NT-0417/1 and NT-0417", "NT-0417", true},
		{"NT-0417, revision 0", "NT-041", false},
		{"NT-0417, revision 0", "T-0417", false},
		{"NT-0417, revision 0", "0417", false},
		{"NT-0417.2 revision 1", "NT-0417", false},
		{"NT-0417/1", "NT-0417", false},
		{"ÅNT-0417", "NT-0417", false},
		{"the report of last year", "NT-0417", false},
		{"NT+0417", "NT.0417", false},
		{"NT-0417", "", false},
	} {
		assert.Equal(t, c.names, namesNumber(c.text, c.number), "%q in %q", c.number, c.text)
	}
}
