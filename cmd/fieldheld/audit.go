package main

import (
	"crypto/x509"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"fieldheld/ingest/regular"
	"fieldheld/report/seal/audit"
	"fieldheld/report/seal/signature"
)

func newAudit() *cobra.Command {
	var day string
	var trusted trusting
	cmd := &cobra.Command{
		Use:   "audit REPORT.pdf",
		Short: "Say whether a report holds: digests, evaluation, pages, signature",
		Long: `audit takes the evidence out of a report, checks every digest, evaluates the day
again, compares every state and figure, writes the report again and compares the
bytes. It answers layer by layer, and writes nothing. A report without its input
files is audited against the day's folder: --day DIR.

A signature proves that nothing was changed since, but a name in a certificate
proves nobody's identity. Say whom you know: --trust names authorities, --signer
the fingerprint of the signer's own certificate. A signature of anybody else then
counts as not shown.

Exit code: 0 every layer holds, 1 one does not hold or cannot be shown, 2 the
file is no report or the call is wrong.`,
		Example: "  fieldheld audit report.pdf\n  fieldheld audit report.pdf --day 2026-11-18",
		Args:    takes("report"),
		RunE: func(cmd *cobra.Command, args []string) error {
			document, err := readReport(args[0])
			if err != nil {
				return err
			}
			trust, err := trusted.trust()
			if err != nil {
				return err
			}
			result, err := audit.Run(document, audit.Options{Program: program(), Day: day, Trust: trust, Now: time.Now()})
			if err != nil {
				return fmt.Errorf("%s: %w", args[0], err)
			}
			if err := printAudit(cmd.OutOrStdout(), result); err != nil {
				return err
			}
			if !result.Holds() {
				return errNotDemonstrated
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&day, "day", "", "the day's folder, `DIR`, for a report that does not carry its files")
	cmd.Flags().StringVar(&trusted.authorities, "trust", "", "trust signers whom the authorities in this PEM `FILE` vouch for; \"system\" for those of this machine")
	cmd.Flags().StringArrayVar(&trusted.signers, "signer", nil, "trust the signer whose certificate has this `FINGERPRINT` (SHA-256, as audit prints it)")
	return cmd
}

// largestReport is the size up to which a report is read.
const largestReport = 1 << 30

// readReport reads a report whole.
func readReport(path string) ([]byte, error) {
	document, err := regular.Read(path, largestReport)
	if err != nil {
		return nil, fmt.Errorf("the report cannot be read: %w", err)
	}
	return document, nil
}

// trusting are the flags that say which signers are known.
type trusting struct {
	authorities string
	signers     []string
}

func (t trusting) trust() (signature.Trust, error) {
	var trust signature.Trust
	for _, written := range t.signers {
		plain, err := signature.Fingerprint(written)
		if err != nil {
			return trust, fmt.Errorf("--signer: %w", err)
		}
		trust.Signers = append(trust.Signers, plain)
	}
	switch t.authorities {
	case "":
		return trust, nil
	case "system":
		roots, err := x509.SystemCertPool()
		if err != nil {
			return trust, fmt.Errorf("--trust: the authorities of this machine cannot be read: %w", err)
		}
		trust.Roots = roots
		return trust, nil
	}
	data, err := regular.Read(t.authorities, 16<<20)
	if err != nil {
		return trust, fmt.Errorf("--trust: %w", err)
	}
	if trust.Roots, err = signature.ReadRoots(data); err != nil {
		return trust, fmt.Errorf("--trust: %s: %w", t.authorities, err)
	}
	return trust, nil
}

func printAudit(out io.Writer, r *audit.Result) error {
	p := newPrinter(out)
	answer := "NOT ALL OF THE REPORT COULD BE SHOWN TO HOLD"
	switch {
	case r.Fails():
		answer = "THE REPORT DOES NOT HOLD"
	case r.Holds():
		answer = "THE REPORT HOLDS"
	}
	if about := headline(r); about != "" {
		answer += ": " + about
	}
	p.head("%s", answer)
	p.line("")
	for _, layer := range r.Layers {
		p.line("%s %-11s %s", map[audit.State]string{audit.Holds: "[#]", audit.Fails: "[/]", audit.NotShown: "[ ]"}[layer.State], layer.Name, layer.State)
		p.wrapped(16, layer.Found)
	}
	p.line("")
	const made = " Nor can any audit prove that the records are what the instruments wrote."
	switch {
	case r.Signed && r.Known:
		p.wrapped(0, "The signature shows that nothing was changed since it was made, by a signer whom you trust."+made)
	case r.Signed:
		p.wrapped(0, "The signature shows that nothing was changed since it was made, but not by whom: whoever can write files can make report and signature anew, under any name. "+
			"Ask the laboratory for the fingerprint of its certificate, and give it with --signer."+made)
	default:
		p.wrapped(0, "Without a signature this shows that the report agrees with the evidence inside it, not who made either: whoever can write files can make both anew."+made)
	}
	return p.err
}

// headline names the report, whether it is a draft, and the verdict.
func headline(r *audit.Result) string {
	name := r.Name
	if name == "" {
		name = r.Number
	}
	var parts []string
	for _, part := range []string{name, map[bool]string{true: "DRAFT"}[r.Draft], r.Verdict} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, ", ")
}
