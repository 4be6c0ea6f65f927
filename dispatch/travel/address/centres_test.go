package address

import (
	"encoding/binary"
	"errors"
	"testing"
)

func row(code uint32, p Point) []byte {
	out := binary.LittleEndian.AppendUint32(nil, code)
	return binary.LittleEndian.AppendUint32(binary.LittleEndian.AppendUint32(out, uint32(p.LatE7)), uint32(p.LonE7))
}

func TestCentres(t *testing.T) {
	a, b := Point{180_000_000, -660_000_000}, Point{334_500_000, -1_120_700_000}
	data := append(row(601, a), row(85004, b)...)
	c, err := OpenCentres(data)
	if err != nil {
		t.Fatal(err)
	}
	for code, want := range map[string]Point{"00601": a, "85004": b, "85004-1234": b} {
		if got, ok := c.Find(code); !ok || got != want {
			t.Errorf("%s: %v %t, want %v", code, got, ok, want)
		}
	}
	for _, code := range []string{"", "601", "85003", "99999", "8500A", "085004", "-0601", "K1A 0B1"} {
		if got, ok := c.Find(code); ok {
			t.Errorf("%q finds %v", code, got)
		}
	}
	if _, ok := (*Centres)(nil).Find("85004"); ok {
		t.Error("no list finds something")
	}
	for _, bad := range [][]byte{data[:20], append(row(85004, b), row(601, a)...), append(row(601, a), row(601, a)...)} {
		if _, err := OpenCentres(bad); !errors.Is(err, ErrDamaged) {
			t.Errorf("%d bytes: %v", len(bad), err)
		}
	}
}
