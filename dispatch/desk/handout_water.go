package desk

import (
	"slices"
	"time"

	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// drains replaces what holds of the water of the plan's jobs. Jobs that the
// plan leaves out are told nothing any more; a pool that fills again keeps what
// was told.
func (h *handingOut) drains() {
	x := week.NewIndex(h.w)
	told := map[string]week.Told{}
	for _, t := range h.p.Told {
		told[t.Job] = t
	}
	water := map[string]week.PlanWater{}
	for _, pw := range h.p.Water {
		water[pw.Job] = pw
	}
	for i := range h.live.Drains {
		d := h.live.Drains[i]
		j, inWeek := x.Job[d.JobID]
		job := h.jobs[d.JobID]
		gone := job.State == jobs.StateParked || job.State == jobs.StateDeclined
		if !gone && (!inWeek || h.w.Jobs[j].Water == nil) {
			if !h.leftOut(d.JobID) {
				h.out.After.Drains = append(h.out.After.Drains, d)
				continue
			}
		}
		if _, placed := water[d.JobID]; inWeek && !placed && h.w.Jobs[j].Water != nil && h.w.Jobs[j].Water.DrainedAt != nil {
			h.out.After.Drains = append(h.out.After.Drains, d) // the water is down, whatever the plan says
			continue
		}
		h.out.RetireDrains = append(h.out.RetireDrains, d.ID)
	}
	for i := range h.w.Jobs {
		job := &h.w.Jobs[i]
		pw, placed := water[job.ID]
		if job.Water == nil || !placed {
			continue
		}
		row := jobs.Drain{ID: h.d.ids.New(), PlanID: h.out.Plan.ID, BranchID: h.draft.BranchID, JobID: job.ID, WayLow: wayLow(job.Water.Way),
			LowEarlyAt: h.maybe(pw.MayBeLow), LowLateAt: h.maybe(pw.SurelyLow), CoveredAt: h.maybe(pw.CoveredBy), LimitAt: h.maybe(pw.Limit), Live: true}
		if t, ok := told[job.ID]; ok {
			row.ToldFrom, row.ToldTo = h.at(t.Earliest), h.at(t.Latest)
		} else if was := h.drainOf(job.ID); was != nil && job.Water.DrainedAt != nil {
			row.ToldFrom, row.ToldTo = was.ToldFrom, was.ToldTo
		}
		h.out.Drains = append(h.out.Drains, row)
	}
	h.out.After.Drains = append(h.out.After.Drains, h.out.Drains...)
}

// leftOut says whether a job was told stops that all no longer hold.
func (h *handingOut) leftOut(jobID string) bool {
	had := false
	for _, s := range h.live.Stops {
		if s.JobID == jobID {
			had = had || slices.Contains(h.out.RetireStops, s.ID)
		}
	}
	for _, s := range h.out.After.Stops {
		if s.JobID == jobID {
			return false
		}
	}
	return had
}

func (h *handingOut) maybe(s *int64) time.Time {
	if s == nil {
		return time.Time{}
	}
	return h.at(*s)
}

// wayLow is the job's word for the week's way of becoming low.
func wayLow(way string) jobs.WayLow {
	switch way {
	case week.WayPump:
		return jobs.LowCrewPump
	case week.WayOutlet:
		return jobs.LowOwnOutlet
	case week.WayCustomer:
		return jobs.LowCustomer
	case week.WayArrival:
		return jobs.LowArrival
	}
	return jobs.LowOthers
}

// promises keeps the windows that the new starts hold, and makes others.
func (h *handingOut) promises(planned map[string]bool) {
	start := map[string]jobs.Stop{}
	for _, s := range h.out.Stops {
		start[s.VisitID] = s
	}
	held := map[string]bool{}
	for _, p := range h.live.Promises {
		s, moves := start[p.VisitID]
		stays := slices.ContainsFunc(h.out.After.Stops, func(k jobs.Stop) bool { return k.VisitID == p.VisitID })
		switch {
		case moves && p.Holds(s.StartAt) && p.Answer != "declined", !moves && stays:
			held[p.VisitID] = true
			h.out.After.Promises = append(h.out.After.Promises, p)
		default:
			h.out.RetirePromises = append(h.out.RetirePromises, p.ID)
		}
	}
	width := time.Duration(h.rules.WindowMinutes) * time.Minute
	for _, s := range h.out.Stops {
		if held[s.VisitID] {
			continue
		}
		from, to := jobs.Window(s.StartAt, width)
		for _, k := range h.holds {
			if k.VisitID != s.VisitID {
				continue
			}
			h.out.Holds = append(h.out.Holds, k)
			if k.Promise().Holds(s.StartAt) { // as it was booked
				from, to = k.FromAt, k.ToAt
			}
		}
		h.out.Promises = append(h.out.Promises, jobs.Promise{ID: h.d.ids.New(), BranchID: h.draft.BranchID, JobID: s.JobID, VisitID: s.VisitID,
			PlanID: h.out.Plan.ID, FromAt: from, ToAt: to, Live: true, CreatedAt: h.now})
	}
	h.out.After.Promises = append(h.out.After.Promises, h.out.Promises...)
}
