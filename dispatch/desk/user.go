package desk

import (
	"context"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// CreateUser lets a person sign in. CodeInvalid, CodeConflict (the address is
// taken), CodeNotFound (branch).
func (d *Desk) CreateUser(ctx context.Context, call Call, in jobs.NewUser) (Outcome, error) {
	in.Name, in.Email = jobs.CleanLine(in.Name), jobs.CleanLine(in.Email)
	if in.BranchID == "" {
		in.BranchID = call.Actor.BranchID
	}
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	hash, err := d.passwords.hash(ctx, in.Password)
	if err != nil {
		return Outcome{}, err
	}
	u := jobs.User{
		ID: d.ids.New(), BranchID: in.BranchID, Email: in.Email, Name: in.Name, Role: in.Role,
		PasswordHash: hash, Epoch: 1, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now,
	}
	return d.act(ctx, call, "createUser", func(tx *store.Tx) (Outcome, error) {
		if _, err := tx.Branch(u.BranchID); err != nil {
			return Outcome{}, err
		}
		if err := tx.InsertUser(u); err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "user", NounID: u.ID, Version: 1, BranchID: u.BranchID}, tx.LinkPerson(in.PersonID, u.ID)
	})
}

// ChangeUser sets what is not nil. A new password, role or shut-out ends every
// session of the user at once. CodeInvalid, CodeNotFound, CodeStale.
func (d *Desk) ChangeUser(ctx context.Context, call Call, id string, version int64, change jobs.UserChange) (Outcome, error) {
	var hash string
	if change.Password != nil {
		var f jobs.Faults
		jobs.CheckPassword(&f, "password", *change.Password)
		if err := f.Err(); err != nil {
			return Outcome{}, err
		}
		var err error
		if hash, err = d.passwords.hash(ctx, *change.Password); err != nil {
			return Outcome{}, err
		}
	}
	return d.act(ctx, call, "changeUser", func(tx *store.Tx) (Outcome, error) {
		u, err := tx.User(id)
		if err != nil {
			return Outcome{}, err
		}
		if err := stale("user", u.Version, version); err != nil {
			return Outcome{}, err
		}
		if u, err = change.Apply(u, hash); err != nil {
			return Outcome{}, err
		}
		u.UpdatedAt = call.Now
		if err := tx.UpdateUser(u); err != nil {
			return Outcome{}, err
		}
		out := Outcome{Noun: "user", NounID: id, Version: version + 1, BranchID: u.BranchID}
		if change.PersonID == nil {
			return out, nil
		}
		return out, tx.LinkPerson(*change.PersonID, id)
	})
}

// User reads one user. CodeNotFound.
func (d *Desk) User(ctx context.Context, id string) (jobs.User, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.User, error) { return tx.User(id) })
}

// Users reads a part of the list by address.
func (d *Desk) Users(ctx context.Context, page jobs.Page) (jobs.List[jobs.User], error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.List[jobs.User], error) { return tx.Users(page) })
}
