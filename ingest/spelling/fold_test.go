package spelling

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSpellingsOfAWordAreOne(t *testing.T) {
	for _, same := range [][]string{
		{"Feldstärke", "Feldstaerke", "FELDSTÄRKE", "feldstarke", "Feld-Stärke"},
		{"Straße", "Strasse"},
		{"Début", "DEBUT"},
		{"Måling", "maling"},
		{"Time stamp", "time_stamp", "Timestamp"},
		{"Aikavyöhyke", "aikavyohyke"},
	} {
		for _, word := range same {
			assert.Equal(t, Fold(same[0]), Fold(word), word)
		}
	}
	for _, other := range [][2]string{{"Field", "Fields"}, {"Axis 1", "Axis 2"}, {"Zeit", "Ziel"}} {
		assert.NotEqual(t, Fold(other[0]), Fold(other[1]), "%q and %q", other[0], other[1])
	}
	assert.Empty(t, Fold(" (–) "), "marks alone are no word")
}
