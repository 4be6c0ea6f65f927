package travel

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
)

// A road file is a head, a table of named sections and the sections:
//
//	 0  8 bytes  magic "EBBROADS"
//	 8  uint32   version of the format
//	12  uint32   number of sections
//	16  uint64   length of the whole file
//	24  uint32   CRC-32C of the table
//	28  uint32   CRC-32C of bytes 0..27
//	32  table    48 bytes a section: name (24, zero-filled), offset uint64,
//	             length uint64, CRC-32C of the section uint32, zero uint32
//
// All numbers are little-endian. Sections begin at multiples of 64 bytes, in the
// order in which they were added. Readers ignore sections that they don't know,
// so a new kind of section needs no new version; a section whose meaning changes
// does.
const (
	magic        = "EBBROADS"
	version      = 1
	headBytes    = 32
	entryBytes   = 48
	nameBytes    = 24
	alignBytes   = 64
	mostSections = 1000
)

// What can be wrong with a road file. Errors of ReadFile wrap one of these.
var (
	ErrEmpty   = errors.New("the file is empty")
	ErrForeign = errors.New("this is no road file")
	ErrVersion = errors.New("the road file was made for another version of the program")
	ErrCut     = errors.New("the road file is cut short")
	ErrDamaged = errors.New("the road file is damaged")
)

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// File is a road file whose checksums were found right. Its sections share the
// bytes it was read from.
type File struct {
	names    []string
	sections map[string][]byte
}

// ReadFile takes a whole road file apart. The bytes must not change afterwards.
// It errs with ErrEmpty, ErrForeign, ErrVersion, ErrCut or ErrDamaged.
func ReadFile(data []byte) (*File, error) {
	if len(data) == 0 {
		return nil, ErrEmpty
	}
	if !bytes.HasPrefix(data, []byte(magic)[:min(len(magic), len(data))]) {
		return nil, fmt.Errorf("%w: it begins with %q, want %q; make one by: ebbline roads build REGION.osm.pbf -o REGION.roads",
			ErrForeign, data[:min(len(magic), len(data))], magic)
	}
	if len(data) < headBytes {
		return nil, fmt.Errorf("%w: it has %d bytes, and its head alone has %d", ErrCut, len(data), headBytes)
	}
	le := binary.LittleEndian
	if v := le.Uint32(data[8:]); v != version {
		return nil, fmt.Errorf("%w: it has version %d, want %d; build it again from its extract", ErrVersion, v, version)
	}
	if le.Uint32(data[28:]) != crc32.Checksum(data[:28], castagnoli) {
		return nil, fmt.Errorf("%w: the checksum of its head is wrong", ErrDamaged)
	}
	if length := le.Uint64(data[16:]); length != uint64(len(data)) {
		wrong := ErrCut
		if length < uint64(len(data)) {
			wrong = ErrDamaged
		}
		return nil, fmt.Errorf("%w: it has %d bytes, want %d", wrong, len(data), length)
	}
	count := int(le.Uint32(data[12:]))
	if count > mostSections || headBytes+count*entryBytes > len(data) {
		return nil, fmt.Errorf("%w: it names %d sections", ErrDamaged, count)
	}
	table := data[headBytes : headBytes+count*entryBytes]
	if le.Uint32(data[24:]) != crc32.Checksum(table, castagnoli) {
		return nil, fmt.Errorf("%w: the checksum of its table is wrong", ErrDamaged)
	}
	f := &File{sections: make(map[string][]byte, count)}
	for ; len(table) > 0; table = table[entryBytes:] {
		name := string(bytes.TrimRight(table[:nameBytes], "\x00"))
		from, length := le.Uint64(table[24:]), le.Uint64(table[32:])
		if from > uint64(len(data)) || length > uint64(len(data))-from {
			return nil, fmt.Errorf("%w: section %q lies outside of it", ErrDamaged, name)
		}
		section := data[from : from+length : from+length]
		if le.Uint32(table[40:]) != crc32.Checksum(section, castagnoli) {
			return nil, fmt.Errorf("%w: the checksum of section %q is wrong", ErrDamaged, name)
		}
		f.names = append(f.names, name)
		f.sections[name] = section
	}
	return f, nil
}

// Section is the section of that name, or nil where the file has none. It must
// not be changed.
func (f *File) Section(name string) []byte { return f.sections[name] }

// Sections names the sections in the order of the file.
func (f *File) Sections() []string { return f.names }

// FileBuilder collects the sections of a new road file.
type FileBuilder struct {
	names    []string
	sections [][]byte
}

// Add puts a section at the end. Names are up to 24 bytes and unique; anything
// else is a mistake of the program, and panics. The bytes must stay as they are
// until the file is written.
func (b *FileBuilder) Add(name string, data []byte) {
	if name == "" || len(name) > nameBytes {
		panic(fmt.Sprintf("section name %q: want 1 to %d bytes", name, nameBytes))
	}
	for _, other := range b.names {
		if other == name {
			panic(fmt.Sprintf("section %q is added twice", name))
		}
	}
	b.names, b.sections = append(b.names, name), append(b.sections, data)
}

// WriteTo writes the file, and answers how many bytes it has.
func (b *FileBuilder) WriteTo(w io.Writer) (int64, error) {
	le := binary.LittleEndian
	head := make([]byte, headBytes+len(b.names)*entryBytes)
	at := align(len(head))
	for i, name := range b.names {
		entry := head[headBytes+i*entryBytes:]
		copy(entry[:nameBytes], name)
		le.PutUint64(entry[24:], uint64(at))
		le.PutUint64(entry[32:], uint64(len(b.sections[i])))
		le.PutUint32(entry[40:], crc32.Checksum(b.sections[i], castagnoli))
		at = align(at + len(b.sections[i]))
	}
	copy(head, magic)
	le.PutUint32(head[8:], version)
	le.PutUint32(head[12:], uint32(len(b.names)))
	le.PutUint64(head[16:], uint64(at))
	le.PutUint32(head[24:], crc32.Checksum(head[headBytes:], castagnoli))
	le.PutUint32(head[28:], crc32.Checksum(head[:28], castagnoli))
	var written int64
	var zeros [alignBytes]byte
	for _, part := range append([][]byte{head}, b.sections...) {
		for _, piece := range [][]byte{part, zeros[:align(len(part))-len(part)]} {
			n, err := w.Write(piece)
			written += int64(n)
			if err != nil {
				return written, err
			}
		}
	}
	return written, nil
}

// align is the next multiple of alignBytes.
func align(n int) int { return (n + alignBytes - 1) / alignBytes * alignBytes }

// File is what the builder holds as it would be read again, to work on before it
// is written.
func (b *FileBuilder) File() *File {
	f := &File{names: b.names, sections: make(map[string][]byte, len(b.names))}
	for i, name := range b.names {
		f.sections[name] = b.sections[i]
	}
	return f
}
