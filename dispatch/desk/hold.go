package desk

import (
	"context"
	"errors"
	"slices"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// errMeanwhile says that what a hold was looked at with is no longer so.
var errMeanwhile = errors.New("something was recorded meanwhile")

// HoldWindow keeps an offered window free for some minutes: it is offered to
// nobody else, and plans count it as a promise. CodeInvalid, CodeNotFound,
// CodeConflict (it is not free any more, or one is held for the job already).
func (d *Desk) HoldWindow(ctx context.Context, call Call, in jobs.NewHold) (Outcome, error) {
	if out, done, err := d.before(ctx, call, "holdWindow"); done || err != nil {
		return out, err
	}
	in = in.Clean()
	if err := in.Check(call.Now); err != nil {
		return Outcome{}, err
	}
	id := d.ids.New()
	for range 3 {
		v, err := d.stillOffered(ctx, in)
		if err != nil {
			return Outcome{}, err
		}
		h := jobs.Hold{ID: id, BranchID: v.ref.BranchID, NewHold: in, UntilAt: call.Now.Add(time.Duration(in.Minutes) * time.Minute), State: jobs.HoldHeld,
			MadeBy: call.Actor.Name, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
		out, err := d.act(ctx, call, "holdWindow", func(tx *store.Tx) (Outcome, error) {
			if err := tx.HoldBranch(h.BranchID); err != nil {
				return Outcome{}, err
			}
			now := viewAsk{ref: ViewRef{BranchID: h.BranchID}, now: v.ask.now, days: offerDays}
			if err := now.settle(tx); err != nil {
				return Outcome{}, err
			}
			if now.key() != v.ask.key() {
				return Outcome{}, errMeanwhile
			}
			return made("hold", h.ID, h.BranchID), tx.InsertHold(h)
		})
		if !errors.Is(err, errMeanwhile) {
			return out, err
		}
	}
	return Outcome{}, jobs.Errorf(jobs.CodeConflict, "Too much happens at once; ask for offers again")
}

// stillOffered looks whether a window would still be offered.
func (d *Desk) stillOffered(ctx context.Context, in jobs.NewHold) (*looked, error) {
	offers, v, err := d.offer(ctx, OfferAsk{JobID: in.JobID, VisitID: in.VisitID, Most: MaxOffers, WidthMinutes: int64(in.ToAt.Sub(in.FromAt) / time.Minute)})
	if err != nil {
		return nil, err
	}
	list := offers.Windows
	if offers.Earliest != nil {
		list = append(list, *offers.Earliest)
	}
	if slices.ContainsFunc(list, func(w OfferWindow) bool {
		return w.FromAt.Equal(in.FromAt) && w.ToAt.Equal(in.ToAt) && w.CrewID == in.CrewID
	}) {
		return v, nil
	}
	return nil, jobs.Errorf(jobs.CodeConflict, "%s is not free for job %d any more; ask for offers again", upper(v.windowWords(in.FromAt, in.ToAt)), offers.Job.Number)
}

// BookHold books a held window: the next plans keep it as a promise until one
// is handed out that tells it. CodeNotFound, CodeStale, CodeConflict (its time
// has run out, or it was let go).
func (d *Desk) BookHold(ctx context.Context, call Call, id string, version int64) (Outcome, error) {
	return d.moveHold(ctx, call, "bookHold", id, version, jobs.HoldBooked, jobs.HoldHeld)
}

// ReleaseHold lets a held or booked window go. CodeNotFound, CodeStale,
// CodeConflict.
func (d *Desk) ReleaseHold(ctx context.Context, call Call, id string, version int64) (Outcome, error) {
	return d.moveHold(ctx, call, "releaseHold", id, version, jobs.HoldReleased, jobs.HoldHeld, jobs.HoldBooked)
}

func (d *Desk) moveHold(ctx context.Context, call Call, name, id string, version int64, to jobs.HoldState, from ...jobs.HoldState) (Outcome, error) {
	return d.act(ctx, call, name, func(tx *store.Tx) (Outcome, error) {
		h, err := tx.Hold(id)
		if err != nil {
			return Outcome{}, err
		}
		if err := stale("held window", h.Version, version); err != nil {
			return Outcome{}, err
		}
		_, zone, err := branchZone(tx, h.BranchID)
		if err != nil {
			return Outcome{}, err
		}
		switch standing := h.Standing(call.Now); {
		case to == jobs.HoldBooked && !h.ToAt.After(call.Now):
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "The window was over at %s; ask for offers again", clockOf(h.ToAt, zone))
		case slices.Contains(from, standing):
		case standing == jobs.HoldExpired:
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "The window was held until %s and is free for others again; ask for offers again", clockOf(h.UntilAt, zone))
		default:
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "The window is %s", holdWord(standing))
		}
		h.State, h.UpdatedAt = to, call.Now
		return Outcome{Noun: "hold", NounID: id, Version: version + 1, BranchID: h.BranchID, Note: "job " + itoa(int(h.JobNumber))}, tx.UpdateHold(h)
	})
}

func holdWord(s jobs.HoldState) string {
	switch s {
	case jobs.HoldReleased:
		return "let go already"
	case jobs.HoldHandedOut:
		return "told to the customer already"
	}
	return string(s)
}

// Hold reads one held window. CodeNotFound.
func (d *Desk) Hold(ctx context.Context, id string) (jobs.Hold, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Hold, error) { return tx.Hold(id) })
}

// Holds reads the windows that are held or booked now, behind those that were
// booked and went by without anybody being sent. CodeNotFound.
func (d *Desk) Holds(ctx context.Context, branchID string) ([]jobs.Hold, error) {
	return read(ctx, d, func(tx *store.Tx) ([]jobs.Hold, error) {
		if _, err := tx.Branch(branchID); err != nil {
			return nil, err
		}
		missed, err := tx.MissedHolds(branchID, d.Now())
		if err != nil {
			return nil, err
		}
		live, err := tx.LiveHolds(branchID, d.Now())
		return append(missed, live...), err
	})
}

// letHoldsGo frees the windows of a job that is not to be done: others may have
// them, and no plan waits for it.
func letHoldsGo(tx *store.Tx, call Call, j jobs.Job) error {
	list, err := tx.LiveHolds(j.BranchID, call.Now)
	if err != nil {
		return err
	}
	for _, h := range list {
		if h.JobID != j.ID {
			continue
		}
		h.State, h.UpdatedAt = jobs.HoldReleased, call.Now
		if err := tx.UpdateHold(h); err != nil {
			return err
		}
	}
	return nil
}
