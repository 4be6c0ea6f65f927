package desk

import (
	"bytes"
	"encoding/binary"
	"image"
)

// turnOf is how a JPEG says its picture lies, 1 (upright) to 8: the tag
// Orientation (0x0112) of Exif (CIPA DC-008) in the first APP1 segment. What
// cannot be read lies upright.
func turnOf(b []byte) int {
	for i := 2; i+4 <= len(b) && b[i] == 0xff; {
		kind, size := b[i+1], int(binary.BigEndian.Uint16(b[i+2:]))
		if kind == 0xda || size < 2 || i+2+size > len(b) {
			break
		}
		if seg := b[i+4 : i+2+size]; kind == 0xe1 && bytes.HasPrefix(seg, []byte("Exif\x00\x00")) {
			return turnIn(seg[6:])
		}
		i += 2 + size
	}
	return 1
}

// turnIn reads the tag from the TIFF part.
func turnIn(t []byte) int {
	if len(t) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.LittleEndian
	if t[0] == 'M' {
		order = binary.BigEndian
	}
	at := int64(order.Uint32(t[4:]))
	if at < 8 || at+2 > int64(len(t)) {
		return 1
	}
	n := int64(order.Uint16(t[at:]))
	for i := range n {
		entry := at + 2 + 12*i
		if entry+12 > int64(len(t)) {
			break
		}
		if order.Uint16(t[entry:]) == 0x0112 {
			if turn := int(order.Uint16(t[entry+8:])); turn >= 1 && turn <= 8 {
				return turn
			}
		}
	}
	return 1
}

// upright lays a picture as its turn says: the turn's number names where its
// first row and first column belong.
func upright(in image.Image, turn int) image.Image {
	if turn == 1 {
		return in
	}
	from := in.Bounds()
	w, h := from.Dx(), from.Dy()
	size := image.Rect(0, 0, w, h)
	if turn >= 5 {
		size = image.Rect(0, 0, h, w)
	}
	out := image.NewRGBA(size)
	for y := range h {
		for x := range w {
			tx, ty := x, y
			switch turn {
			case 2: // right, top
				tx = w - 1 - x
			case 3: // right, bottom
				tx, ty = w-1-x, h-1-y
			case 4: // left, bottom
				ty = h - 1 - y
			case 5: // top, left
				tx, ty = y, x
			case 6: // top, right
				tx, ty = h-1-y, x
			case 7: // bottom, right
				tx, ty = h-1-y, w-1-x
			case 8: // bottom, left
				tx, ty = y, w-1-x
			}
			out.Set(tx, ty, in.At(from.Min.X+x, from.Min.Y+y))
		}
	}
	return out
}
