package dispatch

import (
	"context"
	"errors"

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

// WhyOut says why a plan of the week leaves a job out. The error says that the plan does
// not leave it out.
func WhyOut(ctx context.Context, w *week.Week, p *week.Plan, job string) (Reasons, error) {
	return Reasons{}, errors.New("reasons are being built")
}
