package server_test

import (
	"bytes"
	"net/url"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/desk/desktest"
	"ebbline/dispatch/travel"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
	"ebbline/server"
	"ebbline/server/servertest"
)

func TestFindAddresses(t *testing.T) {
	roads := crossing(t)
	storetest.Each(t, func(t *testing.T, st *store.Store) {
		d := desktest.New(t, st)
		w := servertest.New(t, d, func(c *server.Config) {
			var err error
			if c.Desk, err = desk.New(desk.Config{Store: st, Clock: d.Clock, IDs: d.IDs, HashMemoryKiB: 64, Roads: []*travel.Roads{roads}}); err != nil {
				t.Fatal(err)
			}
		})
		office := w.As("dispatcher")
		at := "/addresses?branch_id=" + w.Branch + "&text="
		hit := office.Do("GET", at+url.QueryEscape("cros stret"), nil).Want(200).JSON()["items"].([]any)[0].(obj)
		if hit["label"] != "Cross Street" || hit["precision"] != "street" || hit["straight"] != false || hit["off_road_metres"] != 0.0 {
			t.Errorf("%v", hit)
		}
		far := office.Do("GET", at+url.QueryEscape("33.5, -112.0"), nil).Want(200).JSON()["items"].([]any)[0].(obj)
		if far["precision"] != "pin" || far["straight"] != true || far["off_road_metres"] != nil {
			t.Errorf("%v", far)
		}
		if none := office.Do("GET", at+"zzzz", nil).Want(200).JSON()["items"].([]any); len(none) != 0 {
			t.Errorf("%v", none)
		}
		office.Do("GET", at, nil).WantProblem(400, "invalid", "text")
		w.As("tech").Do("GET", at+"cross", nil).WantProblem(403, "forbidden")
		w.As("").Do("GET", at+"cross", nil).WantProblem(401, "unauthenticated")
		travels := office.Do("GET", "/travel?branch_id="+w.Branch, nil).Want(200).JSON()
		if travels["by_road"] != true || travels["roads"] != "an invented crossing" || travels["addresses"] != true || travels["learnt_permille"] != 1000.0 {
			t.Errorf("%v", travels)
		}
	})
}

func TestNoAddressesWithoutRoads(t *testing.T) {
	servertest.Each(t, func(t *testing.T, w *servertest.World) {
		a := w.As("dispatcher").Do("GET", "/addresses?branch_id="+w.Branch+"&text=cross", nil)
		a.WantProblem(404, "not_found")
		if !bytes.Contains(a.Body, []byte("ebbline roads build")) {
			t.Errorf("%s", a.Body)
		}
		travels := w.As("dispatcher").Do("GET", "/travel?branch_id="+w.Branch, nil).Want(200).JSON()
		if travels["by_road"] != false || travels["advice"] == nil {
			t.Errorf("%v", travels)
		}
	})
}
