package archive

import (
	"bytes"
	"errors"
	"fmt"
)

// Intact reports how a file differs from one that Write writes: objects one
// behind the other without a gap, their table, the trailer, and the identity
// that is the digest of the contents. It is nil where there is no difference. Of
// a file that was continued later it looks at the first revision.
//
// A damaged byte is found so, whatever it belongs to. It is no protection
// against somebody who computes the identity anew.
func Intact(data []byte) error {
	f, err := parse(data)
	if err != nil {
		return err
	}
	var again bytes.Buffer
	if err := (&editor{file: f}).write(&again); err != nil {
		return err
	}
	found, expected := data[:f.end], again.Bytes()
	at := 0
	for at < len(found) && at < len(expected) && found[at] == expected[at] {
		at++
	}
	switch {
	case at == len(found) && at == len(expected):
		return nil
	case identityAt(expected, at):
		return errors.New("the contents are not those that the identity in the trailer was taken of: something in them was changed")
	default:
		return fmt.Errorf("byte %d of %d is not as it was written", at+1, len(found))
	}
}

// identityAt reports whether a byte of a file belongs to its identity.
func identityAt(data []byte, at int) bool {
	begin := bytes.LastIndex(data, []byte("/ID [<"))
	return begin >= 0 && at > begin
}
