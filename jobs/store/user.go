package store

import (
	"gorm.io/gorm"

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

type userSeen struct {
	Row      userRow `gorm:"embedded"`
	PersonID *string
	CrewID   *string
}

func (s userSeen) user() jobs.User {
	r := s.Row
	return jobs.User{
		ID: r.ID, BranchID: r.BranchID, Email: r.Email, Name: r.Name, Role: jobs.Role(r.Role),
		PersonID: text(s.PersonID), CrewID: text(s.CrewID), PasswordHash: r.PasswordHash,
		Disabled: r.Disabled, Epoch: r.Epoch, Version: r.Version,
		CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt),
	}
}

// users asks for users with the person behind each and that person's first
// crew, in one statement: every request runs it.
func (tx *Tx) users() *gorm.DB {
	return tx.db.Table("users").Select(`users.*, (
			SELECT MIN(persons.id) FROM persons WHERE persons.user_id = users.id AND persons.active) AS person_id, (
			SELECT crews.id FROM crews JOIN crew_people ON crew_people.crew_id = crews.id
			JOIN persons ON persons.id = crew_people.person_id
			WHERE persons.user_id = users.id AND persons.active AND crews.active
			ORDER BY crews.place, crews.id LIMIT 1) AS crew_id`)
}

func (tx *Tx) userWhere(where, arg string) (jobs.User, error) {
	var row userSeen
	err := tx.users().Where(where, arg).Take(&row).Error
	return row.user(), notFound(err, "user")
}

// Users reads a part of the list by address.
func (tx *Tx) Users(page jobs.Page) (jobs.List[jobs.User], error) {
	after, err := readCursor(page)
	if err != nil {
		return jobs.List[jobs.User]{}, err
	}
	q := tx.users().Order("users.email_key, users.id").Limit(page.Size() + 1)
	if after.ID != "" {
		q = q.Where("(users.email_key, users.id) > (?, ?)", after.Key, after.ID)
	}
	var rows []userSeen
	if err := q.Find(&rows).Error; err != nil {
		return jobs.List[jobs.User]{}, err
	}
	part := cut(rows, page.Size(), func(r userSeen) cursor { return cursor{r.Row.EmailKey, r.Row.ID} })
	out := make([]jobs.User, len(part.Items))
	for i, r := range part.Items {
		out[i] = r.user()
	}
	return jobs.List[jobs.User]{Items: out, Next: part.Next}, nil
}

// LinkPerson sets the person behind a user; an empty personID sets none.
// CodeNotFound.
func (tx *Tx) LinkPerson(personID, userID string) error {
	err := tx.db.Table("persons").Where("user_id = ? AND id <> ?", userID, personID).
		Updates(map[string]any{"user_id": nil}).Error
	if err != nil || personID == "" {
		return err
	}
	done := tx.db.Table("persons").Where("id = ?", personID).Updates(map[string]any{"user_id": userID})
	if done.Error == nil && done.RowsAffected == 0 {
		return jobs.Errorf(jobs.CodeNotFound, "There is no such person")
	}
	return done.Error
}
