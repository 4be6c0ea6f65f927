package desk

import (
	"context"
	"slices"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// PrepRow is a pool that must be low, and what its people said.
type PrepRow struct {
	Job     jobs.Job
	Phone   string
	Drain   jobs.Drain
	Facts   jobs.PrepFacts
	State   jobs.PrepState
	Says    string
	Answers []jobs.Answer // as people gave them
}

// ListPrep reads how the lowering of each pool stands that a crew goes to work
// in: what was told, what was said, what readings predict. The most pressing
// come first. CodeNotFound.
func (d *Desk) ListPrep(ctx context.Context, branchID string) ([]PrepRow, error) {
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) ([]PrepRow, error) {
		_, zone, err := branchZone(tx, branchID)
		if err != nil {
			return nil, err
		}
		drains, err := tx.LiveDrains(branchID)
		if err != nil {
			return nil, err
		}
		ids := make([]string, len(drains))
		for i, dr := range drains {
			ids[i] = dr.JobID
		}
		list, err := tx.JobsByID(ids...)
		if err != nil {
			return nil, err
		}
		var rows []PrepRow
		for _, j := range list {
			i := slices.IndexFunc(drains, func(d jobs.Drain) bool { return d.JobID == j.ID })
			if !workInLow(j) {
				continue
			}
			row, err := prepOf(tx, j, drains[i], zone, now)
			if err != nil {
				return nil, err
			}
			rows = append(rows, row)
		}
		slices.SortFunc(rows, func(a, b PrepRow) int {
			if x, y := pressing(a.State), pressing(b.State); x != y {
				return x - y
			}
			return needed(a).Compare(needed(b))
		})
		return rows, nil
	})
}

// workInLow says whether a crew is still to begin its work in the low pool.
func workInLow(j jobs.Job) bool {
	switch j.State {
	case jobs.StateParked, jobs.StateDeclined, jobs.StateClosed:
		return false
	}
	return slices.ContainsFunc(j.Visits, func(v jobs.Visit) bool {
		return v.Kind == jobs.VisitConvert && (v.State == jobs.VisitOpen || v.State == jobs.VisitRouted)
	})
}

func pressing(s jobs.PrepState) int {
	return slices.Index([]jobs.PrepState{jobs.PrepUnconfirmed, jobs.PrepLate, jobs.PrepWaiting, jobs.PrepStarted, jobs.PrepReading,
		jobs.PrepReached, jobs.PrepNotDue}, s)
}

func needed(r PrepRow) time.Time {
	if r.Facts.NeededAt != nil {
		return *r.Facts.NeededAt
	}
	return r.Drain.LowLateAt
}

func prepOf(tx *store.Tx, j jobs.Job, drain jobs.Drain, zone *time.Location, now time.Time) (PrepRow, error) {
	row := PrepRow{Job: j, Drain: drain}
	var err error
	if row.Answers, err = tx.Answers(j.ID); err != nil {
		return row, err
	}
	f := jobs.PrepFacts{ToldFrom: given(drain.ToldFrom), ToldTo: given(drain.ToldTo), ConfirmBy: given(drain.ToldTo), Answers: slices.Clone(row.Answers)}
	if f.Readings, err = tx.Readings(j.ID); err != nil {
		return row, err
	}
	since := refilledAfter(j)
	f.Answers = slices.DeleteFunc(f.Answers, func(a jobs.Answer) bool { return !a.At.After(since) })
	f.Readings = slices.DeleteFunc(f.Readings, func(r jobs.Reading) bool { return !r.At.After(since) })
	var visits []string
	for _, v := range j.Visits {
		switch {
		case v.Kind == jobs.VisitDrain && v.State == jobs.VisitDone && v.DoneAt.After(since): // a crew started it
			f.Answers = append(f.Answers, jobs.Answer{Kind: jobs.AnswerStarted, At: v.DoneAt})
		case v.Kind == jobs.VisitConvert && v.State == jobs.VisitRouted:
			visits = append(visits, v.ID)
		}
	}
	stops, err := tx.StopsOf(visits...)
	if err != nil {
		return row, err
	}
	for _, s := range stops {
		if s.Live && (f.NeededAt == nil || s.StartAt.Before(*f.NeededAt)) {
			at := s.StartAt
			f.NeededAt = &at
		}
	}
	k, err := knowOf(tx, j)
	if err != nil {
		return row, err
	}
	started := time.Time{}
	for _, a := range f.Answers {
		if a.Kind == jobs.AnswerStarted {
			started = a.At
		}
	}
	reached, err := predict(tx, j.BranchID, k, started, &f)
	if err != nil {
		return row, err
	}
	if reached {
		f.Answers = append(f.Answers, jobs.Answer{Kind: jobs.AnswerReached, At: f.Readings[len(f.Readings)-1].At})
	}
	customer, err := tx.Customer(j.CustomerID)
	if err != nil {
		return row, err
	}
	row.Phone = phoneOf(customer.Contacts)
	row.Facts, row.State = f, jobs.Prep(f, now)
	row.Says = jobs.PrepSays(f, row.State, drain.WayLow, row.Phone, zone)
	return row, nil
}

// phoneOf is whom the office calls: who may decide, else anybody.
func phoneOf(list []jobs.Contact) string {
	phone := ""
	for _, c := range list {
		switch {
		case c.Phone == "":
		case c.MayDecide:
			return c.Phone
		case phone == "":
			phone = c.Phone
		}
	}
	return phone
}

// given is an instant that there is, or nil.
func given(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}
