package desk

import (
	"time"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// weekFacts is everything that a week is made from, read in one snapshot.
type weekFacts struct {
	Branch     jobs.Branch
	Zone       *time.Location
	Now        time.Time
	FirstDay   jobs.Day
	Days       int
	PlanNumber int64 // of the plan that was handed out last; 0: none was
	Rules      jobs.PlanningSettings
	Labour     estimate.LabourSettings
	Homes      []jobs.Home
	Persons    []jobs.Person
	Crews      []jobs.Crew
	Pumps      []jobs.Pump
	Absences   []jobs.Absence
	Closures   []jobs.Closure
	DayFacts   []jobs.DayFact
	Kinds      []jobs.VisitKindInfo
	Jobs       []jobFacts
	Tours      []jobs.Tour // live, of the days
	Stops      []jobs.Stop // live, that end today or later
	Promises   []jobs.Promise
	Drives     drives      // how drives are measured
	Holds      []jobs.Hold // live: held for a caller, or booked
}

// jobFacts is one job with what its planning needs.
type jobFacts struct {
	Job       jobs.Job
	Site      jobs.Site
	Zone      *time.Location // the site's
	Survey    jobs.Survey
	Estimate  *estimate.Estimate // nil: none was kept
	NotBefore jobs.Day           // from the gating facts; empty: none
	NotAfter  jobs.Day
	Drain     *jobs.Drain // live; nil: none
	Answers   []jobs.Answer
	Readings  []jobs.Reading              // oldest first
	Records   map[string]jobs.FieldRecord // by visit
}

// plannedStates are the states of jobs that a week looks at.
var plannedStates = []jobs.State{jobs.StateEnquiry, jobs.StateSurveyed, jobs.StateQuoted, jobs.StateReady, jobs.StateRouted, jobs.StateUnderWay, jobs.StateMadeSafe,
	jobs.StateConverted, jobs.StateAwaitingInspection}

// dry is how far past the horizon water may still be on its way: a pool drained
// on the last day is filled again long before.
const dry = 45

// readYard reads what a week of a branch is made from, but for its jobs.
func (d *Desk) readYard(tx *store.Tx, branchID string, first jobs.Day, days int, now time.Time) (weekFacts, error) {
	f := weekFacts{Now: now, FirstDay: first, Days: days}
	var err error
	if f.Branch, f.Zone, err = branchZone(tx, branchID); err != nil {
		return f, err
	}
	rules, err := tx.Settings(branchID)
	if err != nil {
		return f, err
	}
	f.Rules = rules.Settings.Planning
	set, err := estimateSettings(rules)
	if err != nil {
		return f, err
	}
	f.Labour = set.Labour
	from, to := first.Start(f.Zone), first.Add(days).Start(f.Zone)
	today := jobs.DayOf(now, f.Zone).Start(f.Zone)
	for _, ask := range []func() error{
		func() (err error) { f.PlanNumber, err = tx.LastPlanNumber(branchID); return err },
		func() (err error) { f.Homes, err = tx.Homes(branchID); return err },
		func() (err error) { f.Persons, err = tx.Persons(branchID); return err },
		func() (err error) { f.Crews, err = tx.Crews(branchID); return err },
		func() (err error) { f.Pumps, err = tx.Pumps(branchID); return err },
		func() (err error) { f.Absences, err = tx.Absences(branchID, first, first.Add(days)); return err },
		func() (err error) {
			f.Closures, err = tx.Closures(branchID, from.Add(-dry*24*time.Hour), to.Add(dry*24*time.Hour))
			return err
		},
		func() (err error) {
			f.DayFacts, err = tx.DayFacts(branchID, first.Add(-7), first.Add(days+7))
			return err
		},
		func() (err error) { f.Kinds, err = tx.VisitKinds(); return err },
		func() (err error) { f.Tours, err = tx.LiveTours(branchID, first, first.Add(days-1)); return err },
		func() (err error) { f.Stops, err = tx.LiveStops(branchID, earlier(from, today)); return err },
		func() (err error) { f.Promises, err = tx.LivePromises(branchID); return err },
		func() (err error) { f.Holds, err = tx.LiveHolds(branchID, now); return err },
	} {
		if err := ask(); err != nil {
			return f, err
		}
	}
	f.Drives, err = d.drivesOf(tx, &f)
	return f, err
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// readJobFacts reads the jobs that a week looks at, by a fixed number of
// statements however many there are.
func readJobFacts(tx *store.Tx, branchID string, zone *time.Location, now time.Time) ([]jobFacts, error) {
	list, err := tx.JobsIn(branchID, plannedStates...)
	if err != nil {
		return nil, err
	}
	out := make([]jobFacts, 0, len(list))
	var ids, siteIDs, estimateIDs, visitIDs []string
	for _, j := range list {
		if len(j.Plannable()) == 0 {
			continue
		}
		out = append(out, jobFacts{Job: j, Records: map[string]jobs.FieldRecord{}})
		ids, siteIDs = append(ids, j.ID), append(siteIDs, j.SiteID)
		if j.EstimateID != "" {
			estimateIDs = append(estimateIDs, j.EstimateID)
		}
		for _, v := range j.Visits {
			if !v.BegunAt.IsZero() {
				visitIDs = append(visitIDs, v.ID)
			}
		}
	}
	sites, err := tx.SitesByID(siteIDs...)
	if err != nil {
		return nil, err
	}
	surveys, err := tx.Surveys(sites...)
	if err != nil {
		return nil, err
	}
	estimates, err := tx.EstimatesByID(estimateIDs...)
	if err != nil {
		return nil, err
	}
	drains, err := tx.LiveDrains(branchID)
	if err != nil {
		return nil, err
	}
	answers, err := tx.Answers(ids...)
	if err != nil {
		return nil, err
	}
	readings, err := tx.Readings(ids...)
	if err != nil {
		return nil, err
	}
	records, err := tx.RecordsByVisit(visitIDs...)
	if err != nil {
		return nil, err
	}
	limits, err := limitsOf(tx, list, now)
	if err != nil {
		return nil, err
	}
	at, place := map[string]int{}, map[string]jobs.Site{}
	for _, s := range sites {
		place[s.ID] = s
	}
	for i := range out {
		j := &out[i]
		at[j.Job.ID] = i
		j.Site, j.Survey = place[j.Job.SiteID], surveys[j.Job.SiteID]
		if j.Zone, err = time.LoadLocation(j.Site.Zone); err != nil {
			j.Zone = zone
		}
		if kept, ok := estimates[j.Job.EstimateID]; ok {
			e, err := estimate.Decode(kept.Body)
			if err != nil {
				return nil, jobs.Wrap(jobs.CodeInternal, err, "A kept estimate can't be read")
			}
			j.Estimate = &e
		}
		j.NotBefore, j.NotAfter = limits[j.Job.ID].notBefore, limits[j.Job.ID].notAfter
		for _, v := range j.Job.Visits {
			if r, ok := records[v.ID]; ok {
				j.Records[v.ID] = r
			}
		}
	}
	for _, d := range drains {
		if i, ok := at[d.JobID]; ok {
			out[i].Drain = &d
		}
	}
	for _, a := range answers {
		if i, ok := at[a.JobID]; ok {
			out[i].Answers = append(out[i].Answers, a)
		}
	}
	for _, r := range readings {
		if i, ok := at[r.JobID]; ok && r.At.After(refilledAfter(out[i].Job)) {
			out[i].Readings = append(out[i].Readings, r)
		}
	}
	return out, nil
}
