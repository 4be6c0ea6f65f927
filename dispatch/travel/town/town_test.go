package town

import (
	"bytes"
	"errors"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/paulmach/osm"
	"github.com/paulmach/osm/osmpbf"
)

func written(t *testing.T, spec Spec) (*Town, []byte) {
	t.Helper()
	made, err := Make(spec)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := made.WritePBF(&out); err != nil {
		t.Fatal(err)
	}
	return made, out.Bytes()
}

func TestOneSpecMakesOneTown(t *testing.T) {
	_, first := written(t, Spec{Seed: 1})
	_, again := written(t, Spec{Seed: 1})
	_, other := written(t, Spec{Seed: 2})
	if !bytes.Equal(first, again) {
		t.Error("one spec made two towns")
	}
	if bytes.Equal(first, other) {
		t.Error("two seeds made one town")
	}
}

// extract is what an independent reader (github.com/paulmach/osm) finds.
type extract struct {
	nodes     map[osm.NodeID]*osm.Node
	ways      []*osm.Way
	relations []*osm.Relation
}

func read(t *testing.T, data []byte) extract {
	t.Helper()
	e := extract{nodes: map[osm.NodeID]*osm.Node{}}
	s := osmpbf.New(t.Context(), bytes.NewReader(data), 1)
	defer func() { _ = s.Close() }()
	for s.Scan() {
		switch o := s.Object().(type) {
		case *osm.Node:
			e.nodes[o.ID] = o
		case *osm.Way:
			e.ways = append(e.ways, o)
		case *osm.Relation:
			e.relations = append(e.relations, o)
		}
	}
	if err := s.Err(); err != nil && !errors.Is(err, io.EOF) {
		t.Fatal(err)
	}
	return e
}

func TestOthersReadTheTown(t *testing.T) {
	made, data := written(t, Spec{Seed: 1})
	e := read(t, data)
	if len(e.nodes) != len(made.nodes) || len(e.ways) != len(made.ways) || len(e.relations) != len(made.relations) {
		t.Fatalf("read %d nodes, %d ways, %d relations; written %d, %d, %d", len(e.nodes), len(e.ways), len(e.relations), len(made.nodes), len(made.ways), len(made.relations))
	}
	found := map[string]int{}
	driven := map[osm.NodeID]bool{}
	for _, w := range e.ways {
		for _, n := range w.Nodes {
			if e.nodes[n.ID] == nil {
				t.Fatalf("way %d goes over node %d, which is not there", w.ID, n.ID)
			}
		}
		for _, tag := range w.Tags {
			switch tag.Key {
			case "highway", "oneway", "junction", "access", "bridge", "natural":
				found[tag.Key+"="+tag.Value]++
			}
		}
		if h := w.Tags.Find("highway"); h != "" && h != "footway" {
			for _, n := range w.Nodes {
				driven[n.ID] = true
			}
		}
	}
	for _, r := range e.relations {
		found[r.Tags.Find("type")+" "+r.Tags.Find("restriction")]++
	}
	houses := 0
	for _, n := range e.nodes {
		if n.Tags.Find("addr:housenumber") != "" {
			houses++
			if n.Tags.Find("addr:street") == "" || n.Tags.Find("addr:postcode") == "" {
				t.Errorf("node %d: %v", n.ID, n.Tags)
			}
		}
	}
	for _, want := range []struct {
		what        string
		least, most int
	}{
		{"highway=motorway", 2, 50}, {"highway=motorway_link", 16, 16}, {"highway=footway", 1, 1}, {"highway=track", 1, 1}, {"highway=living_street", 5, 100},
		{"oneway=yes", 20, 60}, {"oneway=-1", 2, 20}, {"junction=roundabout", 3, 20}, {"access=private", 2, 2}, {"bridge=yes", 4, 12}, {"natural=water", 2, 3},
		{"multipolygon ", 1, 1}, {"restriction no_left_turn", 6, 6}, {"restriction only_straight_on", 2, 2}, {"restriction no_u_turn", 2, 2},
	} {
		if n := found[want.what]; n < want.least || n > want.most {
			t.Errorf("%d of %s, want %d to %d", n, want.what, want.least, want.most)
		}
	}
	if len(driven) < 3000 || len(driven) > 9000 || houses != len(made.Houses) || houses < 5000 {
		t.Errorf("%d places on roads, %d houses", len(driven), houses)
	}
}

// A forbidden turn leads from a way over a node to a way, and both ways have
// that node at an end, as OpenStreetMap's page on restrictions asks.
func TestTurnsMeetAtTheirNode(t *testing.T) {
	_, data := written(t, Spec{Seed: 3})
	e := read(t, data)
	ways := map[int64]*osm.Way{}
	for _, w := range e.ways {
		ways[int64(w.ID)] = w
	}
	for _, r := range e.relations {
		if r.Tags.Find("type") != "restriction" {
			continue
		}
		via := osm.NodeID(r.Members[1].Ref)
		for _, i := range []int{0, 2} {
			w := ways[r.Members[i].Ref]
			if w == nil || w.Nodes[0].ID != via && w.Nodes[len(w.Nodes)-1].ID != via {
				t.Errorf("relation %d: its member %d does not end at node %d", r.ID, i, via)
			}
		}
	}
}

// Whatever the seed, cars come from everywhere to everywhere, but for the
// island; and every given street is there.
func TestEveryTownHangsTogether(t *testing.T) {
	seeds := int64(3)
	if os.Getenv("EBBLINE_LONG") != "" {
		seeds = 60
	}
	for seed := range seeds {
		made, data := written(t, Spec{Seed: seed})
		e := read(t, data)
		ahead, back := map[osm.NodeID][]osm.NodeID{}, map[osm.NodeID][]osm.NodeID{}
		island := map[osm.NodeID]bool{}
		var middle osm.NodeID
		for _, w := range e.ways {
			class := w.Tags.Find("highway")
			if class == "" || class == "footway" {
				continue
			}
			one := w.Tags.Find("oneway")
			for i := 0; i+1 < len(w.Nodes); i++ {
				a, c := w.Nodes[i].ID, w.Nodes[i+1].ID
				if one == "-1" {
					a, c = c, a
				}
				ahead[a], back[c] = append(ahead[a], c), append(back[c], a)
				if one == "" && w.Tags.Find("junction") != "roundabout" {
					ahead[c], back[a] = append(ahead[c], a), append(back[a], c)
				}
				if w.Tags.Find("name") == "Heron Island Loop" {
					island[a], island[c] = true, true
				}
				if w.Tags.Find("name") == "Main Wells Street" {
					middle = a
				}
			}
		}
		to, from := reached(middle, ahead), reached(middle, back)
		for n := range ahead {
			if island[n] == (to[n] || from[n]) || to[n] != from[n] {
				t.Errorf("seed %d: node %d: reached %t, comes back %t, island %t", seed, n, to[n], from[n], island[n])
			}
		}
		streets := made.Streets()
		for _, q := range quarters {
			for _, name := range append(append(append([]string{}, q.through...), q.loop...), q.dead...) {
				if streets[name] != q.postcode {
					t.Errorf("seed %d: %s is in %q, want %s", seed, name, streets[name], q.postcode)
				}
			}
			if q.gated != "" && streets[q.gated] == "" {
				t.Errorf("seed %d: nobody lives in %s", seed, q.gated)
			}
		}
	}
}

func reached(from osm.NodeID, edges map[osm.NodeID][]osm.NodeID) map[osm.NodeID]bool {
	seen, list := map[osm.NodeID]bool{from: true}, []osm.NodeID{from}
	for len(list) > 0 {
		n := list[len(list)-1]
		list = list[:len(list)-1]
		for _, m := range edges[n] {
			if !seen[m] {
				seen[m] = true
				list = append(list, m)
			}
		}
	}
	return seen
}

func TestHousesAreThereOnce(t *testing.T) {
	wanted := []Address{{953, "Saltbush Drive", "00861"}, {42, "Ocotillo Lane", ""}, {7, "Terrace Lane", ""}, {12, "Heron Island Loop", "00863"}, {1, "Ironwood Spur", ""}}
	made, _ := written(t, Spec{Seed: 1, Houses: wanted})
	seen := map[Address]bool{}
	for _, h := range made.Houses {
		if seen[h.Address] {
			t.Errorf("%v twice", h.Address)
		}
		seen[h.Address] = true
	}
	for _, a := range wanted {
		if _, err := made.Find(a.Number, a.Street); err != nil {
			t.Error(err)
		}
	}
	for _, bad := range []Address{{5, "Nowhere Street", ""}, {5, "Saltbush Drive", "00864"}, {1200, "Saltbush Drive", ""}} {
		if _, err := Make(Spec{Seed: 1, Houses: []Address{bad}}); err == nil || !strings.Contains(err.Error(), bad.Street) {
			t.Errorf("%v: %v", bad, err)
		}
	}
}
