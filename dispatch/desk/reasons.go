package desk

import (
	"context"
	"slices"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// Reasons are why a job is left out of a plan.
type Reasons struct {
	View ViewRef
	Job  jobs.Job
	Fits *Reason  // where it would fit as things stand; nil: nowhere
	Sets []Reason // smallest sets of facts that keep it out, at most three
	Says []string
}

// Reason is one of them.
type Reason struct {
	Facts    []string
	Text     string // for a dispatcher
	Customer string // could be told to the customer
	Delta    jobs.Cents
	CrewID   string // with the next two: where it would be converted then; empty: after the week
	CrewName string
	StartAt  time.Time
}

// Why says why a job is left out, and what would let it in. CodeInvalid,
// CodeNotFound, CodeConflict (it is in the plan).
func (d *Desk) Why(ctx context.Context, ref ViewRef, jobID string) (Reasons, error) {
	v, err := d.view(ctx, ref, "")
	if err != nil {
		return Reasons{}, err
	}
	out := Reasons{View: v.ref}
	if kept, ok := d.keptReasons(ctx, v, jobID); ok {
		out.Job, out.Says = kept.Job, kept.Reasons
		return out, nil
	}
	out.Job = v.names.job[jobID]
	switch {
	case v.hasJob(jobID) != nil:
		return out, jobs.Faults{{Field: "job_id", Value: jobID, Want: "a job of this plan's week"}}.Err()
	case !slices.ContainsFunc(v.p.LeftOut, func(l week.LeftOut) bool { return l.Job == jobID }):
		return out, jobs.Errorf(jobs.CodeConflict, "Job %d is in the plan", out.Job.Number)
	}
	got, err := dispatch.WhyOut(ctx, v.w, v.p, jobID)
	if err != nil {
		return out, err
	}
	for _, r := range got.Reasons {
		x := Reason{Facts: r.Facts, Text: r.Text, Customer: r.Customer, Delta: jobs.Cents(r.DeltaCents)}
		if r.Tour != "" {
			x.CrewID, x.CrewName, _ = v.names.tour(r.Tour)
			x.StartAt = v.at(r.Start)
		}
		out.Says = append(out.Says, r.Text)
		if len(r.Facts) == 0 && out.Fits == nil {
			out.Fits = &x
			continue
		}
		out.Sets = append(out.Sets, x)
	}
	if len(out.Says) == 0 {
		out.Says = []string{"It does not fit, and no few facts alone keep it out."}
		if !got.Looked {
			out.Says = []string{dispatch.NotLookedInto}
		}
	}
	return out, nil
}

// keptReasons are those of a job that could not even be put to the planner.
func (d *Desk) keptReasons(ctx context.Context, v *looked, jobID string) (keptOut, bool) {
	for _, k := range v.out {
		if k.Job.ID == jobID {
			return k, true
		}
	}
	if v.ref.DraftID == "" {
		return keptOut{}, false
	}
	draft, err := d.Draft(ctx, v.ref.DraftID)
	if err != nil {
		return keptOut{}, false
	}
	for _, k := range draft.KeptOut {
		if k.JobID == jobID {
			j, err := read(ctx, d, func(tx *store.Tx) (jobs.Job, error) { return tx.Job(jobID) })
			return keptOut{Job: j, Reasons: k.Reasons}, err == nil
		}
	}
	return keptOut{}, false
}
