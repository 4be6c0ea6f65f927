package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// TravelInfo says how a branch's drives are measured.
type TravelInfo struct {
	Roads       string // what the road file says it is; empty: none covers the yard, all drives are straight lines
	Attribution string // to be shown with what comes from it
	Advice      string // how to add roads, where there are none
	Addresses   bool   // addresses can be searched
	// LearntPermille is how much longer the crews drive than the road file says,
	// 1000 is as long; learnt from so many recorded drives, and drawn towards 1000
	// while they are few.
	LearntPermille int64
	LearntDrives   int64
}

// Travel says how a branch's drives are measured. CodeNotFound.
func (d *Desk) Travel(ctx context.Context, branchID string) (TravelInfo, error) {
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) (TravelInfo, error) {
		out := TravelInfo{LearntPermille: 1000}
		_, zone, err := branchZone(tx, branchID)
		if err != nil {
			return out, err
		}
		f, err := d.readYard(tx, branchID, jobs.DayOf(now, zone), 1, now)
		if err != nil {
			return out, err
		}
		t := f.Drives.table
		if t == nil {
			out.Advice = WithoutRoads
			return out, nil
		}
		out.Roads, out.Attribution, out.Addresses = t.name(), t.roads.Meta.Attribution, t.addresses != nil
		out.LearntDrives = int64(f.Drives.learnt.drives)
		if f.Drives.learnt.permille > 0 {
			out.LearntPermille = f.Drives.learnt.permille
		}
		return out, nil
	})
}
