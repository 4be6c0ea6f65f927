package desk

import (
	"context"
	"slices"
	"strings"
	"time"

	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// WeekView is a week as the Week page draws it: crews' days above, pools' level
// strips below, on one axis. Instants are UTC.
type WeekView struct {
	BranchID   string
	Zone       string
	FirstDay   jobs.Day
	Days       int64
	From, To   time.Time
	Now        time.Time
	PlanNumber int64       // 0: nothing was handed out, or it is a draft
	DraftID    string      // empty: what was handed out
	DayStarts  []time.Time // the midnights, with the one that ends the last day
	Lanes      []Lane
	Strips     []LevelStrip
	LeftOut    []LeftOut
	Heads      []jobs.CostHead
	Total      jobs.Cents
	Closures   []jobs.Closure
}

// Lane is a crew with its days.
type Lane struct {
	CrewID   string
	CrewName string
	People   []string
	Days     []CrewDay
}

// CrewDay is one day of a crew. Zero instants do not apply: it stays at home.
type CrewDay struct {
	Day                jobs.Day
	ShiftFrom, ShiftTo time.Time
	Depart, Return     time.Time
	LunchFrom, LunchTo time.Time
	MorningPumps       int64
	DriveMetres        int64
	Stops              []StopView
	Note               string
}

// StopView is one stop of a crew's day.
type StopView struct {
	jobs.Stop
	JobNumber    int64
	Kind         jobs.VisitKind
	SiteName     string
	CustomerName string
	DriveFrom    time.Time // zero: not known
	// DriveStraight: the drive to it was measured by straight line, for want of
	// roads or because none leads there.
	DriveStraight bool
	Slack         *int64 // seconds; nil: not known
	Binds         string
	PromiseFrom   time.Time
	PromiseTo     time.Time
	State         jobs.VisitState
}

// LeftOut is a job that is not in the plan, with why.
type LeftOut struct {
	JobID        string
	JobNumber    int64
	CustomerName string
	SiteName     string
	Reasons      []string
	Fits         string // where it would fit for more than leaving it out costs; empty: nowhere
}

// DraftWeek draws a draft: what would hold if it were handed out now. Before it
// is planned, what holds now. CodeNotFound.
func (d *Desk) DraftWeek(ctx context.Context, id string) (WeekView, error) {
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) (WeekView, error) {
		v, err := d.viewDraft(tx, id, now)
		if err != nil {
			return WeekView{}, err
		}
		out := v.view()
		out.DraftID = id
		return out, nil
	})
}

// viewDraft gathers what the view of a draft needs.
func (d *Desk) viewDraft(tx *store.Tx, id string, now time.Time) (*weekViewer, error) {
	draft, err := tx.Draft(id)
	if err != nil {
		return nil, err
	}
	v := &weekViewer{desk: d, tx: tx, now: now}
	if err := v.read(draft.BranchID, draft.FirstDay, int(draft.Days)); err != nil {
		return nil, err
	}
	v.kept = draft.KeptOut
	if draft.Plan == "" {
		return v, v.readJobs()
	}
	w, p, err := readDraft(draft.Week, draft.Plan)
	if err != nil {
		return nil, err
	}
	v.plan(w, p)
	if err := v.readJobs(); err != nil {
		return nil, err
	}
	h := handingOut{d: d, draft: draft, w: w, p: p, zone: v.facts.Zone, rules: v.facts.Rules, now: now, live: v.live,
		jobs: v.jobs, visit: v.visits, holds: v.facts.Holds, loose: true}
	rows, err := h.make(0)
	if err != nil {
		return nil, err
	}
	v.live = rows.After
	return v, nil
}

// Week draws what was handed out. days 0 means five. CodeInvalid, CodeNotFound.
func (d *Desk) Week(ctx context.Context, branchID string, first jobs.Day, days int64) (WeekView, error) {
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) (WeekView, error) {
		v, err := d.viewWeek(tx, branchID, first, days, now)
		if err != nil {
			return WeekView{}, err
		}
		out := v.view()
		out.PlanNumber = v.facts.PlanNumber
		return out, nil
	})
}

// viewWeek gathers what the view of handed-out days needs.
func (d *Desk) viewWeek(tx *store.Tx, branchID string, first jobs.Day, days int64, now time.Time) (*weekViewer, error) {
	if days == 0 {
		days = 5
	}
	var f jobs.Faults
	f.Check(first.Valid(), "first_day", string(first), "a day like 2026-03-09")
	f.Check(days >= 1 && days <= jobs.MaxDays, "days", itoa(int(days)), "1 to 14 days")
	if err := f.Err(); err != nil {
		return nil, err
	}
	v := &weekViewer{desk: d, tx: tx, now: now}
	if err := v.read(branchID, first, int(days)); err != nil {
		return nil, err
	}
	if n := v.facts.PlanNumber; n > 0 {
		last, err := d.handed(tx, branchID, n)
		if err != nil {
			return nil, err
		}
		if last.FirstDay < first.Add(int(days)) && last.FirstDay.Add(int(last.Days)) > first {
			v.plan(last.week, last.plan)
			v.kept = last.kept
		}
	}
	return v, v.readJobs()
}

// weekViewer gathers what a view needs.
type weekViewer struct {
	desk   *Desk
	tx     *store.Tx
	now    time.Time
	facts  weekFacts
	live   liveRows
	jobs   map[string]jobs.Job
	visits map[string]jobs.Visit
	sites  map[string]jobs.Site
	said   map[string]string // what was answered to a drain, by job
	stops  map[string]planned
	kept   []jobs.KeptOut
	w      *week.Week
	p      *week.Plan
	base   int64
}

// planned is what a plan says of a stop beside its row.
type planned struct {
	leave int64
	stop  week.Stop
}

func (v *weekViewer) read(branchID string, first jobs.Day, days int) error {
	var err error
	if v.facts, err = v.desk.readYard(v.tx, branchID, first, days, v.now); err != nil {
		return err
	}
	from := first.Start(v.facts.Zone)
	if v.live.Tours, err = v.tx.LiveTours(branchID, earlierDay(first, jobs.DayOf(v.now, v.facts.Zone).Add(-1)), first.Add(days+400)); err != nil {
		return err
	}
	if v.live.Stops, err = v.tx.LiveStops(branchID, earlier(from, v.now.AddDate(0, 0, -toldDays))); err != nil {
		return err
	}
	if v.live.Drains, err = v.tx.LiveDrains(branchID); err != nil {
		return err
	}
	if v.live.Promises, err = v.tx.LivePromises(branchID); err != nil {
		return err
	}
	v.base = from.Unix()
	return nil
}

func earlierDay(a, b jobs.Day) jobs.Day {
	if a < b {
		return a
	}
	return b
}

func (v *weekViewer) readJobs() error {
	ids := map[string]bool{}
	for _, k := range v.kept {
		ids[k.JobID] = true
	}
	if v.w != nil {
		for i := range v.w.Jobs {
			ids[v.w.Jobs[i].ID] = true
		}
	}
	for _, s := range v.live.Stops {
		ids[s.JobID] = true
	}
	for _, d := range v.live.Drains {
		ids[d.JobID] = true
	}
	list, err := v.tx.JobsByID(sortedKeys(ids)...)
	if err != nil {
		return err
	}
	v.jobs, v.visits, v.sites, v.said = map[string]jobs.Job{}, map[string]jobs.Visit{}, map[string]jobs.Site{}, map[string]string{}
	var siteIDs []string
	for _, j := range list {
		v.jobs[j.ID] = j
		siteIDs = append(siteIDs, j.SiteID)
		for _, visit := range j.Visits {
			v.visits[visit.ID] = visit
		}
	}
	sites, err := v.tx.SitesByID(siteIDs...)
	if err != nil {
		return err
	}
	for _, s := range sites {
		v.sites[s.ID] = s
	}
	answers, err := v.tx.Answers(sortedKeys(ids)...)
	for _, a := range answers {
		switch a.Kind {
		case jobs.AnswerStarted, jobs.AnswerReached, jobs.AnswerFillOpened, jobs.AnswerFillClosed:
			v.said[a.JobID] = string(a.Kind)
		}
	}
	return err
}

// plan adds what a plan says beside the rows.
func (v *weekViewer) plan(w *week.Week, p *week.Plan) {
	v.w, v.p, v.stops = w, p, map[string]planned{}
	base := v.base
	if first, err := jobs.ParseDay(w.Days[0].Date); err == nil {
		base = first.Start(v.facts.Zone).Unix()
	}
	for _, t := range p.Tours {
		for _, s := range t.Stops {
			v.stops[s.Visit] = planned{leave: base + s.Leave, stop: s}
		}
	}
}

func (v *weekViewer) view() WeekView {
	f := v.facts
	out := WeekView{BranchID: f.Branch.ID, Zone: f.Branch.Zone, FirstDay: f.FirstDay, Days: int64(f.Days), Now: v.now,
		From: f.FirstDay.Start(f.Zone), To: f.FirstDay.Add(f.Days).Start(f.Zone)}
	for d := range f.Days + 1 {
		out.DayStarts = append(out.DayStarts, f.FirstDay.Add(d).Start(f.Zone))
	}
	for _, c := range f.Closures {
		if c.FromAt.Before(out.To) && c.ToAt.After(out.From) {
			out.Closures = append(out.Closures, c)
		}
	}
	out.Lanes = v.lanes()
	out.Strips = v.strips(out.From, out.To)
	out.LeftOut = v.leftOut()
	if v.p != nil {
		out.Heads, out.Total = costHeads(v.p.Cost), jobs.Cents(v.p.Cost.Total)
	}
	return out
}

// leftOut lists what the plan leaves out, and what could not be put to it.
func (v *weekViewer) leftOut() []LeftOut {
	var out []LeftOut
	add := func(id string, reasons []string) {
		j, ok := v.jobs[id]
		if !ok || slices.ContainsFunc(out, func(l LeftOut) bool { return l.JobID == id }) {
			return
		}
		l := LeftOut{JobID: id, JobNumber: j.Number, CustomerName: j.CustomerName, SiteName: j.SiteName}
		for _, r := range reasons {
			if l.Fits == "" && strings.HasPrefix(r, "It fits ") {
				l.Fits = r
				continue
			}
			l.Reasons = append(l.Reasons, r)
		}
		out = append(out, l)
	}
	if v.p != nil {
		for _, l := range v.p.LeftOut {
			add(l.Job, l.Why)
		}
		for id, names := range v.putOff() {
			add(id, []string{"It is begun; its " + strings.Join(names, " and ") + " waits until after these days."})
		}
	}
	for _, k := range v.kept {
		add(k.JobID, k.Reasons)
	}
	slices.SortFunc(out, func(a, b LeftOut) int { return int(a.JobNumber - b.JobNumber) })
	return out
}

// putOff names the visits, by job, that the plan leaves for after its days of a
// job none of whose visits it holds. A job that is begun is never left out, so
// it would otherwise vanish from the page. That commissions follow later is usual
// and not told here.
func (v *weekViewer) putOff() map[string][]string {
	held := map[string]bool{}
	for _, t := range v.p.Tours {
		for _, s := range t.Stops {
			held[s.Visit] = true
		}
	}
	owed := map[string]bool{}
	for _, o := range v.p.Owed {
		owed[o.Visit] = true
	}
	out := map[string][]string{}
	for id, j := range v.jobs {
		var names []string
		work := false
		for _, visit := range j.Visits {
			if held[visit.ID] {
				names = nil
				break
			}
			if owed[visit.ID] {
				names = append(names, strings.ReplaceAll(string(visit.Kind), "_", "-"))
				work = work || visit.Kind == jobs.VisitConvert || visit.Kind == jobs.VisitConnect
			}
		}
		if work && len(names) > 0 {
			out[id] = names
		}
	}
	return out
}
