package desk_test

import (
	"reflect"
	"strings"
	"testing"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/travel"
	"ebbline/jobs"
)

// drivingOffice is an office whose branch has a road file.
func drivingOffice(h *hands) {
	h.Helper()
	_, roads := desk.TownRoads(h.T)
	d, err := desk.New(desk.Config{Store: h.store, Clock: clock{h}, IDs: ids{h}, HashMemoryKiB: 64, Roads: []*travel.Roads{roads}})
	h.must(err)
	h.Desk = d
	h.made(h.CreateHome(ctx, h.office(), h.branch, jobs.HomeData{Name: "Yard", LatE7: 332_454_700, LonE7: -1_137_778_500}))
}

func (h *hands) placed(customer string, s jobs.SiteData) jobs.Site {
	h.Helper()
	out, err := h.CreateSite(ctx, h.office(), jobs.NewSite{CustomerID: customer, SiteData: s})
	h.must(err)
	site, err := h.Site(ctx, out.NounID)
	h.must(err)
	return site
}

// A site is put where its address is, as exactly as the road file knows it; a
// pin set by hand is the truth.
func TestSitesArePlacedByAddress(t *testing.T) {
	eachOffice(t, func(h *hands) {
		made, _ := desk.TownRoads(h.T)
		drivingOffice(h)
		customer := h.made(h.CreateCustomer(ctx, h.office(), jobs.NewCustomer{BranchID: h.branch, CustomerData: jobs.CustomerData{Name: "Pat Doe"}}))
		house, err := made.Find(953, "Saltbush Drive")
		h.must(err)
		for _, c := range []struct {
			street, postcode string
			precision        jobs.Precision
		}{
			{"953 Saltbush Dr", "00861", jobs.PrecisionExact},
			{"953 saltbush drive", "", jobs.PrecisionExact},
			{"Saltbush Dr", "00861", jobs.PrecisionStreet},
			{"4000 Saltbush Dr", "00861", jobs.PrecisionPostcode}, // no such number: the street would be a guess
			{"953 Satlbush Dr", "", jobs.PrecisionUnknown},        // nobody looks at what is found: a wrong letter is no match
			{"Casita behind the date grove", "00861", jobs.PrecisionPostcode},
			{"Casita behind the date grove", "", jobs.PrecisionUnknown},
		} {
			site := h.placed(customer, jobs.SiteData{Street: c.street, City: "Cinder Wells", Region: "AZ", Postcode: c.postcode})
			if site.Precision != c.precision || (site.LatE7 == nil) != (c.precision == jobs.PrecisionUnknown) {
				h.Errorf("%q %s is known as %s, want %s", c.street, c.postcode, site.Precision, c.precision)
			}
			if c.precision == jobs.PrecisionExact && (*site.LatE7 != house.LatE7 || *site.LonE7 != house.LonE7) {
				h.Errorf("%q is at %d, %d, want %d, %d", c.street, *site.LatE7, *site.LonE7, house.LatE7, house.LonE7)
			}
		}
		site := h.placed(customer, jobs.SiteData{Street: "953 Saltbush Dr", City: "Cinder Wells", LatE7: ptr(int64(332_000_000)), LonE7: ptr(int64(-1_137_000_000))})
		if site.Precision != jobs.PrecisionPin || *site.LatE7 != 332_000_000 {
			h.Errorf("a pin was moved: %s at %d", site.Precision, *site.LatE7)
		}
		pinned := site.SiteData
		pinned.Street = "12 Heron Island Loop"
		h.made(h.ChangeSite(ctx, h.office(), site.ID, site.Version, pinned))
		if site, err = h.Site(ctx, site.ID); err != nil || *site.LatE7 != 332_000_000 {
			h.Errorf("a pin was moved by another street: %v %v", site, err)
		}
		site = h.placed(customer, jobs.SiteData{Street: "953 Saltbush Dr", City: "Cinder Wells"})
		moved := site.SiteData
		moved.Street = "12 Heron Island Loop"
		h.made(h.ChangeSite(ctx, h.office(), site.ID, site.Version, moved))
		island, err := made.Find(12, "Heron Island Loop")
		h.must(err)
		if site, err = h.Site(ctx, site.ID); err != nil || *site.LatE7 != island.LatE7 {
			h.Errorf("another street, but the place stayed: %v %v", site, err)
		}
	})
}

func TestFindPlaces(t *testing.T) {
	eachOffice(t, func(h *hands) {
		_, err := h.FindPlaces(ctx, h.branch, "953 Saltbush")
		h.wants(err, jobs.CodeNotFound, "roads build")
		drivingOffice(h)
		found, err := h.FindPlaces(ctx, h.branch, "953 satlbush")
		h.must(err)
		if len(found) == 0 || found[0].Street != "953 Saltbush Drive" || found[0].Precision != jobs.PrecisionExact || found[0].OffRoad == nil || !strings.HasPrefix(found[0].Label, "953 Saltbush Drive, Cinder Wells") {
			h.Errorf("found %+v", found)
		}
		found, err = h.FindPlaces(ctx, h.branch, "12 heron island")
		h.must(err)
		if len(found) == 0 || found[0].OffRoad != nil {
			h.Errorf("no road reaches the island: %+v", found)
		}
		for _, bad := range []string{"", strings.Repeat("x", 300)} {
			_, err = h.FindPlaces(ctx, h.branch, bad)
			h.wants(err, jobs.CodeInvalid, "text")
		}
		_, err = h.FindPlaces(ctx, "00000000-0000-7000-8000-00000000ffff", "953 Saltbush")
		h.wants(err, jobs.CodeNotFound, "")
	})
}

// Sites that came in before the road file are placed when it is there; pins stay.
func TestSitesArePlacedLater(t *testing.T) {
	eachOffice(t, func(h *hands) {
		customer := h.made(h.CreateCustomer(ctx, h.office(), jobs.NewCustomer{BranchID: h.branch, CustomerData: jobs.CustomerData{Name: "Pat Doe"}}))
		var sites []jobs.Site
		for _, street := range []string{"953 Saltbush Dr", "Saltbush Dr", "Casita behind the date grove", "Nowhere"} {
			sites = append(sites, h.placed(customer, jobs.SiteData{Street: street, City: "Cinder Wells", Postcode: map[string]string{"Casita behind the date grove": "00861"}[street]}))
		}
		pin := h.placed(customer, jobs.SiteData{Street: "953 Saltbush Dr", City: "Cinder Wells", LatE7: ptr(int64(332_000_000)), LonE7: ptr(int64(-1_137_000_000))})
		drivingOffice(h)
		got, err := h.PlaceSites(ctx, h.office(), h.branch)
		h.must(err)
		want := map[jobs.Precision]int{jobs.PrecisionExact: 1, jobs.PrecisionStreet: 1, jobs.PrecisionPostcode: 1, jobs.PrecisionUnknown: 1}
		if !reflect.DeepEqual(got, want) {
			h.Errorf("placed %v, want %v", got, want)
		}
		again, err := h.PlaceSites(ctx, h.office(), h.branch)
		h.must(err)
		if !reflect.DeepEqual(again, map[jobs.Precision]int{jobs.PrecisionUnknown: 1}) {
			h.Errorf("the second time it placed %v", again)
		}
		for i, p := range []jobs.Precision{jobs.PrecisionExact, jobs.PrecisionStreet, jobs.PrecisionPostcode, jobs.PrecisionUnknown} {
			if s, err := h.Site(ctx, sites[i].ID); err != nil || s.Precision != p {
				h.Errorf("%q is known as %s, want %s (%v)", s.Street, s.Precision, p, err)
			}
		}
		if s, err := h.Site(ctx, pin.ID); err != nil || *s.LatE7 != 332_000_000 || s.Version != pin.Version {
			h.Errorf("the pin was touched: %v %v", s, err)
		}
	})
}

func TestTravelSaysHowDrivesAreMeasured(t *testing.T) {
	eachOffice(t, func(h *hands) {
		info, err := h.Travel(ctx, h.branch)
		h.must(err)
		if info.Roads != "" || info.Advice == "" || info.LearntPermille != 1000 {
			h.Errorf("without roads: %+v", info)
		}
		drivingOffice(h)
		info, err = h.Travel(ctx, h.branch)
		h.must(err)
		if !strings.Contains(info.Roads, "invented") || info.Advice != "" || !info.Addresses || info.LearntDrives != 0 || info.LearntPermille != 1000 {
			h.Errorf("with roads: %+v", info)
		}
	})
}
