package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"slices"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/travel"
	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/worker"
)

const (
	demoCompany  = "Owl Wash Pool Lights"
	demoBranch   = "Cinder Wells"
	demoZone     = "America/Phoenix"
	demoPassword = "lamp at dusk"
)

// demoPeople sign in, for the demo only.
var demoPeople = []struct {
	email, name string
	role        jobs.Role
	person      string // key of people.csv; empty: nobody who goes out
}{
	{"owner@example.com", "Ottilie Veranda", jobs.RoleOwner, ""},
	{"dispatch@example.com", "Dag Sorrel", jobs.RoleDispatcher, ""},
	{"mirta@example.com", "Mirta Solano", jobs.RoleTech, "P-1"},
	{"desta@example.com", "Desta Hale", jobs.RoleTech, "P-3"},
	{"lena@example.com", "Lena Oskarsby", jobs.RoleTech, "P-5"},
}

// demoAsk is what a fill depends on, and nothing else.
type demoAsk struct {
	now    time.Time
	seed   int64
	rounds int64  // of each search
	url    string // where customers' links lead
	mail   string // folder of messages
	roads  []*travel.Roads
	today  bool // crews have worked today until now, too
	say    func(format string, args ...any)
}

// demoFill is the company being brought to life: a desk whose clock goes
// through its past.
type demoFill struct {
	ctx      context.Context
	ask      demoAsk
	desk     *desk.Desk
	delivery *worker.Delivery
	clock    *demoClock
	ids      *demoIDs
	said     map[string]bool // jobs whose customer answers
	rng      *rand.Rand
	days     demoDays
	branch   string
	stories  []demoStory
	jobs     map[string]string // key of enquiries.csv -> job
	people   map[string]string // key of people.csv -> person
	enquiry  demoTable
	draft    string // the week that is printed
	events   []demoEvent
}

// demoEvent is something that happens at an instant of the story.
type demoEvent struct {
	at  time.Time
	say string
	do  func() error
}

// fillDemo brings the company into an empty, current database: everything goes
// through the import and the desk's own acts. It answers the draft of the week
// that was handed out.
func fillDemo(ctx context.Context, st *store.Store, ask demoAsk) (draftID string, err error) {
	f, err := bringToLife(ctx, st, ask)
	if err != nil {
		return "", err
	}
	if ask.today {
		ask.say("living through today until now")
		err = (&demoDay{demoFill: f, out: io.Discard}).liveUntil(ask.now)
	}
	return f.draft, err
}

// bringToLife leaves the company at the end of the evening before the planned
// week.
func bringToLife(ctx context.Context, st *store.Store, ask demoAsk) (*demoFill, error) {
	zone, err := time.LoadLocation(demoZone)
	if err != nil {
		return nil, err
	}
	f := &demoFill{ctx: ctx, ask: ask, days: demoDaysAt(ask.now, zone), rng: rand.New(rand.NewPCG(uint64(ask.seed), 1)),
		jobs: map[string]string{}, people: map[string]string{}, said: map[string]bool{}}
	f.clock = &demoClock{now: f.days.at(f.days.back(40), 8, 0).UTC()}
	f.ids = &demoIDs{clock: f.clock, rng: rand.New(rand.NewPCG(uint64(ask.seed), 2))}
	if f.desk, err = desk.New(desk.Config{Store: st, Clock: f.clock, IDs: f.ids, PublicURL: ask.url, Roads: ask.roads}); err != nil {
		return nil, err
	}
	f.delivery = &worker.Delivery{Desk: f.desk, Mail: worker.Folder{Path: ask.mail}, Log: slog.New(slog.DiscardHandler),
		From: worker.Address{Name: demoCompany, At: "office@example.com"}}
	if err := f.open(); err != nil {
		return nil, err
	}
	if err := f.readStories(); err != nil {
		return nil, err
	}
	f.lay()
	slices.SortStableFunc(f.events, func(a, b demoEvent) int { return a.at.Compare(b.at) })
	for len(f.events) > 0 { // what happens may bring about more
		next := f.events[0]
		f.events = f.events[1:]
		if next.at.After(f.days.until) {
			break
		}
		if err := f.happen(next); err != nil {
			return nil, err
		}
	}
	return f, f.passTo(f.days.until)
}

// passTo lets time pass. While crews and customers wait for messages, those are
// sent in the hour in which they fall due.
func (f *demoFill) passTo(at time.Time) error {
	if begin := f.days.at(f.days.back(5), 12, 0); at.After(begin) {
		f.clock.moveTo(begin)
		for hour := f.clock.Now().Truncate(time.Hour).Add(time.Hour); hour.Before(at); hour = hour.Add(time.Hour) {
			f.clock.moveTo(hour)
			if err := f.deliver(); err != nil {
				return err
			}
		}
	}
	f.clock.moveTo(at)
	return nil
}

func (f *demoFill) happen(e demoEvent) error {
	if err := f.passTo(e.at); err != nil {
		return err
	}
	if e.say != "" {
		f.ask.say("%s", e.say)
	}
	if err := e.do(); err != nil {
		return fmt.Errorf("%s, %s: %w", e.at.In(f.days.zone).Format("Mon 2 Jan 15:04"), e.say, err)
	}
	return nil
}

// later puts something into the story that has not happened yet.
func (f *demoFill) later(at time.Time, say string, do func() error) {
	i, _ := slices.BinarySearchFunc(f.events, at, func(e demoEvent, at time.Time) int {
		if e.at.After(at) {
			return 1
		}
		return -1
	})
	f.events = slices.Insert(f.events, i, demoEvent{at, say, do})
}

// office is a call of the dispatcher's at the story's instant.
func (f *demoFill) office() desk.Call {
	return desk.Call{Actor: jobs.Actor{Role: jobs.RoleDispatcher, Name: "Dag Sorrel", BranchID: f.branch}, Now: f.desk.Now()}
}

// open founds the company: branch, rules, crews, pumps, stock, and the people
// who sign in.
func (f *demoFill) open() error {
	f.ask.say("founding %s in %s", demoCompany, demoBranch)
	out, err := f.desk.CreateBranch(f.ctx, desk.Call{Actor: jobs.Actor{Role: jobs.RoleSystem, Name: "demo"}, Now: f.desk.Now()}, demoBranch, demoZone)
	if err != nil {
		return err
	}
	f.branch = out.NounID
	if err := f.rules(); err != nil {
		return err
	}
	for _, kind := range []jobs.ImportKind{jobs.ImportPeople, jobs.ImportCrews, jobs.ImportPumps, jobs.ImportParts} {
		t, err := demoFile(string(kind) + ".csv")
		if err != nil {
			return err
		}
		if err := f.takeIn(kind, string(kind)+".csv", t); err != nil {
			return err
		}
	}
	persons, err := f.desk.Persons(f.ctx, f.branch)
	if err != nil {
		return err
	}
	keys, err := demoFile("people.csv")
	if err != nil {
		return err
	}
	for _, row := range keys.rows {
		for _, p := range persons {
			if p.Name == keys.cell(row, "name") {
				f.people[keys.cell(row, "key")] = p.ID
			}
		}
	}
	for _, u := range demoPeople {
		_, err := f.desk.CreateUser(f.ctx, f.office(), jobs.NewUser{BranchID: f.branch, Email: u.email, Name: u.name, Role: u.role,
			Password: demoPassword, PersonID: f.people[u.person]})
		if err != nil {
			return err
		}
	}
	return nil
}

// rules are the company's own: its name on papers, pools of tile that may stand
// low for longer than bare plaster, a promise that is dear to break, and hours of slow traffic.
func (f *demoFill) rules() error {
	s, err := f.desk.Settings(f.ctx, f.branch)
	if err != nil {
		return err
	}
	s.Settings.Company.Name, s.Settings.Company.Phone = demoCompany, "+1 559 555 0100"
	s.Settings.Company.Email, s.Settings.Company.Address = "office@example.com", "1 Ironwood Spur, Cinder Wells"
	s.Settings.Company.License = "invented, for the demo"
	s.Settings.Planning.LowDays = 4
	s.Settings.Planning.PromiseCents = 400_00
	for weekday := 1; weekday <= 5; weekday++ { // people drive to work and home
		s.Settings.Planning.TravelPeriods = append(s.Settings.Planning.TravelPeriods,
			jobs.TravelPeriod{Weekday: weekday, FromMinute: 7 * 60, ToMinute: 9 * 60, SpeedPermille: 850},
			jobs.TravelPeriod{Weekday: weekday, FromMinute: 16 * 60, ToMinute: 18 * 60, SpeedPermille: 800})
	}
	var numbers map[string]json.RawMessage
	if err := json.Unmarshal(s.Settings.Estimate, &numbers); err != nil {
		return err
	}
	var water map[string]any
	if err := json.Unmarshal(numbers["water"], &water); err != nil {
		return err
	}
	water["low_limit_else"] = 4 * 24 * 3600
	if numbers["water"], err = json.Marshal(water); err != nil {
		return err
	}
	if s.Settings.Estimate, err = json.Marshal(numbers); err != nil {
		return err
	}
	body, err := json.Marshal(s.Settings)
	if err != nil {
		return err
	}
	_, err = f.desk.ChangeSettings(f.ctx, f.office(), f.branch, s.Number, body)
	return err
}

// deliver sends what is due by the story's clock.
func (f *demoFill) deliver() error {
	for {
		ids, err := f.desk.NoticesToRing(f.ctx, 0, 100)
		if err != nil || len(ids) == 0 {
			return err
		}
		for _, id := range ids {
			if err := f.delivery.One(f.ctx, id); err != nil {
				return err
			}
		}
	}
}
