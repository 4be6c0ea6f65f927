package address

import (
	"encoding/binary"
	"fmt"
	"sort"
	"strconv"
)

// Centres are the middles of the country's ZIP codes: for what no road file
// knows.
type Centres struct{ rows []byte }

const centreBytes = 12 // code, latitude, longitude: four bytes each, little-endian

// OpenCentres reads a list by rising code. The bytes must not change afterwards.
// It errs with ErrDamaged.
func OpenCentres(data []byte) (*Centres, error) {
	c := &Centres{data}
	if len(data)%centreBytes != 0 {
		return nil, fmt.Errorf("%w: ZIP codes in %d bytes, want a multiple of %d", ErrDamaged, len(data), centreBytes)
	}
	for i := 1; i < c.Count(); i++ {
		if c.int(i, 0) <= c.int(i-1, 0) {
			return nil, fmt.Errorf("%w: ZIP code %05d after %05d", ErrDamaged, c.int(i, 0), c.int(i-1, 0))
		}
	}
	return c, nil
}

// Count is how many codes there are.
func (c *Centres) Count() int { return len(c.rows) / centreBytes }

func (c *Centres) int(i, k int) uint32 {
	return binary.LittleEndian.Uint32(c.rows[i*centreBytes+4*k:])
}

// Find answers the middle of a ZIP code, 85001 or 85001-1234.
func (c *Centres) Find(code string) (Point, bool) {
	if len(code) == 10 && code[5] == '-' {
		code = code[:5]
	}
	n, err := strconv.ParseUint(code, 10, 32)
	if c == nil || err != nil || len(code) != 5 {
		return Point{}, false
	}
	i := sort.Search(c.Count(), func(i int) bool { return uint64(c.int(i, 0)) >= n })
	if i == c.Count() || uint64(c.int(i, 0)) != n {
		return Point{}, false
	}
	return Point{int32(c.int(i, 1)), int32(c.int(i, 2))}, true
}
