package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"fieldheld/ingest/regular"
	"fieldheld/report/seal/audit"
	"fieldheld/report/seal/issue"
	"fieldheld/report/seal/signature"
)

// largestKey is the size up to which keys and passwords are read.
const largestKey = 1 << 20

// signing says with which key a report is signed, and what the signer adds.
type signing struct {
	key          string
	passwordFile string
	details      signature.Details
}

// add adds the flags but that of the key, whose name differs.
func (s *signing) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&s.passwordFile, "password-file", "", "`FILE` whose first line is the key's password; else it is asked for")
	cmd.Flags().StringVar(&s.details.Reason, "reason", "", "why it is signed, such as \"authorised for release\"")
	cmd.Flags().StringVar(&s.details.Place, "place", "", "where it is signed")
}

// files are those that signing reads.
func (s *signing) files() []string {
	var files []string
	for _, file := range []string{s.key, s.passwordFile} {
		if file != "" {
			files = append(files, file)
		}
	}
	return files
}

// readKey opens the key file with the password of the file or of the prompt.
func (s *signing) readKey(stdin io.Reader, stderr io.Writer) (*signature.Key, error) {
	data, err := regular.Read(s.key, largestKey)
	if err != nil {
		return nil, fmt.Errorf("the key cannot be read: %w", err)
	}
	password, err := s.password(stdin, stderr)
	if err != nil {
		return nil, err
	}
	key, err := signature.ReadKey(data, password)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.key, err)
	}
	return key, nil
}

func (s *signing) password(stdin io.Reader, stderr io.Writer) (string, error) {
	if s.passwordFile != "" {
		data, err := regular.Read(s.passwordFile, largestKey)
		if err != nil {
			return "", fmt.Errorf("the password cannot be read: %w", err)
		}
		line, _, _ := strings.Cut(string(data), "\n")
		return strings.TrimSuffix(line, "\r"), nil
	}
	terminal, ok := stdin.(*os.File)
	if !ok || !term.IsTerminal(int(terminal.Fd())) {
		return "", errors.New("the key's password is asked for on a terminal; elsewhere name a file that holds it: --password-file FILE")
	}
	fmt.Fprintf(stderr, "Password of %s: ", printable(s.key))
	password, err := term.ReadPassword(int(terminal.Fd()))
	fmt.Fprintln(stderr)
	if err != nil {
		return "", fmt.Errorf("the password cannot be read: %w", err)
	}
	return string(password), nil
}

// sign returns the document with a signature added, made now.
func (s *signing) sign(document []byte, key *signature.Key) ([]byte, error) {
	s.details.Time = time.Now()
	return signature.Sign(document, key, s.details)
}

func newSign() *cobra.Command {
	var with signing
	var target string
	cmd := &cobra.Command{
		Use:   "sign REPORT.pdf --key KEY.p12",
		Short: "Sign a report; the report itself stays the beginning of the file",
		Long: `sign adds a signature (PAdES baseline B-B) with a key of yours, in a PKCS#12 file.
Only a report that holds is signed; one that is a DRAFT is signed with a warning.
The bytes of the report are not changed: the signature stands behind them. The
password of the key is asked for, or read from a file; it is never an argument.
fieldheld audit verifies the signature and says who signed.`,
		Example: "  fieldheld sign report.pdf --key authoriser.p12 --password-file password.txt\n" +
			"  fieldheld sign report.pdf --key authoriser.p12 --password-file password.txt -o signed.pdf",
		Args: takes("report"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if with.key == "" {
				return errors.New("sign needs a key: --key KEY.p12")
			}
			if target == "" {
				target = args[0]
			}
			made := output{flag: "--output", path: target, judged: true}
			if err := mayWrite(with.files(), made); err != nil {
				return err
			}
			document, err := readReport(args[0])
			if err != nil {
				return err
			}
			key, err := with.readKey(cmd.InOrStdin(), cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			if err := maySign(cmd.ErrOrStderr(), args[0], document); err != nil {
				return err
			}
			signed, err := with.sign(document, key)
			if err != nil {
				return fmt.Errorf("%s: %w", filepath.Base(args[0]), err)
			}
			if !made.standard() {
				if err := issue.MayReplace(made.path, signed); err != nil {
					return err
				}
			}
			if err := save(cmd, made.as(bytesOf(signed))); err != nil {
				return err
			}
			fmt.Fprintf(answersTo(cmd, made), "signed %s\n", printable(target))
			return nil
		},
	}
	cmd.Flags().StringVar(&with.key, "key", "", "PKCS#12 `FILE` with the key and its certificate")
	with.add(cmd)
	cmd.Flags().StringVarP(&target, "output", "o", "", "write the signed report to `FILE` (default: in place)")
	return cmd
}

// maySign reports why a report must not be signed: it is audited first, as far as
// it carries what that needs. What is odd about it is told.
func maySign(stderr io.Writer, path string, document []byte) error {
	result, err := audit.Run(document, audit.Options{Program: program(), Inside: true})
	if err != nil {
		return fmt.Errorf("%s: %w", filepath.Base(path), err)
	}
	for _, layer := range result.Layers {
		switch layer.State {
		case audit.Fails:
			return fmt.Errorf("%s does not hold and was not signed: %s: %s", filepath.Base(path), layer.Name, layer.Found)
		case audit.NotShown:
			fmt.Fprintf(stderr, "note: %s\n", printable(layer.Name+": "+layer.Found))
		}
	}
	if result.Draft {
		fmt.Fprintf(stderr, "warning: %s is a DRAFT, and a signature does not make it another\n", printable(filepath.Base(path)))
	}
	return nil
}
