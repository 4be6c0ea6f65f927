package tile

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"errors"
	"fmt"
	"slices"
	"sync"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
)

// ErrNoTile says that there is no tile of that number. What wraps it says which
// there are.
var ErrNoTile = errors.New("there is no such tile")

// MostBytes is the size that a packed tile stays below: where more would be in
// it, the least roads are left out.
const MostBytes = 100_000

// margin is how far a tile reaches over its edge, in its own units, so that
// lines drawn broad meet without a seam.
const margin = 128

// Check refuses numbers that no tile has: zoom, column from the west, row from
// the north.
func Check(z, x, y int) error {
	if z < 0 || z > MaxZoom {
		return fmt.Errorf("%w: zoom %d, want 0 to %d", ErrNoTile, z, MaxZoom)
	}
	for _, v := range []struct {
		name string
		n    int
	}{{"x", x}, {"y", y}} {
		if v.n < 0 || v.n >= 1<<z {
			return fmt.Errorf("%w: %s %d at zoom %d, want 0 to %d", ErrNoTile, v.name, v.n, z, 1<<z-1)
		}
	}
	return nil
}

// Tile draws a tile, packed by gzip. A tile with nothing on it is nil. The
// error wraps ErrNoTile.
func (m *Map) Tile(z, x, y int) ([]byte, error) {
	if err := Check(z, x, y); err != nil {
		return nil, err
	}
	for least := track; ; least-- {
		raw := m.draw(z, x, y, least)
		if len(raw) == 0 {
			return nil, nil
		}
		packed, err := pack(raw)
		if err != nil {
			return nil, err
		}
		if len(packed) <= MostBytes || least == motorway {
			return packed, nil
		}
	}
}

// packers are used again: making one costs more than packing a tile does.
var packers = sync.Pool{New: func() any {
	w, _ := gzip.NewWriterLevel(nil, 4) // errs on levels that don't exist
	return w
}}

func pack(raw []byte) ([]byte, error) {
	w := packers.Get().(*gzip.Writer)
	defer packers.Put(w)
	var packed bytes.Buffer
	w.Reset(&packed)
	if _, err := w.Write(raw); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return packed.Bytes(), nil
}

// draw encodes a tile, roads only down to the least class.
func (m *Map) draw(z, x, y int, least class) []byte {
	i := 0
	for m.levels[i].top < z {
		i++
	}
	c := cutter{m: m, level: &m.levels[i], shift: m.levels[i].top - z, x: int64(x) << extentBits, y: int64(y) << extentBits}
	var drawn [layers][]int
	c.level.tree.find(c.box(), func(i int) {
		it := &c.level.items[i]
		if from(it.class, it.flags) > z || it.class <= track && it.class > least {
			return
		}
		l := classes[it.class].layer
		drawn[l] = append(drawn[l], i)
	})
	var out []byte
	for l := range placeLayer {
		out = c.layer(drawn[l], l).append(out, layerNames[l])
	}
	return c.places(z).append(out, layerNames[placeLayer])
}

// cutter cuts one tile out of a level.
type cutter struct {
	m     *Map
	level *level
	shift int   // from the level's units to the tile's
	x, y  int64 // of the tile's corner, in its units
	line  orb.LineString
	cut   [][2]int32
}

// box is the tile with its margin, in the level's units.
func (c *cutter) box() box {
	world := int64(extent)<<c.level.top - 1
	put := func(v int64) int32 { return int32(max(0, min(world, v<<c.shift))) }
	return box{pt{put(c.x - margin), put(c.y - margin)}, pt{put(c.x + extent + margin), put(c.y + extent + margin)}}
}

// layer draws lines or areas: small roads first, and what is alike as one
// feature.
func (c *cutter) layer(list []int, l layer) *layerWriter {
	items := c.level.items
	slices.SortStableFunc(list, func(a, b int) int {
		p, q := &items[a], &items[b]
		return cmp.Or(-cmp.Compare(p.class, q.class), cmp.Compare(p.flags, q.flags), cmp.Compare(p.name, q.name), cmp.Compare(p.ref, q.ref))
	})
	w := newLayerWriter()
	for i := 0; i < len(list); {
		it := items[list[i]]
		w.begin()
		for ; i < len(list); i++ {
			if next := &items[list[i]]; next.class != it.class || next.flags != it.flags || next.name != it.name || next.ref != it.ref {
				break
			}
			c.draw(w, list[i], l == waterLayer)
		}
		if len(w.shape) == 0 {
			continue
		}
		c.tag(w, it, l)
		if l == waterLayer {
			w.end(polygonShape)
		} else {
			w.end(lineShape)
		}
	}
	return w
}

func (c *cutter) tag(w *layerWriter, it item, l layer) {
	key := "class"
	if l == waterLayer {
		key = "kind"
	}
	w.text(key, classes[it.class].name)
	w.text("name", c.m.strings[it.name])
	w.text("ref", c.m.strings[it.ref])
	if l == roadLayer {
		w.truth("oneway", it.flags&oneway != 0)
		w.truth("link", it.flags&link != 0)
		w.truth("private", it.flags&private != 0)
	} else {
		w.truth("dry", it.flags&dry != 0)
	}
}

// draw clips a feature to the tile.
func (c *cutter) draw(w *layerWriter, i int, area bool) {
	it := c.level.items[i]
	r := &reader{data: c.m.data, at: int(it.at)}
	last := it.last
	bound := orb.Bound{Min: orb.Point{-margin, -margin}, Max: orb.Point{extent + margin, extent + margin}}
	within := c.level.tree[0][i]
	whole := c.box()
	inside := within.low.x >= whole.low.x && within.low.y >= whole.low.y && within.high.x <= whole.high.x && within.high.y <= whole.high.y
	for k := range r.number() {
		c.line = c.line[:0]
		for range r.number() {
			last = r.point(last, extent<<MaxZoom)
			c.line = append(c.line, orb.Point{float64(int64(last.x)>>c.shift - c.x), float64(int64(last.y)>>c.shift - c.y)})
		}
		switch {
		case area:
			ring := orb.Ring(append(c.line, c.line[0]))
			if !inside {
				ring = clip.Ring(bound, ring)
			}
			if !c.emit(w, orb.LineString(ring), true, k == 0) && k == 0 {
				return
			}
		case inside:
			c.emit(w, c.line, false, false)
		default:
			for _, part := range clip.LineString(bound, c.line) {
				c.emit(w, part, false, false)
			}
		}
	}
}

// emit rounds a line or ring and draws it unless nothing is left of it.
func (c *cutter) emit(w *layerWriter, line orb.LineString, closed, outline bool) bool {
	c.cut = c.cut[:0]
	for _, p := range line {
		q := [2]int32{round(p[0]), round(p[1])}
		if n := len(c.cut); n == 0 || c.cut[n-1] != q {
			c.cut = append(c.cut, q)
		}
	}
	if closed {
		for len(c.cut) > 1 && c.cut[0] == c.cut[len(c.cut)-1] {
			c.cut = c.cut[:len(c.cut)-1]
		}
		var twice int64
		for i, p := range c.cut {
			q := c.cut[(i+1)%len(c.cut)]
			twice += int64(p[0])*int64(q[1]) - int64(q[0])*int64(p[1])
		}
		if len(c.cut) < 3 || twice == 0 || (twice > 0) != outline {
			return false
		}
	} else if len(c.cut) < 2 {
		return false
	}
	w.path(c.cut, closed)
	return true
}

func round(f float64) int32 {
	if f < 0 {
		return -int32(0.5 - f)
	}
	return int32(f + 0.5)
}

// places draws the places' points, most people first.
func (c *cutter) places(z int) *layerWriter {
	var list []spot
	shift := MaxZoom - z
	for _, s := range c.m.places {
		if from(s.class, 0) > z {
			continue
		}
		x, y := int64(s.at.x)>>shift-c.x, int64(s.at.y)>>shift-c.y
		if x >= 0 && y >= 0 && x < extent && y < extent {
			s.at = pt{int32(x), int32(y)}
			list = append(list, s)
		}
	}
	slices.SortStableFunc(list, func(a, b spot) int {
		return cmp.Or(cmp.Compare(a.class, b.class), -cmp.Compare(a.rank, b.rank), cmp.Compare(a.name, b.name))
	})
	w := newLayerWriter()
	for _, s := range list {
		w.begin()
		w.text("kind", classes[s.class].name)
		w.text("name", s.name)
		w.number("rank", s.rank)
		w.path([][2]int32{{s.at.x, s.at.y}}, false)
		w.end(pointShape)
	}
	return w
}
