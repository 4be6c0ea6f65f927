package desk

import (
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// takeBack stops what a job's people have not been told yet, and tells those
// who were told what no longer holds: nobody should lower a pool for a crew
// that does not come. What was taken back once is not taken back again by the
// next hand-out.
func (d *Desk) takeBack(tx *store.Tx, call Call, j jobs.Job) error {
	known, err := tx.NoticesOfJob(j.ID, call.Now)
	if err != nil || len(known) == 0 {
		return err
	}
	branch, zone, err := branchZone(tx, j.BranchID)
	if err != nil {
		return err
	}
	set, err := tx.Settings(j.BranchID)
	if err != nil {
		return err
	}
	told := jobs.ToldPlan{Now: call.Now, BranchID: j.BranchID, Zone: zone, ZoneName: branch.Zone, Planning: set.Settings.Planning, Company: set.Settings.Company}
	h := prepared{notices: map[string]jobs.Notice{}, steps: jobs.DiffNotices(known, nil, call.Now)}
	for _, s := range h.steps {
		if s.Want == nil {
			continue
		}
		if h.notices[s.Want.Thing], err = d.notice(tx, told, s, ""); err != nil {
			return err
		}
	}
	return writeNotices(tx, h)
}
