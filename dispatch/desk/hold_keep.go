package desk

import (
	"ebbline/dispatch"
	"ebbline/jobs"
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
