package jobs

import (
	"strconv"
	"time"
)

// Skill is something that a visit may ask of a crew.
type Skill string

// The skills, as table skills holds them.
const (
	SkillSurvey   Skill = "survey"
	SkillPull     Skill = "pull"     // pulling cord
	SkillLicensed Skill = "licensed" // electrical work that law leaves to the licensed
	SkillWater    Skill = "water"    // water and its chemistry
	SkillDig      Skill = "dig"      // digging, setting a base
)

// Skills lists the skills.
var Skills = []Skill{SkillSurvey, SkillPull, SkillLicensed, SkillWater, SkillDig}

// Label is the skill as people say it, as table skills holds it.
func (s Skill) Label() string {
	switch s {
	case SkillPull:
		return "pulling cord"
	case SkillLicensed:
		return "licensed electrical work"
	case SkillWater:
		return "water and chemistry"
	case SkillDig:
		return "digging and setting a base"
	}
	return string(s)
}

// Person is somebody who goes out with a crew. UserID is set when the person
// signs in.
type Person struct {
	ID       string
	BranchID string
	UserID   string
	PersonData
	Version   int64
	CreatedAt time.Time
	UpdatedAt time.Time
}

// PersonData is what people enter and change.
type PersonData struct {
	Name   string
	Email  string // empty: none known
	Phone  string // E.164; empty: none known
	Skills []Skill
	Active bool
}

// Check refuses what is wrong, all of it at once.
func (d PersonData) Check() error {
	var f Faults
	f.Line("name", d.Name, 1, MaxName)
	f.Check(d.Email == "" || ValidEmail(d.Email), "email", d.Email, "an e-mail address such as name@example.com")
	f.Check(d.Phone == "" || validE164(d.Phone), "phone", d.Phone, "a phone number such as +1 559 555 0123")
	checkSkills(&f, d.Skills)
	return f.Err()
}

func itoa64(n int64) string { return strconv.FormatInt(n, 10) }

func checkSkills(f *Faults, got []Skill) {
	seen := map[Skill]bool{}
	for i, s := range got {
		at := "skills." + itoa(i)
		OneOf(f, at, s, Skills)
		f.Check(!seen[s], at, string(s), "each skill once")
		seen[s] = true
	}
}
