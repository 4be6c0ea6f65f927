package desk

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"ebbline/dispatch"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// DayNow is how today is really going: what was handed out, with the times that
// are to be expected from what was reported and read.
type DayNow struct {
	BranchID   string
	Zone       string
	Day        jobs.Day
	Now        time.Time
	PlanNumber int64
	Crews      []DayCrew
	Late       []DayStop // the latest first
	Says       string
}

// DayCrew is one crew's day.
type DayCrew struct {
	CrewID         string
	CrewName       string
	Stops          []DayStop
	PlannedReturn  time.Time
	ExpectedReturn time.Time // zero: not known
	Overtime       int64     // seconds past the shift
	Says           string
}

// DayStop is one of its stops.
type DayStop struct {
	jobs.VisitName
	State       jobs.VisitState
	PlannedAt   time.Time
	ExpectedAt  time.Time // when the work begins, or began
	ExpectedEnd time.Time
	Behind      int64 // seconds
	PromiseFrom time.Time
	PromiseTo   time.Time
	Late        *int64 // seconds after the promised window; nil: it is kept
	WaitsFor    string
	Nobody      bool // its crew stays at home
	Says        string
}

// dayRows is what was handed out for a day, and what was reported.
type dayRows struct {
	tours    []jobs.Tour
	stops    []jobs.Stop
	promises map[string]jobs.Promise
	jobs     map[string]jobs.Job
	visits   map[string]jobs.Visit
}

// DayNow works today out as it is to be expected now. CodeNotFound,
// CodeConflict (nothing handed out, the plan's days are over).
func (d *Desk) DayNow(ctx context.Context, branchID string) (DayNow, error) {
	v, err := d.viewOf(ctx, viewAsk{ref: ViewRef{BranchID: branchID}, now: d.Now()})
	if err != nil {
		return DayNow{}, err
	}
	now := d.Now()
	out := DayNow{BranchID: branchID, Zone: v.zone.String(), Day: jobs.DayOf(now, v.zone), Now: now, PlanNumber: v.ref.PlanNumber}
	before, err := d.handedOf(ctx, v)
	if err != nil {
		return out, err
	}
	rolled, err := dispatch.Roll(v.w, before)
	if err != nil {
		return out, jobs.Wrap(jobs.CodeConflict, err, "What is to be expected can't be worked out")
	}
	rows, err := read(ctx, d, func(tx *store.Tx) (dayRows, error) { return readDayRows(tx, branchID, out.Day, v.zone) })
	if err != nil {
		return out, err
	}
	for _, t := range rows.tours {
		out.Crews = append(out.Crews, v.dayCrew(t, rows, rolled))
	}
	slices.SortFunc(out.Crews, func(a, b DayCrew) int { return strings.Compare(a.CrewName, b.CrewName) })
	for _, c := range out.Crews {
		for _, s := range c.Stops {
			if s.Late != nil && s.State == jobs.VisitRouted {
				out.Late = append(out.Late, s)
			}
		}
	}
	slices.SortStableFunc(out.Late, func(a, b DayStop) int { return int(*b.Late - *a.Late) })
	out.Says = out.words(v)
	return out, nil
}

func readDayRows(tx *store.Tx, branchID string, day jobs.Day, zone *time.Location) (dayRows, error) {
	r := dayRows{jobs: map[string]jobs.Job{}, visits: map[string]jobs.Visit{}}
	var err error
	if r.tours, err = tx.LiveTours(branchID, day, day); err != nil {
		return r, err
	}
	stops, err := tx.LiveStops(branchID, day.Start(zone))
	if err != nil {
		return r, err
	}
	var jobIDs, visitIDs []string
	for _, s := range stops {
		if slices.ContainsFunc(r.tours, func(t jobs.Tour) bool { return t.ID == s.TourID }) {
			r.stops = append(r.stops, s)
			jobIDs, visitIDs = append(jobIDs, s.JobID), append(visitIDs, s.VisitID)
		}
	}
	slices.SortFunc(r.stops, func(a, b jobs.Stop) int { return a.StartAt.Compare(b.StartAt) })
	if r.promises, err = tx.PromisesOf(visitIDs...); err != nil {
		return r, err
	}
	list, err := tx.JobsByID(jobIDs...)
	for _, j := range list {
		r.jobs[j.ID] = j
		for _, x := range j.Visits {
			r.visits[x.ID] = x
		}
	}
	return r, err
}

func (v *looked) dayCrew(t jobs.Tour, rows dayRows, r *dispatch.Rolled) DayCrew {
	id := tourID(t.CrewID, t.Day)
	out := DayCrew{CrewID: t.CrewID, CrewName: v.names.crew[t.CrewID], PlannedReturn: t.ReturnAt}
	for _, p := range r.Plan.Tours {
		if p.Tour == id {
			out.ExpectedReturn = v.at(p.Return)
		}
	}
	for _, o := range r.Overtime {
		if o.Tour == id {
			out.Overtime = o.Seconds
		}
	}
	for _, s := range rows.stops {
		if s.TourID == t.ID {
			out.Stops = append(out.Stops, v.dayStop(s, rows, r))
		}
	}
	out.Says = out.words(v.zone)
	return out
}

func (v *looked) dayStop(s jobs.Stop, rows dayRows, r *dispatch.Rolled) DayStop {
	j, x := rows.jobs[s.JobID], rows.visits[s.VisitID]
	out := DayStop{VisitName: jobs.VisitName{VisitID: x.ID, Kind: x.Kind, JobID: j.ID, JobNumber: j.Number, CustomerName: j.CustomerName, SiteName: j.SiteName},
		State: x.State, PlannedAt: s.StartAt, ExpectedAt: s.StartAt, ExpectedEnd: s.EndAt}
	switch {
	case !x.BegunAt.IsZero():
		out.ExpectedAt, out.ExpectedEnd = x.BegunAt, x.DoneAt
		if x.DoneAt.IsZero() {
			out.ExpectedEnd = v.underWayUntil(s)
		}
	default:
		for _, e := range r.Stops {
			if e.Visit == s.VisitID {
				out.ExpectedAt, out.ExpectedEnd = v.at(e.Start), v.at(e.End)
				if e.Waits > 0 {
					out.WaitsFor = e.For
				}
			}
		}
	}
	out.Behind = int64(out.ExpectedAt.Sub(s.StartAt) / time.Second)
	if p, ok := rows.promises[s.VisitID]; ok {
		out.PromiseFrom, out.PromiseTo = p.FromAt, p.ToAt
		if late := int64(out.ExpectedAt.Sub(p.ToAt) / time.Second); late > 0 {
			out.Late = &late
		}
	}
	out.Nobody = x.State == jobs.VisitRouted && slices.Contains(r.NoCrew, s.VisitID)
	out.Says = out.words(v.zone)
	return out
}

// underWayUntil is the forecast of a visit that is under way.
func (v *looked) underWayUntil(s jobs.Stop) time.Time {
	for _, t := range v.w.Tours {
		if t.Begun == nil {
			continue
		}
		for _, b := range t.Begun.Stops {
			if b.Visit == s.VisitID {
				return v.at(b.End)
			}
		}
	}
	return s.EndAt
}

func (s DayStop) words(zone *time.Location) string {
	who := upper(kindWord(s.Kind)) + " at " + s.SiteName
	switch {
	case s.State == jobs.VisitDone:
		return fmt.Sprintf("%s: done %s", who, clockOf(s.ExpectedEnd, zone))
	case s.State == jobs.VisitWasted:
		return fmt.Sprintf("%s: a wasted trip, left %s", who, clockOf(s.ExpectedEnd, zone))
	case s.Nobody:
		return who + ": nobody is there for it"
	case s.State == jobs.VisitUnderWay:
		return fmt.Sprintf("%s: under way since %s, done about %s", who, clockOf(s.ExpectedAt, zone), clockOf(s.ExpectedEnd, zone))
	}
	say := fmt.Sprintf("%s: about %s", who, clockOf(s.ExpectedAt, zone))
	if s.Behind >= 5*60 {
		say += ", " + span(s.Behind) + " later than told"
	}
	if s.WaitsFor != "" {
		say += ", waits for " + s.WaitsFor
	}
	if s.Late != nil {
		say += "; " + span(*s.Late) + " after the window that was promised"
	}
	return say
}

func (c DayCrew) words(zone *time.Location) string {
	done, late := 0, int64(0)
	for _, s := range c.Stops {
		if s.State == jobs.VisitDone || s.State == jobs.VisitWasted {
			done++
		} else if s.State == jobs.VisitRouted {
			late = max(late, s.Behind)
		}
	}
	say := fmt.Sprintf("%s: %d of %s done", c.CrewName, done, plural(int64(len(c.Stops)), "stop"))
	if late >= 5*60 {
		say += ", up to " + span(late) + " behind"
	}
	if !c.ExpectedReturn.IsZero() && done < len(c.Stops) {
		say += ", back about " + clockOf(c.ExpectedReturn, zone)
	}
	if c.Overtime >= 60 {
		say += ", " + span(c.Overtime) + " of it overtime"
	}
	return say
}

func (o DayNow) words(v *looked) string {
	if len(o.Crews) == 0 {
		return "Nobody goes out today."
	}
	alone := int64(0)
	for _, c := range o.Crews {
		for _, s := range c.Stops {
			if s.Nobody {
				alone++
			}
		}
	}
	var say []string
	if alone > 0 {
		say = append(say, fmt.Sprintf("Nobody is there for %s of today; mend the week.", plural(alone, "stop")))
	}
	if n := len(o.Late); n > 0 {
		s := o.Late[0]
		say = append(say, fmt.Sprintf("%s of today %s not kept as things stand; the latest is job %d, %s after its window.", plural(int64(n), "promised window"),
			map[bool]string{true: "is", false: "are"}[n == 1], s.JobNumber, span(*s.Late)))
	}
	if len(say) == 0 {
		return "Every promised window of today is kept as things stand."
	}
	return strings.Join(say, " ")
}
