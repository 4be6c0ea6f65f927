package osm

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
)

// blockElements is how many elements go into one block, as the format advises.
const blockElements = 8000

// Writer writes an extract: nodes first, then ways, then relations, each by
// ascending id, as readers expect. The same calls write the same bytes.
type Writer struct {
	out     io.Writer
	err     error
	kind    Kind
	last    int64
	strings map[string]int
	table   []byte
	count   int
	// Nodes are kept in lists, other elements encoded.
	ids, lats, lons, tags []byte
	lastID                int64
	lastLat, lastLon      int64
	encoded               []byte
}

// NewWriter begins an extract that names its source and when its data was so
// (unix seconds, 0 for not said).
func NewWriter(out io.Writer, source string, at int64) *Writer {
	w := &Writer{out: out}
	var head []byte
	for _, feature := range []string{"OsmSchema-V0.6", "DenseNodes"} {
		head = putBytes(head, 4, []byte(feature))
	}
	head = putBytes(head, 5, []byte("Sort.Type_then_ID"))
	head = putBytes(head, 16, []byte("ebbline"))
	head = putBytes(head, 17, []byte(source))
	if at != 0 {
		head = putNumber(head, 32, uint64(at))
	}
	w.blob("OSMHeader", head)
	w.begin()
	return w
}

// Node adds a node.
func (w *Writer) Node(n Node) {
	if !w.ready(Nodes, n.ID) {
		return
	}
	lat, lon := int64(n.Lat), int64(n.Lon)
	w.ids = putSigned(w.ids, n.ID-w.lastID)
	w.lats = putSigned(w.lats, lat-w.lastLat)
	w.lons = putSigned(w.lons, lon-w.lastLon)
	w.lastID, w.lastLat, w.lastLon = n.ID, lat, lon
	for _, tag := range n.Tags {
		w.tags = binary.AppendUvarint(w.tags, w.text(tag.Key))
		w.tags = binary.AppendUvarint(w.tags, w.text(tag.Value))
	}
	w.tags = append(w.tags, 0)
}

// Way adds a way.
func (w *Writer) Way(way Way) {
	if !w.ready(Ways, way.ID) {
		return
	}
	body := w.element(way.ID, way.Tags)
	var refs []byte
	at := int64(0)
	for _, ref := range way.Refs {
		refs = putSigned(refs, ref-at)
		at = ref
	}
	w.encoded = putBytes(w.encoded, 3, putBytes(body, 8, refs))
}

// Relation adds a relation.
func (w *Writer) Relation(r Relation) {
	if !w.ready(Relations, r.ID) {
		return
	}
	body := w.element(r.ID, r.Tags)
	var roles, refs, kinds []byte
	at := int64(0)
	for _, m := range r.Members {
		roles = binary.AppendUvarint(roles, w.text(m.Role))
		refs = putSigned(refs, m.Ref-at)
		at = m.Ref
		kinds = append(kinds, map[Kind]byte{Nodes: 0, Ways: 1, Relations: 2}[m.Kind])
	}
	body = putBytes(putBytes(putBytes(body, 8, roles), 9, refs), 10, kinds)
	w.encoded = putBytes(w.encoded, 4, body)
}

// Close writes what is left, and answers the first error of all.
func (w *Writer) Close() error {
	w.flush()
	return w.err
}

// ready begins a new block where one is full or the kind changes, and checks the
// order.
func (w *Writer) ready(kind Kind, id int64) bool {
	if w.err == nil && (kind < w.kind || kind == w.kind && id <= w.last) {
		w.err = fmt.Errorf("element %d of kind %d comes after %d of kind %d: want nodes, ways, relations, by ascending id", id, kind, w.last, w.kind)
	}
	if w.err != nil {
		return false
	}
	if kind != w.kind || w.count == blockElements {
		w.flush()
	}
	w.kind, w.last = kind, id
	w.count++
	return w.err == nil
}

func (w *Writer) begin() {
	w.strings, w.table, w.count = map[string]int{"": 0}, putBytes(nil, 1, nil), 0
	w.ids, w.lats, w.lons, w.tags, w.encoded = nil, nil, nil, nil, nil
	w.lastID, w.lastLat, w.lastLon = 0, 0, 0
}

func (w *Writer) text(s string) uint64 {
	i, ok := w.strings[s]
	if !ok {
		i = len(w.strings)
		w.strings[s] = i
		w.table = putBytes(w.table, 1, []byte(s))
	}
	return uint64(i)
}

// element encodes the part that ways and relations share.
func (w *Writer) element(id int64, tags Tags) []byte {
	var keys, values []byte
	for _, tag := range tags {
		keys = binary.AppendUvarint(keys, w.text(tag.Key))
		values = binary.AppendUvarint(values, w.text(tag.Value))
	}
	body := putNumber(nil, 1, uint64(id))
	return putBytes(putBytes(body, 2, keys), 3, values)
}

func (w *Writer) flush() {
	if w.count > 0 && w.err == nil {
		group := w.encoded
		if w.kind == Nodes {
			dense := putBytes(putBytes(putBytes(nil, 1, w.ids), 8, w.lats), 9, w.lons)
			group = putBytes(nil, 2, putBytes(dense, 10, w.tags))
		}
		w.blob("OSMData", putBytes(putBytes(nil, 1, w.table), 2, group))
	}
	w.begin()
}

// blob writes one block with its header.
func (w *Writer) blob(kind string, raw []byte) {
	var deflated bytes.Buffer
	z := zlib.NewWriter(&deflated)
	if _, err := z.Write(raw); err != nil {
		w.err = err
		return
	}
	if err := z.Close(); err != nil {
		w.err = err
		return
	}
	body := putBytes(putNumber(nil, 2, uint64(len(raw))), 3, deflated.Bytes())
	header := putNumber(putBytes(nil, 1, []byte(kind)), 3, uint64(len(body)))
	out := binary.BigEndian.AppendUint32(nil, uint32(len(header)))
	if _, err := w.out.Write(append(append(out, header...), body...)); err != nil {
		w.err = err
	}
}

func putNumber(to []byte, field int, v uint64) []byte {
	return binary.AppendUvarint(binary.AppendUvarint(to, uint64(field<<3|varint)), v)
}

func putBytes(to []byte, field int, v []byte) []byte {
	to = binary.AppendUvarint(to, uint64(field<<3|packed))
	return append(binary.AppendUvarint(to, uint64(len(v))), v...)
}

func putSigned(to []byte, v int64) []byte {
	return binary.AppendUvarint(to, uint64(v)<<1^uint64(v>>63))
}
