package server_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"io"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/desk/desktest"
	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/address"
	"ebbline/dispatch/travel/osm"
	"ebbline/dispatch/travel/tile"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
	"ebbline/server"
	"ebbline/server/servertest"
)

// crossing is a road file of two streets that cross near the company's yard.
func crossing(t *testing.T) *travel.Roads {
	t.Helper()
	var extract, file bytes.Buffer
	w := osm.NewWriter(&extract, "an invented crossing", 0)
	for i, p := range [][2]int32{{334000000, -1120200000}, {334000000, -1120000000}, {334000000, -1119800000}, {333800000, -1120000000}, {334200000, -1120000000}} {
		w.Node(osm.Node{ID: int64(i + 1), Lat: p[0], Lon: p[1]})
	}
	w.Way(osm.Way{ID: 1, Refs: []int64{1, 2, 3}, Tags: osm.Tags{{Key: "highway", Value: "secondary"}, {Key: "name", Value: "Gravel Lane"}}})
	w.Way(osm.Way{ID: 2, Refs: []int64{4, 2, 5}, Tags: osm.Tags{{Key: "highway", Value: "secondary"}, {Key: "name", Value: "Cross Street"}}})
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	drawn, named := tile.NewCollector("an invented crossing"), address.NewBuilder()
	b, _, err := travel.Build(context.Background(), bytes.NewReader(extract.Bytes()), int64(extract.Len()), travel.Options{Features: travel.Features{
		Want: tile.Wants, Each: func(f travel.Feature) error {
			drawn.Add(f)
			var line []address.Point
			for _, p := range f.Line {
				line = append(line, address.Point{LatE7: p.Lat, LonE7: p.Lon})
			}
			named.Add(f.Tags, line)
			return nil
		}}})
	if err != nil {
		t.Fatal(err)
	}
	b.Add(tile.SectionName, drawn.Section())
	b.Add(address.SectionName, named.Encode())
	if _, err := b.WriteTo(&file); err != nil {
		t.Fatal(err)
	}
	roads, err := travel.Load(file.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	return roads
}

func TestTiles(t *testing.T) {
	roads := crossing(t)
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		d := desktest.New(t, st)
		w := servertest.New(t, d, func(c *server.Config) {
			var err error
			if c.Desk, err = desk.New(desk.Config{Store: st, Clock: d.Clock, IDs: d.IDs, HashMemoryKiB: 64, Roads: []*travel.Roads{roads}}); err != nil {
				t.Fatal(err)
			}
		})
		tech := w.As("tech")
		set := tech.Do("GET", "/tiles", nil).Want(200).JSON()["items"].([]any)[0].(obj)
		if set["attribution"] != "an invented crossing" || set["south_e7"] != 333800000.0 || set["max_zoom"] != 16.0 {
			t.Errorf("%v", set)
		}
		// Zoom 12 over 33.4 N 112.0 W.
		const at = "/tiles/12/773/1644"
		plain := tech.Do("GET", at, nil).Want(200)
		packed := tech.Do("GET", at, nil, "Accept-Encoding", "br, gzip;q=0.8").Want(200)
		if plain.Header.Get("Content-Encoding") != "" || packed.Header.Get("Content-Encoding") != "gzip" {
			t.Errorf("encodings %q and %q", plain.Header.Get("Content-Encoding"), packed.Header.Get("Content-Encoding"))
		}
		r, err := gzip.NewReader(bytes.NewReader(packed.Body))
		if err != nil {
			t.Fatal(err)
		}
		if body, err := io.ReadAll(r); err != nil || !bytes.Equal(body, plain.Body) || !bytes.Contains(body, []byte("Gravel Lane")) {
			t.Errorf("%v; %q is not %q", err, body, plain.Body)
		}
		if none := tech.Do("GET", at, nil, "Accept-Encoding", "gzip;q=0").Want(200); none.Header.Get("Content-Encoding") != "" {
			t.Error("packed for one who refuses it")
		}
		if again := tech.Do("GET", at, nil, "If-None-Match", plain.ETag()).Want(304); len(again.Body) != 0 {
			t.Errorf("%d bytes", len(again.Body))
		}
		kept := tech.Do("GET", at+"?version="+set["version"].(string), nil).Want(200)
		if kept.Header.Get("Cache-Control") != "private, max-age=86400" || plain.Header.Get("Cache-Control") != "private, no-cache" {
			t.Errorf("kept %q, plain %q", kept.Header.Get("Cache-Control"), plain.Header.Get("Cache-Control"))
		}
		if empty := tech.Do("GET", "/tiles/12/0/0", nil).Want(200); len(empty.Body) != 0 {
			t.Errorf("the sea has %d bytes", len(empty.Body))
		}
		tech.Do("GET", at+"?version=old", nil).WantProblem(404, "not_found")
		tech.Do("GET", "/tiles/17/0/0", nil).WantProblem(400, "invalid", "z")
		tech.Do("GET", "/tiles/3/8/0", nil).WantProblem(400, "invalid", "x")
		tech.Do("GET", "/tiles/3/0/8", nil).WantProblem(400, "invalid", "y")
		tech.Do("GET", "/tiles/3/0/minus", nil).WantProblem(400, "invalid", "y")
		w.As("").Do("GET", at, nil).WantProblem(401, "unauthenticated")
		w.As("").Do("GET", "/tiles", nil).WantProblem(401, "unauthenticated")
	})
}

func TestNoTilesWithoutRoads(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		for _, at := range []string{"/tiles", "/tiles/0/0/0"} {
			a := w.As("tech").Do("GET", at, nil)
			a.WantProblem(404, "not_found")
			if !bytes.Contains(a.Body, []byte("ebbline roads build")) {
				t.Errorf("%s: %s", at, a.Body)
			}
		}
	})
}

func TestWeekMapIsTheOwnCrews(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		outfit(w)
		office, day := w.As("dispatcher"), w.Clock.Now().Format("2006-01-02")
		week := "/week-map?branch_id=" + w.Branch + "&first_day=" + day
		m := office.Do("GET", week, nil).Want(200).JSON()
		if m["tile_set"] != nil || m["without_roads"] == nil || len(m["places"].([]any)) != 2 {
			t.Errorf("%v", m)
		}
		w.As("tech").Do("GET", week, nil).Want(200)
		draft := office.Do("POST", "/drafts", obj{"branch_id": w.Branch, "first_day": w.Clock.Now().AddDate(0, 0, 1).Format("2006-01-02"), "days": 5}).Want(201).JSON()["id"].(string)
		office.Do("GET", "/week-map?draft_id="+draft, nil).Want(200)
		w.As("tech").Do("GET", "/week-map?draft_id="+draft, nil).WantProblem(404, "not_found")
		w.As("tech").Do("GET", "/week-map?branch_id="+draft+"&first_day="+day, nil).WantProblem(404, "not_found")
		office.Do("GET", "/week-map?draft_id="+draft+"&branch_id="+w.Branch, nil).WantProblem(400, "invalid", "draft_id")
		office.Do("GET", "/week-map?branch_id="+w.Branch, nil).WantProblem(400, "invalid", "first_day")
		office.Do("GET", "/week-map", nil).WantProblem(400, "invalid", "branch_id")
		w.As("").Do("GET", week, nil).WantProblem(401, "unauthenticated")
	})
}
