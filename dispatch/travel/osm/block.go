package osm

import (
	"errors"
	"fmt"
)

// errBlock marks what is wrong in a block whose encoding is right.
var errBlock = errors.New("wrong content")

// block decodes blocks of elements; its memory is used again from block to block.
type block struct {
	strings     []string
	granularity int64    // nanodegrees of a step
	lat0, lon0  int64    // nanodegrees
	groups      [][]byte // as yet undecoded

	node     Node
	way      Way
	relation Relation
}

// each decodes a block and hands its elements on; it answers which kinds there
// were, also those that the handler has no function for.
func (b *block) each(raw []byte, h Handler) (kinds Kind, err error) {
	b.granularity, b.lat0, b.lon0 = 100, 0, 0
	b.strings, b.groups = b.strings[:0], b.groups[:0]
	w := wire{data: raw}
	for {
		field, number, bytes, ok := w.next()
		if !ok {
			break
		}
		switch field {
		case 1:
			if err := b.readStrings(bytes); err != nil {
				return 0, err
			}
		case 2:
			b.groups = append(b.groups, bytes)
		case 17:
			b.granularity = int64(number)
		case 19:
			b.lat0 = int64(number)
		case 20:
			b.lon0 = int64(number)
		}
	}
	if w.failed {
		return 0, errWire
	}
	for _, group := range b.groups {
		w := wire{data: group}
		for {
			field, _, bytes, ok := w.next()
			if !ok {
				break
			}
			var err error
			switch field {
			case 1:
				kinds |= Nodes
				if h.Node != nil {
					err = b.plainNode(bytes, h.Node)
				}
			case 2:
				kinds |= Nodes
				if h.Node != nil {
					err = b.denseNodes(bytes, h.Node)
				}
			case 3:
				kinds |= Ways
				if h.Way != nil {
					err = b.readWay(bytes, h.Way)
				}
			case 4:
				kinds |= Relations
				if h.Relation != nil {
					err = b.readRelation(bytes, h.Relation)
				}
			}
			if err != nil {
				return 0, err
			}
		}
		if w.failed {
			return 0, errWire
		}
	}
	return kinds, nil
}

// readStrings shares one copy of the table between all its strings.
func (b *block) readStrings(table []byte) error {
	text, from := string(table), len(table)
	w := wire{data: table}
	for {
		field, _, bytes, ok := w.next()
		if !ok {
			return w.err()
		}
		if field == 1 {
			end := from - len(w.data)
			b.strings = append(b.strings, text[end-len(bytes):end])
		}
	}
}

func (b *block) text(i uint64) (string, error) {
	if i >= uint64(len(b.strings)) {
		return "", fmt.Errorf("%w: string %d of %d", errBlock, i, len(b.strings))
	}
	return b.strings[i], nil
}

// place turns steps into degrees times ten million.
func (b *block) place(n *Node, lat, lon int64) error {
	// A step number this large is out of the world at any granularity.
	const far = 1 << 40
	if lat > far || lat < -far || lon > far || lon < -far || b.granularity < 1 || b.granularity > 1<<20 {
		return fmt.Errorf("%w: node %d lies outside of the world", errBlock, n.ID)
	}
	lat, lon = (b.lat0+b.granularity*lat)/100, (b.lon0+b.granularity*lon)/100
	if lat < -90e7 || lat > 90e7 || lon < -180e7 || lon > 180e7 {
		return fmt.Errorf("%w: node %d lies at %d, %d, want degrees times ten million", errBlock, n.ID, lat, lon)
	}
	n.Lat, n.Lon = int32(lat), int32(lon)
	return nil
}

func (b *block) denseNodes(data []byte, call func(*Node) error) error {
	var ids, lats, lons, tags wire
	w := wire{data: data}
	for {
		field, _, bytes, ok := w.next()
		if !ok {
			break
		}
		switch field {
		case 1:
			ids.data = bytes
		case 8:
			lats.data = bytes
		case 9:
			lons.data = bytes
		case 10:
			tags.data = bytes
		}
	}
	if w.failed {
		return errWire
	}
	var id, lat, lon int64
	n := &b.node
	tagged := len(tags.data) > 0
	for len(ids.data) > 0 {
		if len(lats.data) == 0 || len(lons.data) == 0 {
			return fmt.Errorf("%w: nodes without coordinates", errBlock)
		}
		id, lat, lon = id+ids.signed(), lat+lats.signed(), lon+lons.signed()
		if ids.failed || lats.failed || lons.failed {
			return errWire
		}
		n.ID, n.Tags = id, n.Tags[:0]
		if err := b.place(n, lat, lon); err != nil {
			return err
		}
		for tagged {
			key := tags.number()
			if key == 0 {
				break // also where the list ends too soon, which is then told below
			}
			if err := b.addTag(&n.Tags, key, tags.number()); err != nil {
				return err
			}
		}
		if tags.failed {
			return errWire
		}
		if err := call(n); err != nil {
			return err
		}
	}
	return nil
}

func (b *block) addTag(tags *Tags, key, value uint64) error {
	k, err := b.text(key)
	if err != nil {
		return err
	}
	v, err := b.text(value)
	if err != nil {
		return err
	}
	*tags = append(*tags, Tag{k, v})
	return nil
}

// zip joins packed lists of keys and values.
func (b *block) zip(tags *Tags, keys, values []byte) error {
	*tags = (*tags)[:0]
	k, v := wire{data: keys}, wire{data: values}
	for len(k.data) > 0 {
		if err := b.addTag(tags, k.number(), v.number()); err != nil {
			return err
		}
	}
	if k.failed || v.failed {
		return errWire
	}
	return nil
}

func (b *block) plainNode(data []byte, call func(*Node) error) error {
	n := &b.node
	n.ID = 0
	var lat, lon int64
	var keys, values []byte
	w := wire{data: data}
	for {
		field, number, bytes, ok := w.next()
		if !ok {
			break
		}
		switch field {
		case 1:
			n.ID = zigzag(number)
		case 2:
			keys = bytes
		case 3:
			values = bytes
		case 8:
			lat = zigzag(number)
		case 9:
			lon = zigzag(number)
		}
	}
	if w.failed {
		return errWire
	}
	if err := b.place(n, lat, lon); err != nil {
		return err
	}
	if err := b.zip(&n.Tags, keys, values); err != nil {
		return err
	}
	return call(n)
}

func (b *block) readWay(data []byte, call func(*Way) error) error {
	way := &b.way
	way.ID, way.Refs = 0, way.Refs[:0]
	var keys, values []byte
	var refs wire
	w := wire{data: data}
	for {
		field, number, bytes, ok := w.next()
		if !ok {
			break
		}
		switch field {
		case 1:
			way.ID = int64(number)
		case 2:
			keys = bytes
		case 3:
			values = bytes
		case 8:
			refs.data = bytes
		}
	}
	for at := int64(0); len(refs.data) > 0; {
		at += refs.signed()
		way.Refs = append(way.Refs, at)
	}
	if w.failed || refs.failed {
		return errWire
	}
	if err := b.zip(&way.Tags, keys, values); err != nil {
		return err
	}
	return call(way)
}

func (b *block) readRelation(data []byte, call func(*Relation) error) error {
	r := &b.relation
	r.ID, r.Members = 0, r.Members[:0]
	var keys, values []byte
	var roles, refs, kinds wire
	w := wire{data: data}
	for {
		field, number, bytes, ok := w.next()
		if !ok {
			break
		}
		switch field {
		case 1:
			r.ID = int64(number)
		case 2:
			keys = bytes
		case 3:
			values = bytes
		case 8:
			roles.data = bytes
		case 9:
			refs.data = bytes
		case 10:
			kinds.data = bytes
		}
	}
	for at := int64(0); len(refs.data) > 0; {
		at += refs.signed()
		role, err := b.text(roles.number())
		if err != nil {
			return err
		}
		kind := kinds.number()
		if kind > 2 {
			return fmt.Errorf("%w: relation %d has a member of kind %d, want 0 to 2", errBlock, r.ID, kind)
		}
		r.Members = append(r.Members, Member{Kind: Nodes << kind, Ref: at, Role: role})
	}
	if w.failed || refs.failed || roles.failed || kinds.failed {
		return errWire
	}
	if err := b.zip(&r.Tags, keys, values); err != nil {
		return err
	}
	return call(r)
}
