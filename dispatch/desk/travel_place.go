package desk

import (
	"context"
	"strings"

	"ebbline/dispatch/travel/address"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// FoundPlace is a place that an address search found.
type FoundPlace struct {
	Label        string
	Street       string // with the house number, where it is known
	City         string
	Postcode     string
	LatE7, LonE7 int64
	Precision    jobs.Precision
	OffRoad      *int64 // metres from its road; nil: no road reaches it
}

// mostFound is how many places a search lists.
const mostFound = 10

// FindPlaces looks an address, a street, a place, a postcode or coordinates up
// in the road file of a branch; the likeliest comes first, and of equally likely
// ones the nearest to the yard. CodeInvalid, CodeNotFound (also where no roads
// are loaded, which says how to add them).
func (d *Desk) FindPlaces(ctx context.Context, branchID, text string) ([]FoundPlace, error) {
	var f jobs.Faults
	f.ID("branch_id", branchID)
	f.Line("text", text, 1, 200)
	if err := f.Err(); err != nil {
		return nil, err
	}
	homes, err := read(ctx, d, func(tx *store.Tx) ([]jobs.Home, error) {
		if _, err := tx.Branch(branchID); err != nil {
			return nil, err
		}
		return tx.Homes(branchID)
	})
	if err != nil {
		return nil, err
	}
	t := d.tableFor(homes)
	if t == nil || t.addresses == nil {
		return nil, jobs.Errorf(jobs.CodeNotFound, "%s", WithoutRoads)
	}
	near := address.Point{LatE7: int32(homes[0].LatE7), LonE7: int32(homes[0].LonE7)}
	out := []FoundPlace{}
	for _, h := range t.addresses.Find(address.Query{Text: text, Near: &near, Limit: mostFound}) {
		p := FoundPlace{Label: h.Label(), Street: strings.TrimSpace(h.Number + " " + h.Street), City: h.City, Postcode: h.Postcode,
			LatE7: int64(h.At.LatE7), LonE7: int64(h.At.LonE7), Precision: precisionOf(h.Precision)}
		if _, off, ok := t.roads.Snap(h.At.LatE7, h.At.LonE7); ok && off <= reachMetres {
			p.OffRoad = &off
		}
		out = append(out, p)
	}
	return out, nil
}

// precisionOf is what a hit's precision is on a site.
func precisionOf(p address.Precision) jobs.Precision {
	switch p {
	case address.Pin:
		return jobs.PrecisionPin
	case address.Exact:
		return jobs.PrecisionExact
	case address.Between, address.Street, address.Place:
		return jobs.PrecisionStreet
	}
	return jobs.PrecisionPostcode
}

// sureCost is how far an address may be from how it is written where nobody
// looks at what is found: a word that goes on, no wrong letter.
const sureCost = 1

// place puts a site on the map by its address, where nobody has said where it
// is. What is in doubt stays unknown; a pin is never moved.
func (d *Desk) place(tx *store.Tx, branchID string, s jobs.SiteData) (jobs.SiteData, error) {
	if s.LatE7 != nil || len(d.roads) == 0 && d.centres == nil {
		return s, nil
	}
	homes, err := tx.Homes(branchID)
	if err != nil {
		return s, err
	}
	var at address.Point
	var p jobs.Precision
	ok := false
	if t := d.tableFor(homes); t != nil && t.addresses != nil {
		at, p, ok = t.locate(s)
	}
	if !ok {
		at, ok = d.centres.Find(s.Postcode)
		p = jobs.PrecisionPostcode
	}
	if ok {
		lat, lon := int64(at.LatE7), int64(at.LonE7)
		s.LatE7, s.LonE7, s.Precision = &lat, &lon, p
	}
	return s, nil
}

// locate finds a site's address if there is but one such, or else the middle of
// its postcode.
func (t *roadTable) locate(s jobs.SiteData) (address.Point, jobs.Precision, bool) {
	if strings.Contains(s.Street, ",") { // a part of what stands behind it could be meant
		s.Street, _, _ = strings.Cut(s.Street, ",")
	}
	behind := strings.TrimSpace(s.City + " " + s.Postcode)
	hits := t.addresses.Find(address.Query{Text: s.Street + ", " + behind})
	if len(hits) > 0 && hits[0].Cost <= sureCost && hits[0].Street != "" && (len(hits) == 1 || hits[1].Cost > hits[0].Cost) {
		return hits[0].At, precisionOf(hits[0].Precision), true
	}
	if s.Postcode == "" {
		return address.Point{}, "", false
	}
	hits = t.addresses.Find(address.Query{Text: s.Postcode})
	if len(hits) > 0 && hits[0].Precision == address.Postcode {
		return hits[0].At, jobs.PrecisionPostcode, true
	}
	return address.Point{}, "", false
}

// placeAnew is place for a site that is changed: where it was found by an
// address that no longer holds, it is looked for again.
func (d *Desk) placeAnew(tx *store.Tx, old jobs.Site, s jobs.SiteData) (jobs.SiteData, error) {
	same := old.LatE7 != nil && s.LatE7 != nil && *old.LatE7 == *s.LatE7 && *old.LonE7 == *s.LonE7
	moved := old.Street != s.Street || old.City != s.City || old.Postcode != s.Postcode
	if same && moved && old.Precision != jobs.PrecisionPin && s.Precision == old.Precision {
		s.LatE7, s.LonE7, s.Precision = nil, nil, jobs.PrecisionUnknown
	}
	return d.place(tx, old.BranchID, s)
}
