package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// PlaceSites puts a branch's sites on the map that nobody could place when they
// came in, now that there is a road file or a list of ZIP codes; and those known
// by their postcode alone, where more is known now. It answers how many it
// placed, by how well they are known, and how many stay unknown. Run again it
// does what is left. CodeNotFound.
func (d *Desk) PlaceSites(ctx context.Context, call Call, branchID string) (map[jobs.Precision]int, error) {
	if _, err := d.zoneOf(ctx, branchID); err != nil {
		return nil, err
	}
	out := map[jobs.Precision]int{}
	page := jobs.Page{Limit: jobs.MaxPage}
	for {
		list, err := d.Sites(ctx, store.SiteFilter{BranchID: branchID}, page)
		if err != nil {
			return out, err
		}
		for _, s := range list.Items {
			if s.Precision != jobs.PrecisionUnknown && s.Precision != jobs.PrecisionPostcode {
				continue
			}
			got, err := d.placeOne(ctx, call, s)
			if err != nil {
				return out, err
			}
			if got != s.Precision || got == jobs.PrecisionUnknown {
				out[got]++
			}
		}
		if page.Cursor = list.Next; list.Next == "" {
			return out, nil
		}
	}
}

// placeOne looks for one site again, and changes it where more is known.
func (d *Desk) placeOne(ctx context.Context, call Call, s jobs.Site) (jobs.Precision, error) {
	blank := s.SiteData
	blank.LatE7, blank.LonE7, blank.Precision = nil, nil, jobs.PrecisionUnknown
	found, err := read(ctx, d, func(tx *store.Tx) (jobs.SiteData, error) { return d.place(tx, s.BranchID, blank) })
	if err != nil || found.Precision == jobs.PrecisionUnknown || found.Precision == s.Precision {
		return s.Precision, err
	}
	_, err = d.ChangeSite(ctx, call, s.ID, s.Version, found)
	return found.Precision, err
}
