package ingest_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/ingest/record"
)

// sheetFor is the job sheet of a day whose one probe log is read by these lines.
const sheetFor = `[report]
number = "NT-1"
time_zone = "Europe/Oslo"
[laboratory]
name = "Tallholm EMC Laboratory"
[customer]
name = "Orrevik Hydrophone Works"
[article]
name = "winch controller WK-3"
[requirement]
file = "requirement.toml"
[[run]]
id = "H1"
polarization = "horizontal"
dwell = { file = "dwell.csv" }
[[run.probe]]
detector = "rms"
`

// advised finds what a message says to add to an entry: keys with their values.
var advised = regexp.MustCompile(`(columns|units) = (\{[^}]*\})|(header_row|decimal|time_format|time_zone|start|delimiter) = ("[^"]*"|[-0-9:T]+)`)

// TestAdviceLeadsToAFileThatReads does what look says until nothing is asked any
// more: each question is answered by adding to the entry what its message names,
// of two ways the first, and V/m for a unit that nobody but the laboratory knows.
func TestAdviceLeadsToAFileThatReads(t *testing.T) {
	const rows = "2026-11-18 09:00:00,12.1\n2026-11-18 09:00:01,12.2\n2026-11-18 09:00:02,12.3\n"
	for _, test := range []struct {
		name, log string
		asks      int // questions
	}{
		{"nothing to ask", "Time,E-field (V/m)\n" + rows, 0},
		{"newest first", "Time,E-field (V/m)\n2026-11-18 09:00:02,12.1\n2026-11-18 09:00:01,12.2\n2026-11-18 09:00:00,12.3\n", 0},
		{"no unit", "Time,Erms\n" + rows, 1},
		{"a name in bars", "Time,|E|\n" + rows, 1},
		{"a unit and no name", "Time,V/m\n" + rows, 0},
		{"no header", rows, 2},
		{"no header, decimal commas", strings.ReplaceAll(strings.ReplaceAll(rows, ",", ";"), ".", ","), 2},
		{"no header, elapsed times", "0.0,207.1\n0.5,207.2\n1.0,207.3\n", 4},
		{"no header, parted by blanks", "# Elapsed (s) E-field (V/m)\n0.0e+00 2.071e+02\n5.0e-01 2.072e+02\n1.0e+00 2.073e+02\n", 4},
		{"two headings of the same words", "Time,E-field (V/m),E-field (V/m)\n" + strings.ReplaceAll(rows, "\n", ",7\n"), 1},
		{"two fields of different words", "Time,E-field (V/m),Total field (V/m)\n" + strings.ReplaceAll(rows, "\n", ",7\n"), 1},
		{"a column that nobody knows", "Time,Zorp\n" + rows, 2},
		{"one comma that decides nothing", "Time,E-field (V/m)\n\"2026-11-18 09:00:00\",\"3,500\"\n\"2026-11-18 09:00:01\",\"3,501\"\n", 1},
		{"day or month first", "Time,E-field (V/m)\n06/07/2026 09:00:00,12.1\n06/07/2026 09:00:01,12.2\n", 1},
		{"digits for a time", "Time,E-field (V/m)\n261118090000,12.1\n261118090001,12.2\n", 1},
		{"an unknown zone", "Time (XQT),E-field (V/m)\n" + rows, 1},
		{"elapsed time", "Elapsed (s),E-field (V/m)\n0,12.1\n1,12.2\n2,12.3\n", 1},
		{"times of day", "Time,E-field (V/m)\n09:00:00,12.1\n09:00:01,12.2\n", 1},
	} {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(dir, "log.csv"), []byte(test.log), 0o600))
			keys := map[string]string{"file": `"log.csv"`}
			for asked := 0; ; asked++ {
				require.LessOrEqual(t, asked, 5, "it asks on and on: %v", keys)
				look := lookWith(t, dir, keys)
				if len(look.Problems) == 0 {
					assert.Equal(t, test.asks, asked, "questions; entry %v", keys)
					assert.Positive(t, look.File.RowsRead)
					assert.Zero(t, look.File.RowsUnread)
					break
				}
				answer(t, keys, look.Problems[0].Hint())
			}
		})
	}
}

// answer adds to an entry what a message says to add.
func answer(t *testing.T, keys map[string]string, hint string) {
	t.Helper()
	hint, _, _ = strings.Cut(hint, " or ")
	answers := advised.FindAllStringSubmatch(hint, -1)
	require.NotEmpty(t, answers, "no line for the job sheet: %s", hint)
	t.Log(hint)
	taken := map[string]bool{}
	for _, a := range answers {
		key, value := a[1]+a[3], a[2]+a[4]
		if taken[key] {
			continue // the second of two ways
		}
		taken[key] = true
		value = strings.ReplaceAll(value, `"…"`, `"V/m"`)
		if inner, before := strings.Trim(value, "{} "), strings.Trim(keys[key], "{} "); strings.HasPrefix(value, "{") && before != "" {
			value = "{ " + before + ", " + inner + " }"
		}
		keys[key] = value
	}
}

// lookWith reads the log of a day as an entry says.
func lookWith(t *testing.T, dir string, keys map[string]string) *record.Look {
	t.Helper()
	sheet := sheetFor
	for key, value := range keys {
		sheet += fmt.Sprintf("%s = %s\n", key, value)
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.toml"), []byte(sheet), 0o600))
	folder, err := ingest.Open(dir)
	require.NoError(t, err, sheet)
	defer folder.Close()
	looks, err := folder.LookAt(dir, filepath.Join(dir, "log.csv"), 0)
	require.NoError(t, err)
	require.Len(t, looks, 1)
	return looks[0]
}
