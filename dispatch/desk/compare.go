package desk

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// Comparison is a draft beside another plan: another draft, or what was handed
// out last.
type Comparison struct {
	DraftID     string
	WithDraftID string
	WithPlan    int64 // number of what was handed out; 0: another draft
	AsItStands  bool  // what was handed out is priced as things stand now, not as it was then
	Total, With jobs.Cents
	LeftOut     int64
	WithLeftOut int64
	Heads       []ComparedHead
	Jobs        []ComparedJob // those that lie differently
	Says        string
}

// ComparedHead is one head of the cost in both.
type ComparedHead struct {
	Head, Label string
	Cents, With jobs.Cents
}

// ComparedJob is a job that lies differently.
type ComparedJob struct {
	Job    jobs.Job
	Change string // in, out or moved
	Visits []jobs.MovedVisit
	Says   string
}

// onPaper is a plan as it stands, with what reads its instants.
type onPaper struct {
	*looked
	stops map[string]week.Stop
	tours map[string]string
}

// Compare puts a draft beside another one, or beside what was handed out.
// CodeNotFound, CodeConflict (not planned yet, nothing handed out).
func (d *Desk) Compare(ctx context.Context, draftID, withID string) (Comparison, error) {
	out := Comparison{DraftID: draftID, WithDraftID: withID}
	a, branch, err := d.paperOf(ctx, draftID)
	if err != nil {
		return out, err
	}
	var b *onPaper
	if withID != "" {
		var other string
		if b, other, err = d.paperOf(ctx, withID); err == nil && other != branch {
			err = jobs.Faults{{Field: "with_draft_id", Value: withID, Want: "a draft of the same branch"}}.Err()
		}
	} else {
		b, out.WithPlan, err = d.paperHanded(ctx, branch)
	}
	if err != nil {
		return out, err
	}
	with, left := b.p.Cost, len(b.p.LeftOut)
	if withID == "" && a.first == b.first && len(a.w.Days) == len(b.w.Days) {
		// What was handed out days ago counted days that are over by now, and knew nothing of
		// what happened since: beside a draft of now it is priced as things stand.
		if now, err := d.view(ctx, ViewRef{BranchID: branch}, ""); err == nil {
			with, left = now.p.Cost, len(now.p.LeftOut)
			out.AsItStands = true
		}
	}
	out.Total, out.With = jobs.Cents(a.p.Cost.Total), jobs.Cents(with.Total)
	out.LeftOut, out.WithLeftOut = int64(len(a.p.LeftOut)), int64(left)
	out.Heads = comparedHeads(a.p.Cost, with)
	out.Jobs = comparedJobs(a, b)
	out.Says = out.words()
	return out, nil
}

func (d *Desk) paperOf(ctx context.Context, draftID string) (*onPaper, string, error) {
	draft, err := d.Draft(ctx, draftID)
	if err != nil {
		return nil, "", err
	}
	if draft.Plan == "" {
		return nil, "", jobs.Errorf(jobs.CodeConflict, "The draft is %s; plan it first", draftWord(draft.State))
	}
	p, err := d.paper(ctx, draft.BranchID, draft.FirstDay, draft.Week, draft.Plan)
	return p, draft.BranchID, err
}

func (d *Desk) paperHanded(ctx context.Context, branchID string) (*onPaper, int64, error) {
	plan, err := read(ctx, d, func(tx *store.Tx) (*handedPlan, error) {
		last, err := tx.LastPlanNumber(branchID)
		if err != nil {
			return nil, err
		}
		if last == 0 {
			return nil, jobs.Errorf(jobs.CodeConflict, "Nothing was handed out yet; name another draft")
		}
		return d.handed(tx, branchID, last)
	})
	if err != nil {
		return nil, 0, err
	}
	p, err := d.newPaper(ctx, branchID, plan.FirstDay, plan.week, plan.plan)
	return p, plan.Number, err
}

func (d *Desk) paper(ctx context.Context, branchID string, first jobs.Day, weekText, planText string) (*onPaper, error) {
	w, p, err := readDraft(weekText, planText)
	if err != nil {
		return nil, err
	}
	return d.newPaper(ctx, branchID, first, w, p)
}

func (d *Desk) newPaper(ctx context.Context, branchID string, first jobs.Day, w *week.Week, p *week.Plan) (*onPaper, error) {
	out := &onPaper{looked: &looked{first: first, w: w, p: p}, stops: map[string]week.Stop{}, tours: map[string]string{}}
	var err error
	if out.zone, err = d.zoneOf(ctx, branchID); err != nil {
		return nil, err
	}
	out.base = first.Start(out.zone).Unix()
	for _, t := range p.Tours {
		for _, s := range t.Stops {
			out.stops[s.Visit], out.tours[s.Visit] = s, t.Tour
		}
	}
	out.names, err = read(ctx, d, func(tx *store.Tx) (names, error) { return readNames(tx, branchID, w) })
	return out, err
}

func comparedHeads(a, b week.Cost) []ComparedHead {
	var out []ComparedHead
	for _, h := range costHeads(a) {
		out = append(out, ComparedHead{Head: h.Head, Label: h.Label, Cents: h.Cents})
	}
	for _, h := range costHeads(b) {
		i := slices.IndexFunc(out, func(x ComparedHead) bool { return x.Head == h.Head })
		if i < 0 {
			i, out = len(out), append(out, ComparedHead{Head: h.Head, Label: h.Label})
		}
		out[i].With = h.Cents
	}
	return out
}

// lies differently from here: another crew, or a start that moved by more than
// a few minutes, which nobody would speak of.
const sameStart = 5 * 60

func comparedJobs(a, b *onPaper) []ComparedJob {
	all := map[string]jobs.Job{}
	for _, p := range []*onPaper{b, a} {
		for id, j := range p.names.job {
			all[id] = j
		}
	}
	var out []ComparedJob
	for _, id := range sortedKeys(all) {
		x := ComparedJob{Job: all[id]}
		inA, inB := false, false
		for _, visit := range all[id].Visits {
			if begun(visit) {
				continue // it is a fact in both
			}
			sa, ha := a.stops[visit.ID]
			sb, hb := b.stops[visit.ID]
			inA, inB = inA || ha, inB || hb
			m := jobs.MovedVisit{VisitName: jobs.VisitName{VisitID: visit.ID, Kind: visit.Kind, JobID: id, JobNumber: x.Job.Number,
				CustomerName: x.Job.CustomerName, SiteName: x.Job.SiteName}}
			if hb {
				m.CrewIDBefore, m.CrewNameBefore, _ = b.names.tour(b.tours[visit.ID])
				m.StartBefore = b.at(sb.Start)
			}
			if ha {
				m.CrewID, m.CrewName, _ = a.names.tour(a.tours[visit.ID])
				m.StartAt, m.EndAt = a.at(sa.Start), a.at(sa.End)
			}
			gap := m.StartAt.Sub(m.StartBefore).Abs().Seconds()
			if ha != hb || ha && (m.CrewID != m.CrewIDBefore || gap > sameStart) {
				m.Says = movedSays(a.looked, m)
				x.Visits = append(x.Visits, m)
			}
		}
		if len(x.Visits) == 0 {
			continue
		}
		switch {
		case inA && !inB:
			x.Change, x.Says = "in", fmt.Sprintf("Job %d comes in: only this draft has it", x.Job.Number)
		case !inA && inB:
			x.Change, x.Says = "out", fmt.Sprintf("Job %d falls out: this draft has no room for it", x.Job.Number)
		default:
			says := make([]string, len(x.Visits))
			for i, m := range x.Visits {
				says[i] = m.Says
			}
			x.Change, x.Says = "moved", strings.Join(says, "; ")
		}
		out = append(out, x)
	}
	slices.SortFunc(out, func(a, b ComparedJob) int { return int(a.Job.Number - b.Job.Number) })
	return out
}

func (c Comparison) words() string {
	with := "the other draft"
	if c.WithPlan > 0 {
		with = fmt.Sprintf("plan %d", c.WithPlan)
	}
	if c.AsItStands {
		with += " as things stand now"
	}
	n := map[string]int64{}
	for _, j := range c.Jobs {
		n[j.Change]++
	}
	say := fmt.Sprintf("Against %s this draft costs %s", with, more(int64(c.Total-c.With)))
	for _, k := range []struct{ change, verb string }{{"in", "in the plan here only"}, {"out", "left out here only"}, {"moved", "at another time or with another crew"}} {
		if n[k.change] > 0 {
			say += ", " + plural(n[k.change], "job") + " " + k.verb
		}
	}
	return say + "."
}
