package address

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// SectionName is what the road file calls the section that holds the index.
const SectionName = "addresses"

// The index as bytes, little-endian: version, the numbers of texts, bytes of
// text, streets, houses and places; where each text ends; the texts; then the
// streets (name, city, postcode, latitude, longitude, first house, houses), the
// houses (number, what stands behind it, postcode, latitude, longitude) and the
// places (name, kind, latitude, longitude), four bytes each.
const (
	version    = 1
	headBytes  = 6 * 4
	streetInts = 7
	houseInts  = 5
	placeInts  = 4
)

// ErrDamaged is wrapped by what Open says of bytes that are no index.
var ErrDamaged = errors.New("the address index is damaged")

type texts struct {
	of   map[string]uint32
	ends []uint32
	all  []byte
}

func (t *texts) number(s string) uint32 {
	if n, ok := t.of[s]; ok {
		return n
	}
	n := uint32(len(t.ends))
	t.of[s] = n
	t.all = append(t.all, s...)
	t.ends = append(t.ends, uint32(len(t.all)))
	return n
}

// Encode finishes the index. The same calls make the same bytes.
func (b *Builder) Encode() []byte {
	t := &texts{of: map[string]uint32{}}
	t.number("")
	le := binary.LittleEndian
	var streets, houses, places []byte
	put := func(to []byte, list ...uint32) []byte {
		for _, n := range list {
			to = le.AppendUint32(to, n)
		}
		return to
	}
	list := b.streets()
	first := uint32(0)
	for _, e := range list {
		n := uint32(len(e.houses))
		streets = put(streets, t.number(e.name), t.number(e.city), t.number(e.postcode), uint32(e.at.LatE7), uint32(e.at.LonE7), first, n)
		first += n
		for _, h := range e.houses {
			v, rest := readNumber(h.Number)
			houses = put(houses, v, t.number(rest), t.number(h.Postcode), uint32(h.At.LatE7), uint32(h.At.LonE7))
		}
	}
	for _, p := range b.places {
		places = put(places, t.number(p.name), t.number(p.kind), uint32(p.at.LatE7), uint32(p.at.LonE7))
	}
	out := put(nil, version, uint32(len(t.ends)), uint32(len(t.all)), uint32(len(list)), first, uint32(len(b.places)))
	out = put(out, t.ends...)
	out = append(out, t.all...)
	return append(append(append(out, streets...), houses...), places...)
}

// Index answers. It is safe for use by many at once, and shares the bytes it
// was opened with.
type Index struct {
	ends, all               []byte
	streets, houses, places []byte
	vocabulary              []string
	byWord                  map[string][]int32 // streets, then places
	codes                   map[string]Point   // middle of each postcode's houses
}

// Open reads an index that Encode made. The bytes must not change afterwards.
// It errs with ErrDamaged.
func Open(data []byte) (*Index, error) {
	le := binary.LittleEndian
	if len(data) < headBytes {
		return nil, fmt.Errorf("%w: it has %d bytes, and its head alone has %d", ErrDamaged, len(data), headBytes)
	}
	if v := le.Uint32(data); v != version {
		return nil, fmt.Errorf("%w: version %d, want %d", ErrDamaged, v, version)
	}
	var n [5]uint64
	for i := range n {
		n[i] = uint64(le.Uint32(data[4+4*i:]))
	}
	sizes := [5]uint64{n[0] * 4, n[1], n[2] * streetInts * 4, n[3] * houseInts * 4, n[4] * placeInts * 4}
	want := uint64(headBytes)
	for _, s := range sizes {
		want += s
	}
	if want != uint64(len(data)) {
		return nil, fmt.Errorf("%w: it has %d bytes, want %d", ErrDamaged, len(data), want)
	}
	x := &Index{}
	at := uint64(headBytes)
	for i, part := range []*[]byte{&x.ends, &x.all, &x.streets, &x.houses, &x.places} {
		*part = data[at : at+sizes[i] : at+sizes[i]]
		at += sizes[i]
	}
	last := uint32(0)
	for i := range n[0] {
		end := le.Uint32(x.ends[4*i:])
		if end < last || uint64(end) > n[1] {
			return nil, fmt.Errorf("%w: text %d ends at %d of %d", ErrDamaged, i, end, n[1])
		}
		last = end
	}
	for i := range int(n[2]) {
		if first, count := uint64(x.streetInt(i, 5)), uint64(x.streetInt(i, 6)); first+count > n[3] {
			return nil, fmt.Errorf("%w: street %d has houses %d to %d of %d", ErrDamaged, i, first, first+count, n[3])
		}
	}
	x.gather()
	return x, nil
}

func (x *Index) streetInt(i, k int) uint32 {
	return binary.LittleEndian.Uint32(x.streets[(i*streetInts+k)*4:])
}

func (x *Index) houseInt(i, k int) uint32 {
	return binary.LittleEndian.Uint32(x.houses[(i*houseInts+k)*4:])
}

func (x *Index) placeInt(i, k int) uint32 {
	return binary.LittleEndian.Uint32(x.places[(i*placeInts+k)*4:])
}

// text is a text by its number; one that is not there is empty.
func (x *Index) text(n uint32) string {
	if uint64(n)*4 >= uint64(len(x.ends)) {
		return ""
	}
	from := uint32(0)
	if n > 0 {
		from = binary.LittleEndian.Uint32(x.ends[(n-1)*4:])
	}
	return string(x.all[from:binary.LittleEndian.Uint32(x.ends[n*4:])])
}

// Counts says what the index holds.
func (x *Index) Counts() (streets, houses, places int) {
	return len(x.streets) / streetInts / 4, len(x.houses) / houseInts / 4, len(x.places) / placeInts / 4
}
