package desk

import (
	"context"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/odds"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// solve plans a run's week in the way that was asked for: anew, with a wanted
// chance of keeping promises, or with the least change of what was handed out.
func (d *Desk) solve(ctx context.Context, run *jobs.PlanRun, draft jobs.Draft, w *week.Week, o dispatch.Options) (*week.Week, *week.Plan, error) {
	switch {
	case run.Mode == jobs.RunMend && draft.BasePlanNumber > 0:
		return d.mendPlan(ctx, draft, w, o)
	case run.KeepPermille > 0:
		kept, err := dispatch.SolveFor(ctx, w, o, dispatch.KeepAsk{Permille: run.KeepPermille, Odds: odds.Ask{Seed: run.Seed}})
		if err != nil {
			return w, nil, err
		}
		run.Kept = &kept.Least
		return w, kept.Plan, nil
	}
	p, err := dispatch.Solve(ctx, w, o)
	return w, p, err
}

// mendPlan searches from what was handed out.
func (d *Desk) mendPlan(ctx context.Context, draft jobs.Draft, w *week.Week, o dispatch.Options) (*week.Week, *week.Plan, error) {
	ask := dispatch.MendAsk{Week: w, Options: o}
	// What is searched for is of use even if ctx ends while this is read.
	err := d.store.View(context.WithoutCancel(ctx), func(tx *store.Tx) error {
		last, err := d.handed(tx, draft.BranchID, draft.BasePlanNumber)
		if err != nil {
			return err
		}
		_, zone, err := branchZone(tx, draft.BranchID)
		if err != nil {
			return err
		}
		ask.Before = shifted(last.plan, last.FirstDay.Start(zone).Unix()-draft.FirstDay.Start(zone).Unix())
		ask.Early, err = comeEarly(tx, w)
		return err
	})
	if err != nil {
		return w, nil, err
	}
	m, err := dispatch.Mend(ctx, ask)
	if err != nil {
		return w, nil, err
	}
	if u := draft.Upset; u != nil {
		u.Stood, u.Early = cents(m.CostStood.Total), nil
		err := d.store.View(context.WithoutCancel(ctx), func(tx *store.Tx) error {
			list, err := tx.JobsByID(m.Standby...)
			for _, j := range list {
				u.Early = append(u.Early, jobs.UpsetJob{JobID: j.ID, JobNumber: j.Number, CustomerName: j.CustomerName, SiteName: j.SiteName})
			}
			return err
		})
		if err != nil {
			return w, nil, err
		}
	}
	return m.Week, m.Plan, nil
}

// comeEarly are the jobs of a week that can come early.
func comeEarly(tx *store.Tx, w *week.Week) ([]string, error) {
	ids := make([]string, len(w.Jobs))
	for i := range w.Jobs {
		ids[i] = w.Jobs[i].ID
	}
	list, err := tx.JobsByID(ids...)
	var out []string
	for _, j := range list {
		if j.CanComeEarly {
			out = append(out, j.ID)
		}
	}
	return out, err
}

// shifted is a plan whose week began so many seconds after another one, in that
// one's instants.
func shifted(p *week.Plan, by int64) *week.Plan {
	if by == 0 {
		return p
	}
	q := *p
	q.Tours = make([]week.PlanTour, len(p.Tours))
	for i, t := range p.Tours {
		t.Depart, t.HeadHome, t.Return = t.Depart+by, t.HeadHome+by, t.Return+by
		if t.Lunch != nil {
			t.Lunch = &week.LunchTaken{Start: t.Lunch.Start + by, Inside: t.Lunch.Inside}
		}
		stops := make([]week.Stop, len(t.Stops))
		for k, s := range t.Stops {
			s.Leave, s.Arrive, s.Start, s.End = s.Leave+by, s.Arrive+by, s.Start+by, s.End+by
			stops[k] = s
		}
		t.Stops = stops
		q.Tours[i] = t
	}
	q.Told = make([]week.Told, len(p.Told))
	for i, t := range p.Told {
		q.Told[i] = week.Told{Job: t.Job, Earliest: t.Earliest + by, Latest: t.Latest + by}
	}
	q.Water, q.Owed = nil, nil // what follows from the rest is worked out anew
	return &q
}

// runPoint is a moment of a run.
func runPoint(run *jobs.PlanRun, since time.Duration, cost week.Cost) jobs.RunPoint {
	return jobs.RunPoint{ElapsedMS: since.Milliseconds(), Round: run.DoneRounds, Total: jobs.Cents(cost.Total), LeftOut: run.LeftOut, Heads: costHeads(cost)}
}
