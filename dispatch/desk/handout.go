package desk

import (
	"context"
	"fmt"
	"slices"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// prepared is a hand-out ready to be written.
type prepared struct {
	draft   jobs.Draft
	rows    handing
	jobs    map[string]jobs.Job
	steps   []jobs.NoticeStep
	holds   []jobs.Hold            // live ones, of callers
	notices map[string]jobs.Notice // to write, by thing
}

// HandOut makes a draft's plan what crews and customers are told, in one
// transaction: the plan's number, its rows, the states of visits and jobs, the
// notices that follow, the audit. version is the draft's that the caller read.
// CodeStale, CodeNotFound; CodeConflict when the draft is not planned, somebody
// handed out since, the day has overtaken the plan, or it does not keep a window
// that a caller was given.
func (d *Desk) HandOut(ctx context.Context, call Call, draftID string, version int64) (Outcome, error) {
	out, err := d.act(ctx, call, "handOut", func(tx *store.Tx) (Outcome, error) {
		h, err := d.prepare(tx, draftID, version, call)
		if err != nil {
			return Outcome{}, err
		}
		if err := d.write(tx, call, h); err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "plan", NounID: h.rows.Plan.ID, Version: h.rows.Plan.Number, BranchID: h.draft.BranchID,
			Note: fmt.Sprintf("plan %d, %d notices", h.rows.Plan.Number, len(h.notices))}, nil
	})
	if err == nil {
		d.bell.Ring(ctx, "notice")
	}
	return out, err
}

// Plan reads one handed-out plan. CodeNotFound.
func (d *Desk) Plan(ctx context.Context, id string) (jobs.Plan, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Plan, error) { return tx.Plan(id) })
}

// prepare works a hand-out out from one snapshot. version 0 asks for none.
func (d *Desk) prepare(tx *store.Tx, draftID string, version int64, call Call) (prepared, error) {
	h := prepared{notices: map[string]jobs.Notice{}}
	var err error
	if h.draft, err = tx.Draft(draftID); err != nil {
		return h, err
	}
	if version != 0 {
		if err := tx.HoldBranch(h.draft.BranchID); err != nil {
			return h, err
		}
		if h.draft, err = tx.Draft(draftID); err != nil { // as it stands now that others wait
			return h, err
		}
		if err := stale("draft", h.draft.Version, version); err != nil {
			return h, err
		}
	}
	if h.draft.State != jobs.DraftPlanned || h.draft.Plan == "" {
		return h, jobs.Errorf(jobs.CodeConflict, "The draft is %s; only a planned one can be handed out", draftWord(h.draft.State))
	}
	last, err := tx.LastPlanNumber(h.draft.BranchID)
	if err != nil {
		return h, err
	}
	if last != h.draft.BasePlanNumber {
		return h, jobs.Errorf(jobs.CodeConflict, "Somebody handed out plan %d since this draft was planned; plan it again from what holds now", last)
	}
	if err := d.prepareRows(tx, &h, last+1, call); err != nil || version == 0 {
		return h, err
	}
	return h, h.keepsHolds(tx)
}

func (d *Desk) prepareRows(tx *store.Tx, h *prepared, number int64, call Call) error {
	w, p, err := readDraft(h.draft.Week, h.draft.Plan)
	if err != nil {
		return err
	}
	_, zone, err := branchZone(tx, h.draft.BranchID)
	if err != nil {
		return err
	}
	set, err := tx.Settings(h.draft.BranchID)
	if err != nil {
		return err
	}
	live, err := readLive(tx, h.draft.BranchID, call.Now, zone)
	if err != nil {
		return err
	}
	ids := map[string]bool{}
	for i := range w.Jobs {
		ids[w.Jobs[i].ID] = true
	}
	for _, s := range live.Stops {
		ids[s.JobID] = true
	}
	for _, dr := range live.Drains {
		ids[dr.JobID] = true
	}
	list, err := tx.JobsByID(sortedKeys(ids)...)
	if err != nil {
		return err
	}
	out := handingOut{d: d, draft: h.draft, w: w, p: p, zone: zone, rules: set.Settings.Planning, now: call.Now, by: call.Actor.Name, live: live,
		jobs: map[string]jobs.Job{}, visit: map[string]jobs.Visit{}}
	for _, j := range list {
		out.jobs[j.ID] = j
		for _, v := range j.Visits {
			out.visit[v.ID] = v
		}
	}
	h.jobs = out.jobs
	if out.holds, err = tx.LiveHolds(h.draft.BranchID, call.Now); err != nil {
		return err
	}
	h.holds = out.holds
	if h.rows, err = out.make(number); err != nil {
		return err
	}
	return d.prepareNotices(tx, h, call)
}

// prepareNotices compares what was told with what holds after the hand-out.
func (d *Desk) prepareNotices(tx *store.Tx, h *prepared, call Call) error {
	told, err := toldPlan(tx, h.draft.BranchID, h.rows.After, h.jobs, call.Now)
	if err != nil {
		return err
	}
	wanted := jobs.PlanNotices(told)
	things := make([]string, len(wanted))
	for i, w := range wanted {
		things[i] = w.Thing
	}
	known, err := tx.NoticesAbout(h.draft.BranchID, things, call.Now)
	if err != nil {
		return err
	}
	h.steps = slices.DeleteFunc(jobs.DiffNotices(known, wanted, call.Now), h.happened)
	for _, s := range h.steps {
		if s.Want == nil {
			continue
		}
		n, err := d.notice(tx, told, s, h.rows.Plan.ID)
		if err != nil {
			return err
		}
		h.notices[s.Want.Thing] = n
	}
	return nil
}

// happened says whether a step would take back what has come true meanwhile: a
// booking whose crew is there, the lowering of a pool that was worked on.
func (h *prepared) happened(s jobs.NoticeStep) bool {
	if s.Change != jobs.ChangeWithdrawn || s.Old == nil || s.Old.JobID == "" {
		return false
	}
	for _, v := range h.jobs[s.Old.JobID].Visits {
		lowers := s.Old.VisitID == "" && (v.Kind == jobs.VisitDrain || v.Kind == jobs.VisitConvert)
		if begun(v) && (v.ID == s.Old.VisitID || lowers) {
			return true
		}
	}
	return false
}

// notice is the row that a step writes.
func (d *Desk) notice(tx *store.Tx, told jobs.ToldPlan, s jobs.NoticeStep, planID string) (jobs.Notice, error) {
	w := *s.Want
	if s.Change == jobs.ChangeWithdrawn {
		if err := d.wordsAgain(tx, told, &w); err != nil {
			return jobs.Notice{}, err
		}
	}
	n := jobs.Notice{ID: d.ids.New(), BranchID: told.BranchID, JobID: w.JobID, VisitID: w.VisitID, PlanID: planID, ContactID: w.ContactID,
		PersonID: w.PersonID, Kind: w.Kind, Thing: w.Thing, Revision: s.Revision, Channel: w.Channel, Address: w.Address, Language: w.Language,
		Zone: w.Zone, Facts: w.Facts, ICalUID: w.ICalUID, ICalSequence: s.Sequence, DueAt: w.DueAt, UsefulUntil: w.UsefulUntil,
		State: jobs.NoticeDue, CreatedAt: told.Now, ToName: w.Words.To}
	n.MessageID = messageID(n.ID)
	n.Subject, n.Body = jobs.NoticeText(w.Kind, s.Change, w.Facts, w.Words)
	switch {
	case w.Channel == jobs.ChannelNone:
		n.State, n.Error = jobs.NoticeSuppressed, "no channel is set for this reader: the office calls"
	case !w.DueAt.Before(w.UsefulUntil):
		n.State, n.Error = jobs.NoticeSuppressed, "the next decent hour comes too late: the office calls"
	}
	return n, nil
}

// wordsAgain finds the names around a notice that takes back, whose job is in
// no row any more, and the next hour in which it may go out.
func (d *Desk) wordsAgain(tx *store.Tx, told jobs.ToldPlan, w *jobs.WantedNotice) error {
	zone := told.Zone
	if z, err := time.LoadLocation(w.Zone); err == nil {
		zone = z
	}
	w.Words = jobs.NoticeWords{Language: w.Language, Company: told.Company.Name, Phone: told.Company.Phone, License: told.Company.License, Zone: zone}
	w.DueAt = jobs.NextWithin(told.Planning.NoticeHours, told.Now, zone)
	if w.JobID != "" {
		j, err := tx.Job(w.JobID)
		if err != nil {
			return err
		}
		site, err := tx.Site(j.SiteID)
		if err != nil {
			return err
		}
		w.Words.Site, w.Words.Street = site.Label(), site.Street
	}
	if w.ContactID != "" {
		c, err := tx.Contact(w.ContactID)
		if err != nil && jobs.CodeOf(err) != jobs.CodeNotFound {
			return err
		}
		w.Words.To = c.Name
	}
	if w.PersonID != "" {
		p, err := tx.Person(w.PersonID)
		if err != nil && jobs.CodeOf(err) != jobs.CodeNotFound {
			return err
		}
		w.Words.To = p.Name
	}
	return nil
}

// write writes a prepared hand-out: old rows are set aside first, so that two
// crews may swap visits.
func (d *Desk) write(tx *store.Tx, call Call, h prepared) error {
	r := h.rows
	moved := sortedKeys(r.Moved)
	for _, do := range []func() error{
		func() error { return tx.RetireStops(r.RetireStops) },
		func() error { return tx.RetireTours(r.RetireTours) },
		func() error { return tx.RetireDrains(r.RetireDrains) },
		func() error { return tx.RetirePromises(r.RetirePromises) },
		func() error { return tx.InsertPlan(r.Plan) },
		func() error { return tx.InsertTours(r.Tours) },
		func() error {
			for _, tour := range moved {
				if err := tx.MoveStops(tour, r.Moved[tour]); err != nil {
					return err
				}
			}
			return nil
		},
		func() error {
			for _, id := range sortedKeys(r.Ends) {
				if err := tx.EndStop(id, r.Ends[id]); err != nil {
					return err
				}
			}
			return nil
		},
		func() error { return tx.InsertStops(r.Stops) },
		func() error { return tx.InsertDrains(r.Drains) },
		func() error { return tx.InsertPromises(r.Promises) },
		func() error { return d.moveVisits(tx, call, h) },
		func() error {
			for _, k := range r.Holds {
				k.State, k.UpdatedAt = jobs.HoldHandedOut, call.Now
				if err := tx.UpdateHold(k); err != nil {
					return err
				}
			}
			return nil
		},
		func() error { return writeNotices(tx, h) },
		func() error {
			draft := h.draft
			draft.State, draft.UpdatedAt = jobs.DraftHandedOut, call.Now
			return tx.UpdateDraft(draft)
		},
	} {
		if err := do(); err != nil {
			return err
		}
	}
	return nil
}

func writeNotices(tx *store.Tx, h prepared) error {
	var rows []jobs.Notice
	for _, s := range h.steps {
		by := ""
		if s.Want != nil {
			n := h.notices[s.Want.Thing]
			by = n.ID
			rows = append(rows, n)
		}
		if s.Old != nil {
			if err := tx.SupersedeNotice(s.Old.ID, by); err != nil {
				return err
			}
		}
	}
	return tx.InsertNotices(rows)
}

// moveVisits sets the states of visits, and of jobs whose first visit is handed
// out or whose last one is taken back.
func (d *Desk) moveVisits(tx *store.Tx, call Call, h prepared) error {
	touched := map[string]bool{}
	set := func(list []jobs.Visit, state jobs.VisitState) error {
		for _, v := range list {
			v.State, v.UpdatedAt = state, call.Now
			if err := tx.UpdateVisit(v); err != nil {
				return err
			}
			touched[v.JobID] = true
		}
		return nil
	}
	if err := set(h.rows.Routed, jobs.VisitRouted); err != nil {
		return err
	}
	if err := set(h.rows.Opened, jobs.VisitOpen); err != nil {
		return err
	}
	for _, id := range sortedKeys(touched) {
		j, err := tx.Job(id)
		if err != nil {
			return err
		}
		told := slices.ContainsFunc(j.Visits, func(v jobs.Visit) bool { return v.State == jobs.VisitRouted || v.State == jobs.VisitUnderWay })
		act := jobs.ActHandOut
		switch {
		case told && j.State == jobs.StateReady:
		case !told && j.State == jobs.StateRouted:
			act = jobs.ActTakeBack
		default:
			continue
		}
		if _, err := d.move(tx, call, j, act, j.Standing(false, false), fmt.Sprintf("plan %d", h.rows.Plan.Number)); err != nil {
			return err
		}
	}
	return nil
}
