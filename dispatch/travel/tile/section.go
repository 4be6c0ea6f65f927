package tile

import (
	"encoding/binary"
	"fmt"
)

// SectionName is what the road file calls the section that a Collector writes.
const SectionName = "map"

// sectionVersion is written first; a section of another version is refused.
const sectionVersion = 1

// The section, all numbers as varints (signed ones zigzag):
//
//	version, attribution, south, west, north, east (degrees times ten million)
//	strings: count, each with its length
//	places: count; class, name, rank, x, y in units of the closest zoom
//	levels: count; top, features: count; class, flags, name, ref, lines: count;
//	points: count; the first point from the feature before, others each from
//	the one before, in units of the level's top

// Section lays down what was collected.
func (c *Collector) Section() []byte {
	w := &writer{index: map[string]int{}}
	var places []byte
	for _, p := range c.places {
		places = append(places, byte(p.class))
		places = binary.AppendUvarint(places, uint64(w.string(p.name)))
		places = binary.AppendUvarint(places, uint64(p.rank))
		places = binary.AppendUvarint(places, uint64(p.at.x))
		places = binary.AppendUvarint(places, uint64(p.at.y))
	}
	var levels []byte
	for _, top := range tops {
		levels = w.level(levels, top, leveled(c.features, top))
	}
	bounds := []int32{c.south, c.west, c.north, c.east}
	if c.south > c.north {
		bounds = make([]int32, 4) // nothing was collected
	}
	out := binary.AppendUvarint(nil, sectionVersion)
	out = appendText(out, c.attribution)
	for _, v := range bounds {
		out = binary.AppendVarint(out, int64(v))
	}
	out = binary.AppendUvarint(out, uint64(len(w.strings)))
	for _, s := range w.strings {
		out = appendText(out, s)
	}
	out = binary.AppendUvarint(out, uint64(len(c.places)))
	out = append(out, places...)
	out = binary.AppendUvarint(out, uint64(len(tops)))
	return append(out, levels...)
}

type writer struct {
	strings []string
	index   map[string]int
}

func (w *writer) string(s string) int {
	i, ok := w.index[s]
	if !ok {
		i = len(w.strings)
		w.index[s], w.strings = i, append(w.strings, s)
	}
	return i
}

func (w *writer) level(out []byte, top int, list []feature) []byte {
	out = binary.AppendUvarint(out, uint64(top))
	out = binary.AppendUvarint(out, uint64(len(list)))
	var last pt
	for _, f := range list {
		out = append(out, byte(f.class), f.flags)
		out = binary.AppendUvarint(out, uint64(w.string(f.name)))
		out = binary.AppendUvarint(out, uint64(w.string(f.ref)))
		out = binary.AppendUvarint(out, uint64(len(f.lines)))
		for _, line := range f.lines {
			out = binary.AppendUvarint(out, uint64(len(line)))
			for _, p := range line {
				out = binary.AppendVarint(out, int64(p.x)-int64(last.x))
				out = binary.AppendVarint(out, int64(p.y)-int64(last.y))
				last = p
			}
		}
		last = f.lines[0][0]
	}
	return out
}

func appendText(out []byte, s string) []byte {
	return append(binary.AppendUvarint(out, uint64(len(s))), s...)
}

// reader takes a section apart. After a fault it reads zeros.
type reader struct {
	data []byte
	at   int
	err  error
}

func (r *reader) fail(what string) {
	if r.err == nil {
		r.err = fmt.Errorf("the map's section is damaged at byte %d: %s", r.at, what)
	}
}

func (r *reader) number() uint64 {
	v, n := binary.Uvarint(r.data[r.at:])
	if n <= 0 {
		r.fail("a number is cut")
		r.at = len(r.data)
		return 0
	}
	r.at += n
	return v
}

func (r *reader) signed() int64 {
	v, n := binary.Varint(r.data[r.at:])
	if n <= 0 {
		r.fail("a number is cut")
		r.at = len(r.data)
		return 0
	}
	r.at += n
	return v
}

func (r *reader) byte() byte {
	if r.at >= len(r.data) {
		r.fail("it ends too early")
		return 0
	}
	r.at++
	return r.data[r.at-1]
}

// count reads how many things follow, each of at least that many bytes.
func (r *reader) count(least int) int {
	n := r.number()
	if n > uint64((len(r.data)-r.at)/least) {
		r.fail(fmt.Sprintf("it says that %d things follow, and has %d bytes left", n, len(r.data)-r.at))
		return 0
	}
	return int(n)
}

func (r *reader) text() string {
	n := r.count(1)
	r.at += n
	return string(r.data[r.at-n : r.at])
}

// point reads a step from last; the world is that wide.
func (r *reader) point(last pt, world int64) pt {
	x, y := int64(last.x)+r.signed(), int64(last.y)+r.signed()
	if x < 0 || y < 0 || x >= world || y >= world {
		r.fail("a point lies outside of the world")
		return pt{}
	}
	return pt{int32(x), int32(y)}
}
