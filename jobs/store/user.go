package store

import (
	"ebbline/jobs"
)

type userRow struct {
	ID           string
	BranchID     string
	Email        string
	EmailKey     string
	Name         string
	Role         string
	PasswordHash string
	Disabled     bool
	Epoch        int64
	Version      int64
	CreatedAt    int64 `gorm:"autoCreateTime:false"`
	UpdatedAt    int64 `gorm:"autoUpdateTime:false"`
}

func (userRow) TableName() string { return "users" }

// InsertUser adds a user.
func (tx *Tx) InsertUser(u jobs.User) error {
	return tx.insert(&userRow{
		ID: u.ID, BranchID: u.BranchID, Email: u.Email, EmailKey: jobs.FoldEmail(u.Email), Name: u.Name,
		Role: string(u.Role), PasswordHash: u.PasswordHash, Disabled: u.Disabled, Epoch: u.Epoch,
		Version: u.Version, CreatedAt: secs(u.CreatedAt), UpdatedAt: secs(u.UpdatedAt),
	})
}

// UpdateUser writes u over the version it was read at. CodeStale, CodeNotFound.
func (tx *Tx) UpdateUser(u jobs.User) error {
	return tx.update("user", &userRow{}, u.ID, u.Version, u.UpdatedAt, change{
		"email": u.Email, "email_key": jobs.FoldEmail(u.Email), "name": u.Name, "role": string(u.Role),
		"password_hash": u.PasswordHash, "disabled": u.Disabled, "epoch": u.Epoch,
	})
}

// User reads one user.
func (tx *Tx) User(id string) (jobs.User, error) { return tx.userWhere("users.id = ?", id) }

// UserByEmail reads the user who signs in with an address, however it is
// written.
func (tx *Tx) UserByEmail(email string) (jobs.User, error) {
	return tx.userWhere("users.email_key = ?", jobs.FoldEmail(email))
}

// userWhere reads a user with the person behind it and that person's first
// crew, in one statement: every request runs it.
func (tx *Tx) userWhere(where, arg string) (jobs.User, error) {
	var row struct {
		userRow
		PersonID *string
		CrewID   *string
	}
	err := tx.db.Table("users").Where(where, arg).
		Select(`users.*, persons.id AS person_id, (
			SELECT crews.id FROM crew_people JOIN crews ON crews.id = crew_people.crew_id
			WHERE crew_people.person_id = persons.id AND crews.active ORDER BY crews.place, crews.id LIMIT 1) AS crew_id`).
		Joins("LEFT JOIN persons ON persons.user_id = users.id AND persons.active").
		Order("persons.id").Limit(1).Take(&row).Error
	if err != nil {
		return jobs.User{}, notFound(err, "user")
	}
	r := row.userRow
	return jobs.User{
		ID: r.ID, BranchID: r.BranchID, Email: r.Email, Name: r.Name, Role: jobs.Role(r.Role),
		PersonID: text(row.PersonID), CrewID: text(row.CrewID), PasswordHash: r.PasswordHash,
		Disabled: r.Disabled, Epoch: r.Epoch, Version: r.Version,
		CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt),
	}, nil
}
