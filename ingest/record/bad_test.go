package record_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

var update = flag.Bool("update", false, "write the golden files anew")

// badInput is one file that cannot be read as it is, or not whole.
type badInput struct {
	name  string
	kind  string // probe, power, dwell, motion, correction or register
	file  string
	data  string
	entry table.Entry
}

// messages reads the input and returns what a person is told.
func (b badInput) messages() string {
	zone, err := time.LoadLocation("Europe/Oslo")
	if err != nil {
		return err.Error()
	}
	settings := record.Settings{Zone: zone}
	source := table.Bytes(b.file, []byte(b.data))
	var file record.File
	switch b.kind {
	case "probe":
		err = keep(&file, func(r *record.ProbeLog) record.File { return r.File })(record.ReadProbeLog(source, b.entry, settings))
	case "power":
		err = keep(&file, func(r *record.PowerFile) record.File { return r.File })(record.ReadPowerFile(source, b.entry, settings))
	case "dwell":
		err = keep(&file, func(r *record.DwellRecord) record.File { return r.File })(record.ReadDwellRecord(source, b.entry, settings))
	case "motion":
		err = keep(&file, func(r *record.MotionRecord) record.File { return r.File })(record.ReadMotionRecord(source, b.entry, settings))
	case "correction":
		err = keep(&file, func(r *record.Correction) record.File { return r.File })(record.ReadCorrection(source, b.entry, settings, record.OfField))
	case "register":
		err = keep(&file, func(r *record.Register) record.File { return r.File })(record.ReadRegister(source, b.entry, settings))
	}
	if err != nil {
		return err.Error()
	}
	var told []string
	for _, p := range file.Problems {
		told = append(told, fmt.Sprintf("%s, row %d: %s", file.Path, p.Row, p.Reason))
	}
	return strings.Join(told, "\n")
}

// keep returns a function that stores the file of a record that was read.
func keep[T any](into *record.File, file func(*T) record.File) func(*T, error) error {
	return func(r *T, err error) error {
		if err == nil {
			*into = file(r)
		}
		return err
	}
}

// TestBadInputs holds the messages about bad inputs against the golden file.
// After a change, run it with -update, and read the file as somebody would who
// has been in the chamber since six in the morning.
func TestBadInputs(t *testing.T) {
	var b strings.Builder
	cases := badInputs(t)
	seen := map[string]bool{}
	for _, c := range cases {
		require.False(t, seen[c.name], "two cases are named %q", c.name)
		seen[c.name] = true
		told := c.messages()
		assert.NotEmpty(t, told, c.name)
		for _, r := range told {
			assert.False(t, r < ' ' && r != '\n', "%s: a control character is passed on", c.name)
		}
		fmt.Fprintf(&b, "=== %s\n%s\n\n", c.name, told)
	}
	require.GreaterOrEqual(t, len(cases), 60)
	golden := filepath.Join("testdata", "bad-inputs.txt")
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, strings.ReplaceAll(string(want), "\r\n", "\n"), b.String())
}
