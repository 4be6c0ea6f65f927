package tile

import (
	"encoding/binary"
	"math"
)

// The tile's own encoding, by section 4 of the specification. It is written out
// here because the common encoder for Go wants every feature as a map of values
// and a list of floats first, which costs several times as much, and brings the
// client of a database along; the tests read tiles with it.

// geometry types
const (
	pointShape   = 1
	lineShape    = 2
	polygonShape = 3
)

// layerWriter encodes one layer.
type layerWriter struct {
	features []byte
	keys     []string
	values   [][]byte
	keyAt    map[string]uint32
	valueAt  map[string]uint32
	tags     []byte
	shape    []byte
	pen      [2]int32
}

func newLayerWriter() *layerWriter {
	return &layerWriter{keyAt: map[string]uint32{}, valueAt: map[string]uint32{}}
}

// begin starts a feature.
func (w *layerWriter) begin() {
	w.tags, w.shape, w.pen = w.tags[:0], w.shape[:0], [2]int32{}
}

// text tags the feature; empty texts are left out.
func (w *layerWriter) text(key, value string) {
	if value != "" {
		w.tag(key, appendText([]byte{1<<3 | 2}, value))
	}
}

// truth tags the feature where the value is true.
func (w *layerWriter) truth(key string, value bool) {
	if value {
		w.tag(key, []byte{7 << 3, 1})
	}
}

func (w *layerWriter) number(key string, value int64) {
	w.tag(key, binary.AppendUvarint([]byte{5 << 3}, uint64(value)))
}

func (w *layerWriter) tag(key string, value []byte) {
	k, ok := w.keyAt[key]
	if !ok {
		k = uint32(len(w.keys))
		w.keyAt[key], w.keys = k, append(w.keys, key)
	}
	v, ok := w.valueAt[string(value)]
	if !ok {
		v = uint32(len(w.values))
		w.valueAt[string(value)], w.values = v, append(w.values, value)
	}
	w.tags = binary.AppendUvarint(binary.AppendUvarint(w.tags, uint64(k)), uint64(v))
}

// path draws points one after the other; a closed one ends where it began,
// without repeating that point.
func (w *layerWriter) path(line [][2]int32, closed bool) {
	w.command(1, 1)
	w.to(line[0])
	if len(line) > 1 {
		w.command(2, len(line)-1)
		for _, p := range line[1:] {
			w.to(p)
		}
	}
	if closed {
		w.command(7, 1)
	}
}

func (w *layerWriter) command(id, count int) {
	w.shape = binary.AppendUvarint(w.shape, uint64(id)|uint64(count)<<3)
}

func (w *layerWriter) to(p [2]int32) {
	for i := range p {
		w.shape = binary.AppendVarint(w.shape, int64(p[i])-int64(w.pen[i]))
	}
	w.pen = p
}

// end keeps the feature.
func (w *layerWriter) end(shape byte) {
	size := 2 + uvarintLen(len(w.shape)) + 1 + len(w.shape)
	if len(w.tags) > 0 {
		size += 1 + uvarintLen(len(w.tags)) + len(w.tags)
	}
	w.features = binary.AppendUvarint(append(w.features, 2<<3|2), uint64(size))
	if len(w.tags) > 0 {
		w.features = appendBytes(w.features, 2, w.tags)
	}
	w.features = append(w.features, 3<<3, shape)
	w.features = appendBytes(w.features, 4, w.shape)
}

// append adds the layer to a tile. A layer without features is none.
func (w *layerWriter) append(out []byte, name string) []byte {
	if len(w.features) == 0 {
		return out
	}
	layer := appendBytes(nil, 1, []byte(name))
	layer = append(layer, w.features...)
	for _, k := range w.keys {
		layer = appendBytes(layer, 3, []byte(k))
	}
	for _, v := range w.values {
		layer = appendBytes(layer, 4, v)
	}
	layer = binary.AppendUvarint(append(layer, 5<<3), extent)
	layer = append(layer, 15<<3, 2) // version
	return appendBytes(out, 3, layer)
}

func appendBytes(out []byte, field int, b []byte) []byte {
	return append(binary.AppendUvarint(append(out, byte(field<<3|2)), uint64(len(b))), b...)
}

func uvarintLen(n int) int {
	var b [binary.MaxVarintLen64]byte
	return binary.PutUvarint(b[:], uint64(min(n, math.MaxInt)))
}
