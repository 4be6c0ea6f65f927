package jobs

import "time"

// Lengths of passwords in characters, after NIST SP 800-63B (from memory): at
// least 8, at least 64 allowed, nothing asked about kinds of characters.
const (
	MinPassword = 8
	MaxPassword = 128
)

// User is somebody who signs in.
type User struct {
	ID           string
	BranchID     string
	Email        string
	Name         string
	Role         Role
	PersonID     string // the person behind the user, by persons.user_id; empty: none
	CrewID       string // that person's crew; empty: none
	PasswordHash string // argon2id in its text form; never leaves the server
	Disabled     bool
	Epoch        int64 // grows to end every session at once: password, role, disable
	Version      int64
	CreatedAt    time.Time
	UpdatedAt    time.Time
}

// Actor is the user as the one who acts.
func (u User) Actor() Actor {
	return Actor{UserID: u.ID, Role: u.Role, Name: u.Name, BranchID: u.BranchID, CrewID: u.CrewID, PersonID: u.PersonID}
}

// NewUser is a user as one is entered, with the password in clear.
type NewUser struct {
	BranchID string
	Email    string
	Name     string
	Role     Role
	Password string
	PersonID string // the person behind the user; empty: none
}

// UserRoles are the roles that sign in.
var UserRoles = []Role{RoleOwner, RoleDispatcher, RoleTech}

// Check refuses what is wrong, all of it at once.
func (n NewUser) Check() error {
	var f Faults
	f.ID("branch_id", n.BranchID)
	f.Check(ValidEmail(n.Email), "email", n.Email, "an e-mail address such as name@example.com")
	f.Line("name", n.Name, 1, MaxName)
	OneOf(&f, "role", n.Role, UserRoles)
	if n.PersonID != "" {
		f.ID("person_id", n.PersonID)
	}
	CheckPassword(&f, "password", n.Password)
	return f.Err()
}

// UserChange sets what is not nil.
type UserChange struct {
	Name     *string
	Role     *Role
	Password *string
	Disabled *bool
	PersonID *string
}

// Apply is u with the change made, or all that is wrong with it. hash is of the
// new password, where there is one. A new password, role or shut-out raises
// the epoch, which ends every session.
func (ch UserChange) Apply(u User, hash string) (User, error) {
	var f Faults
	before := u
	if ch.Name != nil {
		u.Name = CleanLine(*ch.Name)
		f.Line("name", u.Name, 1, MaxName)
	}
	if ch.Role != nil {
		u.Role = *ch.Role
		OneOf(&f, "role", u.Role, UserRoles)
	}
	if ch.Password != nil {
		u.PasswordHash = hash
	}
	if ch.Disabled != nil {
		u.Disabled = *ch.Disabled
	}
	if ch.PersonID != nil && *ch.PersonID != "" {
		f.ID("person_id", *ch.PersonID)
	}
	if u.Role != before.Role || u.Disabled != before.Disabled || u.PasswordHash != before.PasswordHash {
		u.Epoch++
	}
	return u, f.Err()
}

// CheckPassword notes a password that is too short or too long. The password
// itself is never repeated in an error.
func CheckPassword(f *Faults, field, password string) {
	n := len([]rune(password))
	f.Check(n >= MinPassword && n <= MaxPassword, field, "",
		"between "+itoa(MinPassword)+" and "+itoa(MaxPassword)+" characters")
}
