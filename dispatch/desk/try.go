package desk

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// Tried is what comes of one change, with all other tours and orders kept and
// everything timed anew. Nothing is kept of it.
type Tried struct {
	View        ViewRef
	Fits        bool
	TotalBefore jobs.Cents
	HeadsBefore []jobs.CostHead
	TotalAfter  jobs.Cents // with the next two: only where it fits
	HeadsAfter  []jobs.CostHead
	Deltas      []jobs.CostHead
	Moved       []jobs.MovedVisit
	Out, In     []jobs.Job
	Late        []jobs.LateWindow // promises that would be broken and were not
	Limits      []Limit
	Says        string
}

// Limit is a rule that a change would break.
type Limit struct {
	Rule    string
	VisitID string
	JobID   string
	CrewID  string
	Day     jobs.Day
	By      int64 // in Unit
	Unit    string
	Text    string
}

// Try says what one change would come to. CodeInvalid, CodeNotFound,
// CodeConflict (the plan that is looked at is none any more).
func (d *Desk) Try(ctx context.Context, ref ViewRef, change jobs.WeekChange) (Tried, error) {
	v, list, err := d.tryAsk(ctx, ref, change)
	if err != nil {
		return Tried{}, err
	}
	got, err := tryAll(v, list)
	if err != nil {
		return Tried{}, v.tryError(err, change, "change.")
	}
	return v.tried(got), nil
}

// tryAsk lays the plan out and puts the change into the week's terms.
func (d *Desk) tryAsk(ctx context.Context, ref ViewRef, change jobs.WeekChange) (*looked, []dispatch.Change, error) {
	change = change.Clean()
	if err := change.Check("change."); err != nil {
		return nil, nil, err
	}
	v, err := d.view(ctx, ref, "view.")
	if err != nil {
		return nil, nil, err
	}
	list, err := d.changes(ctx, v, change)
	return v, list, err
}

// tryAll makes changes one after the other and says what they come to together.
func tryAll(v *looked, list []dispatch.Change) (dispatch.Tried, error) {
	warm, before := v.warm, v.p.Cost
	for i, c := range list {
		got, err := warm.Try(c)
		if err != nil {
			return got, err
		}
		if i == 0 {
			before = got.Before
		}
		if i == len(list)-1 || !got.Fits {
			got.Before = before
			return got, nil
		}
		w, p, err := warm.TryPlan(c)
		if err != nil {
			return got, err
		}
		if warm, err = dispatch.NewWarm(w, p); err != nil {
			return got, err
		}
	}
	return dispatch.Tried{Fits: true, Before: before, After: before}, nil
}

// planAll makes changes one after the other; a [dispatch.NotFittingError] where
// they don't fit.
func planAll(v *looked, list []dispatch.Change) (w *week.Week, p *week.Plan, err error) {
	w, p = v.w, v.p
	warm := v.warm
	for i, c := range list {
		if w, p, err = warm.TryPlan(c); err != nil {
			return nil, nil, err
		}
		if i == len(list)-1 {
			break
		}
		if warm, err = dispatch.NewWarm(w, p); err != nil {
			return nil, nil, err
		}
	}
	return w, p, nil
}

// tried puts the engine's answer into people's words.
func (v *looked) tried(got dispatch.Tried) Tried {
	out := Tried{View: v.ref, Fits: got.Fits, TotalBefore: jobs.Cents(got.Before.Total), HeadsBefore: costHeads(got.Before),
		Moved: v.movedAll(got.Moved), Late: v.lateAll(got.Late)}
	for _, l := range got.Limits {
		out.Limits = append(out.Limits, v.limit(l))
	}
	for _, id := range got.Out {
		out.Out = append(out.Out, v.names.job[id])
	}
	for _, id := range got.In {
		out.In = append(out.In, v.names.job[id])
	}
	if got.Fits {
		out.TotalAfter, out.HeadsAfter, out.Deltas = jobs.Cents(got.After.Total), costHeads(got.After), headDeltas(got.Before, got.After)
	}
	out.Says = out.words()
	return out
}

func (v *looked) limit(l dispatch.Limit) Limit {
	out := Limit{Rule: l.Rule, VisitID: l.Visit, JobID: l.Job, By: l.By, Unit: l.Unit, Text: l.Text}
	if l.Tour != "" {
		out.CrewID, _, out.Day = v.names.tour(l.Tour)
	}
	if out.JobID == "" {
		out.JobID = v.names.visit[l.Visit].JobID
	}
	return out
}

func (t Tried) words() string {
	if !t.Fits {
		var why []string
		for i, l := range t.Limits {
			if i == 3 {
				why = append(why, fmt.Sprintf("and %d more", len(t.Limits)-3))
				break
			}
			why = append(why, strings.TrimSuffix(l.Text, "."))
		}
		if len(why) == 0 {
			return "It does not fit."
		}
		return "It does not fit: " + strings.Join(why, "; ") + "."
	}
	say := "It fits, and costs " + more(int64(t.TotalAfter-t.TotalBefore)) + "."
	if n := len(t.Moved); n > 0 {
		say += " " + upper(plural(int64(n), "visit")) + " would lie differently."
	}
	for _, j := range t.Out {
		say += fmt.Sprintf(" Job %d falls out.", j.Number)
	}
	for _, j := range t.In {
		say += fmt.Sprintf(" Job %d comes in.", j.Number)
	}
	for i, l := range t.Late {
		if i == 3 {
			say += fmt.Sprintf(" And %d more windows would not be kept.", len(t.Late)-3)
			break
		}
		say += " " + l.Says + "."
	}
	return say
}

// TakeChange takes a change into a plan: a draft gets its next version; of what
// was handed out a new draft is made. Nobody is told anything by it. CodeInvalid,
// CodeNotFound, CodeStale, CodeConflict (it does not fit; the plan that is
// looked at is none any more).
func (d *Desk) TakeChange(ctx context.Context, call Call, ref ViewRef, change jobs.WeekChange) (Outcome, error) {
	if out, done, err := d.before(ctx, call, "takeChange"); done || err != nil {
		return out, err
	}
	if ref.DraftID != "" && ref.DraftVersion == 0 || ref.DraftID == "" && ref.BranchID != "" && ref.PlanNumber == 0 {
		var f jobs.Faults
		f.Check(ref.DraftID == "", "view.draft_version", "", "the version that you look at: nothing is taken into what you have not seen")
		f.Check(ref.DraftID != "", "view.plan_number", "", "the number of the plan that you look at")
		return Outcome{}, f.Err()
	}
	v, list, err := d.tryAsk(ctx, ref, change)
	if err != nil {
		return Outcome{}, err
	}
	w, p, err := planAll(v, list)
	var no *dispatch.NotFittingError
	if err != nil && !errors.As(err, &no) {
		return Outcome{}, v.tryError(err, change, "change.")
	}
	if no != nil {
		got, err := tryAll(v, list)
		if err != nil {
			return Outcome{}, v.tryError(err, change, "change.")
		}
		return Outcome{}, jobs.Errorf(jobs.CodeConflict, "%s", v.tried(got).Says)
	}
	q := *p // reasons are asked for one by one; those of before may be wrong by now
	q.LeftOut = slices.Clone(p.LeftOut)
	for i := range q.LeftOut {
		q.LeftOut[i].Why, q.LeftOut[i].Reasons = []string{"Not looked into since the plan was changed by hand."}, nil
	}
	p = &q
	weekText, err := json.Marshal(w)
	if err != nil {
		return Outcome{}, err
	}
	planText, err := json.Marshal(p)
	if err != nil {
		return Outcome{}, err
	}
	id := d.ids.New()
	return d.act(ctx, call, "takeChange", func(tx *store.Tx) (Outcome, error) {
		if v.ref.DraftID == "" {
			return d.takeIntoNew(tx, call, v, jobs.Draft{ID: id, Week: string(weekText), Plan: string(planText), Cost: cents(p.Cost.Total), LeftOut: count(len(p.LeftOut))})
		}
		draft, err := tx.Draft(v.ref.DraftID)
		if err != nil {
			return Outcome{}, err
		}
		if err := stale("draft", draft.Version, v.ref.DraftVersion); err != nil {
			return Outcome{}, err
		}
		if draft.State != jobs.DraftPlanned {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "The draft is %s; open a new one", draftWord(draft.State))
		}
		draft.Week, draft.Plan, draft.Cost, draft.LeftOut, draft.UpdatedAt = string(weekText), string(planText), cents(p.Cost.Total), count(len(p.LeftOut)), call.Now
		return Outcome{Noun: "draft", NounID: draft.ID, Version: draft.Version + 1, BranchID: draft.BranchID, Note: string(change.Kind)}, tx.UpdateDraft(draft)
	})
}

// takeIntoNew opens a draft of what was handed out with a change in it.
func (d *Desk) takeIntoNew(tx *store.Tx, call Call, v *looked, draft jobs.Draft) (Outcome, error) {
	last, err := tx.LastPlanNumber(v.ref.BranchID)
	if err != nil {
		return Outcome{}, err
	}
	if last != v.ref.PlanNumber {
		return Outcome{}, jobs.Errorf(jobs.CodeConflict, "Plan %d was handed out meanwhile; look at that", last)
	}
	draft.BranchID, draft.NewDraft = v.ref.BranchID, jobs.NewDraft{FirstDay: v.first, Days: int64(len(v.w.Days))}
	draft.BasePlanNumber, draft.KeptOut, draft.State = last, keptWith(v.out), jobs.DraftPlanned
	draft.MadeBy, draft.Version, draft.CreatedAt, draft.UpdatedAt = call.Actor.Name, 1, call.Now, call.Now
	return made("draft", draft.ID, draft.BranchID), tx.InsertDraft(draft)
}

// before is what the call came to when it was made before under the same key.
func (d *Desk) before(ctx context.Context, call Call, name string) (Outcome, bool, error) {
	if call.Key == "" {
		return Outcome{}, false, nil
	}
	was, err := read(ctx, d, func(tx *store.Tx) (*Outcome, error) {
		return tx.FindOutcome(call.owner(), name, call.Key, call.Fingerprint)
	})
	if err != nil || was == nil {
		return Outcome{}, false, err
	}
	return *was, true, nil
}

// dayStart is the instant at which a civil day begins, as the view's week
// counts it.
func (v *looked) dayStart(d jobs.Day) int64 { return v.sec(d.Start(v.zone)) }

// dayOf is the civil day of an instant of the view's week.
func (v *looked) dayOf(t time.Time) jobs.Day { return jobs.DayOf(t, v.zone) }
