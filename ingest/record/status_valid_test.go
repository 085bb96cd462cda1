package record

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestANegatedHeadingOfValidityIsNoMarkOfAGoodSample(t *testing.T) {
	for heading, good := range map[string]bool{"valid": true, "reading valid": true, "invalid": false, "not valid": false, "non-valid": false, "validity error": false} {
		assert.Equal(t, good, saysValid(heading), heading)
	}
}
