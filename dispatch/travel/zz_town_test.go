package travel_test

import (
	"bytes"
	"context"
	"testing"
	"time"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/town"
)

func TestZZTown(t *testing.T) {
	tw, err := town.Make(town.Spec{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	_ = tw.WritePBF(&b)
	begun := time.Now()
	fb, st, err := travel.Build(context.Background(), bytes.NewReader(b.Bytes()), int64(b.Len()), travel.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v %s", st, time.Since(begun))
	var out bytes.Buffer
	n, err := fb.WriteTo(&out)
	if err != nil {
		t.Fatal(err)
	}
	begun = time.Now()
	r, err := travel.Load(out.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d bytes load %s", n, time.Since(begun))
	var pts []travel.Point
	off := 0
	for i := 0; i < len(tw.Houses); i += 40 {
		h := tw.Houses[i]
		p, m, ok := r.Snap(int32(h.LatE7), int32(h.LonE7))
		if !ok || m > 40 {
			off++
			t.Logf("%v %d %v", h, m, ok)
		}
		pts = append(pts, p)
	}
	begun = time.Now()
	m, err := r.Matrix(context.Background(), pts)
	if err != nil {
		t.Fatal(err)
	}
	bad := 0
	for _, s := range m.Seconds {
		if s < 0 {
			bad++
		}
	}
	t.Logf("%d points %s off %d none %d", len(pts), time.Since(begun), off, bad)
}
