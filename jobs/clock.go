package jobs

import "time"

// Clock tells business instants. cmd holds the real one; tests hold one that
// they move. Leases never use it: they read the database's own clock.
type Clock interface {
	// Now is in UTC, cut to whole seconds.
	Now() time.Time
}

// IDs makes the names of things: UUID text in lower case, version 7, so that
// rows made together lie together. The order of ids is not the order of
// commits.
type IDs interface {
	New() string
}

// ValidID says whether s is a UUID in lower-case text form.
func ValidID(s string) bool {
	if len(s) != 36 {
		return false
	}
	for i := 0; i < len(s); i++ {
		c := s[i]
		switch i {
		case 8, 13, 18, 23:
			if c != '-' {
				return false
			}
		default:
			if (c < '0' || c > '9') && (c < 'a' || c > 'f') {
				return false
			}
		}
	}
	return true
}
