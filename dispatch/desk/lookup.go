package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// The filters of lists, for those above who do not know the store.
type (
	SiteFilter = store.SiteFilter
	JobFilter  = store.JobFilter
	PartFilter = store.PartFilter
)

// JobView is a job as somebody sees it: with what was handed out for its
// visits, and with the acts that this reader may ask for.
type JobView struct {
	jobs.Job
	Acts []jobs.Act
	Told map[string]store.VisitTold // by visit id
}

// Job reads one job. CodeNotFound.
func (d *Desk) Job(ctx context.Context, who jobs.Actor, id string) (JobView, error) {
	return read(ctx, d, func(tx *store.Tx) (JobView, error) {
		j, err := tx.Job(id)
		if err != nil {
			return JobView{}, err
		}
		list, err := viewed(tx, who, []jobs.Job{j})
		if err != nil {
			return JobView{}, err
		}
		return list[0], nil
	})
}

// Jobs reads a part of the list, the newest first.
func (d *Desk) Jobs(ctx context.Context, who jobs.Actor, filter store.JobFilter, page jobs.Page) (jobs.List[JobView], error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.List[JobView], error) {
		part, err := tx.Jobs(filter, page)
		if err != nil {
			return jobs.List[JobView]{}, err
		}
		items, err := viewed(tx, who, part.Items)
		return jobs.List[JobView]{Items: items, Next: part.Next}, err
	})
}

func viewed(tx *store.Tx, who jobs.Actor, list []jobs.Job) ([]JobView, error) {
	var ids, visits []string
	for _, j := range list {
		ids = append(ids, j.ID)
		for _, v := range j.Visits {
			visits = append(visits, v.ID)
		}
	}
	permits, err := tx.Permits(ids...)
	if err != nil {
		return nil, err
	}
	told, err := tx.VisitsTold(visits...)
	out := make([]JobView, len(list))
	for i, j := range list {
		out[i] = JobView{Job: j, Told: told, Acts: j.MayDo(who.Role, j.Standing(false, permits[j.ID].Needed == jobs.Yes))}
	}
	return out, err
}

// VisitView is a visit with what was handed out for it.
type VisitView struct {
	jobs.Visit
	Told *store.VisitTold // nil: nobody was told
}

// Visit reads one visit. CodeNotFound.
func (d *Desk) Visit(ctx context.Context, id string) (VisitView, error) {
	return read(ctx, d, func(tx *store.Tx) (VisitView, error) {
		v, err := tx.Visit(id)
		if err != nil {
			return VisitView{}, err
		}
		told, err := tx.VisitsTold(id)
		out := VisitView{Visit: v}
		if t, ok := told[id]; ok {
			out.Told = &t
		}
		return out, err
	})
}

// JobHistory reads what was done to a job, its visits and its papers, the
// newest first. CodeNotFound.
func (d *Desk) JobHistory(ctx context.Context, id string, page jobs.Page) (jobs.List[jobs.AuditEntry], error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.List[jobs.AuditEntry], error) {
		j, err := tx.Job(id)
		if err != nil {
			return jobs.List[jobs.AuditEntry]{}, err
		}
		ids := []string{id, j.SiteID}
		for _, v := range j.Visits {
			ids = append(ids, v.ID)
		}
		quotes, err := tx.Quotes(id)
		if err != nil {
			return jobs.List[jobs.AuditEntry]{}, err
		}
		for _, q := range quotes {
			ids = append(ids, q.ID, q.EstimateID)
		}
		return tx.AuditOf(ids, page)
	})
}
