package server

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"ebbline/jobs"
	"ebbline/server/api"
)

// streamPing is how often a silent stream shows that it is alive; streamWrite
// how long one event may take to leave.
const (
	streamPing  = 15 * time.Second
	streamWrite = 10 * time.Second
)

// GET /plan-runs/{id}/events. Office. Each change of the run is one event
// "run" whose data is the run as GET /plan-runs/{id} gives it; the stream ends
// with the run.
func (h *handlers) FollowPlanRun(ctx context.Context, r api.FollowPlanRunRequestObject) (api.FollowPlanRunResponseObject, error) {
	run, err := h.s.Desk.PlanRun(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	request := ginOf(ctx).Request.Context()
	poll := h.s.StreamPoll
	if poll <= 0 {
		poll = 500 * time.Millisecond
	}
	return runStream{ctx: request, ending: h.s.ending, run: run, poll: poll,
		ask: func() (jobs.PlanRun, error) { return h.s.Desk.PlanRun(request, r.ID) }}, nil
}

// runStream writes a run's progress until it is over or nobody listens.
type runStream struct {
	ctx    context.Context
	ending <-chan struct{}
	run    jobs.PlanRun
	poll   time.Duration
	ask    func() (jobs.PlanRun, error)
}

// VisitFollowPlanRunResponse writes the events (WHATWG HTML, 9.2).
func (s runStream) VisitFollowPlanRunResponse(w http.ResponseWriter) error {
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("X-Accel-Buffering", "no")
	w.WriteHeader(http.StatusOK)
	out := http.NewResponseController(w)
	send := func(text string) error {
		// A server that can't set deadlines has none to run into.
		_ = out.SetWriteDeadline(time.Now().Add(streamWrite))
		if _, err := fmt.Fprint(w, text); err != nil {
			return err
		}
		return out.Flush()
	}
	tick := time.NewTicker(s.poll)
	defer tick.Stop()
	quiet, last := time.Duration(0), ""
	for {
		data, err := json.Marshal(toPlanRun(s.run))
		if err != nil {
			return nil
		}
		if event := string(data); event != last {
			if err := send("event: run\ndata: " + event + "\n\n"); err != nil {
				return nil // nobody listens any more
			}
			last, quiet = event, 0
		} else if quiet += s.poll; quiet >= streamPing {
			if err := send(": still here\n\n"); err != nil {
				return nil
			}
			quiet = 0
		}
		if s.run.Over() {
			return nil
		}
		select {
		case <-s.ctx.Done():
			return nil
		case <-s.ending: // the listener asks again, of another process or later
			return nil
		case <-tick.C:
		}
		if s.run, err = s.ask(); err != nil {
			return nil // the listener asks again
		}
	}
}
