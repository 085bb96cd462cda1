package audit

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/evidence"
	"fieldheld/report/issue"
	"fieldheld/report/pdf/archive"
)

// errOutside says that a file inside would be written elsewhere.
var errOutside = errors.New("the report carries a file whose name leads out of its folder")

// spread writes files into a folder. A name that leads out of it is refused.
func spread(dir string, files map[string][]byte) error {
	for name, data := range files {
		local, err := filepath.Localize(name)
		if err != nil {
			return fmt.Errorf("%w: %q", errOutside, name)
		}
		path := filepath.Join(dir, local)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			return fmt.Errorf("a folder for the evidence: %w", err)
		}
		if err := os.WriteFile(path, data, 0o600); err != nil {
			return fmt.Errorf("the evidence: %w", err)
		}
	}
	return nil
}

// evaluate evaluates the day again and compares results and pages.
func (a *auditor) evaluate(folder *ingest.Folder) {
	r, err := report.Build(folder, a.program)
	if err != nil {
		a.add("evaluation", Fails, "the day cannot be evaluated: %v", err)
		return
	}
	a.result.Number = r.Sheet.Report.Number
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
		pages, err := archive.Texts(a.document)
		if err != nil || len(pages) == 0 || !strings.Contains(squeezed(pages[0]), r.ManifestDigest) {
			return a.add(name, Fails, "the digest of the folder's files, %s, is not the one on page 1", r.ManifestDigest)
		}
		return a.add(name, Holds, "the digest of the folder's files is the one on page 1")
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
	if !bytes.Equal(again, a.bundle.Results) {
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
	}
	return a.add(name, Holds, "every state, figure and finding comes out again: the day is %s", r.State)
}

// samePages writes the report again and compares the bytes.
func (a *auditor) samePages(folder *ingest.Folder, r *report.Report) {
	const name = "pages"
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
		a.add(name, NotShown, "the report was made by another version than %s %s; only that version can write the same pages again", a.program.Name, a.program.Version)
		return
	}
	a.add(name, Fails, "the report written again from the same evidence has other bytes: pages or other contents were changed, or another build of the version made it")
}

// allowance finds how many bytes of files were allowed inside, where a report
// says that there were more.
var allowance = regexp.MustCompile(`morethanthe(\d+)thatwereallowed`)

// carried lists what the report may have been asked to carry.
func (a *auditor) carried() []issue.Carried {
	whole := issue.Carried{Level: a.bundle.Level, Limit: math.MaxInt64}
	if a.bundle.Level != evidence.Hashes {
		return []issue.Carried{whole}
	}
	pages, err := archive.Texts(a.document)
	if err != nil {
		return []issue.Carried{whole}
	}
	for _, page := range pages {
		if m := allowance.FindStringSubmatch(squeezed(page)); m != nil {
			if limit, err := strconv.ParseInt(m[1], 10, 64); err == nil {
				return []issue.Carried{{Level: evidence.Files, Limit: limit}, whole}
			}
		}
	}
	return []issue.Carried{whole}
}
