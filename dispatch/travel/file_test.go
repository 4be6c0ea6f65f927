package travel

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"slices"
	"testing"

	"ebbline/dispatch/travel/osm"
)

// smallFile is a road file of a square with a turn restriction.
func smallFile(t testing.TB) []byte {
	t.Helper()
	var out bytes.Buffer
	w := osm.NewWriter(&out, "a test", 0)
	for i, p := range []LatLon{{330000000, -1150000000}, {330000000, -1149900000}, {330100000, -1149900000}, {330100000, -1150000000}} {
		w.Node(osm.Node{ID: int64(i + 1), Lat: p.Lat, Lon: p.Lon})
	}
	street := func(name string) osm.Tags {
		return osm.Tags{{Key: "highway", Value: "residential"}, {Key: "name", Value: name}}
	}
	for i, refs := range [][]int64{{1, 2}, {2, 3}, {3, 4}, {4, 1}, {1, 3}} {
		w.Way(osm.Way{ID: int64(i + 1), Refs: refs, Tags: street(string(rune('A' + i)))})
	}
	w.Relation(osm.Relation{ID: 1, Tags: osm.Tags{{Key: "type", Value: "restriction"}, {Key: "restriction", Value: "no_left_turn"}}, Members: []osm.Member{
		{Kind: osm.Ways, Ref: 1, Role: "from"}, {Kind: osm.Nodes, Ref: 2, Role: "via"}, {Kind: osm.Ways, Ref: 2, Role: "to"}}})
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	b, stats, err := Build(context.Background(), bytes.NewReader(out.Bytes()), int64(out.Len()), Options{Attribution: "nobody"})
	if err != nil || stats.Turns.Kept != 1 {
		t.Fatal(stats, err)
	}
	var file bytes.Buffer
	if _, err := b.WriteTo(&file); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

func TestFile(t *testing.T) {
	r, err := Load(smallFile(t))
	if err != nil {
		t.Fatal(err)
	}
	if r.Meta.Attribution != "nobody" || r.Meta.Source != "a test" || r.Meta.Edges != 5 || r.Meta.West != -1150000000 || r.Meta.North != 330100000 {
		t.Errorf("meta %+v", r.Meta)
	}
	if e := r.Edge(2); e.Name != "C" || e.Class != Residential || !e.Routable || len(e.Line) != 2 {
		t.Errorf("edge %+v", e)
	}
}

// A file that is empty, of another kind or version, cut anywhere or damaged
// anywhere is refused by its name.
func TestFileRefused(t *testing.T) {
	whole := smallFile(t)
	otherVersion := slices.Clone(whole)
	otherVersion[8] = version + 1
	extract := []byte("\x00\x00\x00\x0d\x0a\x09OSMHeader")
	for _, c := range []struct {
		name string
		data []byte
		want error
	}{
		{"empty", nil, ErrEmpty}, {"an extract", extract, ErrForeign}, {"zeros", make([]byte, 4096), ErrForeign},
		{"text", []byte("roads"), ErrForeign}, {"another version", otherVersion, ErrVersion}, {"longer", append(slices.Clone(whole), 0), ErrDamaged},
	} {
		if _, err := Load(c.data); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	for n := 1; n < len(whole); n++ {
		if _, err := Load(whole[:n]); !errors.Is(err, ErrCut) {
			t.Fatalf("cut to %d of %d bytes: %v", n, len(whole), err)
		}
	}
	// Zeros between sections are all that may change unnoticed.
	unnoticed := 0
	for i := range whole {
		data := slices.Clone(whole)
		data[i] ^= 0x10
		if _, err := Load(data); err == nil {
			unnoticed++
			if whole[i] != 0 {
				t.Errorf("byte %d of %d changed unnoticed", i, len(whole))
			}
		}
	}
	if unnoticed > alignBytes*40 {
		t.Errorf("%d bytes may change unnoticed", unnoticed)
	}
}

// The same extract makes the same file, byte by byte.
func TestFileSame(t *testing.T) {
	if !bytes.Equal(smallFile(t), smallFile(t)) {
		t.Error("two files of one extract differ")
	}
}

// use asks a road file everything.
func use(r *Roads) {
	points := r.Scatter(4, 1)
	_, _ = r.Matrix(context.Background(), points)
	for _, a := range points {
		for _, b := range points {
			r.Path(a, b)
		}
	}
	for e := range r.Edges() {
		r.Edge(e)
	}
}

// No bytes do more than err.
func FuzzLoad(f *testing.F) {
	whole := smallFile(f)
	f.Add(whole)
	f.Add(whole[:100])
	f.Fuzz(func(t *testing.T, data []byte) {
		if r, err := Load(data); err == nil {
			use(r)
		}
	})
}

// Nor do sections whose checksums are right and whose content is not.
func FuzzSections(f *testing.F) {
	whole := smallFile(f)
	count := binary.LittleEndian.Uint32(whole[12:])
	f.Add(uint16(3), uint32(0), uint32(0))
	f.Add(uint16(13), uint32(8), uint32(0xffffffff))
	f.Add(uint16(20), uint32(4), uint32(1))
	f.Fuzz(func(t *testing.T, section uint16, at, value uint32) {
		data := slices.Clone(whole)
		le := binary.LittleEndian
		entry := data[headBytes+int(uint32(section)%count)*entryBytes:][:entryBytes]
		from, length := le.Uint64(entry[24:]), le.Uint64(entry[32:])
		if length < 4 {
			return
		}
		body := data[from : from+length]
		le.PutUint32(body[uint64(at)%(length-3):], value)
		le.PutUint32(entry[40:], crc32.Checksum(body, castagnoli))
		le.PutUint32(data[24:], crc32.Checksum(data[headBytes:headBytes+int(count)*entryBytes], castagnoli))
		le.PutUint32(data[28:], crc32.Checksum(data[:28], castagnoli))
		if r, err := Load(data); err == nil {
			use(r)
		} else if !errors.Is(err, ErrDamaged) {
			t.Errorf("%v, want ErrDamaged", err)
		}
	})
}

// Nor does an extract.
func FuzzBuild(f *testing.F) {
	var out bytes.Buffer
	w := osm.NewWriter(&out, "", 0)
	w.Node(osm.Node{ID: 1})
	w.Node(osm.Node{ID: 2, Lat: 5000})
	w.Way(osm.Way{ID: 1, Refs: []int64{1, 2, 1, 1}, Tags: osm.Tags{{Key: "highway", Value: "road"}}})
	if err := w.Close(); err != nil {
		f.Fatal(err)
	}
	f.Add(out.Bytes())
	f.Fuzz(func(t *testing.T, data []byte) {
		b, _, err := Build(context.Background(), bytes.NewReader(data), int64(len(data)), Options{})
		if err != nil {
			return
		}
		r, err := FromFile(b.File())
		if err != nil {
			t.Fatal(err)
		}
		use(r)
	})
}
