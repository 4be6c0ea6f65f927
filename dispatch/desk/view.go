package desk

import (
	"context"
	"fmt"
	"slices"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// ViewRef names the plan that somebody looks at: a draft, or what a branch
// handed out. Version and number are those that the reader sees; 0 asks for the
// newest.
type ViewRef struct {
	DraftID      string
	DraftVersion int64
	BranchID     string
	PlanNumber   int64
}

// check refuses what names no plan. at is the path in front of the fields.
func (r ViewRef) check(at string) error {
	var f jobs.Faults
	if r.DraftID != "" {
		f.ID(at+"draft_id", r.DraftID)
		f.Check(r.PlanNumber == 0, at+"plan_number", itoa(int(r.PlanNumber)), "none beside draft_id")
	} else {
		f.ID(at+"branch_id", r.BranchID)
		f.Check(r.DraftVersion == 0, at+"draft_version", itoa(int(r.DraftVersion)), "none without draft_id")
	}
	return f.Err()
}

// looked is a plan laid out for questions. It is shared; nobody changes it.
type looked struct {
	ref   ViewRef // with the version or number that it really is
	ask   viewAsk
	zone  *time.Location
	first jobs.Day
	base  int64 // unix second of the week's first midnight
	w     *week.Week
	p     *week.Plan
	out   []keptOut             // could not be put to the planner; only where the week was built for this
	rules jobs.PlanningSettings // the same
	warm  *dispatch.Warm
	names names
}

// viewAsk is a plan to be laid out: what is read of it in every question.
type viewAsk struct {
	ref   ViewRef
	draft jobs.Draft // without its texts
	mark  string     // of the branch's facts
	now   time.Time
	days  int    // of the offer's week; 0: those of the plan
	holds string // the windows held or booked, where days is not 0
}

func (a viewAsk) branch() string {
	if a.ref.DraftID != "" {
		return a.draft.BranchID
	}
	return a.ref.BranchID
}

// key is under which the model is kept. A draft's plan changes with its version
// alone; what was handed out is laid out anew when anything was recorded since,
// and as the day goes on.
func (a viewAsk) key() string {
	if a.ref.DraftID != "" {
		return fmt.Sprintf("draft/%s/%d", a.ref.DraftID, a.ref.DraftVersion)
	}
	return fmt.Sprintf("plan/%s/%d/%d/%s/%s", a.ref.BranchID, a.ref.PlanNumber, a.days, a.mark, a.holds)
}

// markEvery is how long a handed-out plan stays laid out although the clock
// goes on: a question may be answered as of so long ago.
const markEvery = 5 * time.Minute

// factsMark stands for all that a branch's weeks are made from: it changes with
// every act, and every few minutes.
func factsMark(tx *store.Tx, branchID string, now time.Time) (string, error) {
	hour := now.Truncate(time.Hour)
	n, err := tx.FactsMark(branchID, hour.Add(-time.Hour))
	return fmt.Sprintf("%d.%d.%d", hour.Unix(), now.Unix()/int64(markEvery/time.Second), n), err
}

// view lays a plan out, or takes it as it was laid out before. CodeInvalid,
// CodeNotFound, CodeConflict (no plan yet, or not the one that is looked at any
// more).
func (d *Desk) view(ctx context.Context, ref ViewRef, at string) (*looked, error) {
	if err := ref.check(at); err != nil {
		return nil, err
	}
	return d.viewOf(ctx, viewAsk{ref: ref, now: d.Now()})
}

func (d *Desk) viewOf(ctx context.Context, ask viewAsk) (*looked, error) {
	err := d.store.View(ctx, func(tx *store.Tx) error { return ask.settle(tx) })
	if err != nil {
		return nil, err
	}
	return d.warm.get(ctx, ask.key(), func(ctx context.Context) (*looked, error) { return d.lay(ctx, ask) })
}

// settle finds out which version it is, and refuses an older one.
func (a *viewAsk) settle(tx *store.Tx) (err error) {
	if a.ref.DraftID != "" {
		if a.draft, err = tx.DraftHead(a.ref.DraftID); err != nil {
			return err
		}
		if v := a.ref.DraftVersion; v != 0 && v != a.draft.Version {
			return jobs.Errorf(jobs.CodeConflict, "The draft was changed since you looked at it (version %d, and now %d); look again", v, a.draft.Version)
		}
		a.ref.DraftVersion, a.ref.BranchID = a.draft.Version, a.draft.BranchID
		if a.draft.State != jobs.DraftPlanned && a.draft.State != jobs.DraftHandedOut {
			return jobs.Errorf(jobs.CodeConflict, "The draft is %s; plan it first", draftWord(a.draft.State))
		}
		return nil
	}
	last, err := tx.LastPlanNumber(a.ref.BranchID)
	if err != nil {
		return err
	}
	switch n := a.ref.PlanNumber; {
	case last == 0 && a.days == 0:
		if _, err := tx.Branch(a.ref.BranchID); err != nil {
			return err
		}
		return jobs.Errorf(jobs.CodeConflict, "Nothing was handed out yet; look at a draft")
	case n != 0 && n != last:
		return jobs.Errorf(jobs.CodeConflict, "Plan %d is not what holds any more: plan %d was handed out since; look at that", n, last)
	}
	a.ref.PlanNumber = last
	if a.mark, err = factsMark(tx, a.ref.BranchID, a.now); err != nil || a.days == 0 {
		return err
	}
	list, err := tx.LiveHolds(a.ref.BranchID, a.now)
	for _, h := range list {
		a.holds += h.ID + " "
	}
	return err
}

// lay reads a plan and lays it out.
func (d *Desk) lay(ctx context.Context, a viewAsk) (*looked, error) {
	v := &looked{ref: a.ref, ask: a}
	var err error
	if a.ref.DraftID != "" {
		err = d.layDraft(ctx, v)
	} else {
		err = d.layHanded(ctx, v)
	}
	if err != nil {
		return nil, err
	}
	v.base = v.first.Start(v.zone).Unix()
	if v.warm, err = dispatch.NewWarm(v.w, v.p); err != nil {
		return nil, jobs.Wrap(jobs.CodeInternal, err, "The plan could not be laid out")
	}
	v.names, err = read(ctx, d, func(tx *store.Tx) (names, error) { return readNames(tx, a.branch(), v.w) })
	return v, err
}

func (d *Desk) layDraft(ctx context.Context, v *looked) error {
	draft, err := d.Draft(ctx, v.ref.DraftID)
	if err != nil {
		return err
	}
	if draft.Version != v.ref.DraftVersion {
		return jobs.Errorf(jobs.CodeConflict, "The draft was changed since you looked at it; look again")
	}
	v.first = draft.FirstDay
	if v.zone, err = d.zoneOf(ctx, draft.BranchID); err != nil {
		return err
	}
	v.w, v.p, err = readDraft(draft.Week, draft.Plan)
	return err
}

// layHanded puts the week together as things stand and what was handed out into
// it, with the times that it can have now.
func (d *Desk) layHanded(ctx context.Context, v *looked) error {
	a := v.ask
	in := jobs.NewDraft{Days: int64(a.days)}
	plan, err := read(ctx, d, func(tx *store.Tx) (*handedPlan, error) {
		if a.ref.PlanNumber == 0 {
			return nil, nil
		}
		return d.handed(tx, a.ref.BranchID, a.ref.PlanNumber)
	})
	if err != nil {
		return err
	}
	if v.zone, err = d.zoneOf(ctx, a.ref.BranchID); err != nil {
		return err
	}
	if in.FirstDay = jobs.DayOf(a.now, v.zone); a.days == 0 {
		in = jobs.NewDraft{FirstDay: plan.FirstDay, Days: plan.Days}
		if jobs.DayOf(a.now, v.zone) >= in.FirstDay.Add(int(in.Days)) {
			return jobs.Errorf(jobs.CodeConflict, "The days of plan %d are over; plan the next ones", plan.Number)
		}
	}
	v.first = in.FirstDay
	facts, err := d.readWeekFacts(ctx, a.ref.BranchID, in, a.now)
	if err != nil {
		return err
	}
	v.rules = facts.Rules
	if v.w, v.out, err = makeWeek(facts); err != nil {
		return err
	}
	if v.p, err = asHandedOut(v.w); err != nil {
		return err
	}
	if a.days > 0 {
		err = v.keepHolds(facts.Holds)
	}
	return err
}

// asHandedOut is the plan of a week that holds what was handed out and what has
// begun, and nothing else, with the times that it can have as things stand.
func asHandedOut(w *week.Week) (*week.Plan, error) {
	told := *w
	out := toldAlone(&told)
	over, stop := context.WithCancel(context.Background())
	stop() // past its context's end a search only puts in what is told already
	p, err := dispatch.Solve(over, &told, dispatch.Options{Seed: 1, Strands: 1, Rounds: -1, NoReasons: true})
	if err != nil {
		return nil, jobs.Wrap(jobs.CodeConflict, err, "What was handed out can't be kept as things stand; mend it")
	}
	for _, id := range out {
		p.LeftOut = append(p.LeftOut, week.LeftOut{Job: id})
	}
	p.Cost = check.Plan(w, p).Cost
	return p, nil
}

// toldAlone takes the jobs out of a copy of a week of which nothing is handed
// out or begun, and names them.
func toldAlone(w *week.Week) (out []string) {
	told := map[string]bool{}
	if w.HandedOut != nil {
		for _, t := range w.HandedOut.Tours {
			for _, s := range t.Stops {
				told[s.Visit] = true
			}
		}
	}
	for i := range w.Tours {
		for _, s := range begunStops(&w.Tours[i]) {
			told[s.Visit] = true
		}
	}
	all := w.Jobs
	gone := map[string]bool{}
	w.Jobs = nil
	for _, j := range all {
		if j.Begun || slices.ContainsFunc(j.Visits, func(v week.Visit) bool { return told[v.ID] }) {
			w.Jobs = append(w.Jobs, j)
			continue
		}
		out = append(out, j.ID)
		for _, v := range j.Visits {
			gone[v.ID] = true
		}
	}
	w.Promises = slices.DeleteFunc(slices.Clone(w.Promises), func(p week.Promise) bool { return gone[p.Visit] })
	return out
}

func begunStops(t *week.Tour) []week.Stop {
	if t.Begun == nil {
		return nil
	}
	return t.Begun.Stops
}

func (d *Desk) zoneOf(ctx context.Context, branchID string) (*time.Location, error) {
	return read(ctx, d, func(tx *store.Tx) (*time.Location, error) {
		_, zone, err := branchZone(tx, branchID)
		return zone, err
	})
}

// sec is an instant as the view's week counts it, at its inverse.
func (v *looked) sec(t time.Time) int64  { return t.Unix() - v.base }
func (v *looked) at(s int64) time.Time   { return time.Unix(v.base+s, 0).UTC() }
func (v *looked) say(t time.Time) string { return t.In(v.zone).Format("Mon Jan 2, 3:04 pm") }
