package desk

import (
	"slices"
	"time"

	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// liveRows are what crews and customers were told and still holds.
type liveRows struct {
	Tours    []jobs.Tour
	Stops    []jobs.Stop
	Drains   []jobs.Drain
	Promises []jobs.Promise
}

// toldDays is how far back live rows are looked at: what is older tells nobody
// anything any more.
const toldDays = 21

// readLive reads the live rows of a branch.
func readLive(tx *store.Tx, branchID string, now time.Time, zone *time.Location) (l liveRows, err error) {
	today := jobs.DayOf(now, zone)
	if l.Tours, err = tx.LiveTours(branchID, today.Add(-1), today.Add(400)); err != nil {
		return l, err
	}
	if l.Stops, err = tx.LiveStops(branchID, now.AddDate(0, 0, -toldDays)); err != nil {
		return l, err
	}
	if l.Drains, err = tx.LiveDrains(branchID); err != nil {
		return l, err
	}
	l.Promises, err = tx.LivePromises(branchID)
	return l, err
}

// handing is what handing out a plan changes: rows that no longer hold, rows
// that hold from now on, and what holds after it in all.
type handing struct {
	Plan           jobs.Plan
	RetireTours    []string
	RetireStops    []string
	RetireDrains   []string
	RetirePromises []string
	Tours          []jobs.Tour
	Stops          []jobs.Stop
	Drains         []jobs.Drain
	Promises       []jobs.Promise
	Moved          map[string][]string  // tour -> stops that stay and hang under it now
	Ends           map[string]time.Time // stops that stay and really end at another time
	Routed         []jobs.Visit         // open before
	Opened         []jobs.Visit         // routed before, not any more
	Holds          []jobs.Hold          // told as promises from now on
	After          liveRows
}

// handingOut works out what handing out a plan changes. known holds the jobs of
// the plan and of the rows that are told now. Nothing is written.
type handingOut struct {
	d     *Desk
	draft jobs.Draft
	w     *week.Week
	p     *week.Plan
	zone  *time.Location
	rules jobs.PlanningSettings
	now   time.Time
	by    string
	live  liveRows
	jobs  map[string]jobs.Job
	visit map[string]jobs.Visit
	holds []jobs.Hold // windows held or booked, which hand-outs make promises of
	loose bool        // only to be looked at: the day may have overtaken it

	base int64
	out  handing
}

func (h *handingOut) at(s int64) time.Time { return time.Unix(h.base+s, 0).UTC() }

func (h *handingOut) make(number int64) (handing, error) {
	h.base = h.draft.FirstDay.Start(h.zone).Unix()
	h.out = handing{Moved: map[string][]string{}, Ends: map[string]time.Time{}, Plan: jobs.Plan{ID: h.d.ids.New(), BranchID: h.draft.BranchID, Number: number,
		FirstDay: h.draft.FirstDay, Days: h.draft.Days, Week: h.draft.Week, Body: h.draft.Plan, Cost: jobs.Cents(h.p.Cost.Total),
		DraftID: h.draft.ID, HandedOutAt: h.now, HandedOutBy: h.by}}
	if !h.loose {
		if err := h.still(); err != nil {
			return h.out, err
		}
	}
	planned := map[string]bool{}
	for _, t := range h.p.Tours {
		for _, s := range t.Stops {
			if !begun(h.visit[s.Visit]) {
				planned[s.Visit] = true
			}
		}
	}
	h.stops(planned)
	h.drains()
	h.promises(planned)
	for _, id := range sortedKeys(h.visit) {
		switch v := h.visit[id]; {
		case planned[id] && v.State == jobs.VisitOpen:
			h.out.Routed = append(h.out.Routed, v)
		case !planned[id] && v.State == jobs.VisitRouted && slices.Contains(h.out.RetireStops, h.stopOf(id)):
			h.out.Opened = append(h.out.Opened, v)
		}
	}
	return h.out, nil
}

// begun says whether a visit has happened or is happening.
func begun(v jobs.Visit) bool {
	return !v.BegunAt.IsZero() || v.State == jobs.VisitUnderWay || v.State == jobs.VisitDone || v.State == jobs.VisitWasted
}

func (h *handingOut) stopOf(visitID string) string {
	for _, s := range h.live.Stops {
		if s.VisitID == visitID {
			return s.ID
		}
	}
	return ""
}

// still refuses a plan that the world has overtaken: a visit that is no longer
// to be planned, a start or a told interval that is over.
func (h *handingOut) still() error {
	for _, t := range h.p.Tours {
		for _, s := range t.Stops {
			v, ok := h.visit[s.Visit]
			if ok && begun(v) {
				continue
			}
			j := h.jobs[v.JobID]
			if !ok || !slices.ContainsFunc(j.Plannable(), func(p jobs.Visit) bool { return p.ID == v.ID }) {
				return jobs.Errorf(jobs.CodeConflict, "The plan holds a visit of job %d that is not to be planned any more; plan again", j.Number)
			}
			if h.at(s.Start).Before(h.now) {
				return jobs.Errorf(jobs.CodeConflict, "The plan is older than the day: job %d should have begun at %s; plan again",
					j.Number, h.at(s.Start).In(h.zone).Format("Mon 3:04 pm"))
			}
		}
	}
	for _, told := range h.p.Told {
		was := h.drainOf(told.Job)
		same := was != nil && was.ToldFrom.Equal(h.at(told.Earliest)) && was.ToldTo.Equal(h.at(told.Latest))
		if !same && h.at(told.Earliest).Before(h.now) {
			return jobs.Errorf(jobs.CodeConflict, "The plan is older than the day: job %d should be draining already; plan again", h.jobs[told.Job].Number)
		}
	}
	return nil
}

func (h *handingOut) drainOf(jobID string) *jobs.Drain {
	for i := range h.live.Drains {
		if h.live.Drains[i].JobID == jobID {
			return &h.live.Drains[i]
		}
	}
	return nil
}

// stops replaces the tours of the horizon's days and the stops in them that
// have not begun. What has begun stays and moves to the day's new tour.
func (h *handingOut) stops(planned map[string]bool) {
	end := h.at(h.w.End)
	today := jobs.DayOf(h.now, h.zone)
	for _, s := range h.live.Stops {
		v, known := h.visit[s.VisitID]
		ahead := h.at(0).After(h.now) && s.StartAt.Before(h.at(0)) && !s.StartAt.Before(h.now) // days before a horizon still to come
		if known && begun(v) || v.State == jobs.VisitRouted && (ahead || !s.StartAt.Before(end)) && !planned[s.VisitID] {
			if end := h.reallyEnds(v, s); !end.Equal(s.EndAt) {
				h.out.Ends[s.ID], s.EndAt = end, end
			}
			h.out.After.Stops = append(h.out.After.Stops, s)
			continue
		}
		h.out.RetireStops = append(h.out.RetireStops, s.ID)
	}
	inPlan := map[string]bool{}
	for _, t := range h.p.Tours {
		inPlan[t.Tour] = true
	}
	kept := map[string][]jobs.Stop{} // by old tour
	for _, s := range h.out.After.Stops {
		kept[s.TourID] = append(kept[s.TourID], s)
	}
	old := map[string][]jobs.Stop{} // kept stops by crew and day
	for _, t := range h.live.Tours {
		id := tourID(t.CrewID, t.Day)
		inside := t.Day >= h.draft.FirstDay && t.Day < h.draft.FirstDay.Add(int(h.draft.Days)) && t.Day >= today
		switch {
		case inPlan[id]:
			h.out.RetireTours = append(h.out.RetireTours, t.ID)
			old[id] = kept[t.ID]
		case inside && len(kept[t.ID]) == 0:
			h.out.RetireTours = append(h.out.RetireTours, t.ID)
		default:
			h.out.After.Tours = append(h.out.After.Tours, t)
		}
	}
	for _, t := range h.p.Tours {
		h.tour(t, old[t.Tour])
	}
	h.out.After.Tours = append(h.out.After.Tours, h.out.Tours...)
	h.out.After.Stops = append(h.out.After.Stops, h.out.Stops...)
}

// reallyEnds is when a stop that stays ends by what is known now: a crew that
// was quicker than planned is free for its next stop.
func (h *handingOut) reallyEnds(v jobs.Visit, s jobs.Stop) time.Time {
	end := s.EndAt
	switch {
	case !begun(v):
		return end
	case !v.DoneAt.IsZero():
		end = v.DoneAt
	default:
		for _, t := range h.p.Tours {
			for _, p := range t.Stops {
				if p.Visit == v.ID && !h.at(p.Start).After(h.now) {
					end = h.at(p.End)
				}
			}
		}
	}
	for _, next := range h.live.Stops { // a crew that ran late began its next stop late too
		if next.CrewID == s.CrewID && next.StartAt.After(s.StartAt) && next.StartAt.Before(end) && begun(h.visit[next.VisitID]) {
			end = next.StartAt
		}
	}
	if end.Before(s.StartAt) {
		return s.StartAt
	}
	return end
}

func (h *handingOut) tour(t week.PlanTour, kept []jobs.Stop) {
	crew, day := readTourID(t.Tour)
	row := jobs.Tour{ID: h.d.ids.New(), PlanID: h.out.Plan.ID, BranchID: h.draft.BranchID, CrewID: crew, Day: day,
		DepartAt: h.at(t.Depart), ReturnAt: h.at(t.Return), MorningPumps: int64(t.Load), Live: true}
	if t.Lunch != nil {
		row.LunchAt, row.LunchSeconds = h.at(t.Lunch.Start), h.rules.LunchMinutes*60
	}
	h.out.Tours = append(h.out.Tours, row)
	for _, s := range kept {
		h.out.Moved[row.ID] = append(h.out.Moved[row.ID], s.ID)
		for k := range h.out.After.Stops {
			if h.out.After.Stops[k].ID == s.ID {
				h.out.After.Stops[k].TourID = row.ID
			}
		}
	}
	place := int64(len(kept))
	for _, s := range t.Stops {
		v := h.visit[s.Visit]
		if begun(v) {
			continue
		}
		place++
		stop := jobs.Stop{ID: h.d.ids.New(), PlanID: h.out.Plan.ID, BranchID: h.draft.BranchID, TourID: row.ID, CrewID: crew,
			JobID: v.JobID, VisitID: v.ID, Place: place, ArriveAt: h.at(s.Arrive), StartAt: h.at(s.Start), EndAt: h.at(s.End), Live: true}
		if s.PumpsAfter != nil {
			stop.PumpsAfter = int64(*s.PumpsAfter)
		}
		h.out.Stops = append(h.out.Stops, stop)
	}
}

func sortedKeys[T any](m map[string]T) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
