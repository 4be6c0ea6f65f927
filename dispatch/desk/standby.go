package desk

import (
	"context"
	"errors"
	"fmt"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// StandbyJob is a job whose customer can come early.
type StandbyJob struct {
	Job       jobs.Job
	PlannedAt time.Time // when its work begins as planned; zero: it is left out
	CouldAt   time.Time // when it could begin earlier, no promise moved; zero: not
	CrewID    string
	CrewName  string
	Delta     jobs.Cents // of coming earlier
	Says      string
}

// mostStandby bounds how many jobs are looked at.
const mostStandby = 40

// Standby lists the jobs that can come early, and where a gap would take them.
// CodeInvalid, CodeNotFound, CodeConflict.
func (d *Desk) Standby(ctx context.Context, ref ViewRef) (ViewRef, []StandbyJob, error) {
	v, err := d.view(ctx, ref, "")
	if err != nil {
		return ref, nil, err
	}
	var out []StandbyJob
	for i := range v.w.Jobs {
		j := v.names.job[v.w.Jobs[i].ID]
		if !j.CanComeEarly || v.w.Jobs[i].Begun || len(out) == mostStandby {
			continue
		}
		x, err := v.standby(&v.w.Jobs[i], j)
		if err != nil {
			return v.ref, nil, err
		}
		out = append(out, x)
	}
	return v.ref, out, nil
}

func (v *looked) standby(w *week.Job, j jobs.Job) (StandbyJob, error) {
	out := StandbyJob{Job: j}
	first := w.Visits[0].ID
	_, s, planned := v.stopOf(first)
	change := dispatch.Change{Kind: dispatch.ChangeJobIn, Job: w.ID}
	if planned {
		out.PlannedAt = v.at(s.Start)
		_, last, _ := v.stopOf(offeredVisit(w))
		change = dispatch.Change{Kind: dispatch.ChangeJobEarlier, Job: w.ID, By: v.dayStart(v.dayOf(v.at(last.Start)))}
	}
	if planned && change.By <= v.w.T0 {
		out.Says = fmt.Sprintf("Job %d can't come earlier than %s.", j.Number, v.say(out.PlannedAt))
		return out, nil
	}
	got, err := v.warm.Try(change)
	var faults week.FieldErrors
	if errors.As(err, &faults) { // so early that the question makes no sense
		err = nil
	}
	if err != nil {
		return out, err
	}
	for _, m := range got.Moved {
		if got.Fits && m.Visit == first && m.Tour != "" {
			out.CouldAt, out.Delta = v.at(m.Start), jobs.Cents(got.After.Total-got.Before.Total)
			out.CrewID, out.CrewName, _ = v.names.tour(m.Tour)
		}
	}
	switch {
	case !out.CouldAt.IsZero() && len(got.Late) > 0:
		out.CouldAt, out.CrewID, out.CrewName, out.Delta = time.Time{}, "", "", 0
		out.Says = fmt.Sprintf("Job %d could only come earlier if a promise were broken.", j.Number)
	case !out.CouldAt.IsZero():
		out.Says = fmt.Sprintf("Job %d could begin %s with %s, %s.", j.Number, v.say(out.CouldAt), out.CrewName, more(int64(out.Delta)))
	default:
		out.Says = fmt.Sprintf("No gap takes job %d.", j.Number)
	}
	return out, nil
}
