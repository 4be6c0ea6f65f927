package jobs

// Role is what a person may do. The table of acts and roles stands beside
// the routes, in server.
type Role string

// The roles of people who sign in, and the two actors that do not.
const (
	RoleOwner      Role = "owner"
	RoleDispatcher Role = "dispatcher"
	RoleTech       Role = "tech"
	RoleCustomer   Role = "customer" // came by a signed link
	RoleSystem     Role = "system"   // the worker, the command line
)

// Actor is who acts: recorded with everything that changes.
type Actor struct {
	UserID   string // empty for customers and the system
	Role     Role
	Name     string // for the audit's reader
	BranchID string // the branch of the user
	CrewID   string // a tech's crew; the limits of what a tech sees
	PersonID string // the person behind the user, where there is one
	LinkID   string // the customer link that was opened
}

// Office says whether the actor works in the office (dispatcher or owner) or
// is the system itself.
func (a Actor) Office() bool {
	return a.Role == RoleOwner || a.Role == RoleDispatcher || a.Role == RoleSystem
}
