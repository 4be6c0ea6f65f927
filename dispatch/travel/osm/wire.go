package osm

import "errors"

var errWire = errors.New("broken encoding")

// wire walks over a message in protocol buffers' encoding. After an error
// nothing more comes, and failed is set.
type wire struct {
	data   []byte
	failed bool
}

// Wire types.
const (
	varint = 0
	fixed8 = 1
	packed = 2
	fixed4 = 5
)

// next reads a field's number and its value: a number for a varint, a slice for
// a message, string or packed list. Other wire types are skipped over.
func (w *wire) next() (field int, number uint64, bytes []byte, ok bool) {
	for len(w.data) > 0 {
		key := w.number()
		if w.failed {
			return 0, 0, nil, false
		}
		field = int(key >> 3)
		switch key & 7 {
		case varint:
			number = w.number()
			return field, number, nil, !w.failed
		case packed:
			n := w.number()
			if w.failed || n > uint64(len(w.data)) {
				w.fail()
				return 0, 0, nil, false
			}
			bytes, w.data = w.data[:n:n], w.data[n:]
			return field, 0, bytes, true
		case fixed8, fixed4:
			n := 8
			if key&7 == fixed4 {
				n = 4
			}
			if n > len(w.data) {
				w.fail()
				return 0, 0, nil, false
			}
			w.data = w.data[n:]
		default:
			w.fail()
			return 0, 0, nil, false
		}
	}
	return 0, 0, nil, false
}

// number reads one varint.
func (w *wire) number() uint64 {
	if len(w.data) > 0 && w.data[0] < 0x80 { // nearly always
		v := uint64(w.data[0])
		w.data = w.data[1:]
		return v
	}
	var v uint64
	for i := 0; i < len(w.data) && i < 10; i++ {
		b := w.data[i]
		v |= uint64(b&0x7f) << (7 * i)
		if b < 0x80 {
			w.data = w.data[i+1:]
			return v
		}
	}
	w.fail()
	return 0
}

// signed reads one varint in zigzag form.
func (w *wire) signed() int64 { return zigzag(w.number()) }

func zigzag(v uint64) int64 { return int64(v>>1) ^ -int64(v&1) }

func (w *wire) fail() { w.failed, w.data = true, nil }

func (w *wire) err() error {
	if w.failed {
		return errWire
	}
	return nil
}
