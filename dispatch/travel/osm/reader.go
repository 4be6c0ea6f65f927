package osm

import (
	"bytes"
	"compress/zlib"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
)

// Limits of the format.
const (
	mostHeader = 64 << 10 // bytes of a blob's header
	mostBlob   = 32 << 20 // bytes of a blob, packed and unpacked
	// Deflate makes at most this many bytes of one (https://zlib.net/zlib_tech.html).
	mostInflated = 1032
)

// Errors of Open and Each wrap one of these, besides what the reader below says.
var (
	ErrEmpty   = errors.New("the file is empty")
	ErrForeign = errors.New("this is no OpenStreetMap extract (.osm.pbf)")
	ErrCut     = errors.New("the extract is cut short")
	ErrDamaged = errors.New("the extract is damaged")
	ErrFeature = errors.New("the extract needs a feature that isn't read here")
)

// blob is a block of elements in the file.
type blob struct {
	at, size int64 // of its body
	kinds    Kind
	known    bool // kinds is found out
}

// Reader reads an extract as often as needed.
type Reader struct {
	Header Header

	file    io.ReaderAt
	size    int64
	blobs   []blob
	body    []byte
	raw     []byte
	inflate io.ReadCloser
	block   block
}

// Open finds where the extract's blocks are, without reading them, and checks
// that its features are known. It errs with ErrEmpty, ErrForeign, ErrCut,
// ErrDamaged, ErrFeature or what the file's reading says.
func Open(ctx context.Context, file io.ReaderAt, size int64) (*Reader, error) {
	if size == 0 {
		return nil, ErrEmpty
	}
	r := &Reader{file: file, size: size}
	for at := int64(0); at < size; {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		kind, b, err := r.header(at)
		if err != nil {
			return nil, err
		}
		switch {
		case at == 0 && kind != "OSMHeader":
			return nil, fmt.Errorf("%w: it begins with a block %q, want OSMHeader", ErrForeign, kind)
		case at == 0:
			if err := r.readHeader(b); err != nil {
				return nil, err
			}
		case kind == "OSMData":
			r.blobs = append(r.blobs, b)
		}
		at = b.at + b.size
	}
	return r, nil
}

// header reads the header of the blob at that byte.
func (r *Reader) header(at int64) (kind string, b blob, err error) {
	wrong := ErrCut // what a short or odd header means here
	if at == 0 {
		wrong = ErrForeign
	}
	var length [4]byte
	if err := r.read(length[:], at, wrong); err != nil {
		return "", b, err
	}
	n := binary.BigEndian.Uint32(length[:])
	if n == 0 || n > mostHeader {
		if at > 0 {
			wrong = ErrDamaged
		}
		return "", b, fmt.Errorf("%w: at byte %d a block's header is said to have %d bytes", wrong, at, n)
	}
	text := make([]byte, n)
	if err := r.read(text, at+4, wrong); err != nil {
		return "", b, err
	}
	w := wire{data: text}
	for {
		field, number, bytes, ok := w.next()
		if !ok {
			break
		}
		switch field {
		case 1:
			kind = string(bytes)
		case 3:
			b.size = int64(number)
		}
	}
	b.at = at + 4 + int64(n)
	if w.failed || kind == "" || b.size < 0 || b.size > mostBlob {
		if at > 0 {
			wrong = ErrDamaged
		}
		return "", b, fmt.Errorf("%w: at byte %d a block's header can't be read", wrong, at)
	}
	if b.size > r.size-b.at {
		return "", b, fmt.Errorf("%w: at byte %d a block of %d bytes begins, and the file has %d", ErrCut, b.at, b.size, r.size)
	}
	return kind, b, nil
}

func (r *Reader) read(into []byte, at int64, short error) error {
	if int64(len(into)) > r.size-at {
		return fmt.Errorf("%w: it ends at byte %d, inside a block", short, r.size)
	}
	if _, err := r.file.ReadAt(into, at); err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	return nil
}

// unpack reads a blob's body, and inflates it.
func (r *Reader) unpack(b blob) ([]byte, error) {
	if int64(cap(r.body)) < b.size {
		r.body = make([]byte, b.size+b.size/4)
	}
	body := r.body[:b.size]
	if err := r.read(body, b.at, ErrCut); err != nil {
		return nil, err
	}
	var plain, deflated []byte
	size, other := int64(-1), 0
	w := wire{data: body}
	for {
		field, number, bytes, ok := w.next()
		if !ok {
			break
		}
		switch field {
		case 1:
			plain = bytes
		case 2:
			size = int64(number)
		case 3:
			deflated = bytes
		default:
			other = field
		}
	}
	switch {
	case w.failed:
		return nil, r.damaged(b, errWire)
	case plain != nil:
		return plain, nil
	case deflated == nil && other > 0:
		return nil, fmt.Errorf("%w: blocks packed otherwise than by zlib (field %d)", ErrFeature, other)
	case deflated == nil, size < 0, size > min(mostBlob, mostInflated*int64(len(deflated))):
		return nil, r.damaged(b, fmt.Errorf("%d bytes are said to unpack to %d, want up to %d times as many and %d at most",
			len(deflated), size, mostInflated, mostBlob))
	}
	return r.inflated(b, deflated, int(size))
}

func (r *Reader) inflated(b blob, deflated []byte, size int) ([]byte, error) {
	var err error
	if r.inflate == nil {
		r.inflate, err = zlib.NewReader(bytes.NewReader(deflated))
	} else {
		err = r.inflate.(zlib.Resetter).Reset(bytes.NewReader(deflated), nil)
	}
	if err != nil {
		r.inflate = nil
		return nil, r.damaged(b, err)
	}
	if cap(r.raw) < size {
		r.raw = make([]byte, size+size/4)
	}
	raw := r.raw[:size]
	if _, err := io.ReadFull(r.inflate, raw); err != nil {
		return nil, r.damaged(b, err)
	}
	// The end has the checksum, so it is read too; more bytes are a lie.
	var more [1]byte
	if n, err := r.inflate.Read(more[:]); n > 0 || !errors.Is(err, io.EOF) {
		return nil, r.damaged(b, fmt.Errorf("it unpacks to more than the %d bytes that it says, or its checksum is wrong", size))
	}
	return raw, nil
}

func (r *Reader) damaged(b blob, why error) error {
	return fmt.Errorf("%w: the block at byte %d: %w", ErrDamaged, b.at, why)
}

// known are the features that an extract may require.
var known = map[string]bool{"OsmSchema-V0.6": true, "DenseNodes": true}

func (r *Reader) readHeader(b blob) error {
	raw, err := r.unpack(b)
	if err != nil {
		return err
	}
	w := wire{data: raw}
	for {
		field, number, bytes, ok := w.next()
		if !ok {
			break
		}
		switch field {
		case 4:
			if !known[string(bytes)] {
				return fmt.Errorf("%w: %q", ErrFeature, bytes)
			}
		case 16:
			r.Header.Program = string(bytes)
		case 17:
			r.Header.Source = string(bytes)
		case 32:
			r.Header.Replicated = int64(number)
		}
	}
	if w.failed {
		return r.damaged(b, errWire)
	}
	return nil
}

// Handler is called with each element of the kinds it has a function for, in the
// order of the file. What it is given is used again for the next element: copy
// what must last, strings by strings.Clone.
type Handler struct {
	Node     func(*Node) error
	Way      func(*Way) error
	Relation func(*Relation) error
}

// Each reads the extract once. Blocks that are known from an earlier reading to
// hold nothing of interest are not read. Progress, which may be nil, is told how
// many bytes of the file are done. An error of the handler ends the reading.
func (r *Reader) Each(ctx context.Context, h Handler, progress func(bytes int64)) error {
	var want Kind
	if h.Node != nil {
		want |= Nodes
	}
	if h.Way != nil {
		want |= Ways
	}
	if h.Relation != nil {
		want |= Relations
	}
	for i := range r.blobs {
		b := &r.blobs[i]
		if err := ctx.Err(); err != nil {
			return err
		}
		if !b.known || b.kinds&want != 0 {
			raw, err := r.unpack(*b)
			if err != nil {
				return err
			}
			kinds, err := r.block.each(raw, h)
			if err != nil {
				if errors.Is(err, errWire) || errors.Is(err, errBlock) {
					err = r.damaged(*b, err)
				}
				return err
			}
			b.kinds, b.known = kinds, true
		}
		if progress != nil {
			progress(b.at + b.size)
		}
	}
	return nil
}
