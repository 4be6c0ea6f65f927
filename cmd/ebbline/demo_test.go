package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/check"
	"ebbline/dispatch/desk"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// demoOn fills a demo as it would be at an instant, by the shortest searches,
// and answers its desk and the draft of its week.
func demoOn(t *testing.T, now time.Time, seed int64) (*desk.Desk, string) {
	t.Helper()
	folder := t.TempDir()
	st, err := store.Open(t.Context(), "sqlite:"+filepath.Join(folder, "demo.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = st.Close() })
	if _, err := st.Migrate(t.Context()); err != nil {
		t.Fatal(err)
	}
	draft, err := fillDemo(t.Context(), st, demoAsk{now: now, seed: seed, rounds: 1, url: "http://localhost:8080",
		mail: filepath.Join(folder, "mail"), say: t.Logf})
	if err != nil {
		t.Fatal(err)
	}
	d, err := desk.New(desk.Config{Store: st, Clock: &demoClock{now: now}, IDs: uuids{}})
	if err != nil {
		t.Fatal(err)
	}
	return d, draft
}

func demoStates(t *testing.T, d *desk.Desk) map[jobs.State]int {
	t.Helper()
	counts := map[jobs.State]int{}
	page := jobs.Page{Limit: 100}
	for {
		list, err := d.Jobs(t.Context(), jobs.Actor{Role: jobs.RoleOwner}, desk.JobFilter{}, page)
		if err != nil {
			t.Fatal(err)
		}
		for _, j := range list.Items {
			counts[j.State]++
		}
		if list.Next == "" {
			return counts
		}
		page.Cursor = list.Next
	}
}

// A Monday (the work before it lies beyond a weekend), a Wednesday late in the
// evening, a Saturday (the week that is planned begins on Monday), and a Sunday
// just after midnight.
func TestDemoOnEveryKindOfDay(t *testing.T) {
	days := []time.Time{
		time.Date(2026, 3, 2, 16, 0, 0, 0, time.UTC), time.Date(2026, 3, 5, 5, 30, 0, 0, time.UTC),
		time.Date(2026, 3, 7, 18, 0, 0, 0, time.UTC), time.Date(2026, 11, 1, 7, 5, 0, 0, time.UTC),
	}
	for _, now := range days {
		t.Run(now.Format("Mon 2 Jan 15:04"), func(t *testing.T) {
			d, draft := demoOn(t, now, 1)
			got := demoStates(t, d)
			for _, k := range slices.Sorted(maps.Keys(got)) {
				t.Log(k, got[k])
			}
			w, p, err := readDraft(context.Background(), d, draft)
			if err != nil {
				t.Fatal(err)
			}
			var table bytes.Buffer
			if err := printPlan(&table, w, p); err != nil {
				t.Fatal(err)
			}
			if report := check.Plan(w, p); !report.OK() {
				t.Errorf("%+v", report.Broken)
			}
			t.Log(table.String())
		})
	}
}

var _ = fmt.Sprint
var _ = json.Marshal
var _ = strings.Contains
var _ = week.Version
