package audit

import (
	"bytes"
	"fmt"
	"strings"
	"time"

	"fieldheld/report"
	"fieldheld/report/seal/signature"
)

// signatureLayer is the name of the layer that tells who signed.
const signatureLayer = "signature"

// signatures verifies what was added behind the report as it was written.
func (a *auditor) signatures() {
	list, end := signature.Read(a.document, a.bundle.End)
	if rest := a.document[end:]; len(rest) > 0 {
		a.foreign(list, end, rest)
		return
	}
	a.signed, a.result.Signed = list, len(list) > 0
	if len(list) == 0 {
		a.add(signatureLayer, Holds, "the report is not signed, and nothing was added to it")
		return
	}
	var who []string
	a.result.Known = true
	for i := range list {
		s := &list[i]
		if s.Problem != nil {
			a.result.Known = false
			a.add(signatureLayer, Fails, "the signature of %s does not hold: %v", s.Name, s.Problem)
			return
		}
		a.result.Known = a.result.Known && s.Known(a.Trust)
		who = append(who, a.describe(s))
	}
	state := Holds
	if !a.result.Known && !a.Trust.Empty() {
		state = NotShown // the reader asked for a signer that they know
	}
	a.add(signatureLayer, state, "intact, the whole file is covered, and nothing was added afterwards; signed by %s", strings.Join(who, "; "))
}

// foreign tells of what stands behind the report and is no signature of this
// program. What another program added may be in order, but cannot be judged.
func (a *auditor) foreign(list []signature.Signature, end int, rest []byte) {
	before := "the report as it was written"
	if len(list) > 0 {
		before = fmt.Sprintf("the report and its first %d signatures", len(list))
	}
	if bytes.Contains(rest, []byte("/ByteRange")) && bytes.HasSuffix(bytes.TrimSpace(rest), []byte("%%EOF")) {
		a.add(signatureLayer, NotShown, "%s ends at byte %d; behind it stands a signature or change of %d bytes that this program did not write, "+
			"so that it cannot be judged here: a viewer may show other pages than those judged below", before, end, len(rest))
		return
	}
	a.add(signatureLayer, Fails, "%s ends at byte %d; behind it stand %d bytes that are no signature of this program", before, end, len(rest))
}

// describe says what a signature that holds proves: by whom, who vouches for it,
// when, and by whose clock.
func (a *auditor) describe(s *signature.Signature) string {
	vouched := "certificate issued by " + s.Issuer()
	if s.SelfSigned() {
		vouched = "self-signed certificate: nobody else vouches for the name"
	}
	known := "signer not known"
	if s.Known(a.Trust) {
		known = "signer known and trusted"
	}
	text := fmt.Sprintf("%s (%s; %s; SHA-256 of the certificate %s) on %s by the signer's own clock",
		s.Name, known, vouched, s.Fingerprint(), s.Time.Format("2006-01-02 15:04:05Z"))
	if validity := s.Validity(a.Now); !a.Now.IsZero() && validity != "" {
		text += "; " + validity
	}
	return text
}

// signedWhen adds to the layer of the signatures what the evaluated day makes of
// their times.
func (a *auditor) signedWhen(r *report.Report) {
	for i := range a.result.Layers {
		layer := &a.result.Layers[i]
		if layer.Name != signatureLayer {
			continue
		}
		for k := range a.signed {
			if remark := early(&a.signed[k], r); remark != "" {
				layer.Found += "; " + remark
			}
		}
	}
}

// early says that a signature states a time before the test or the issue.
func early(s *signature.Signature, r *report.Report) string {
	const day = time.DateOnly
	switch issued := r.Sheet.Report.Issued; {
	case s.Time.Before(r.LastTest):
		return fmt.Sprintf("the stated time of signing is before the end of the test, %s, so that one of the clocks was wrong", r.LastTest.UTC().Format("2006-01-02 15:04:05Z"))
	case !issued.IsZero() && s.Time.Format(day) < issued.Format(day):
		return fmt.Sprintf("the stated time of signing is before the date of issue, %s", issued.Format(day))
	}
	return ""
}
