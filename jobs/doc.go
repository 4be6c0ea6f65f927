// Package jobs holds the nouns of a retrofit contractor's work and the rules
// that bind them: customers, sites, surveys, quotes, jobs, visits, crews,
// plans, notices and field records. It is pure: no clock, no storage, no
// network; whatever needs one of those is handed in (Clock, IDs) or lives in a
// package above.
//
// Conventions: instants are time.Time in UTC cut to whole seconds; civil days
// are Day in the branch's or site's zone; money is Cents; lengths are whole
// micrometres and volumes whole millilitres (see Unit). A nil pointer or an
// absent value means "not known yet", never zero.
package jobs
