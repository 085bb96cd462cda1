package audit

import (
	"bytes"
	"flag"
	mathrand "math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fieldheld/report"
	"fieldheld/report/seal/archive"
	"fieldheld/report/seal/issue"
	"fieldheld/report/seal/signature"
)

var tamperings = flag.Int("tamperings", 300, "how many tampered reports are audited")

// tamper changes a document in one of the ways in which files are damaged or
// forged without a PDF library; other is a second report, to splice from.
func tamper(random *mathrand.Rand, document, other []byte) []byte {
	at := random.IntN(len(document))
	length := 1 + random.IntN(min(4096, len(document)-at))
	switch random.IntN(8) {
	case 0: // a bit
		changed := bytes.Clone(document)
		changed[at] ^= 1 << random.IntN(8)
		return changed
	case 1: // a byte
		changed := bytes.Clone(document)
		changed[at] ^= byte(1 + random.IntN(255))
		return changed
	case 2: // cut out
		return append(bytes.Clone(document[:at]), document[at+length:]...)
	case 3: // cut off
		return bytes.Clone(document[:at])
	case 4: // twice
		return append(bytes.Clone(document[:at+length]), document[at:]...)
	case 5: // from the other report, at the same place
		from := min(at, len(other)-1)
		part := other[from:min(from+length, len(other))]
		return append(append(bytes.Clone(document[:at]), part...), document[min(at+len(part), len(document)):]...)
	case 6: // the end of the other report
		return append(bytes.Clone(document[:at]), other[min(at, len(other)):]...)
	default: // something behind the end
		return append(bytes.Clone(document), other[min(at, len(other)-1):]...)
	}
}

// TestNoTamperedReportIsCalledGood audits reports that were flipped and spliced.
// With -tamperings 10000 it takes its time.
func TestNoTamperedReportIsCalledGood(t *testing.T) {
	document := written(t, issue.Whole())
	signed, err := signature.Sign(document, throwAwayKey(t), signature.Details{Time: time.Now()})
	require.NoError(t, err)
	again, err := signature.Sign(document, throwAwayKey(t), signature.Details{Time: time.Now()})
	require.NoError(t, err)
	other := forged(t, func(r *report.Report, _ []archive.Attachment) { r.Behaviour = "The article withstood all." })
	random := mathrand.New(mathrand.NewPCG(11, 2026))
	originals := [][]byte{document, signed, again}
	versions := []Options{{Program: program}, {Program: program}}
	versions[1].Program.Version = "other"
	for i := range *tamperings {
		original := originals[random.IntN(len(originals))]
		changed := tamper(random, original, append(originals, other)[random.IntN(len(originals)+1)])
		if isOne(changed, originals) {
			continue // the cut fell where nothing was changed
		}
		for _, o := range versions {
			result, err := Run(changed, o)
			if err != nil {
				continue // refused: nobody takes that for a report that holds
			}
			require.False(t, result.Holds(), "tampering %d of %d bytes: %v", i, len(changed), result.Layers)
		}
	}
}

func isOne(document []byte, originals [][]byte) bool {
	for _, original := range originals {
		if bytes.Equal(document, original) {
			return true
		}
	}
	return false
}
