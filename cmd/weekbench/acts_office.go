package main

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"log/slog"
	"testing/fstest"
	"time"

	"github.com/google/uuid"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
	"ebbline/server"
	"ebbline/server/auth"
)

const benchPassword = "measured in the evening"

// benchClock is the real clock.
type benchClock struct{}

func (benchClock) Now() time.Time { return time.Now().UTC().Truncate(time.Second) }

// benchIDs are UUIDs of version 7.
type benchIDs struct{}

func (benchIDs) New() string { return uuid.Must(uuid.NewV7()).String() }

// benchOffice is a server over a database that holds one draft.
type benchOffice struct {
	store  *store.Store
	server *server.Server
	draft  string
}

func (o *benchOffice) close() { _ = o.store.Close() }

// openOffice founds a branch with one dispatcher and one planned draft.
func openOffice(ctx context.Context, file string, on *actsOn) (*benchOffice, error) {
	st, err := store.Open(ctx, "sqlite:"+file)
	if err != nil {
		return nil, err
	}
	o := &benchOffice{store: st, draft: benchIDs{}.New()}
	if err := o.found(ctx, on); err != nil {
		return nil, errors.Join(err, st.Close())
	}
	return o, nil
}

func (o *benchOffice) found(ctx context.Context, on *actsOn) error {
	if _, err := o.store.Migrate(ctx); err != nil {
		return err
	}
	d, err := desk.New(desk.Config{Store: o.store, Clock: benchClock{}, IDs: benchIDs{}})
	if err != nil {
		return err
	}
	call := desk.Call{Actor: jobs.Actor{Role: jobs.RoleSystem, Name: "bench"}, Now: d.Now()}
	branch, err := d.CreateBranch(ctx, call, "Bench", on.w.Zone)
	if err != nil {
		return err
	}
	if _, err := d.CreateUser(ctx, call, jobs.NewUser{BranchID: branch.NounID, Email: "bench@example.com", Name: "Bench", Role: jobs.RoleDispatcher, Password: benchPassword}); err != nil {
		return err
	}
	weekText, err := json.Marshal(on.w)
	if err != nil {
		return err
	}
	planText, err := json.Marshal(on.p)
	if err != nil {
		return err
	}
	cost, out := jobs.Cents(on.p.Cost.Total), int64(len(on.p.LeftOut))
	err = o.store.InTx(ctx, func(tx *store.Tx) error {
		return tx.InsertDraft(jobs.Draft{ID: o.draft, BranchID: branch.NounID, NewDraft: jobs.NewDraft{FirstDay: jobs.Day(on.w.Days[0].Date), Days: int64(len(on.w.Days))},
			Week: string(weekText), Plan: string(planText), State: jobs.DraftPlanned, Cost: &cost, LeftOut: &out, MadeBy: "bench", Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now})
	})
	if err != nil {
		return err
	}
	key := make([]byte, auth.KeyBytes)
	if _, err := rand.Read(key); err != nil {
		return err
	}
	ring, err := auth.NewRing(key)
	if err != nil {
		return err
	}
	o.server, err = server.New(server.Config{Desk: d, Clock: benchClock{}, IDs: benchIDs{}, Keys: ring, Log: slog.New(slog.DiscardHandler), UserLife: time.Minute,
		Pages: fstest.MapFS{"index.html": {Data: []byte("<!doctype html><title>Ebbline</title>")}}})
	return err
}

// nameByIDs gives the things of a generated week names of the form that the
// database's have: UUIDs, and tours by crew and day.
func nameByIDs(on *actsOn) (*actsOn, error) {
	name := map[string]string{}
	add := func(id string) {
		if name[id] == "" {
			name[id] = benchIDs{}.New()
		}
	}
	for _, p := range on.w.Places {
		add(p.ID)
	}
	for _, h := range on.w.Homes {
		add(h.ID)
	}
	for _, c := range on.w.Crews {
		add(c.ID)
	}
	for i := range on.w.Jobs {
		add(on.w.Jobs[i].ID)
		for k := range on.w.Jobs[i].Visits {
			add(on.w.Jobs[i].Visits[k].ID)
		}
	}
	for _, t := range on.w.Tours {
		name[t.ID] = name[t.Crew] + "@" + on.w.Days[t.Day].Date
	}
	w, err := renamed(on.w, name, week.DecodeWeek)
	if err != nil {
		return nil, err
	}
	p, err := renamed(on.p, name, week.DecodePlan)
	if err != nil {
		return nil, err
	}
	return &actsOn{w: w, p: p, say: on.say}, nil
}
