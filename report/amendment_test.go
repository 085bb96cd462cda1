package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAmendment(t *testing.T) {
	r := &Report{Sheet: &Sheet{}}
	assert.Empty(t, r.Amendment(), "a first issue amends nothing")
	r.Sheet.Report.Revision = 2
	assert.Equal(t, "Amendment. This is revision 2; it replaces not stated: not stated.", r.Amendment())
	r.Sheet.Report.Replaces, r.Sheet.Report.Reason = "NT-0417, revision 1", "The serial number was corrected."
	r.Changes = []Change{{What: "probe/H1.csv", After: "2cf2", Digest: true}, {What: "article.serial", Before: "0071", After: "0017"}, {What: "énoncé", Before: "a"}}
	assert.Equal(t, "Amendment. This is revision 2; it replaces NT-0417, revision 1: The serial number was corrected. Article.serial: 0017 instead of 0071. "+
		"Énoncé: none instead of a. 1 more change in section 2.", r.Amendment(), "that a file changed says nothing in words")
	r.Changes = append(r.Changes, Change{What: "a", After: "b"}, Change{What: "c", After: "d"}, Change{What: "e", After: "f"})
	assert.Contains(t, r.Amendment(), "A: b instead of none. 3 more changes in section 2.")

	long := strings.Repeat("what the article did ", 8)
	r.Changes = []Change{{What: "behaviour", Before: long, After: long + "then"}, {What: "deviation", After: long}, {What: "note", Before: long}}
	assert.Contains(t, r.Amendment(), " Behaviour: said otherwise, see section 2. Deviation: added, see section 2. Note: left out, see section 2.")
	assert.NotContains(t, r.Amendment(), "what the article did", "page 1 has no room for it, and section 2 has it in full")
}
