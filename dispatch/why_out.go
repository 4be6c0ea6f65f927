package dispatch

import (
	"context"
	"fmt"

	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// Reasons are why a job is left out of a plan.
type Reasons struct {
	Job string `json:"job"`
	// Looked is false where ctx ended before the job was looked into.
	Looked bool `json:"looked"`
	// Reasons: one without facts says that the job fits as things are and what it costs.
	// Otherwise each is a smallest set of facts that keeps the job out: with all of them
	// granted it fits, with any one of them not granted it does not. None: not even all
	// facts granted let it in.
	Reasons []week.Reason `json:"reasons"`
}

// WhyOut says why a plan of the week leaves a job out; see [Explain]. The error says that
// the plan does not leave it out, or is no plan of the week.
func WhyOut(ctx context.Context, w *week.Week, p *week.Plan, job string) (Reasons, error) {
	out := false
	for i := range p.LeftOut {
		out = out || p.LeftOut[i].Job == job
	}
	if !out {
		return Reasons{}, fmt.Errorf("job: %q is not left out of the plan", job)
	}
	fits, ok := search.Why(ctx, w, p, job)[job]
	switch {
	case !ok && ctx.Err() == nil:
		return Reasons{}, fmt.Errorf("plan: it is not one of the week, or %q is no job of it", job)
	case !ok:
		return Reasons{Job: job, Reasons: []week.Reason{}}, nil
	}
	r := Reasons{Job: job, Looked: true, Reasons: reasons(w, job, fits)}
	if r.Reasons == nil {
		r.Reasons = []week.Reason{}
	}
	return r, nil
}
