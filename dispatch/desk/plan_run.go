package desk

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// RunLease is how long a planning run belongs to a worker that says nothing:
// after that another may take it over. A search reports about once a second.
const RunLease = 30 * time.Second

// RunPlan works on a planning run until it is done: it claims the run, puts the
// week together as things stand now, searches outside any transaction, writes
// progress about once a second, stops when asked, and keeps the plan with the
// draft. report is told of progress too; it may be nil. A run that another
// holds, or that is over, is left alone without an error. When ctx ends first,
// the run stays for whoever comes after the lease.
func (d *Desk) RunPlan(ctx context.Context, runID string, report func(jobs.PlanRun)) error {
	now := d.Now()
	var run jobs.PlanRun
	mine := false
	err := d.store.InTx(ctx, func(tx *store.Tx) (err error) {
		run, mine, err = tx.ClaimRun(runID, RunLease, now)
		return err
	})
	if err != nil || !mine {
		return err
	}
	if report == nil {
		report = func(jobs.PlanRun) {}
	}
	draft, w, p, err := d.search(ctx, &run, report)
	if err != nil && ctx.Err() != nil {
		return ctx.Err()
	}
	if errors.Is(err, errTakenOver) {
		return nil
	}
	return d.endRun(ctx, run, draft, w, p, err, report)
}

// errTakenOver says that another worker holds the run by now.
var errTakenOver = errors.New("another worker has taken this planning run over")

// search puts the week together and plans it. The draft comes back with the
// plan number that the week was made from.
func (d *Desk) search(ctx context.Context, run *jobs.PlanRun, report func(jobs.PlanRun)) (jobs.Draft, *week.Week, *week.Plan, error) {
	draft, err := d.Draft(ctx, run.DraftID)
	if err != nil {
		return draft, nil, nil, err
	}
	if !draft.Open() {
		return draft, nil, nil, jobs.Errorf(jobs.CodeConflict, "The draft is %s", draftWord(draft.State))
	}
	call := Call{Now: d.Now()}.asSystem()
	if _, err := d.SettleDay(ctx, call, run.BranchID); err != nil {
		return draft, nil, nil, err
	}
	w, out, number, err := d.buildWeek(ctx, run.BranchID, draft.NewDraft, call)
	if err != nil {
		return draft, nil, nil, err
	}
	draft.BasePlanNumber, draft.KeptOut = number, keptWith(out)

	limit := time.Duration(run.Seconds) * time.Second
	limit -= min(limit/10, reasonsFor) + dispatch.AfterSearch(w)
	searching, stop := context.WithCancel(ctx)
	defer stop()
	begin := d.Now()
	last := begin
	var lost error
	w, p, err := d.solve(searching, run, draft, w, dispatch.Options{Seed: run.Seed, Strands: int(run.Strands), Rounds: int(run.Rounds), NoReasons: true,
		Progress: func(now dispatch.Progress) {
			run.DoneRounds, run.Best = int64(now.Round), cents(now.CostCents)
			run.Placed, run.LeftOut = count(now.Placed), count(now.LeftOut)
			at := d.Now()
			if at.Sub(begin) >= limit {
				stop()
			}
			if at.Sub(last) < time.Second && now.Round != 1 {
				return
			}
			last = at
			run.Heads = costHeads(now.Cost)
			run.Note(runPoint(run, at.Sub(begin), now.Cost))
			asked, err := d.reportRun(ctx, *run)
			switch {
			case err != nil && jobs.CodeOf(err) == jobs.CodeConflict:
				lost = errTakenOver
				stop()
			case err == nil && asked:
				run.StopAsked = true
				stop()
			}
			report(*run)
		}})
	if lost != nil {
		return draft, nil, nil, lost
	}
	if p != nil {
		dispatch.Explain(ctx, w, p)
		p.ElapsedMS = d.Now().Sub(begin).Milliseconds()
		run.Note(runPoint(run, d.Now().Sub(begin), p.Cost))
	}
	return draft, w, p, err
}

// reasonsFor is what is kept of a run's time for why jobs are left out, at most.
const reasonsFor = 2 * time.Second

func cents(n int64) *jobs.Cents { c := jobs.Cents(n); return &c }

func count(n int) *int64 { c := int64(n); return &c }

// reportRun writes progress in a short transaction of its own.
func (d *Desk) reportRun(ctx context.Context, run jobs.PlanRun) (stop bool, err error) {
	err = d.store.InTx(ctx, func(tx *store.Tx) (err error) {
		stop, err = tx.ReportRun(run, RunLease)
		return err
	})
	return stop, err
}

// endRun keeps the plan with its draft and marks the run, both or neither.
func (d *Desk) endRun(ctx context.Context, run jobs.PlanRun, draft jobs.Draft, w *week.Week, p *week.Plan, failed error, report func(jobs.PlanRun)) error {
	now := d.Now()
	run.State, run.EndedAt = jobs.RunDone, now
	var weekText, planText []byte
	if failed == nil {
		if run.StopAsked {
			run.State = jobs.RunStopped
		}
		var err error
		if weekText, err = json.Marshal(w); err != nil {
			return err
		}
		if planText, err = json.Marshal(p); err != nil {
			return err
		}
		run.Best, run.LeftOut, run.Heads = cents(p.Cost.Total), count(len(p.LeftOut)), costHeads(p.Cost)
		run.Placed, run.DoneRounds = count(len(w.Jobs)-len(p.LeftOut)), int64(p.Rounds)
	} else {
		run.State, run.Error = jobs.RunFailed, failed.Error()
	}
	err := d.store.InTx(ctx, func(tx *store.Tx) error {
		if err := tx.EndRun(run); err != nil {
			return err
		}
		if failed != nil {
			return settleDraft(tx, run, Call{Now: now})
		}
		held, err := tx.Draft(draft.ID)
		if err != nil {
			return err
		}
		if !held.Open() {
			return nil // dropped meanwhile; the run is over all the same
		}
		held.Week, held.Plan, held.State, held.BasePlanNumber = string(weekText), string(planText), jobs.DraftPlanned, draft.BasePlanNumber
		held.KeptOut, held.Upset = draft.KeptOut, draft.Upset
		held.Cost, held.LeftOut, held.UpdatedAt = cents(p.Cost.Total), count(len(p.LeftOut)), now
		return tx.UpdateDraft(held)
	})
	if jobs.CodeOf(err) == jobs.CodeConflict {
		return nil // another worker holds it by now
	}
	if err == nil {
		report(run)
	}
	return err
}

// costHeads are the heads of a plan's cost that cost something, with the words
// for them.
func costHeads(c week.Cost) []jobs.CostHead {
	var out []jobs.CostHead
	for _, h := range []struct {
		head, label string
		cents       int64
	}{
		{"driving", "driving", c.Driving}, {"paid_time", "crews' paid time", c.PaidTime}, {"overtime", "overtime", c.Overtime},
		{"waiting", "jobs that wait", c.Waiting}, {"late", "past their due day", c.Late}, {"left_out", "left out of the plan", c.LeftOut},
		{"promises", "promises moved", c.Promises}, {"told_anew", "crews told anew", c.ToldAnew}, {"low", "pools standing low", c.Low},
		{"owed", "commissions owed", c.Owed}, {"rule_breaks", "rules broken where nothing else was left", c.RuleBreaks},
	} {
		if h.cents != 0 {
			out = append(out, jobs.CostHead{Head: h.head, Label: h.label, Cents: jobs.Cents(h.cents)})
		}
	}
	return out
}
