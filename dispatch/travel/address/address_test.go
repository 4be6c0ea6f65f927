package address

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ebbline/dispatch/travel/osm"
	"ebbline/dispatch/travel/town"

	"pgregory.net/rapid"
)

func at(lat, lon float64) Point { return Point{int32(lat * 1e7), int32(lon * 1e7)} }

// small is an index of a few streets, made by hand.
func small(t *testing.T) *Index {
	t.Helper()
	b := NewBuilder()
	b.Street("Saltbush Drive", []Point{at(33.20, -113.80), at(33.20, -113.79), at(33.20, -113.78)})
	b.Street("Saltbush Lane", []Point{at(33.30, -113.80), at(33.30, -113.79)})
	b.Street("Oleander Avenue", []Point{at(33.21, -113.80), at(33.21, -113.79)})
	b.Street("3rd Avenue", []Point{at(33.22, -113.80), at(33.22, -113.79)})
	b.Street("North Piñon Street", []Point{at(33.23, -113.80), at(33.23, -113.79)})
	b.Street("Main Street", []Point{at(33.24, -113.80), at(33.24, -113.79)})
	b.Street("Main Street", []Point{at(33.90, -113.80), at(33.90, -113.79)}) // another town's
	b.Street("B Street", []Point{at(33.25, -113.80)})
	for _, h := range []House{
		{"953", "Saltbush Drive", "Cinder Wells", "00861", at(33.2001, -113.795)}, {"961", "Saltbush Drive", "Cinder Wells", "00861", at(33.2001, -113.793)},
		{"12", "Oleander Avenue", "Cinder Wells", "00861", at(33.2101, -113.799)}, {"12A", "Oleander Avenue", "Cinder Wells", "00861", at(33.2102, -113.799)},
		{"14-16", "Oleander Avenue", "Cinder Wells", "00861", at(33.2103, -113.799)}, {"8", "Oleander Avenue", "Cinder Wells", "00861", at(33.2101, -113.7995)},
		{"40", "3rd Avenue", "Cinder Wells", "00862", at(33.2201, -113.799)}, {"7", "Main Street", "Cinder Wells", "00862", at(33.2401, -113.799)},
		{"7", "Main Street", "Far Well", "00999", at(33.9001, -113.799)}, {"5", "N Piñon St", "Cinder Wells", "00862", at(33.2301, -113.799)},
		{"12", "B Street", "Cinder Wells", "00862", at(33.25, -113.8001)}, {"3", "Hermit Track", "", "", at(33.5, -113.5)},
	} {
		b.House(h)
	}
	b.Place("Cinder Wells", "town", at(33.22, -113.79))
	b.Place("Lantern Bluff", "suburb", at(33.19, -113.77))
	x, err := Open(b.Encode())
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func TestFind(t *testing.T) {
	x := small(t)
	for _, c := range []struct {
		text, label string
		precision   Precision
	}{
		{"953 Saltbush Drive", "953 Saltbush Drive, Cinder Wells, 00861", Exact},
		{"953 saltbush dr", "953 Saltbush Drive, Cinder Wells, 00861", Exact},
		{"953 Saltbush Dr, Cinder Wells AZ 00861", "953 Saltbush Drive, Cinder Wells, 00861", Exact},
		{"953 saltbush dr cinder wells", "953 Saltbush Drive, Cinder Wells, 00861", Exact},
		{"953 Satlbush", "953 Saltbush Drive, Cinder Wells, 00861", Exact},    // two letters swapped
		{"953 Saltbsh Drv", "953 Saltbush Drive, Cinder Wells, 00861", Exact}, // one left out
		{"953 salt", "953 Saltbush Drive, Cinder Wells, 00861", Exact},
		{"957 Saltbush Drive", "957 Saltbush Drive, Cinder Wells, 00861", Between},
		{"2000 Saltbush Drive", "Saltbush Drive, Cinder Wells, 00861", Street},
		{"Saltbush Ln", "Saltbush Lane, Cinder Wells", Street},
		{"12 Oleander", "12 Oleander Avenue, Cinder Wells, 00861", Exact},
		{"Oleander 12", "12 Oleander Avenue, Cinder Wells, 00861", Exact},
		{"12, oleander", "12 Oleander Avenue, Cinder Wells, 00861", Exact},
		{"12a Oleander Ave.", "12A Oleander Avenue, Cinder Wells, 00861", Exact},
		{"12 A Oleander", "12A Oleander Avenue, Cinder Wells, 00861", Exact},
		{"12 Oleander Ave apt 4", "12 Oleander Avenue, Cinder Wells, 00861", Exact},
		{"14 Oleander Ave", "14-16 Oleander Avenue, Cinder Wells, 00861", Between},
		{"10 Oleandr Ave", "10 Oleander Avenue, Cinder Wells, 00861", Between},
		{"40 third ave", "40 3rd Avenue, Cinder Wells, 00862", Exact},
		{"40 3rd", "40 3rd Avenue, Cinder Wells, 00862", Exact},
		{"5 n pinon st", "5 North Piñon Street, Cinder Wells, 00862", Exact},
		{"5 PIÑÓN", "5 North Piñon Street, Cinder Wells, 00862", Exact},
		{"12 B Street", "12 B Street, Cinder Wells, 00862", Exact},
		{"7 Main St, Far Well", "7 Main Street, Far Well, 00999", Exact},
		{"7 Main St 00862", "7 Main Street, Cinder Wells, 00862", Exact},
		{"3 hermit", "3 Hermit Track", Exact},
		{"lantern bluff", "Lantern Bluff", Place},
		{"lanten", "Lantern Bluff", Place},
		{"00862", "00862", Postcode},
		{"33.2235, -113.778", "33.2235, -113.778", Pin},
	} {
		hits := x.Find(Query{Text: c.text})
		if len(hits) == 0 {
			t.Errorf("%q finds nothing", c.text)
			continue
		}
		if h := hits[0]; h.Label() != c.label || h.Precision != c.precision {
			t.Errorf("%q finds %q (%s), want %q (%s)", c.text, h.Label(), h.Precision, c.label, c.precision)
		}
	}
	for _, text := range []string{"", "   ", "12", "zzz", "953 Cholla Drive", ",,,", "12 qu st xx"} {
		if hits := x.Find(Query{Text: text}); text != "12" && len(hits) > 0 {
			t.Errorf("%q finds %v", text, hits)
		}
	}
}

func TestFindSaysWhere(t *testing.T) {
	x := small(t)
	near := at(33.9, -113.8)
	hits := x.Find(Query{Text: "7 main street", Near: &near})
	if len(hits) != 2 || hits[0].City != "Far Well" {
		t.Errorf("near Far Well: %v", hits)
	}
	between := x.Find(Query{Text: "957 Saltbush Drive"})[0].At
	if want := at(33.2001, -113.794); metres(between, want) > 1 {
		t.Errorf("957 lies at %v, want %v: halfway between 953 and 961", between, want)
	}
	if got := len(x.Find(Query{Text: "a", Limit: 2})); got > 2 {
		t.Errorf("%d hits, asked for 2", got)
	}
}

// plainDistance is the recursion of optimal string alignment as its definition
// has it.
func plainDistance(a, b string) int {
	switch {
	case a == "":
		return len(b)
	case b == "":
		return len(a)
	}
	change := plainDistance(a[1:], b[1:])
	if a[0] != b[0] {
		change++
	}
	best := min(change, plainDistance(a[1:], b)+1, plainDistance(a, b[1:])+1)
	if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
		best = min(best, plainDistance(a[2:], b[2:])+1)
	}
	return best
}

func TestDistanceIsTheDefinitions(t *testing.T) {
	word := rapid.StringMatching(`[abc]{0,7}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		most := rapid.IntRange(0, 8).Draw(t, "most")
		full, start := distance(a, b, most)
		wantStart := 99
		for i := range len(b) + 1 {
			wantStart = min(wantStart, plainDistance(a, b[:i]))
		}
		if want := min(plainDistance(a, b), most+1); full != want || start != min(wantStart, most+1) {
			t.Fatalf("%q %q: %d and %d, want %d and %d (at most %d)", a, b, full, start, want, wantStart, most)
		}
	})
	// The worked example of Wagner and Fischer's method in most textbooks (from memory).
	if full, _ := distance("kitten", "sitting", 5); full != 3 {
		t.Errorf("kitten to sitting: %d, want 3", full)
	}
}

// ofTown indexes an invented town as it is read back from its extract.
func ofTown(t testing.TB) (*town.Town, *Index) {
	t.Helper()
	made, err := town.Make(town.Spec{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	var pbf bytes.Buffer
	if err := made.WritePBF(&pbf); err != nil {
		t.Fatal(err)
	}
	r, err := osm.Open(t.Context(), bytes.NewReader(pbf.Bytes()), int64(pbf.Len()))
	if err != nil {
		t.Fatal(err)
	}
	b, places := NewBuilder(), map[int64]Point{}
	// Nodes come first in the file.
	err = r.Each(t.Context(), osm.Handler{Node: func(n *osm.Node) error {
		p := Point{n.Lat, n.Lon}
		places[n.ID] = p
		if Wants(osm.Nodes, n.Tags) {
			b.Add(n.Tags, []Point{p})
		}
		return nil
	}, Way: func(w *osm.Way) error {
		if Wants(osm.Ways, w.Tags) {
			var line []Point
			for _, ref := range w.Refs {
				line = append(line, places[ref])
			}
			b.Add(w.Tags, line)
		}
		return nil
	}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	data := b.Encode()
	x, err := Open(data)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d bytes", len(data))
	return made, x
}

// Every house of an invented town is found by its address, also with a letter
// wrong in its street's name.
func TestEveryHouseOfATownIsFound(t *testing.T) {
	made, x := ofTown(t)
	rng := rand.New(rand.NewPCG(1, 1))
	if _, houses, _ := x.Counts(); houses != len(made.Houses) {
		t.Fatalf("%d houses in the index, %d in the town", houses, len(made.Houses))
	}
	for i := 0; i < len(made.Houses); i += 7 {
		h := made.Houses[i]
		text := strconv.Itoa(h.Number) + " " + h.Street
		hits := x.Find(Query{Text: text})
		if len(hits) == 0 || hits[0].Precision != Exact || int64(hits[0].At.LatE7) != h.LatE7 || int64(hits[0].At.LonE7) != h.LonE7 || hits[0].Postcode != h.Postcode {
			t.Fatalf("%q finds %v, want %v", text, hits, h)
		}
		wrong := []byte(text)
		k := strings.Index(text, " ") + 1 + rng.IntN(4)
		if h.Street[0] >= '0' && h.Street[0] <= '9' || strings.IndexByte(h.Street, ' ') < 4 {
			continue
		}
		wrong[k] = "abcdefghijklmnopqrstuvwxyz"[rng.IntN(26)]
		if hits := x.Find(Query{Text: string(wrong)}); !slices.ContainsFunc(hits, func(o Hit) bool { return int64(o.At.LatE7) == h.LatE7 && int64(o.At.LonE7) == h.LonE7 }) {
			t.Errorf("%q does not find %q: %v", wrong, text, hits)
		}
	}
}

func BenchmarkFind(b *testing.B) {
	_, x := ofTown(b)
	for b.Loop() {
		x.Find(Query{Text: "953 Slatbush dr"})
	}
}

func TestOpenRefusesWhatIsNoIndex(t *testing.T) {
	b := NewBuilder()
	b.House(House{Number: "1", Street: "A Street", At: at(1, 1)})
	data := b.Encode()
	for n := range len(data) {
		if _, err := Open(data[:n]); !errors.Is(err, ErrDamaged) {
			t.Errorf("cut at %d: %v", n, err)
		}
	}
	if _, err := Open(append(slices.Clone(data), 0)); !errors.Is(err, ErrDamaged) {
		t.Errorf("a byte too many: %v", err)
	}
	if _, err := Open(data); err != nil {
		t.Error(err)
	}
}

func FuzzOpen(f *testing.F) {
	b := NewBuilder()
	b.House(House{Number: "1", Street: "A Street", City: "Far Well", Postcode: "00861", At: at(1, 1)})
	b.Place("Far Well", "town", at(1, 1))
	f.Add(b.Encode(), "1 a street")
	f.Fuzz(func(_ *testing.T, data []byte, text string) {
		x, err := Open(data)
		if err != nil {
			return
		}
		for _, h := range x.Find(Query{Text: text}) {
			_ = h.Label()
		}
	})
}
