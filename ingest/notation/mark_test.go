package notation

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A garbled cell must not speak for the decimal mark of its file: it is one row
// that cannot be read, not a file.
func TestOnlyNumbersShowTheDecimalMark(t *testing.T) {
	for _, test := range []struct {
		cell     string
		mark     byte
		doubtful bool
	}{
		{"12.5", '.', false}, {"12,5", ',', false}, {"1,234.5", '.', false}, {"1.234,5", ',', false}, {"1.234.567", ',', false},
		{"1,234", 0, true}, {"0.123", '.', false}, {"12..5", 0, false}, {"12,,5", 0, false}, {"1.2.3", 0, false}, {"1,23.4,5", 0, false},
		{"12,34.5", 0, false}, {"1.2.3,4", 0, false}, {"200", 0, false}, {"OVER", 0, false},
	} {
		mark, doubtful := ShowsMark([]byte(test.cell))
		assert.Equal(t, test.mark, mark, test.cell)
		assert.Equal(t, test.doubtful, doubtful, test.cell)
	}
}
