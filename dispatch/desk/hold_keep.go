package desk

import (
	"slices"

	"ebbline/dispatch"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// keepHolds puts the jobs of held and booked windows into the plan that offers
// are made from, so that nobody else is offered their time. What does not fit
// any more stays out.
func (v *looked) keepHolds(holds []jobs.Hold) error {
	out := map[string]bool{}
	for _, l := range v.p.LeftOut {
		out[l.Job] = true
	}
	for _, h := range holds {
		if !out[h.JobID] {
			continue
		}
		warm, err := dispatch.NewWarm(v.w, v.p)
		if err != nil {
			return jobs.Wrap(jobs.CodeInternal, err, "The plan could not be laid out")
		}
		w, p, err := warm.TryPlan(v.holdChange(h))
		if err != nil || p == nil {
			continue
		}
		v.w, v.p = w, p
		out[h.JobID] = false
	}
	return nil
}

// holdChange puts a held job into a plan where its window was offered.
func (v *looked) holdChange(h jobs.Hold) dispatch.Change {
	return dispatch.Change{Kind: dispatch.ChangeJobIn, Job: h.JobID}
}

// booked says that a window is held or booked for a job outside of these days:
// then nothing of it is planned in them.
func (m *weekMaker) booked(j *jobFacts) string {
	for _, h := range m.facts.Holds {
		if h.JobID == j.Job.ID && !j.begun() && (m.sec(h.FromAt) >= m.w.End || m.sec(h.ToAt) <= 0) {
			return "a window is booked for it outside of these days: " + h.FromAt.In(m.facts.Zone).Format("Mon Jan 2, 3:04 pm") + " to " + clockOf(h.ToAt, m.facts.Zone)
		}
	}
	return ""
}

// keepsHolds refuses to hand out over a window that a caller was given: the
// draft may be older than it, or have found no room for it. CodeConflict.
func (h *prepared) keepsHolds(tx *store.Tx) error {
	_, zone, err := branchZone(tx, h.draft.BranchID)
	if err != nil {
		return err
	}
	from, to := h.draft.FirstDay.Start(zone), h.draft.FirstDay.Add(int(h.draft.Days)).Start(zone)
	for _, k := range h.holds {
		inside := k.ToAt.After(from) && k.FromAt.Before(to)
		planned := false
		for _, p := range h.rows.After.Promises {
			if p.VisitID == k.VisitID {
				planned = true
				if p.FromAt.Equal(k.FromAt) && p.ToAt.Equal(k.ToAt) || !slices.ContainsFunc(h.rows.Promises, func(x jobs.Promise) bool { return x.ID == p.ID }) {
					inside, planned = false, false // kept, or told already
				}
			}
		}
		if inside || planned {
			return jobs.Errorf(jobs.CodeConflict, "%s to %s is %s for job %d, and this draft does not keep it; plan it again, or let the window go first",
				k.FromAt.In(zone).Format("Mon Jan 2, 3:04 pm"), clockOf(k.ToAt, zone), k.State, k.JobNumber)
		}
	}
	return nil
}
