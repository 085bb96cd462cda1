package pdf

import (
	"bytes"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"fieldheld/report/pdf/archive"
)

func TestShow(t *testing.T) {
	for name, d := range map[string]day{"draft": {steps: 381, runs: 20, page: "Letter"}, "typical": {steps: 381, runs: 2, page: "A4"}, "clean": {steps: 44, runs: 2, page: "Letter", clean: true}, "wrong": {steps: 381, runs: 2, wrong: 3}} {
		var b bytes.Buffer
		require.NoError(t, Write(&b, fixture(d), Attachments{Photo: testPhoto}))
		os.WriteFile("/tmp/exp/"+name+".pdf", b.Bytes(), 0o644)
		t.Log(name, b.Len())
		for _, v := range archive.Violations(b.Bytes()) {
			t.Error(v)
		}
	}
}
