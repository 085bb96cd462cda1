package pdf

import (
	"bytes"
	"github.com/stretchr/testify/require"
	"os"
	"testing"
)

func TestShow(t *testing.T) {
	for name, d := range map[string]day{"draft": {steps: 381, runs: 20, page: "Letter"}, "typical": {steps: 381, runs: 2, page: "A4"}, "clean": {steps: 44, runs: 2, page: "Letter", clean: true}, "wrong": {steps: 381, runs: 2, wrong: 3}} {
		var b bytes.Buffer
		require.NoError(t, Write(&b, fixture(d), Attachments{Photo: testPhoto}))
		os.WriteFile("/tmp/exp/"+name+".pdf", b.Bytes(), 0o644)
		t.Log(name, b.Len())
	}
}
