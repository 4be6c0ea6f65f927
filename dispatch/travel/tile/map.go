package tile

import (
	"errors"
	"fmt"
	"math"
)

// ErrVersion says that a section was written by another version of the program.
var ErrVersion = errors.New("the map was made for another version of the program")

// Map is a section that was read. It never changes, and is safe for use by many
// at once.
type Map struct {
	// Attribution is what is shown with every map of this data.
	Attribution string
	// Bounds in degrees times ten million.
	South, West, North, East int32

	data    []byte
	strings []string
	places  []spot
	levels  []level
}

// spot is a place with a name.
type spot struct {
	class class
	name  string
	rank  int64
	at    pt // in units of the closest zoom
}

// level is what is shown up to a zoom.
type level struct {
	top   int
	items []item
	tree  tree
}

// item is where a feature stands in the section.
type item struct {
	class     class
	flags     uint8
	name, ref uint32
	at        uint32 // of its lines
	last      pt     // what its first point counts from
}

// Open reads a section. The bytes must not change afterwards.
func Open(section []byte) (*Map, error) {
	if len(section) > math.MaxUint32 {
		return nil, fmt.Errorf("the map's section has %d bytes, want at most %d", len(section), uint32(math.MaxUint32))
	}
	r := &reader{data: section}
	if v := r.number(); r.err == nil && v != sectionVersion {
		return nil, fmt.Errorf("%w: it has version %d, want %d; build the roads again from their extract", ErrVersion, v, sectionVersion)
	}
	m := &Map{data: section, Attribution: r.text()}
	for _, v := range []*int32{&m.South, &m.West, &m.North, &m.East} {
		*v = int32(r.signed())
	}
	m.strings = make([]string, r.count(1))
	for i := range m.strings {
		m.strings[i] = r.text()
	}
	m.places = make([]spot, r.count(5))
	for i := range m.places {
		s := spot{class: r.class(), name: m.text(r), rank: int64(r.number() & math.MaxInt64)}
		x, y := r.number(), r.number()
		if x >= extent<<MaxZoom || y >= extent<<MaxZoom {
			r.fail("a place lies outside of the world")
			break
		}
		s.at = pt{int32(x), int32(y)}
		m.places[i] = s
	}
	m.levels = make([]level, r.count(2))
	for i := range m.levels {
		if m.levels[i] = m.readLevel(r); r.err != nil {
			return nil, r.err
		}
		if i > 0 && m.levels[i].top <= m.levels[i-1].top {
			r.fail("its levels are out of order")
		}
	}
	if r.err == nil && (r.at != len(section) || len(m.levels) == 0 || m.levels[len(m.levels)-1].top != MaxZoom) {
		r.fail("it doesn't end where it should")
	}
	if r.err != nil {
		return nil, r.err
	}
	return m, nil
}

func (r *reader) class() class {
	c := class(r.byte())
	if !c.known() {
		r.fail(fmt.Sprintf("there is no class %d", c))
		return motorway
	}
	return c
}

func (m *Map) text(r *reader) string {
	i := r.number()
	if i >= uint64(len(m.strings)) {
		r.fail(fmt.Sprintf("there is no text %d", i))
		return ""
	}
	return m.strings[i]
}

func (m *Map) readLevel(r *reader) level {
	l := level{top: int(r.number() & 0xff)}
	if l.top > MaxZoom {
		r.fail(fmt.Sprintf("a level is for zoom %d, want at most %d", l.top, MaxZoom))
		return l
	}
	world := int64(extent) << l.top
	l.items = make([]item, r.count(7))
	boxes := make([]box, len(l.items))
	var last pt
	for i := range l.items {
		it := item{class: r.class(), flags: r.byte(), last: last}
		name, ref := r.number(), r.number()
		if name >= uint64(len(m.strings)) || ref >= uint64(len(m.strings)) {
			r.fail("a feature's name is none of the texts")
			return l
		}
		it.name, it.ref, it.at = uint32(name), uint32(ref), uint32(r.at)
		least := 2
		if classes[it.class].layer == waterLayer {
			least = 3
		}
		b := nothing
		lines := r.count(3)
		for range lines {
			points := r.count(2)
			if points < least {
				r.fail(fmt.Sprintf("a feature's line has %d points, want %d or more", points, least))
			}
			for range points {
				last = r.point(last, world)
				b = b.with(last)
			}
		}
		if lines == 0 || lines > 1 && least == 2 {
			r.fail(fmt.Sprintf("a feature has %d lines", lines))
		}
		if r.err != nil {
			return l
		}
		l.items[i], boxes[i] = it, b
		last = m.first(it)
	}
	l.tree = grow(boxes)
	return l
}

// first is the first point of a feature that was read before.
func (m *Map) first(it item) pt {
	r := &reader{data: m.data, at: int(it.at)}
	r.number()
	r.number()
	return r.point(it.last, extent<<MaxZoom)
}
