package store

import (
	"ebbline/jobs"
)

type personRow struct {
	ID        string
	BranchID  string
	Name      string
	UserID    *string
	Email     string
	Phone     string
	Active    bool
	Version   int64
	CreatedAt int64 `gorm:"autoCreateTime:false"`
	UpdatedAt int64 `gorm:"autoUpdateTime:false"`
}

func (personRow) TableName() string { return "persons" }

type personSkillRow struct{ PersonID, SkillID string }

func (personSkillRow) TableName() string { return "person_skills" }

func (r personRow) person() jobs.Person {
	return jobs.Person{ID: r.ID, BranchID: r.BranchID, UserID: text(r.UserID),
		PersonData: jobs.PersonData{Name: r.Name, Email: r.Email, Phone: r.Phone, Active: r.Active},
		Version:    r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt)}
}

// InsertPerson adds a person with the skills.
func (tx *Tx) InsertPerson(p jobs.Person) error {
	err := tx.insert(&personRow{ID: p.ID, BranchID: p.BranchID, Name: p.Name, UserID: maybeText(p.UserID), Email: p.Email,
		Phone: p.Phone, Active: p.Active, Version: p.Version, CreatedAt: secs(p.CreatedAt), UpdatedAt: secs(p.UpdatedAt)})
	if err != nil {
		return err
	}
	return tx.putSkills(p)
}

// UpdatePerson writes p over the version it was read at. CodeStale,
// CodeNotFound.
func (tx *Tx) UpdatePerson(p jobs.Person) error {
	err := tx.update("person", &personRow{}, p.ID, p.Version, p.UpdatedAt,
		change{"name": p.Name, "email": p.Email, "phone": p.Phone, "active": p.Active})
	if err != nil {
		return err
	}
	return tx.putSkills(p)
}

func (tx *Tx) putSkills(p jobs.Person) error {
	if err := tx.db.Where("person_id = ?", p.ID).Delete(&personSkillRow{}).Error; err != nil || len(p.Skills) == 0 {
		return err
	}
	rows := make([]personSkillRow, len(p.Skills))
	for i, s := range p.Skills {
		rows[i] = personSkillRow{p.ID, string(s)}
	}
	return tx.insert(&rows)
}

// Person reads one person. CodeNotFound.
func (tx *Tx) Person(id string) (jobs.Person, error) {
	row, err := first[personRow](tx, "person", "id = ?", id)
	if err != nil {
		return jobs.Person{}, err
	}
	list, err := tx.withSkills([]personRow{row})
	if err != nil {
		return jobs.Person{}, err
	}
	return list[0], nil
}

// Persons reads a branch's people by name.
func (tx *Tx) Persons(branchID string) ([]jobs.Person, error) {
	rows, err := all[personRow](tx, "name, id", "branch_id = ?", branchID)
	if err != nil {
		return nil, err
	}
	return tx.withSkills(rows)
}

// withSkills reads the skills of all rows by one statement.
func (tx *Tx) withSkills(rows []personRow) ([]jobs.Person, error) {
	out, at := make([]jobs.Person, len(rows)), map[string]int{}
	ids := make([]string, len(rows))
	for i, r := range rows {
		out[i], at[r.ID], ids[i] = r.person(), i, r.ID
	}
	if len(ids) == 0 {
		return out, nil
	}
	skills, err := all[personSkillRow](tx, "person_id, skill_id", "person_id IN ?", ids)
	for _, s := range skills {
		p := &out[at[s.PersonID]]
		p.Skills = append(p.Skills, jobs.Skill(s.SkillID))
	}
	return out, err
}
