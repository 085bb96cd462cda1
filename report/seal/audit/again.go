package audit

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"

	"fieldheld/ingest"
	"fieldheld/ingest/place"
	"fieldheld/report"
	"fieldheld/report/seal/archive"
	"fieldheld/report/seal/evidence"
	"fieldheld/report/seal/issue"
)

// evaluate evaluates the day again and compares results and pages.
func (a *auditor) evaluate(folder *ingest.Folder) {
	r, err := report.Build(folder, a.Program)
	if err != nil {
		a.add("evaluation", Fails, "the day cannot be evaluated: %v", err)
		return
	}
	a.result.Number, a.result.Verdict, a.result.Draft = r.Sheet.Report.Number, string(r.State), r.Draft()
	a.signedWhen(r)
	if !a.sameFiles(r) || !a.sameResults(r) {
		return
	}
	a.samePages(folder, r)
}

// sameFiles compares what the evaluation read with the manifest, or with the
// digest on page 1 where there is no manifest inside.
func (a *auditor) sameFiles(r *report.Report) bool {
	const name = "inputs"
	if a.bundle.Manifest == nil {
		is, _, err := archive.IdentityOf(a.document)
		switch {
		case err == nil && is.Digest != "" && is.Digest != r.ManifestDigest:
			return a.add(name, Fails, "the digest of the folder's files, %s, is not the one of the report, %s", r.ManifestDigest, place.OneLine(is.Digest))
		case !strings.Contains(a.front, r.ManifestDigest): // all that a report of an earlier version says
			return a.add(name, Fails, "the digest of the folder's files, %s, is not the one on page 1", r.ManifestDigest)
		}
		return a.add(name, Holds, "the digest of the folder's files is the one of the report")
	}
	listed := map[string]string{}
	for _, in := range a.bundle.Inputs {
		listed[in.Path] = in.SHA256
	}
	for _, f := range r.Files {
		if digest, ok := listed[f.Path]; !ok {
			return a.add(name, Fails, "the evaluation reads %s, which is not in the manifest", f.Path)
		} else if digest != f.SHA256 {
			return a.add(name, Fails, "%s is not the file of the manifest: its SHA-256 is %s, the manifest says %s", f.Path, f.SHA256, digest)
		}
		delete(listed, f.Path)
	}
	for path := range listed {
		return a.add(name, Fails, "the manifest lists %s, which the evaluation does not read", path)
	}
	return a.add(name, Holds, "the evaluation reads just the %d files of the manifest", len(r.Files))
}

// sameResults compares every state and figure with the results inside.
func (a *auditor) sameResults(r *report.Report) bool {
	const name = "results"
	if a.bundle.Results == nil {
		return true // the pages say the same, and are compared
	}
	again, err := r.JSON()
	if err != nil {
		return a.add(name, Fails, "the results cannot be written again: %v", err)
	}
	if bytes.Equal(again, a.bundle.Results) {
		return a.add(name, Holds, "every state, figure and finding comes out again: the day is %s", r.State)
	}
	var want, got any
	if err := json.Unmarshal(a.bundle.Results, &want); err != nil {
		return a.add(name, Fails, "the results inside cannot be read: %v", err)
	}
	if err := json.Unmarshal(again, &got); err != nil {
		return a.add(name, Fails, "the new results cannot be read: %v", err)
	}
	c := comparison{otherVersion: !a.sameVersion()}
	if c.compare("", want, got); c.how != "" {
		return a.add(name, Fails, "%s: %s", c.where, c.how)
	}
	if len(c.worded) > 0 {
		a.add(name, NotShown, "every state and figure comes out again, the day is %s, but the other version worded otherwise what this one says: %s", r.State, strings.Join(c.worded, "; "))
		return true
	}
	return a.add(name, Holds, "every state and figure comes out again: the day is %s", r.State)
}

// samePages writes the report again and compares the bytes.
func (a *auditor) samePages(folder *ingest.Folder, r *report.Report) {
	const name = "pages"
	if a.salvaged {
		a.add(name, NotShown, "another program saved the report again; its pages cannot be compared")
		return
	}
	made := a.document[:a.bundle.End]
	for _, carried := range a.carried() {
		var again bytes.Buffer
		if err := issue.Write(&again, folder, r, carried); err != nil {
			a.add(name, Fails, "the report cannot be written again: %v", err)
			return
		}
		if bytes.Equal(again.Bytes(), made) {
			a.add(name, Holds, "the report comes out again byte for byte")
			return
		}
	}
	if !a.sameVersion() {
		a.add(name, NotShown, "the report was made by %s, and this is %s %s; only the version that made it can write the same pages again", a.maker(), a.Program.Name, a.Program.Version)
		return
	}
	a.add(name, Fails, "the report written again from the same evidence has other bytes: pages or other contents were changed, or another build of the version made it")
}

// maker is the program that the report names as the one that made it.
func (a *auditor) maker() string {
	is, found, err := archive.IdentityOf(a.document)
	if err != nil || !found {
		return "another version"
	}
	return place.OneLine(is.Program)
}

// carried lists what the report may have been asked to carry: what it carries, or
// its files, had they not been more than were allowed.
func (a *auditor) carried() []issue.Carried {
	list := []issue.Carried{{Level: a.bundle.Level, Limit: math.MaxInt64}}
	if a.bundle.Level == evidence.Hashes {
		list = append(list, issue.Carried{Level: evidence.Files, Limit: 0})
	}
	return list
}
