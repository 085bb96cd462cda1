package record

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/table"
)

func readLowLevel(text string, entry table.Entry) (*LowLevel, error) {
	return ReadLowLevel(table.Bytes("lowlevel.csv", []byte(text)), entry, Settings{})
}

func TestLowLevelRecords(t *testing.T) {
	want := []LowLevelPoint{{Row: 3, Frequency: 30e6, Forward: 10, Field: 18}, {Row: 2, Frequency: 40e6, Forward: 10, Field: 20}}
	for name, text := range map[string]string{
		"plain":         "Frequency (MHz),Forward (W),Field (V/m)\n40,10,20\n30,10,18\n",
		"other units":   "Freq [kHz];Fwd power [dBm];E-field [V/m]\n40000;40;20\n30000;40;18\n",
		"decimal comma": "Frequenz (MHz);Vorlaufleistung (W);Feldstärke (V/m)\n40,0;10,0;20,0\n30,0;10,0;18,0\n",
		"marks":         "Frequency (MHz),Forward (W),Reflected (W),Field (V/m),Status\n40,10,1,20,OK\n30,10,1,18,0\n",
		"twice alike":   "Frequency (MHz),Forward (W),Field (V/m)\n40,10,20\n30,10,18\n40,10,20\n",
	} {
		t.Run(name, func(t *testing.T) {
			r, err := readLowLevel(text, table.Entry{})
			require.NoError(t, err)
			require.Len(t, r.Points, 2)
			for i := range want {
				assert.Equal(t, want[i].Row, r.Points[i].Row)
				assert.InEpsilon(t, float64(want[i].Frequency), float64(r.Points[i].Frequency), 1e-12)
				assert.InEpsilon(t, float64(want[i].Forward), float64(r.Points[i].Forward), 1e-12)
				assert.InEpsilon(t, float64(want[i].Field), float64(r.Points[i].Field), 1e-12)
			}
			assert.Zero(t, r.File.RowsUnread)
		})
	}
}

func TestRowsOfLowLevelRecordsThatSayNothing(t *testing.T) {
	r, err := readLowLevel("Frequency (MHz),Forward (W),Field (V/m),Status\n30,10,18,\n31,0,18,\n32,10,0,\n33,10,18,OVL\n34,ten,18,\n35,10,18,maybe\n", table.Entry{})
	require.NoError(t, err)
	require.Len(t, r.Points, 1)
	assert.Equal(t, 5, r.File.RowsUnread)
	var rows []int
	for _, p := range r.File.Problems {
		rows = append(rows, p.Row)
		assert.NotEmpty(t, p.Reason.String())
	}
	assert.Equal(t, []int{3, 4, 5, 6, 7}, rows)
}

func TestLowLevelRecordsThatAreRefused(t *testing.T) {
	for _, test := range []struct{ name, text, want string }{
		{"two results", "Frequency (MHz),Forward (W),Field (V/m)\n30,10,18\n30,10,19\n", "two results for 30 MHz"},
		{"no field", "Frequency (MHz),Forward (W)\n30,10\n", "a field column"},
		{"no unit", "Frequency (MHz),Forward,Field (V/m)\n30,10,18\n", "unit"},
		{"nothing readable", "Frequency (MHz),Forward (W),Field (V/m)\n30,0,18\n", "no row that can be read"},
	} {
		_, err := readLowLevel(test.text, table.Entry{})
		require.Error(t, err, test.name)
		assert.Contains(t, err.Error(), test.want, test.name)
		assert.Contains(t, err.Error(), "lowlevel.csv", test.name)
	}
}
