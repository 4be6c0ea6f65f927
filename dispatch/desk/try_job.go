package desk

import (
	"context"
	"slices"
	"strings"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// newJob states a job as things stand now for a week that was put together
// before; with one more reading of its water, if that is given.
func (d *Desk) newJob(ctx context.Context, v *looked, jobID string, r *jobs.Reading) (*dispatch.NewJob, error) {
	facts, err := read(ctx, d, func(tx *store.Tx) (weekFacts, error) {
		now := d.Now()
		f, err := d.readYard(tx, v.ask.branch(), v.first, len(v.w.Days), now)
		if err != nil {
			return f, err
		}
		f.Jobs, err = readJobFacts(tx, v.ask.branch(), f.Zone, now)
		return f, err
	})
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(facts.Jobs, func(j jobFacts) bool { return j.Job.ID == jobID })
	if i < 0 {
		return nil, wrong("job_id", jobID, "a job of this branch of which a visit waits for a crew")
	}
	if r != nil {
		facts.Jobs[i].Readings = append(facts.Jobs[i].Readings, *r)
	}
	m := &weekMaker{facts: facts, base: v.base, homes: map[string]jobs.Home{}, kinds: map[jobs.VisitKind]jobs.VisitKindInfo{}}
	w := *v.w
	w.Skills = slices.Clone(w.Skills)
	m.w = &w
	for _, k := range facts.Kinds {
		m.kinds[k.ID] = k
	}
	m.meanValue()
	job, reasons := m.job(&facts.Jobs[i])
	if job == nil {
		return nil, jobs.Errorf(jobs.CodeConflict, "Job %d can't be planned yet: %s", facts.Jobs[i].Job.Number, strings.Join(reasons, "; "))
	}
	out := &dispatch.NewJob{Job: *job}
	site := facts.Jobs[i].Site
	if slices.ContainsFunc(v.w.Places, func(p week.Place) bool { return p.ID == site.ID }) {
		return out, nil
	}
	place, err := v.newPlace(facts, site)
	if err != nil {
		return nil, err
	}
	out.Places = []dispatch.NewPlace{place}
	return out, nil
}

// newPlace measures the drives between a site and the places of a week.
func (v *looked) newPlace(f weekFacts, site jobs.Site) (dispatch.NewPlace, error) {
	at := map[string]spot{}
	for _, h := range f.Homes {
		at[h.ID] = spot{point{h.LatE7, h.LonE7}, true}
	}
	for i := range f.Jobs {
		if s := f.Jobs[i].Site; s.LatE7 != nil && s.LonE7 != nil {
			at[s.ID] = spot{point{*s.LatE7, *s.LonE7}, false}
		}
	}
	points := make([]spot, 0, len(v.w.Places)+1)
	for _, p := range v.w.Places {
		x, ok := at[p.ID]
		if !ok {
			return dispatch.NewPlace{}, jobs.Errorf(jobs.CodeConflict, "The plan is too old for this job; plan again")
		}
		points = append(points, x)
	}
	points = append(points, spot{point{*site.LatE7, *site.LonE7}, false})
	l, n := f.legs(points), len(v.w.Places)
	out := dispatch.NewPlace{Place: week.Place{ID: site.ID, Label: site.Label(), Area: jobs.FoldKey(site.Postcode), OffRoad: l.offRoad[n]},
		ToSeconds: slices.Clone(l.seconds[n][:n]), ToMetres: slices.Clone(l.metres[n][:n])}
	for i := range n {
		out.FromSeconds, out.FromMetres = append(out.FromSeconds, l.seconds[i][n]), append(out.FromMetres, l.metres[i][n])
	}
	return out, nil
}
