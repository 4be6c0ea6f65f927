package desk

import (
	"bytes"
	"context"
	"encoding/json"
	"time"

	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// DraftFilter narrows a list of drafts.
type DraftFilter = store.DraftFilter

// CreateDraft opens a draft of some days: it puts the problem together as
// things stand now. CodeInvalid, CodeNotFound, CodeConflict (nobody goes out).
func (d *Desk) CreateDraft(ctx context.Context, call Call, branchID string, in jobs.NewDraft) (Outcome, error) {
	id := d.ids.New()
	if _, err := d.SettleDay(ctx, call.asSystem(), branchID); err != nil {
		return Outcome{}, err
	}
	w, out, number, err := d.buildWeek(ctx, branchID, in, call)
	if err != nil {
		return Outcome{}, err
	}
	text, err := json.Marshal(w)
	if err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "createDraft", func(tx *store.Tx) (Outcome, error) {
		draft := jobs.Draft{ID: id, BranchID: branchID, NewDraft: in, BasePlanNumber: number, Week: string(text), KeptOut: keptWith(out), State: jobs.DraftNew,
			MadeBy: call.Actor.Name, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
		return made("draft", id, branchID), tx.InsertDraft(draft)
	})
}

// keptWith is what a draft keeps of jobs that could not be put to the planner.
func keptWith(out []keptOut) []jobs.KeptOut {
	var kept []jobs.KeptOut
	for _, k := range out {
		kept = append(kept, jobs.KeptOut{JobID: k.Job.ID, Reasons: k.Reasons})
	}
	return kept
}

// asSystem is the call for what a reader's act brings about by the way.
func (c Call) asSystem() Call {
	return Call{Actor: jobs.Actor{Role: jobs.RoleSystem, Name: "Ebbline"}, Now: c.Now}
}

// buildWeek reads a snapshot and makes the week from it; the number is that of
// the plan handed out last, as the snapshot has it.
func (d *Desk) buildWeek(ctx context.Context, branchID string, in jobs.NewDraft, call Call) (*week.Week, []keptOut, int64, error) {
	facts, err := d.readWeekFacts(ctx, branchID, in, call.Now)
	if err != nil {
		return nil, nil, 0, err
	}
	w, out, err := makeWeek(facts)
	return w, out, facts.PlanNumber, err
}

// readWeekFacts reads what a week of the days is made from, in one snapshot.
func (d *Desk) readWeekFacts(ctx context.Context, branchID string, in jobs.NewDraft, now time.Time) (weekFacts, error) {
	return read(ctx, d, func(tx *store.Tx) (weekFacts, error) {
		_, zone, err := branchZone(tx, branchID)
		if err != nil {
			return weekFacts{}, err
		}
		if err := in.Check(jobs.DayOf(now, zone)); err != nil {
			return weekFacts{}, err
		}
		f, err := d.readYard(tx, branchID, in.FirstDay, int(in.Days), now)
		if err != nil {
			return f, err
		}
		f.Jobs, err = readJobFacts(tx, branchID, f.Zone, now)
		return f, err
	})
}

// Drafts reads a part of a branch's drafts, the newest first.
func (d *Desk) Drafts(ctx context.Context, filter DraftFilter, page jobs.Page) (jobs.List[jobs.Draft], error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.List[jobs.Draft], error) { return tx.Drafts(filter, page) })
}

// Draft reads one draft. CodeNotFound.
func (d *Desk) Draft(ctx context.Context, id string) (jobs.Draft, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Draft, error) { return tx.Draft(id) })
}

// DropDraft gives a draft up; its runs are asked to stop. CodeNotFound,
// CodeStale, CodeConflict (handed out).
func (d *Desk) DropDraft(ctx context.Context, call Call, id string, version int64) (Outcome, error) {
	return d.act(ctx, call, "dropDraft", func(tx *store.Tx) (Outcome, error) {
		draft, err := tx.Draft(id)
		if err != nil {
			return Outcome{}, err
		}
		if err := stale("draft", draft.Version, version); err != nil {
			return Outcome{}, err
		}
		if draft.State == jobs.DraftHandedOut {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "The draft has been handed out; plan again instead")
		}
		runs, err := tx.OpenRuns(id)
		if err != nil {
			return Outcome{}, err
		}
		for _, r := range runs {
			if err := tx.AskStop(r.ID, call.Now); err != nil {
				return Outcome{}, err
			}
		}
		draft.State, draft.UpdatedAt = jobs.DraftDropped, call.Now
		return Outcome{Noun: "draft", NounID: id, Version: version + 1, BranchID: draft.BranchID}, tx.UpdateDraft(draft)
	})
}

// StartPlanRun asks for a plan of a draft, made in the background, and rings.
// CodeInvalid, CodeNotFound, CodeConflict (one is under way, or the draft is
// over).
func (d *Desk) StartPlanRun(ctx context.Context, call Call, draftID string, in jobs.RunData) (Outcome, error) {
	in = in.Clean()
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	id := d.ids.New()
	out, err := d.act(ctx, call, "startPlanRun", func(tx *store.Tx) (Outcome, error) {
		draft, err := tx.Draft(draftID)
		if err != nil {
			return Outcome{}, err
		}
		if !draft.Open() {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "The draft is %s; open a new one", draftWord(draft.State))
		}
		runs, err := tx.OpenRuns(draftID)
		if err != nil {
			return Outcome{}, err
		}
		if len(runs) > 0 {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "This draft is being planned already; stop that run first")
		}
		if draft.Upset != nil && in.KeepPermille == 0 {
			in.Mode = jobs.RunMend // what mends stays a mend however often it is planned
		}
		draft.State, draft.UpdatedAt = jobs.DraftPlanning, call.Now
		if err := tx.UpdateDraft(draft); err != nil {
			return Outcome{}, err
		}
		return made("plan_run", id, draft.BranchID), tx.InsertPlanRun(jobs.PlanRun{ID: id, BranchID: draft.BranchID, DraftID: draftID,
			DraftVersion: draft.Version + 1, RunData: in, State: jobs.RunWaiting, AskedBy: call.Actor.Name, CreatedAt: call.Now})
	})
	if err == nil {
		d.bell.Ring(ctx, "plan_run")
	}
	return out, err
}

func draftWord(s jobs.DraftState) string {
	if s == jobs.DraftHandedOut {
		return "handed out"
	}
	return string(s)
}

// PlanRun reads how far a run is. CodeNotFound.
func (d *Desk) PlanRun(ctx context.Context, id string) (jobs.PlanRun, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.PlanRun, error) { return tx.PlanRun(id) })
}

// StopPlanRun asks a run to stop and keep its best so far. CodeNotFound. A run
// that is over stays as it is.
func (d *Desk) StopPlanRun(ctx context.Context, call Call, id string) (Outcome, error) {
	return d.act(ctx, call, "stopPlanRun", func(tx *store.Tx) (Outcome, error) {
		r, err := tx.PlanRun(id)
		if err != nil {
			return Outcome{}, err
		}
		if r.State == jobs.RunWaiting {
			if err := settleDraft(tx, r, call); err != nil {
				return Outcome{}, err
			}
		}
		return Outcome{Noun: "plan_run", NounID: id, Version: 1, BranchID: r.BranchID}, tx.AskStop(id, call.Now)
	})
}

// settleDraft takes a draft out of "planning" when its run ends without a plan.
func settleDraft(tx *store.Tx, r jobs.PlanRun, call Call) error {
	draft, err := tx.Draft(r.DraftID)
	if err != nil || draft.State != jobs.DraftPlanning {
		return err
	}
	draft.State, draft.UpdatedAt = jobs.DraftNew, call.Now
	if draft.Plan != "" {
		draft.State = jobs.DraftPlanned
	}
	return tx.UpdateDraft(draft)
}

// RunsToDo names the runs that somebody should work on, oldest first: waiting
// ones, and those whose worker is gone.
func (d *Desk) RunsToDo(ctx context.Context, limit int) ([]string, error) {
	return read(ctx, d, func(tx *store.Tx) ([]string, error) { return tx.RunsToDo(limit) })
}

// WeekFile is a draft's problem and answer in the files' form; Plan is nil
// until something was planned.
type WeekFile struct {
	Week json.RawMessage
	Plan json.RawMessage
}

// DraftFile reads the problem and the answer of a draft. CodeNotFound.
func (d *Desk) DraftFile(ctx context.Context, id string) (WeekFile, error) {
	draft, err := d.Draft(ctx, id)
	if err != nil {
		return WeekFile{}, err
	}
	f := WeekFile{Week: json.RawMessage(draft.Week)}
	if draft.Plan != "" {
		f.Plan = json.RawMessage(draft.Plan)
	}
	return f, nil
}

// readDraft decodes the week and the plan of a draft; plan is nil where none
// was made.
func readDraft(weekText, planText string) (w *week.Week, p *week.Plan, err error) {
	if w, err = week.DecodeWeek(bytes.NewReader([]byte(weekText))); err == nil && planText != "" {
		p, err = week.DecodePlan(bytes.NewReader([]byte(planText)))
	}
	if err != nil {
		return nil, nil, jobs.Wrap(jobs.CodeInternal, err, "A kept week can't be read")
	}
	return w, p, nil
}

// Plans reads a part of what a branch handed out, the newest first.
func (d *Desk) Plans(ctx context.Context, branchID string, page jobs.Page) (jobs.List[jobs.Plan], error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.List[jobs.Plan], error) { return tx.Plans(branchID, page) })
}
