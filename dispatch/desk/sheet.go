package desk

import (
	"context"
	"slices"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// PoolSheet is one page for a pool: what is known, what was handed out, what
// was done.
type PoolSheet struct {
	Job      JobView
	Site     jobs.Site
	Customer jobs.Customer
	Specs    []Spec
	Parts    []jobs.JobPart
	Strip    *LevelStrip // nil: nothing was handed out of its water
	Stops    []TodayStop // that were handed out
	Cautions []string
	Estimate *jobs.Estimate // kept; nil: none, or not for this reader
}

// mayWorkOn refuses a tech whose crew was never sent to the job, as if there
// were none.
func mayWorkOn(tx *store.Tx, who jobs.Actor, j jobs.Job) error {
	if who.Office() {
		return nil
	}
	ids := make([]string, len(j.Visits))
	for i, v := range j.Visits {
		ids[i] = v.ID
	}
	stops, err := tx.StopsOf(ids...)
	if err != nil {
		return err
	}
	if who.CrewID == "" || !slices.ContainsFunc(stops, func(s jobs.Stop) bool { return s.CrewID == who.CrewID }) {
		return jobs.Errorf(jobs.CodeNotFound, "There is no such job")
	}
	return nil
}

// PoolSheet reads a job's sheet. A tech sees the jobs of the own crew's days,
// without prices. CodeNotFound.
func (d *Desk) PoolSheet(ctx context.Context, who jobs.Actor, jobID string) (PoolSheet, error) {
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) (PoolSheet, error) {
		s := PoolSheet{}
		j, err := tx.Job(jobID)
		if err != nil {
			return s, err
		}
		if err := mayWorkOn(tx, who, j); err != nil {
			return s, err
		}
		views, err := viewed(tx, who, []jobs.Job{j})
		if err != nil {
			return s, err
		}
		s.Job = views[0]
		k, err := knowOf(tx, j)
		if err != nil {
			return s, err
		}
		if s.Customer, err = tx.Customer(j.CustomerID); err != nil {
			return s, err
		}
		if s.Parts, err = tx.JobParts(jobID); err != nil {
			return s, err
		}
		_, zone, err := branchZone(tx, j.BranchID)
		if err != nil {
			return s, err
		}
		s.Site, s.Specs, s.Cautions = k.site, specsOf(k.estimate, k.survey, k.drain, zone), cautionsOf(k.estimate)
		if s.Stops, err = stopsOfJob(tx, zone, j); err != nil {
			return s, err
		}
		if s.Strip, err = stripOf(tx, j, k, s.Stops, zone, now); err != nil {
			return s, err
		}
		if !who.Office() {
			s.Job.Value, s.Customer.Note = nil, ""
			return s, nil
		}
		if j.EstimateID == "" {
			return s, nil
		}
		kept, err := tx.Estimate(j.EstimateID)
		if err == nil {
			kept.Missing = lacksOf(k.survey, *k.estimate)
			s.Estimate = &kept
		}
		return s, err
	})
}

func stopsOfJob(tx *store.Tx, zone *time.Location, j jobs.Job) ([]TodayStop, error) {
	ids := make([]string, len(j.Visits))
	for i, v := range j.Visits {
		ids[i] = v.ID
	}
	stops, err := tx.StopsOf(ids...)
	if err != nil {
		return nil, err
	}
	stops = slices.DeleteFunc(stops, func(s jobs.Stop) bool { return !s.Live })
	slices.SortFunc(stops, func(a, b jobs.Stop) int { return a.StartAt.Compare(b.StartAt) })
	fill := filler{tx: tx, zone: zone}
	var list []TodayStop
	for _, s := range stops {
		one, err := fill.stop(s)
		if err != nil {
			return nil, err
		}
		list = append(list, one)
	}
	return list, nil
}

// stripOf draws a pool's water from when it may begin to fall until it covers
// the lights again.
func stripOf(tx *store.Tx, j jobs.Job, k knowing, stops []TodayStop, zone *time.Location, now time.Time) (*LevelStrip, error) {
	if k.drain == nil {
		return nil, nil
	}
	set, err := tx.Settings(j.BranchID)
	if err != nil {
		return nil, err
	}
	answers, err := tx.Answers(j.ID)
	if err != nil {
		return nil, err
	}
	v := weekViewer{facts: weekFacts{Zone: zone, Rules: set.Settings.Planning, Now: now}, visits: map[string]jobs.Visit{}}
	strip := LevelStrip{JobID: j.ID, JobNumber: j.Number, SiteName: j.SiteName, CustomerName: j.CustomerName, Drain: *k.drain}
	var live []jobs.Stop
	for _, s := range stops {
		live = append(live, s.Stop)
		v.visits[s.Visit.ID] = s.Visit
		strip.VisitIDs = append(strip.VisitIDs, s.Visit.ID)
	}
	if !k.drain.LimitAt.IsZero() {
		strip.LimitSays = "lights covered by " + k.drain.LimitAt.In(zone).Format("Mon 3:04 pm")
	}
	if n := len(answers); n > 0 {
		strip.Confirmed = string(answers[n-1].Kind)
	}
	from, _, _ := v.begin(*k.drain, live)
	to := k.drain.CoveredAt
	if to.IsZero() {
		to = k.drain.LimitAt
	}
	if !from.IsZero() && to.After(from) {
		strip.Points = v.points(*k.drain, live, from.Add(-6*time.Hour), to.Add(6*time.Hour))
	}
	return &strip, nil
}
