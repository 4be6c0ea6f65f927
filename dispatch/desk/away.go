package desk

import (
	"context"
	"strconv"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// CreateAbsence notes a person or a crew away. CodeInvalid, CodeNotFound.
func (d *Desk) CreateAbsence(ctx context.Context, call Call, branchID string, in jobs.AbsenceData) (Outcome, error) {
	in.Reason = jobs.CleanLine(in.Reason)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	a := jobs.Absence{ID: d.ids.New(), BranchID: branchID, AbsenceData: in, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	return d.act(ctx, call, "createAbsence", func(tx *store.Tx) (Outcome, error) {
		return made("absence", a.ID, branchID), inBranch(tx, branchID, func() error {
			if err := ownAway(tx, branchID, in); err != nil {
				return err
			}
			return tx.InsertAbsence(a)
		})
	})
}

func ownAway(tx *store.Tx, branchID string, in jobs.AbsenceData) error {
	of := ""
	var err error
	if in.CrewID != "" {
		var c jobs.Crew
		c, err = tx.Crew(in.CrewID)
		of = c.BranchID
	} else {
		var p jobs.Person
		p, err = tx.Person(in.PersonID)
		of = p.BranchID
	}
	if err != nil {
		return err
	}
	if of != branchID {
		return jobs.Errorf(jobs.CodeInvalid, "Who is away belongs to another branch")
	}
	return nil
}

// RemoveAbsence takes an absence back. CodeNotFound, CodeStale.
func (d *Desk) RemoveAbsence(ctx context.Context, call Call, id string, version int64) (Outcome, error) {
	return d.act(ctx, call, "removeAbsence", func(tx *store.Tx) (Outcome, error) {
		a, err := tx.Absence(id)
		if err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "absence", NounID: id, Version: version + 1, BranchID: a.BranchID}, tx.DeleteAbsence(id, version)
	})
}

// Absences reads who is away from the first to the last day. CodeInvalid.
func (d *Desk) Absences(ctx context.Context, branchID string, from, to jobs.Day) ([]jobs.Absence, error) {
	if err := checkDays(from, to); err != nil {
		return nil, err
	}
	return read(ctx, d, func(tx *store.Tx) ([]jobs.Absence, error) { return tx.Absences(branchID, from, to) })
}

// Absence reads one absence. CodeNotFound.
func (d *Desk) Absence(ctx context.Context, id string) (jobs.Absence, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Absence, error) { return tx.Absence(id) })
}

// CreateClosure notes a time in which nobody works somewhere. CodeInvalid,
// CodeNotFound.
func (d *Desk) CreateClosure(ctx context.Context, call Call, branchID string, in jobs.ClosureData) (Outcome, error) {
	in.Reason, in.Area = jobs.CleanLine(in.Reason), jobs.CleanLine(in.Area)
	in.FromAt, in.ToAt = in.FromAt.UTC().Truncate(time.Second), in.ToAt.UTC().Truncate(time.Second)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	c := jobs.Closure{ID: d.ids.New(), BranchID: branchID, ClosureData: in, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	return d.act(ctx, call, "createClosure", func(tx *store.Tx) (Outcome, error) {
		return made("closure", c.ID, branchID), inBranch(tx, branchID, func() error {
			if in.SiteID != "" {
				s, err := tx.Site(in.SiteID)
				if err != nil {
					return err
				}
				if s.BranchID != branchID {
					return jobs.Errorf(jobs.CodeInvalid, "The site belongs to another branch")
				}
			}
			return tx.InsertClosure(c)
		})
	})
}

// RemoveClosure takes a closure back. CodeNotFound, CodeStale.
func (d *Desk) RemoveClosure(ctx context.Context, call Call, id string, version int64) (Outcome, error) {
	return d.act(ctx, call, "removeClosure", func(tx *store.Tx) (Outcome, error) {
		c, err := tx.Closure(id)
		if err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "closure", NounID: id, Version: version + 1, BranchID: c.BranchID}, tx.DeleteClosure(id, version)
	})
}

// Closures reads what is shut from the first to the last day, in the branch's
// zone. CodeInvalid, CodeNotFound.
func (d *Desk) Closures(ctx context.Context, branchID string, from, to jobs.Day) ([]jobs.Closure, error) {
	if err := checkDays(from, to); err != nil {
		return nil, err
	}
	return read(ctx, d, func(tx *store.Tx) ([]jobs.Closure, error) {
		_, zone, err := branchZone(tx, branchID)
		if err != nil {
			return nil, err
		}
		return tx.Closures(branchID, from.Start(zone), to.Add(1).Start(zone))
	})
}

// Closure reads one closure. CodeNotFound.
func (d *Desk) Closure(ctx context.Context, id string) (jobs.Closure, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Closure, error) { return tx.Closure(id) })
}

// NoteDay keeps what is known or forecast of a day, in place of what was.
// CodeInvalid, CodeNotFound.
func (d *Desk) NoteDay(ctx context.Context, call Call, branchID string, in jobs.DayFactData) (Outcome, error) {
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	f := jobs.DayFact{ID: d.ids.New(), BranchID: branchID, DayFactData: in, UpdatedAt: call.Now}
	return d.act(ctx, call, "noteDay", func(tx *store.Tx) (Outcome, error) {
		return made("day_fact", f.ID, branchID), inBranch(tx, branchID, func() error { return tx.PutDayFact(f) })
	})
}

// DayFacts reads what is known of the days from the first to the last.
func (d *Desk) DayFacts(ctx context.Context, branchID string, from, to jobs.Day) ([]jobs.DayFact, error) {
	return read(ctx, d, func(tx *store.Tx) ([]jobs.DayFact, error) { return tx.DayFacts(branchID, from, to) })
}

// branchZone reads a branch and loads its zone.
func branchZone(tx *store.Tx, branchID string) (jobs.Branch, *time.Location, error) {
	b, err := tx.Branch(branchID)
	if err != nil {
		return b, nil, err
	}
	zone, err := time.LoadLocation(b.Zone)
	if err != nil {
		return b, nil, jobs.Wrap(jobs.CodeInternal, err, "The branch's time zone is not known to this program")
	}
	return b, zone, nil
}

func checkDays(from, to jobs.Day) error {
	var f jobs.Faults
	f.Check(from.Valid(), "from", string(from), "a day like 2026-03-09")
	f.Check(to.Valid() && to >= from, "to", string(to), "a day like 2026-03-13, not before from")
	return f.Err()
}

func itoa(n int) string { return strconv.Itoa(n) }
