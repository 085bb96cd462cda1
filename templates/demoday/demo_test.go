package demoday_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/templates/demoday"
)

func TestDemoIsReproducible(t *testing.T) {
	first, err := demoday.Demo().Files()
	require.NoError(t, err)
	again, err := demoday.Demo().Files()
	require.NoError(t, err)
	require.Len(t, again, len(first))
	for path, data := range first {
		assert.Equal(t, data, again[path], path)
	}
}
