// Package desktest sets up a small company for tests of the desk and of what
// stands above it: one branch, two crews with a tech each, an owner and a
// dispatcher, on SQLite and on Postgres.
package desktest

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/jobs/store/storetest"
)

// Password of everybody in a World.
const Password = "correct pool light"

// World is the company.
type World struct {
	Store *store.Store
	Desk  *desk.Desk
	Clock *Clock
	IDs   *IDs
	// Branch is the id of the one branch, in America/Phoenix.
	Branch string
	// Users by name: owner, dispatcher, tech (of Crew), other (of OtherCrew).
	Users           map[string]jobs.User
	Crew, OtherCrew string
	Home            string
}

// Each runs the test in a fresh World on each database.
func Each(t *testing.T, test func(t *testing.T, w *World)) {
	t.Helper()
	storetest.Each(t, func(t *testing.T, st *store.Store) { test(t, New(t, st)) })
}

// New fills an empty database. It is Monday, 2 March 2026, 8:00 in Phoenix.
func New(t testing.TB, st *store.Store) *World {
	t.Helper()
	w := &World{Store: st, Clock: NewClock(time.Date(2026, 3, 2, 15, 0, 0, 0, time.UTC)), IDs: &IDs{}, Users: map[string]jobs.User{}}
	var err error
	w.Desk, err = desk.New(desk.Config{Store: st, Clock: w.Clock, IDs: w.IDs, HashMemoryKiB: 64})
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	made := func(out desk.Outcome, err error) string {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return out.NounID
	}
	w.Branch = made(w.Desk.CreateBranch(ctx, w.System(), "South yard", "America/Phoenix"))
	w.Home = made(w.Desk.CreateHome(ctx, w.System(), w.Branch, jobs.HomeData{Name: "Yard", Street: "1 Gravel Lane", LatE7: 33_4000000, LonE7: -112_0000000}))
	for i, name := range []string{"tech", "other"} {
		person := made(w.Desk.CreatePerson(ctx, w.System(), w.Branch, jobs.PersonData{Name: name, Active: true}))
		crew := made(w.Desk.CreateCrew(ctx, w.System(), w.Branch, jobs.CrewData{
			HomeID: w.Home, Name: fmt.Sprint("Crew ", i+1), Place: int64(i + 1), PumpBerths: 2, People: []string{person}, Active: true,
			Shifts: []jobs.Shift{{Weekday: 1, FromMinute: 7 * 60, ToMinute: 15 * 60}}}))
		w.addUser(t, name, jobs.RoleTech, person)
		if w.Crew == "" {
			w.Crew = crew
		} else {
			w.OtherCrew = crew
		}
	}
	w.addUser(t, "owner", jobs.RoleOwner, "")
	w.addUser(t, "dispatcher", jobs.RoleDispatcher, "")
	return w
}

func (w *World) addUser(t testing.TB, name string, role jobs.Role, person string) {
	t.Helper()
	out, err := w.Desk.CreateUser(context.Background(), w.System(), jobs.NewUser{
		BranchID: w.Branch, Email: name + "@example.com", Name: name, Role: role, Password: Password, PersonID: person})
	if err != nil {
		t.Fatal(err)
	}
	if w.Users[name], err = w.Desk.User(context.Background(), out.NounID); err != nil {
		t.Fatal(err)
	}
}

// System is a call of the program itself.
func (w *World) System() desk.Call {
	return desk.Call{Actor: jobs.Actor{Role: jobs.RoleSystem, Name: "test"}, Now: w.Clock.Now()}
}

// Call is a call of a user, with a fresh idempotency key.
func (w *World) Call(name string) desk.Call {
	key := w.IDs.New()
	return desk.Call{Actor: w.Users[name].Actor(), Key: key, Fingerprint: key, Now: w.Clock.Now()}
}

// Clock is a jobs.Clock that tests move.
type Clock struct {
	mu  sync.Mutex
	now time.Time
}

// NewClock stands at t.
func NewClock(t time.Time) *Clock { return &Clock{now: t.UTC().Truncate(time.Second)} }

// Now is where the clock stands.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

// Move sets the clock forward.
func (c *Clock) Move(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

// IDs makes ids that count up.
type IDs struct{ n atomic.Int64 }

// New is the next id.
func (i *IDs) New() string { return fmt.Sprintf("01950000-0000-7000-8000-%012d", i.n.Add(1)) }
