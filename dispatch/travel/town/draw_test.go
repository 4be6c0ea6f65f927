package town

import (
	"bytes"
	"fmt"
	"os"
	"testing"
	"time"
)

// TestDraw draws a town for people to look at.
func TestDraw(t *testing.T) {
	out := os.Getenv("TOWN_SVG")
	if out == "" {
		t.Skip("TOWN_SVG names a file to draw into")
	}
	begun := time.Now()
	b, err := Make(Spec{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	var pbf bytes.Buffer
	if err := b.WritePBF(&pbf); err != nil {
		t.Fatal(err)
	}
	t.Logf("%d nodes %d ways %d relations %d houses %d bytes %s", len(b.nodes), len(b.ways), len(b.relations), len(b.Houses), pbf.Len(), time.Since(begun))
	var s bytes.Buffer
	at := map[int64]node{}
	for _, n := range b.nodes {
		at[n.id] = n
	}
	x := func(n node) (float64, float64) {
		return float64(n.lonE7-midLonE7)/lonE7PerKm*100 + 1000, 800 - float64(n.latE7-midLatE7)/latE7PerKm*100
	}
	fmt.Fprintf(&s, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2000 1600" width="2000" height="1600"><rect width="2000" height="1600" fill="#f4efe4"/>`)
	for i := len(b.ways) - 1; i >= 0; i-- {
		w := b.ways[i]
		color, width, fill := "#cde", 1.0, "#9cd"
		for _, g := range w.tags {
			if g.key == "highway" {
				fill = "none"
				switch g.value {
				case "motorway":
					color, width = "#d33", 3
				case "motorway_link":
					color, width = "#e88", 1.5
				case "primary", "secondary", "trunk":
					color, width = "#b70", 3
				case "tertiary":
					color, width = "#555", 1.8
				case "service":
					color = "#a0a"
				case "footway", "track":
					color = "#0a0"
				default:
					color = "#888"
				}
			}
			if g.key == "bridge" {
				color, width = "#00f", 5
			}
			if g.key == "oneway" {
				if color == "#888" {
					color = "#06c"
				}
			}
		}
		fmt.Fprintf(&s, `<polyline fill="%s" stroke="%s" stroke-width="%.1f" points="`, fill, color, width)
		for _, r := range w.refs {
			px, py := x(at[r])
			fmt.Fprintf(&s, "%.1f,%.1f ", px, py)
		}
		fmt.Fprint(&s, `"/>`)
	}
	for _, n := range b.nodes {
		if len(n.tags) > 2 {
			px, py := x(n)
			fmt.Fprintf(&s, `<circle cx="%.1f" cy="%.1f" r="0.6" fill="#a55"/>`, px, py)
		}
	}
	fmt.Fprint(&s, `</svg>`)
	if err := os.WriteFile(out, s.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
}
