// Package desk is the office desk: every act of the flow, from the first call
// to the figures, as a method of Desk. The server, the worker and the command
// line all act through it.
//
// An act takes a Call (who, with which idempotency key, when), checks what it
// was given, and changes things in one transaction that also writes the audit
// and the outcome:
//
//	out, err := d.CreateCustomer(ctx, call, in)
//	c, err := d.Customer(ctx, call.Actor, out.NounID)
//
// Refusals are *jobs.Error.
package desk

import (
	"context"
	"errors"
	"strings"
	"time"

	"ebbline/dispatch/travel"
	"ebbline/dispatch/travel/address"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// Desk does the acts. It is safe for use by many at once.
type Desk struct {
	store     *store.Store
	clock     jobs.Clock
	ids       jobs.IDs
	bell      Bell
	passwords *passwords
	plans     planCache
	warm      warmCache
	odds      oddsKept
	roads     []*roadTable
	centres   *address.Centres
	learnt    learntCache
	maps      []*roadMap // of the road files, one each; nil where it has none
	ways      ways
	publicURL string // where customers' links lead, without a slash at its end
}

// Bell wakes the worker after a commit. Ringing is best effort: what is due
// stands in the database, and a sweep finds it without any bell.
type Bell interface {
	// Ring says that something of this kind ("notice", "plan_run") is due.
	Ring(ctx context.Context, kind string)
}

// What the bell is rung for.
const (
	BellNotice  = "notice"
	BellPlanRun = "plan_run"
)

// Silent is the bell where nobody listens.
type Silent struct{}

// Ring does nothing.
func (Silent) Ring(context.Context, string) {}

// Config is what a desk needs. Bell may be nil.
type Config struct {
	Store *store.Store
	Clock jobs.Clock
	IDs   jobs.IDs
	Bell  Bell
	// PublicURL is the address people reach the pages by, such as
	// https://pools.example.com; customers' links begin with it. Empty: notices
	// carry no link.
	PublicURL string
	// Roads are road files; a branch drives by the smallest that covers its yard.
	// None: drives are straight lines made longer.
	Roads []*travel.Roads
	// Centres are the middles of ZIP codes, for sites whose address no road file
	// knows; nil: there are none.
	Centres *address.Centres
	// HashMemoryKiB is the memory of one password hash; zero means 19 MiB, as
	// OWASP's password storage sheet has it (from memory). Tests set it low.
	HashMemoryKiB uint32
}

// New makes a desk.
func New(c Config) (*Desk, error) {
	if c.Store == nil || c.Clock == nil || c.IDs == nil {
		return nil, errors.New("a desk needs a store, a clock and ids")
	}
	if c.Bell == nil {
		c.Bell = Silent{}
	}
	p, err := newPasswords(c.HashMemoryKiB)
	if err != nil {
		return nil, err
	}
	d := &Desk{store: c.Store, clock: c.Clock, ids: c.IDs, bell: c.Bell, passwords: p, centres: c.Centres, publicURL: strings.TrimRight(c.PublicURL, "/")}
	for _, r := range c.Roads {
		t, err := openRoads(r)
		if err != nil {
			return nil, err
		}
		d.roads = append(d.roads, t)
	}
	return d, d.openMaps()
}

// Now is the business instant, for the Call of a request that just came.
func (d *Desk) Now() time.Time { return d.clock.Now() }

// Ready says whether the database answers.
func (d *Desk) Ready(ctx context.Context) error { return d.store.Ping(ctx) }
