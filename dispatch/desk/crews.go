package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// CreateHome opens a yard. CodeInvalid, CodeConflict (name taken).
func (d *Desk) CreateHome(ctx context.Context, call Call, branchID string, in jobs.HomeData) (Outcome, error) {
	in.Name, in.Street = jobs.CleanLine(in.Name), jobs.CleanLine(in.Street)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	h := jobs.Home{ID: d.ids.New(), BranchID: branchID, HomeData: in, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	return d.act(ctx, call, "createHome", func(tx *store.Tx) (Outcome, error) {
		return made("home", h.ID, branchID), inBranch(tx, branchID, func() error { return tx.InsertHome(h) })
	})
}

// ChangeHome writes over the version that the caller read. CodeInvalid,
// CodeNotFound, CodeStale.
func (d *Desk) ChangeHome(ctx context.Context, call Call, id string, version int64, in jobs.HomeData) (Outcome, error) {
	in.Name, in.Street = jobs.CleanLine(in.Name), jobs.CleanLine(in.Street)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "changeHome", func(tx *store.Tx) (Outcome, error) {
		h, err := tx.Home(id)
		if err != nil {
			return Outcome{}, err
		}
		h.HomeData, h.Version, h.UpdatedAt = in, version, call.Now
		return Outcome{Noun: "home", NounID: id, Version: version + 1, BranchID: h.BranchID}, tx.UpdateHome(h)
	})
}

// Homes reads a branch's homes.
func (d *Desk) Homes(ctx context.Context, branchID string) ([]jobs.Home, error) {
	return read(ctx, d, func(tx *store.Tx) ([]jobs.Home, error) { return tx.Homes(branchID) })
}

// Home reads one home. CodeNotFound.
func (d *Desk) Home(ctx context.Context, id string) (jobs.Home, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Home, error) { return tx.Home(id) })
}

// CreatePerson notes somebody who goes out. CodeInvalid, CodeNotFound (branch).
func (d *Desk) CreatePerson(ctx context.Context, call Call, branchID string, in jobs.PersonData) (Outcome, error) {
	in = cleanPerson(in)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	p := jobs.Person{ID: d.ids.New(), BranchID: branchID, PersonData: in, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	return d.act(ctx, call, "createPerson", func(tx *store.Tx) (Outcome, error) {
		return made("person", p.ID, branchID), inBranch(tx, branchID, func() error { return tx.InsertPerson(p) })
	})
}

// ChangePerson writes over the version that the caller read. CodeInvalid,
// CodeNotFound, CodeStale.
func (d *Desk) ChangePerson(ctx context.Context, call Call, id string, version int64, in jobs.PersonData) (Outcome, error) {
	in = cleanPerson(in)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "changePerson", func(tx *store.Tx) (Outcome, error) {
		p, err := tx.Person(id)
		if err != nil {
			return Outcome{}, err
		}
		p.PersonData, p.Version, p.UpdatedAt = in, version, call.Now
		return Outcome{Noun: "person", NounID: id, Version: version + 1, BranchID: p.BranchID}, tx.UpdatePerson(p)
	})
}

// cleanPerson trims what was typed and writes the phone number as machines
// dial it.
func cleanPerson(in jobs.PersonData) jobs.PersonData {
	in.Name = jobs.CleanLine(in.Name)
	if in.Phone = jobs.CleanLine(in.Phone); in.Phone != "" {
		if n := e164(in.Phone); n != "" {
			in.Phone = n
		}
	}
	return in
}

// Persons reads a branch's people.
func (d *Desk) Persons(ctx context.Context, branchID string) ([]jobs.Person, error) {
	return read(ctx, d, func(tx *store.Tx) ([]jobs.Person, error) { return tx.Persons(branchID) })
}

// Person reads one person. CodeNotFound.
func (d *Desk) Person(ctx context.Context, id string) (jobs.Person, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Person, error) { return tx.Person(id) })
}

// CreateCrew sets up a crew. CodeInvalid (also for a home or person of another
// branch), CodeConflict (name taken).
func (d *Desk) CreateCrew(ctx context.Context, call Call, branchID string, in jobs.CrewData) (Outcome, error) {
	in.Name = jobs.CleanLine(in.Name)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	c := jobs.Crew{ID: d.ids.New(), BranchID: branchID, CrewData: in, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	return d.act(ctx, call, "createCrew", func(tx *store.Tx) (Outcome, error) {
		return made("crew", c.ID, branchID), inBranch(tx, branchID, func() error {
			if err := ownCrew(tx, branchID, in); err != nil {
				return err
			}
			return tx.InsertCrew(c)
		})
	})
}

// ChangeCrew writes over the version that the caller read. CodeInvalid,
// CodeNotFound, CodeStale.
func (d *Desk) ChangeCrew(ctx context.Context, call Call, id string, version int64, in jobs.CrewData) (Outcome, error) {
	in.Name = jobs.CleanLine(in.Name)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "changeCrew", func(tx *store.Tx) (Outcome, error) {
		c, err := tx.Crew(id)
		if err != nil {
			return Outcome{}, err
		}
		if err := ownCrew(tx, c.BranchID, in); err != nil {
			return Outcome{}, err
		}
		c.CrewData, c.Version, c.UpdatedAt = in, version, call.Now
		return Outcome{Noun: "crew", NounID: id, Version: version + 1, BranchID: c.BranchID}, tx.UpdateCrew(c)
	})
}

// ownCrew refuses a home or people of another branch.
func ownCrew(tx *store.Tx, branchID string, in jobs.CrewData) error {
	var f jobs.Faults
	h, err := tx.Home(in.HomeID)
	if err != nil && jobs.CodeOf(err) != jobs.CodeNotFound {
		return err
	}
	f.Check(err == nil && h.BranchID == branchID, "home_id", in.HomeID, "a home of this branch")
	people, err := tx.Persons(branchID)
	if err != nil {
		return err
	}
	known := map[string]bool{}
	for _, p := range people {
		known[p.ID] = true
	}
	for i, id := range in.People {
		f.Check(known[id], "people."+itoa(i), id, "a person of this branch")
	}
	return f.Err()
}

// Crews reads a branch's crews.
func (d *Desk) Crews(ctx context.Context, branchID string) ([]jobs.Crew, error) {
	return read(ctx, d, func(tx *store.Tx) ([]jobs.Crew, error) { return tx.Crews(branchID) })
}

// Crew reads one crew. CodeNotFound.
func (d *Desk) Crew(ctx context.Context, id string) (jobs.Crew, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Crew, error) { return tx.Crew(id) })
}

// CreatePump notes a pump. CodeInvalid, CodeConflict (name taken).
func (d *Desk) CreatePump(ctx context.Context, call Call, branchID string, in jobs.PumpData) (Outcome, error) {
	in.Name = jobs.CleanLine(in.Name)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	p := jobs.Pump{ID: d.ids.New(), BranchID: branchID, PumpData: in, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	return d.act(ctx, call, "createPump", func(tx *store.Tx) (Outcome, error) {
		return made("pump", p.ID, branchID), inBranch(tx, branchID, func() error {
			if err := ownHome(tx, branchID, in.HomeID); err != nil {
				return err
			}
			return tx.InsertPump(p)
		})
	})
}

// ChangePump writes over the version that the caller read. CodeInvalid,
// CodeNotFound, CodeStale.
func (d *Desk) ChangePump(ctx context.Context, call Call, id string, version int64, in jobs.PumpData) (Outcome, error) {
	in.Name = jobs.CleanLine(in.Name)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "changePump", func(tx *store.Tx) (Outcome, error) {
		p, err := tx.Pump(id)
		if err != nil {
			return Outcome{}, err
		}
		if err := ownHome(tx, p.BranchID, in.HomeID); err != nil {
			return Outcome{}, err
		}
		p.PumpData, p.Version, p.UpdatedAt = in, version, call.Now
		return Outcome{Noun: "pump", NounID: id, Version: version + 1, BranchID: p.BranchID}, tx.UpdatePump(p)
	})
}

func ownHome(tx *store.Tx, branchID, homeID string) error {
	h, err := tx.Home(homeID)
	if err != nil && jobs.CodeOf(err) != jobs.CodeNotFound {
		return err
	}
	var f jobs.Faults
	f.Check(err == nil && h.BranchID == branchID, "home_id", homeID, "a home of this branch")
	return f.Err()
}

// Pumps reads a branch's pumps.
func (d *Desk) Pumps(ctx context.Context, branchID string) ([]jobs.Pump, error) {
	return read(ctx, d, func(tx *store.Tx) ([]jobs.Pump, error) { return tx.Pumps(branchID) })
}

// Pump reads one pump. CodeNotFound.
func (d *Desk) Pump(ctx context.Context, id string) (jobs.Pump, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Pump, error) { return tx.Pump(id) })
}

// made is the outcome of something new.
func made(noun, id, branchID string) Outcome {
	return Outcome{Noun: noun, NounID: id, Version: 1, BranchID: branchID}
}

// inBranch refuses a branch that is not there with a sentence of its own.
func inBranch(tx *store.Tx, branchID string, do func() error) error {
	if _, err := tx.Branch(branchID); err != nil {
		return err
	}
	return do()
}
