package osm_test

import (
	"bytes"
	"compress/zlib"
	"context"
	"encoding/binary"
	"errors"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"ebbline/dispatch/travel/osm"
)

// everything is what an extract holds.
type everything struct {
	Nodes     []osm.Node
	Ways      []osm.Way
	Relations []osm.Relation
}

func readAll(data []byte) (all everything, err error) {
	r, err := osm.Open(context.Background(), bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return all, err
	}
	return all, r.Each(context.Background(), osm.Handler{
		Node: func(n *osm.Node) error {
			c := *n
			c.Tags = slices.Clone(n.Tags)
			all.Nodes = append(all.Nodes, c)
			return nil
		},
		Way: func(w *osm.Way) error {
			all.Ways = append(all.Ways, osm.Way{ID: w.ID, Refs: slices.Clone(w.Refs), Tags: slices.Clone(w.Tags)})
			return nil
		},
		Relation: func(r *osm.Relation) error {
			all.Relations = append(all.Relations, osm.Relation{ID: r.ID, Members: slices.Clone(r.Members), Tags: slices.Clone(r.Tags)})
			return nil
		},
	}, nil)
}

func write(t rapid.TB, all everything) []byte {
	var out bytes.Buffer
	w := osm.NewWriter(&out, "a test", 1_700_000_000)
	for _, n := range all.Nodes {
		w.Node(n)
	}
	for _, way := range all.Ways {
		w.Way(way)
	}
	for _, r := range all.Relations {
		w.Relation(r)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func drawTags(t *rapid.T) osm.Tags {
	text := rapid.StringN(1, 8, 30)
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) osm.Tag {
		return osm.Tag{Key: text.Draw(t, "key"), Value: text.Draw(t, "value")}
	}), 0, 3).Draw(t, "tags")
}

// ascending are ids that rise.
func ascending(t *rapid.T, most int) []int64 {
	ids := rapid.SliceOfNDistinct(rapid.Int64Range(-1<<40, 1<<40), 0, most, rapid.ID[int64]).Draw(t, "ids")
	slices.Sort(ids)
	return ids
}

// What is written is read again.
func TestWrittenIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var all everything
		for _, id := range ascending(t, 20) {
			all.Nodes = append(all.Nodes, osm.Node{ID: id, Tags: drawTags(t),
				Lat: rapid.Int32Range(-900_000_000, 900_000_000).Draw(t, "lat"), Lon: rapid.Int32Range(-1_800_000_000, 1_800_000_000).Draw(t, "lon")})
		}
		for _, id := range ascending(t, 5) {
			all.Ways = append(all.Ways, osm.Way{ID: id, Refs: rapid.SliceOfN(rapid.Int64(), 0, 9).Draw(t, "refs"), Tags: drawTags(t)})
		}
		for _, id := range ascending(t, 5) {
			r := osm.Relation{ID: id, Tags: drawTags(t)}
			for range rapid.IntRange(0, 4).Draw(t, "members") {
				r.Members = append(r.Members, osm.Member{Kind: osm.Nodes << rapid.IntRange(0, 2).Draw(t, "kind"),
					Ref: rapid.Int64().Draw(t, "ref"), Role: rapid.SampledFrom([]string{"", "from", "via"}).Draw(t, "role")})
			}
			all.Relations = append(all.Relations, r)
		}
		got, err := readAll(write(t, all))
		if err != nil {
			t.Fatal(err)
		}
		if !same(got, all) {
			t.Fatalf("got %+v, want %+v", got, all)
		}
	})
}

// same is equality in which no list equals an empty one.
func same(a, b everything) bool {
	tidy := func(e everything) everything {
		for i := range e.Nodes {
			e.Nodes[i].Tags = append(osm.Tags{}, e.Nodes[i].Tags...)
		}
		for i := range e.Ways {
			e.Ways[i].Tags, e.Ways[i].Refs = append(osm.Tags{}, e.Ways[i].Tags...), append([]int64{}, e.Ways[i].Refs...)
		}
		for i := range e.Relations {
			e.Relations[i].Tags, e.Relations[i].Members = append(osm.Tags{}, e.Relations[i].Tags...), append([]osm.Member{}, e.Relations[i].Members...)
		}
		return e
	}
	return reflect.DeepEqual(tidy(a), tidy(b))
}

func sample(t rapid.TB) []byte {
	return write(t, everything{
		Nodes:     []osm.Node{{ID: 1, Lat: 327000000, Lon: -1155000000}, {ID: 2, Lat: 327000100, Lon: -1155000000, Tags: osm.Tags{{Key: "barrier", Value: "gate"}}}},
		Ways:      []osm.Way{{ID: 5, Refs: []int64{1, 2}, Tags: osm.Tags{{Key: "highway", Value: "residential"}}}},
		Relations: []osm.Relation{{ID: 6, Members: []osm.Member{{Kind: osm.Ways, Ref: 5, Role: "from"}}, Tags: osm.Tags{{Key: "type", Value: "restriction"}}}},
	})
}

func TestHeader(t *testing.T) {
	data := sample(t)
	r, err := osm.Open(t.Context(), bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	if want := (osm.Header{Program: "ebbline", Source: "a test", Replicated: 1_700_000_000}); r.Header != want {
		t.Errorf("header %+v, want %+v", r.Header, want)
	}
}

// A file that is empty, of another kind, or cut anywhere is refused by name.
func TestRefused(t *testing.T) {
	whole := sample(t)
	for _, c := range []struct {
		name string
		data []byte
		want error
	}{
		{"empty", nil, osm.ErrEmpty},
		{"text", []byte("<osm version=\"0.6\"></osm>"), osm.ErrForeign},
		{"a picture", []byte("\x89PNG\r\n\x1a\n and more"), osm.ErrForeign},
		{"zeros", make([]byte, 100), osm.ErrForeign},
		{"a few bytes", whole[:3], osm.ErrForeign},
		{"no head", whole[len(whole)/2:], osm.ErrForeign},
	} {
		if _, err := readAll(c.data); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	want, _ := readAll(whole)
	ends := 0
	for n := range len(whole) {
		got, err := readAll(whole[:n])
		switch {
		case err == nil:
			ends++ // exactly between two blocks nothing shows that more should follow
			if same(got, want) {
				t.Errorf("cut to %d of %d bytes and read whole", n, len(whole))
			}
		case !errors.Is(err, osm.ErrCut) && !errors.Is(err, osm.ErrForeign) && !errors.Is(err, osm.ErrEmpty):
			t.Errorf("cut to %d bytes: %v", n, err)
		}
	}
	if ends > 3 {
		t.Errorf("cut at %d places unnoticed, want only between blocks", ends)
	}
}

// Each changed byte is noticed, or changes nothing, or is in a block's header
// that readers may pass over; none panics.
func TestDamaged(t *testing.T) {
	whole := sample(t)
	noticed := 0
	for i := range whole {
		for _, flip := range []byte{1, 0x80, 0xff} {
			data := slices.Clone(whole)
			data[i] ^= flip
			if _, err := readAll(data); err != nil {
				noticed++
			}
		}
	}
	if noticed < 2*len(whole) { // checksums of the packing see to most
		t.Errorf("%d of %d changes noticed", noticed, 3*len(whole))
	}
}

// block packs a primitive block by hand.
func block(body []byte, pack bool) []byte {
	field := func(to []byte, n int, v []byte) []byte {
		return append(binary.AppendUvarint(binary.AppendUvarint(to, uint64(n<<3|2)), uint64(len(v))), v...)
	}
	blob := field(nil, 1, body)
	if pack {
		var z bytes.Buffer
		w := zlib.NewWriter(&z)
		w.Write(body)
		w.Close()
		blob = field(binary.AppendUvarint([]byte{2 << 3}, uint64(len(body))), 3, z.Bytes())
	}
	head := binary.AppendUvarint(append(field(nil, 1, []byte("OSMData")), 3<<3), uint64(len(blob)))
	return append(append(binary.BigEndian.AppendUint32(nil, uint32(len(head))), head...), blob...)
}

// Nodes that are not packed densely, granularity and offsets, as the format's
// description has them: degrees = (offset + granularity * value) / 10^9.
func TestPlainNodes(t *testing.T) {
	head, err := func() ([]byte, error) {
		var out bytes.Buffer
		return out.Bytes(), osm.NewWriter(&out, "", 0).Close()
	}()
	_ = head
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	osm.NewWriter(&out, "", 0)
	node := []byte{1 << 3, 14, 8 << 3, 20, 9 << 3, 39} // id 7, lat 10, lon -20
	group := append([]byte{1<<3 | 2, byte(len(node))}, node...)
	body := append([]byte{1<<3 | 2, 2, 1<<3 | 2, 0, 2<<3 | 2, byte(len(group))}, group...)
	body = binary.AppendUvarint(binary.AppendUvarint(body, 17<<3), 1000)
	body = binary.AppendUvarint(binary.AppendUvarint(body, 19<<3), 5_000_000_000)
	for _, pack := range []bool{false, true} {
		got, err := readAll(append(slices.Clone(out.Bytes()), block(body, pack)...))
		if err != nil {
			t.Fatal(err)
		}
		// lat: (5*10^9 + 1000*10)/10^9 degrees; lon: 1000*-20/10^9.
		if want := []osm.Node{{ID: 7, Lat: 50_000_100, Lon: -200}}; len(got.Nodes) != 1 || got.Nodes[0].ID != 7 || got.Nodes[0].Lat != want[0].Lat || got.Nodes[0].Lon != want[0].Lon {
			t.Errorf("packed %v: %+v, want %+v", pack, got.Nodes, want)
		}
	}
}

// Blocks known to hold nothing of interest are not read again.
func TestSkipsBlocks(t *testing.T) {
	data := sample(t)
	reads := &counter{Reader: bytes.NewReader(data)}
	r, err := osm.Open(t.Context(), reads, int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	ways := osm.Handler{Way: func(*osm.Way) error { return nil }}
	for _, want := range []int{3, 1} {
		reads.count = 0
		if err := r.Each(t.Context(), ways, nil); err != nil || reads.count != want {
			t.Errorf("%d blocks read, %v, want %d", reads.count, err, want)
		}
	}
}

type counter struct {
	*bytes.Reader
	count int
}

func (c *counter) ReadAt(p []byte, at int64) (int, error) {
	c.count++
	return c.Reader.ReadAt(p, at)
}

func TestStops(t *testing.T) {
	data := sample(t)
	ctx, cancel := context.WithCancel(t.Context())
	r, err := osm.Open(ctx, bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	cancel()
	if err := r.Each(ctx, osm.Handler{}, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("read on after the context ended: %v", err)
	}
	mine := errors.New("enough")
	if err := r.Each(t.Context(), osm.Handler{Node: func(*osm.Node) error { return mine }}, nil); !errors.Is(err, mine) {
		t.Errorf("%v, want the handler's error", err)
	}
}

func TestWriterKeepsOrder(t *testing.T) {
	var out bytes.Buffer
	w := osm.NewWriter(&out, "", 0)
	w.Way(osm.Way{ID: 1})
	w.Node(osm.Node{ID: 2})
	if w.Close() == nil {
		t.Error("a node after a way was written")
	}
}

// No file, however wrong, does more than err.
func FuzzRead(f *testing.F) {
	whole := sample(f)
	f.Add(whole)
	f.Add(whole[:len(whole)-9])
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		_, _ = readAll(data)
	})
}

// The same for blocks whose packing is right, which a changed file never is.
func FuzzBlock(f *testing.F) {
	var head bytes.Buffer
	osm.NewWriter(&head, "", 0)
	f.Add([]byte{1<<3 | 2, 2, 1<<3 | 2, 0, 2<<3 | 2, 8, 1<<3 | 2, 6, 1 << 3, 14, 8 << 3, 20, 9 << 3, 39})
	f.Add([]byte{2<<3 | 2, 6, 2<<3 | 2, 4, 1<<3 | 2, 2, 9, 9})
	f.Add([]byte{1<<3 | 2, 0, 2<<3 | 2, 8, 3<<3 | 2, 6, 1 << 3, 5, 8<<3 | 2, 2, 2, 2})
	f.Add([]byte{2<<3 | 2, 12, 4<<3 | 2, 10, 8<<3 | 2, 1, 0, 9<<3 | 2, 1, 2, 10<<3 | 2, 1, 7})
	f.Fuzz(func(t *testing.T, body []byte) {
		if len(body) < 1<<20 {
			_, _ = readAll(append(slices.Clone(head.Bytes()), block(body, false)...))
		}
	})
}
