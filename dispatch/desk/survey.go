package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// SiteSurvey is what is known of a site.
type SiteSurvey struct {
	Site   jobs.Site
	Survey jobs.Survey
	Lacks  []jobs.Lack
}

// sentSurvey is settleSurvey for what somebody sends: whoever sends a value has
// noted it, and now. What a value says of that itself would let one person sign
// for another. Values that are known already keep theirs in the store.
func sentSurvey(call Call, s jobs.Survey, zone string) (jobs.Survey, error) {
	s, err := settleSurvey(call, s, zone)
	if err != nil {
		return s, err
	}
	for _, sub := range s.Subjects {
		for name, v := range sub.Values {
			v.At, v.By = call.Now.Unix(), call.Actor.Name
			sub.Values[name] = v
		}
	}
	return s, nil
}

// settleSurvey checks a survey: in the site's zone, every value with who noted
// it and when.
func settleSurvey(call Call, s jobs.Survey, zone string) (jobs.Survey, error) {
	if s.Zone == "" {
		s.Zone = zone
	}
	if s.Zone != zone {
		return s, jobs.Faults{{Field: "zone", Value: s.Zone, Want: zone + ", the site's own zone"}}.Err()
	}
	s, err := s.Settle()
	if err != nil {
		return s, err
	}
	for _, sub := range s.Subjects {
		for name, v := range sub.Values {
			if v.At == 0 {
				v.At = call.Now.Unix()
			}
			if v.By == "" {
				v.By = call.Actor.Name
			}
			sub.Values[name] = v
		}
	}
	return s, nil
}

// mayVisit refuses a tech whose crew does not go to the site, as if there were
// none.
func mayVisit(tx *store.Tx, who jobs.Actor, siteID string) error {
	if who.Role != jobs.RoleTech {
		return nil
	}
	goes, err := tx.CrewGoesTo(who.CrewID, siteID)
	if err == nil && !goes {
		err = jobs.Errorf(jobs.CodeNotFound, "There is no such site")
	}
	return err
}

// Survey reads what is known of a site and what is still lacking. A tech sees
// the sites of the own crew's days. CodeNotFound.
func (d *Desk) Survey(ctx context.Context, who jobs.Actor, siteID string) (SiteSurvey, error) {
	return read(ctx, d, func(tx *store.Tx) (SiteSurvey, error) {
		site, err := tx.Site(siteID)
		if err != nil {
			return SiteSurvey{}, err
		}
		if err := mayVisit(tx, who, siteID); err != nil {
			return SiteSurvey{}, err
		}
		s, err := tx.Survey(site)
		return SiteSurvey{site, s, s.Lacks()}, err
	})
}

// ChangeSurvey makes survey what is known of a site; version is that of the
// survey which the caller read. Values that it changes or leaves out are kept
// as history. Jobs of the site that know no way of becoming low take the
// survey's, and what gates them is looked at again. CodeInvalid, CodeNotFound,
// CodeStale.
func (d *Desk) ChangeSurvey(ctx context.Context, call Call, siteID string, version int64, survey jobs.Survey) (Outcome, error) {
	site, err := read(ctx, d, func(tx *store.Tx) (jobs.Site, error) {
		s, err := tx.Site(siteID)
		if err != nil {
			return s, err
		}
		return s, mayVisit(tx, call.Actor, siteID)
	})
	if err != nil {
		return Outcome{}, err
	}
	if survey, err = sentSurvey(call, survey, site.Zone); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "changeSurvey", func(tx *store.Tx) (Outcome, error) {
		if err := mayVisit(tx, call.Actor, siteID); err != nil {
			return Outcome{}, err
		}
		return d.putSurvey(tx, call, site, version, survey)
	})
}

// putSurvey notes a settled survey and what follows from it for the site's
// jobs.
func (d *Desk) putSurvey(tx *store.Tx, call Call, site jobs.Site, version int64, survey jobs.Survey) (Outcome, error) {
	if err := tx.PutSurvey(site.ID, version, survey, call.Now, d.ids.New); err != nil {
		return Outcome{}, err
	}
	list, err := tx.JobsOfSite(site.ID)
	if err != nil {
		return Outcome{}, err
	}
	for _, j := range list {
		way := survey.WayLow()
		if way == jobs.LowNotKnown || j.WayLow != jobs.LowNotKnown {
			continue
		}
		if err := tx.HoldJob(j.ID); err != nil {
			return Outcome{}, err
		}
		if j, err = tx.Job(j.ID); err != nil {
			return Outcome{}, err
		}
		j.WayLow, j.UpdatedAt = way, call.Now
		if err := tx.UpdateJob(j); err != nil {
			return Outcome{}, err
		}
	}
	return Outcome{Noun: "survey", NounID: site.ID, Version: version + 1, BranchID: site.BranchID}, d.settleSite(tx, call, site.ID)
}
