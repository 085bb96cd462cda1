package report

import (
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
}
