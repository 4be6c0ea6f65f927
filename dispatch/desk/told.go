package desk

import (
	"context"
	"slices"
	"time"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// toldPlan gathers what the notices of live rows need to know. list holds the
// jobs of the rows.
func toldPlan(tx *store.Tx, branchID string, after liveRows, list map[string]jobs.Job, now time.Time) (jobs.ToldPlan, error) {
	branch, zone, err := branchZone(tx, branchID)
	if err != nil {
		return jobs.ToldPlan{}, err
	}
	set, err := tx.Settings(branchID)
	if err != nil {
		return jobs.ToldPlan{}, err
	}
	p := jobs.ToldPlan{Now: now, BranchID: branchID, Zone: zone, ZoneName: branch.Zone, Planning: set.Settings.Planning, Company: set.Settings.Company}
	if p.Jobs, err = toldJobs(tx, after, list, zone, now); err != nil {
		return p, err
	}
	p.Days, err = crewsTold(tx, branchID, after, list, zone, now)
	return p, err
}

func toldJobs(tx *store.Tx, after liveRows, list map[string]jobs.Job, zone *time.Location, now time.Time) ([]jobs.ToldJob, error) {
	var out []jobs.ToldJob
	var siteIDs, customerIDs, estimateIDs, ids []string
	at := map[string]int{}
	for _, id := range sortedKeys(list) {
		j := list[id]
		if j.State == jobs.StateParked || j.State == jobs.StateDeclined {
			continue
		}
		at[id] = len(out)
		out = append(out, jobs.ToldJob{Job: j})
		ids, siteIDs, customerIDs = append(ids, id), append(siteIDs, j.SiteID), append(customerIDs, j.CustomerID)
		if j.EstimateID != "" {
			estimateIDs = append(estimateIDs, j.EstimateID)
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
	contacts, err := tx.Contacts(customerIDs...)
	if err != nil {
		return nil, err
	}
	estimates, err := tx.EstimatesByID(estimateIDs...)
	if err != nil {
		return nil, err
	}
	answers, err := tx.Answers(ids...)
	if err != nil {
		return nil, err
	}
	for i := range out {
		j := &out[i]
		for _, s := range sites {
			if s.ID == j.Job.SiteID {
				j.Site = s
			}
		}
		if j.Zone, err = time.LoadLocation(j.Site.Zone); err != nil {
			j.Zone, j.Site.Zone = zone, zone.String()
		}
		for _, c := range contacts {
			if c.CustomerID == j.Job.CustomerID {
				j.Contacts = append(j.Contacts, c)
			}
		}
		readPool(j, surveys[j.Job.SiteID])
		if kept, ok := estimates[j.Job.EstimateID]; ok {
			if e, err := estimate.Decode(kept.Body); err == nil {
				j.Hold = e.Clock.Hold
			}
		}
	}
	for _, a := range answers {
		if i, ok := at[a.JobID]; ok && a.At.After(refilledAfter(out[i].Job)) && (a.Kind == jobs.AnswerStarted || a.Kind == jobs.AnswerReached) {
			out[i].Started = true
		}
	}
	fillTold(out, at, after, now)
	return slices.DeleteFunc(out, func(j jobs.ToldJob) bool { return len(j.Visits) == 0 && j.Drain == nil }), nil
}

// readPool takes from the survey what a prep notice asks for.
func readPool(j *jobs.ToldJob, s jobs.Survey) {
	for _, body := range s.OfKind(jobs.SubjectBody) {
		j.Filler = j.Filler || body.Yes("filler")
	}
	for _, r := range s.OfKind(jobs.SubjectRefill) {
		if j.Opens = r.Choice("opens"); j.Opens != "" {
			j.Closes = r.Choice("closes")
			return
		}
	}
	if j.Opens == "" {
		j.Opens, j.Closes = "customer", "customer" // who stands beside the hose, unless somebody else was named
	}
}

// fillTold hangs stops, promises and drains under their jobs.
func fillTold(out []jobs.ToldJob, at map[string]int, after liveRows, now time.Time) {
	for _, s := range after.Stops {
		i, ok := at[s.JobID]
		if !ok {
			continue
		}
		v := jobs.ToldVisit{Stop: s}
		for _, known := range out[i].Job.Visits {
			if known.ID == s.VisitID {
				v.Visit = known
			}
		}
		for k := range after.Promises {
			if after.Promises[k].VisitID == s.VisitID {
				v.Promise = &after.Promises[k]
			}
		}
		if v.Visit.State == jobs.VisitDone && s.EndAt.Before(now.AddDate(0, 0, -toldDays/3)) || v.Visit.State == jobs.VisitWasted || v.Visit.State == jobs.VisitWithdrawn {
			continue
		}
		out[i].Visits = append(out[i].Visits, v)
	}
	for k := range after.Drains {
		d := after.Drains[k]
		if i, ok := at[d.JobID]; ok && (d.CoveredAt.IsZero() || d.CoveredAt.After(now.AddDate(0, 0, -toldDays/3))) {
			out[i].Drain = &d
		}
	}
	for i := range out {
		slices.SortFunc(out[i].Visits, func(a, b jobs.ToldVisit) int { return a.Stop.StartAt.Compare(b.Stop.StartAt) })
	}
}

// crewsTold are the crews' days from today on.
func crewsTold(tx *store.Tx, branchID string, after liveRows, list map[string]jobs.Job, zone *time.Location, now time.Time) ([]jobs.ToldDay, error) {
	crews, err := tx.Crews(branchID)
	if err != nil {
		return nil, err
	}
	people, err := tx.Persons(branchID)
	if err != nil {
		return nil, err
	}
	today := jobs.DayOf(now, zone)
	away, err := tx.Absences(branchID, today, today.Add(60))
	if err != nil {
		return nil, err
	}
	var out []jobs.ToldDay
	for _, t := range after.Tours {
		i := slices.IndexFunc(crews, func(c jobs.Crew) bool { return c.ID == t.CrewID })
		if t.Day < today || i < 0 {
			continue
		}
		d := jobs.ToldDay{Crew: crews[i], Tour: t}
		for _, p := range people {
			gone := slices.ContainsFunc(away, func(a jobs.Absence) bool { return a.PersonID == p.ID && a.Day == t.Day })
			if p.Active && slices.Contains(crews[i].People, p.ID) && !gone {
				d.People = append(d.People, p)
			}
		}
		var stops []jobs.Stop
		for _, s := range after.Stops {
			if s.TourID == t.ID {
				stops = append(stops, s)
			}
		}
		slices.SortFunc(stops, func(a, b jobs.Stop) int { return a.StartAt.Compare(b.StartAt) })
		for _, s := range stops {
			j := list[s.JobID]
			kind := jobs.VisitKind("")
			for _, v := range j.Visits {
				if v.ID == s.VisitID {
					kind = v.Kind
				}
			}
			d.Stops = append(d.Stops, jobs.StopFact{JobNumber: j.Number, Kind: kind, Site: j.SiteName, Start: s.StartAt.Unix(), End: s.EndAt.Unix()})
		}
		out = append(out, d)
	}
	return out, nil
}

// ToldLine says who must be told what when a draft is handed out.
type ToldLine struct {
	Who       string
	Reader    jobs.NoticeReader
	JobNumber int64 // 0: about no one job
	Kind      jobs.NoticeKind
	Says      string
	Change    jobs.ChangeKind
}

// Told says who would be told what if the draft were handed out now: what
// handing out would write, unwritten. CodeNotFound, CodeConflict (not planned
// yet, or overtaken).
func (d *Desk) Told(ctx context.Context, draftID string) ([]ToldLine, error) {
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) ([]ToldLine, error) {
		h, err := d.prepare(tx, draftID, 0, Call{Now: now, Actor: jobs.Actor{Role: jobs.RoleSystem}})
		if err != nil {
			return nil, err
		}
		out := make([]ToldLine, 0, len(h.steps))
		for _, s := range h.steps {
			if s.Want == nil {
				continue
			}
			n := h.notices[s.Want.Thing]
			out = append(out, ToldLine{Who: n.ToName, Reader: s.Want.Kind.Reader(), JobNumber: s.Want.Facts.JobNumber, Kind: s.Want.Kind,
				Says: n.Subject, Change: s.Change})
		}
		return out, nil
	})
}
