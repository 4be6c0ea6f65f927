package desk

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// MendAsk says what happened to what a branch handed out. PlanNumber is the plan
// that the caller sees.
type MendAsk struct {
	BranchID   string
	PlanNumber int64
	Change     jobs.WeekChange
	Run        jobs.RunData // seconds 0: five
}

// mendSeconds is how long is searched where nobody says.
const mendSeconds = 5

// Mend records what happened as what it is, opens a draft from what was handed
// out and starts a run in mend mode for it, all or nothing. The draft says what
// it would come to if nobody did anything. Nobody is told anything until the
// draft is handed out, but for the people of a job that is taken out: they hear
// at once that it is off, as when it is parked or declined by itself. CodeInvalid,
// CodeNotFound, CodeConflict (the plan is not the newest, its days are over).
func (d *Desk) Mend(ctx context.Context, call Call, ask MendAsk) (Outcome, error) {
	if out, done, err := d.before(ctx, call, "mendWeek"); done || err != nil {
		return out, err
	}
	if ask.Run.Seconds == 0 {
		ask.Run.Seconds = mendSeconds
	}
	ask.Change, ask.Run.Mode = ask.Change.Clean(), jobs.RunMend
	ask.Run = ask.Run.Clean()
	if err := ask.check(); err != nil {
		return Outcome{}, err
	}
	v, err := d.viewOf(ctx, viewAsk{ref: ViewRef{BranchID: ask.BranchID, PlanNumber: ask.PlanNumber}, now: call.Now})
	if err != nil {
		return Outcome{}, err
	}
	rec, err := d.recording(ctx, call, v, ask.Change)
	if err != nil {
		return Outcome{}, err
	}
	w, out, err := makeWeek(rec.facts)
	if err != nil {
		return Outcome{}, err
	}
	upset := &jobs.Upset{Kind: ask.Change.Kind, Says: rec.says, Recorded: rec.recorded()}
	if upset.Untouched, err = d.untouched(ctx, v, w); err != nil {
		return Outcome{}, err
	}
	text, err := json.Marshal(w)
	if err != nil {
		return Outcome{}, err
	}
	draft := jobs.Draft{ID: d.ids.New(), BranchID: ask.BranchID, NewDraft: jobs.NewDraft{FirstDay: v.first, Days: int64(len(v.w.Days))},
		BasePlanNumber: v.ref.PlanNumber, Week: string(text), KeptOut: keptWith(out), State: jobs.DraftPlanning, Upset: upset,
		MadeBy: call.Actor.Name, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	run := jobs.PlanRun{ID: d.ids.New(), BranchID: ask.BranchID, DraftID: draft.ID, DraftVersion: 1, RunData: ask.Run, State: jobs.RunWaiting,
		AskedBy: call.Actor.Name, CreatedAt: call.Now}
	made, err := d.act(ctx, call, "mendWeek", func(tx *store.Tx) (Outcome, error) {
		if err := tx.HoldBranch(ask.BranchID); err != nil {
			return Outcome{}, err
		}
		last, err := tx.LastPlanNumber(ask.BranchID)
		if err != nil {
			return Outcome{}, err
		}
		if last != v.ref.PlanNumber {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "Plan %d was handed out meanwhile; look at that", last)
		}
		if err := rec.write(tx); err != nil {
			return Outcome{}, err
		}
		if err := tx.InsertDraft(draft); err != nil {
			return Outcome{}, err
		}
		out := Outcome{Noun: "draft", NounID: draft.ID, Version: 1, BranchID: ask.BranchID, Note: upset.Says}
		return out, tx.InsertPlanRun(run)
	})
	if err == nil {
		d.bell.Ring(ctx, BellPlanRun)
		d.bell.Ring(ctx, BellNotice)
	}
	return made, err
}

func (a MendAsk) check() error {
	var f jobs.Faults
	f.ID("branch_id", a.BranchID)
	f.Check(a.PlanNumber >= 1, "plan_number", itoa(int(a.PlanNumber)), "the number of the plan that you see")
	if err := f.Err(); err != nil {
		return err
	}
	if err := a.Change.Check("change."); err != nil {
		return err
	}
	return a.Run.Check()
}

// untouched says what comes of a week if crews just go on in their order.
func (d *Desk) untouched(ctx context.Context, v *looked, w *week.Week) (jobs.Untouched, error) {
	before, err := d.handedOf(ctx, v)
	if err != nil {
		return jobs.Untouched{}, err
	}
	rolled, err := dispatch.Roll(w, before)
	if err != nil {
		return jobs.Untouched{}, jobs.Wrap(jobs.CodeConflict, err, "What follows can't be worked out")
	}
	x := *v // the same names over the changed week
	x.w = w
	out := jobs.Untouched{Late: x.lateAll(rolled.Late)}
	if len(rolled.Limits) == 0 && len(rolled.NoCrew) == 0 {
		out.Total, out.Heads = cents(rolled.Plan.Cost.Total), costHeads(rolled.Plan.Cost)
	}
	stops := map[string]week.Stop{}
	tours := map[string]string{}
	for _, t := range before.Tours {
		for _, s := range t.Stops {
			stops[s.Visit], tours[s.Visit] = s, t.Tour
		}
	}
	for _, id := range rolled.NoCrew {
		out.Stranded = append(out.Stranded, x.moved(dispatch.MovedVisit{Visit: id, TourBefore: tours[id], Before: stops[id].Start}))
	}
	out.Says = x.untouchedSays(rolled, out)
	return out, nil
}

// handedOf is what was handed out, with the instants that it was told with.
func (d *Desk) handedOf(ctx context.Context, v *looked) (*week.Plan, error) {
	return read(ctx, d, func(tx *store.Tx) (*week.Plan, error) {
		p, err := d.handed(tx, v.ref.BranchID, v.ref.PlanNumber)
		if err != nil {
			return nil, err
		}
		return shifted(p.plan, p.FirstDay.Start(v.zone).Unix()-v.base), nil
	})
}

func (v *looked) untouchedSays(r *dispatch.Rolled, u jobs.Untouched) string {
	var say []string
	list := func(n int, words string, each func(i int) string) {
		for i := range n {
			if i == 3 {
				say = append(say, upper(fmt.Sprintf("%s more %s.", map[bool]string{true: "one", false: fmt.Sprint(n - 3)}[n == 4], words)))
				return
			}
			say = append(say, each(i))
		}
	}
	over := slices.DeleteFunc(slices.Clone(r.Overtime), func(x dispatch.RolledOvertime) bool { return x.Seconds < x.Planned+5*60 })
	list(len(u.Stranded), "without a crew", func(i int) string {
		m := u.Stranded[i]
		if m.StartBefore.IsZero() {
			return fmt.Sprintf("Nobody is there for %s.", of(m.VisitName))
		}
		return fmt.Sprintf("Nobody is there for %s, %s.", of(m.VisitName), v.say(m.StartBefore))
	})
	list(len(u.Late), "of windows not kept", func(i int) string { return upper(u.Late[i].Says) + "." })
	list(len(r.Water), "of pools that are not ready", func(i int) string {
		x := r.Water[i]
		_, crew, _ := v.names.tour(x.Tour)
		return fmt.Sprintf("%s stands %s at job %d and waits for the water, until %s.", crew, span(x.By), v.names.job[x.Job].Number, v.say(v.at(x.Ready)))
	})
	list(len(over), "of crews that run over", func(i int) string {
		_, crew, day := v.names.tour(over[i].Tour)
		text := fmt.Sprintf("%s is %s past its shift on %s", crew, span(over[i].Seconds), day.Words())
		if over[i].Planned > 0 {
			text += ", instead of " + span(over[i].Planned)
		}
		return text + "."
	})
	list(len(r.Limits), "of limits that break", func(i int) string {
		text, job := upper(strings.TrimSuffix(r.Limits[i].Text, "."))+".", v.limit(r.Limits[i]).JobID
		if n := v.names.job[job].Number; n > 0 {
			text = fmt.Sprintf("Job %d: %s", n, text)
		}
		return text
	})
	if n, most := laterStops(r); n > 0 && len(u.Stranded) == 0 {
		say = append(say, fmt.Sprintf("%s later than told, up to %s.", map[bool]string{true: "One stop begins", false: fmt.Sprint(n) + " stops begin"}[n == 1], span(most)))
	}
	if len(say) == 0 {
		return "Everything still holds as it was handed out."
	}
	return strings.Join(say, " ")
}

// laterStops counts the stops that begin later than they were told by more than
// people let pass, and says by how much at the most.
func laterStops(r *dispatch.Rolled) (n int, most int64) {
	for _, s := range r.Stops {
		if late := s.Start - s.Planned; late > dispatch.MovedSeconds {
			n, most = n+1, max(most, late)
		}
	}
	return n, most
}
