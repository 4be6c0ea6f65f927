package main

import (
	"io"
	"path/filepath"
	"testing"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/address"
	"ebbline/jobs"
)

// demoRoads raises the demo's town in a folder of its own.
func demoRoads(t *testing.T) []*travel.Roads {
	t.Helper()
	c := config{Data: t.TempDir()}
	if err := raiseDemoTown(&app{ctx: t.Context(), out: io.Discard, errs: io.Discard}, c); err != nil {
		t.Fatal(err)
	}
	roads, err := c.loadRoads()
	if err != nil || len(roads) != 1 {
		t.Fatal(len(roads), err)
	}
	return roads
}

// The yard stands by its house, and everything in the demo's files is found as
// exactly as it is meant to be.
func TestDemoTownHasTheDemosAddresses(t *testing.T) {
	roads := demoRoads(t)[0]
	made, err := demoTown()
	if err != nil {
		t.Fatal(err)
	}
	crews, err := demoFile("crews.csv")
	if err != nil {
		t.Fatal(err)
	}
	yard, err := made.Find(1, "Ironwood Spur")
	if err != nil {
		t.Fatal(err)
	}
	want := travel.LatLon{Lat: int32(yard.LatE7), Lon: int32(yard.LonE7)}
	index, err := address.Open(roads.File.Section(address.SectionName))
	if err != nil {
		t.Fatal(err)
	}
	at := index.Find(address.Query{Text: crews.cell(crews.rows[0], "home_lat") + ", " + crews.cell(crews.rows[0], "home_lon")})
	if len(at) != 1 || travel.GreatCircle(travel.LatLon{Lat: at[0].At.LatE7, Lon: at[0].At.LonE7}, want) > 60 {
		t.Errorf("the yard of crews.csv is at %v, house 1 at %.5f, %.5f", at, float64(want.Lat)/1e7, float64(want.Lon)/1e7)
	}
	enquiries, err := demoFile("enquiries.csv")
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range enquiries.rows {
		text := enquiries.cell(row, "street") + ", " + enquiries.cell(row, "city") + " " + enquiries.cell(row, "postcode")
		a, numbered := demoAddress(enquiries.cell(row, "street"), "")
		if !numbered {
			continue
		}
		hits := index.Find(address.Query{Text: text})
		if len(hits) == 0 || hits[0].Precision != address.Exact || hits[0].Street != a.Street || hits[0].Cost != 0 {
			t.Errorf("%s: %q finds %v", row[0], text, hits)
			continue
		}
		_, off, ok := roads.Snap(hits[0].At.LatE7, hits[0].At.LonE7)
		if island := a.Street == "Heron Island Loop"; island == (ok && off < 50) {
			t.Errorf("%s: %q lies %d m from a road that can be driven to (%t)", row[0], text, off, ok)
		}
	}
}

// Each way of knowing a place is there to be seen.
func checkDemoPlaces(t *testing.T, got map[jobs.Precision]int) {
	t.Helper()
	for p, least := range map[jobs.Precision]int{jobs.PrecisionExact: 40, jobs.PrecisionStreet: 1, jobs.PrecisionPostcode: 1, jobs.PrecisionPin: 1, jobs.PrecisionUnknown: 1} {
		if got[p] < least {
			t.Errorf("%d places are known as %s, want %d or more", got[p], p, least)
		}
	}
}

// A filled folder keeps its town.
func TestDemoTownIsRaisedOnce(t *testing.T) {
	c := config{Data: t.TempDir()}
	a := &app{ctx: t.Context(), out: io.Discard, errs: io.Discard}
	for range 2 {
		if err := raiseDemoTown(a, c); err != nil {
			t.Fatal(err)
		}
	}
	files, err := filepath.Glob(filepath.Join(c.roadsFolder(), "*"))
	if err != nil || len(files) != 2 {
		t.Errorf("%v %v", files, err)
	}
}
