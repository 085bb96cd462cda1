package table

import (
	"bytes"
	"io"
)

// Source gives access to one file of a day and nothing else of its folder.
//
// Open starts at the first byte at every call. Whatever is read is read to its
// end in at least one of the streams, so that a Source whose streams hash what
// passes through them knows the digest of the file as soon as one of them has
// answered io.EOF, and nothing is read only for the digest. Most files are
// opened once; a text is opened again where its own rows show later than its
// beginning how it has to be read.
type Source interface {
	Name() string // path relative to the day's folder, forward slashes
	Size() int64  // in bytes, used to lay out memory; need not be exact
	Open() (io.ReadCloser, error)
}

// Bytes returns a Source that holds the whole file in memory.
func Bytes(name string, data []byte) Source { return memory{name, data} }

type memory struct {
	name string
	data []byte
}

func (m memory) Name() string                 { return m.name }
func (m memory) Size() int64                  { return int64(len(m.data)) }
func (m memory) Open() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(m.data)), nil }
