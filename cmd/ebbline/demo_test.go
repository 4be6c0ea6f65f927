package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"ebbline/dispatch/check"
	"ebbline/dispatch/desk"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// demoOn fills a demo as it would be at an instant, by the shortest searches,
// and answers its desk, the draft of its week and the folder of its messages.
func demoOn(t *testing.T, now time.Time) (d *desk.Desk, draft, mail string) {
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
	mail = filepath.Join(folder, "mail")
	draft, err = fillDemo(t.Context(), st, demoAsk{now: now, seed: 1, rounds: 1, url: "http://localhost:8080", mail: mail, roads: demoRoads(t), say: t.Logf})
	if err != nil {
		t.Fatal(err)
	}
	d, err = desk.New(desk.Config{Store: st, Clock: &demoClock{now: now}, IDs: uuids{}, Roads: demoRoads(t)})
	if err != nil {
		t.Fatal(err)
	}
	return d, draft, mail
}

var demoOffice = jobs.Actor{Role: jobs.RoleOwner}

func demoJobs(t *testing.T, d *desk.Desk) (list []desk.JobView) {
	t.Helper()
	page := jobs.Page{Limit: jobs.MaxPage}
	for {
		part, err := d.Jobs(t.Context(), demoOffice, desk.JobFilter{}, page)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, part.Items...)
		if page.Cursor = part.Next; part.Next == "" {
			return list
		}
	}
}

// A Saturday (the planned week begins on Monday), that Monday in the afternoon
// (the work before it lies beyond a weekend), and a Wednesday just before
// midnight. Phoenix has no summer time (IANA), so these stand for every date.
func TestDemoOnEveryKindOfDay(t *testing.T) {
	var saturdays []byte
	for _, c := range []struct {
		now   time.Time
		first string
	}{
		{time.Date(2026, 3, 7, 18, 0, 0, 0, time.UTC), "2026-03-09"},
		{time.Date(2026, 3, 9, 22, 0, 0, 0, time.UTC), "2026-03-09"},
		{time.Date(2026, 3, 5, 6, 59, 0, 0, time.UTC), "2026-03-04"},
	} {
		t.Run(c.now.Format("Mon 2 Jan 15:04"), func(t *testing.T) {
			d, draft, mail := demoOn(t, c.now)
			w, p, err := readDraft(t.Context(), d, draft)
			if err != nil {
				t.Fatal(err)
			}
			if w.Days[0].Date != c.first {
				t.Errorf("the week begins on %s, want %s", w.Days[0].Date, c.first)
			}
			if report := check.Plan(w, p); !report.OK() {
				t.Errorf("broken: %+v", report.Broken)
			}
			checkDemoStates(t, d)
			checkDemoToday(t, d, jobs.Day(c.first))
			checkDemoAround(t, d, w, mail)
			if c.first == "2026-03-09" {
				file, err := d.DraftFile(t.Context(), draft)
				if err != nil {
					t.Fatal(err)
				}
				both := append(bytes.Clone(file.Week), file.Plan...)
				if saturdays == nil {
					saturdays = both
				} else if !bytes.Equal(saturdays, both) {
					t.Error("one seed and one first day made two weeks")
				}
			}
		})
	}
}

// Whatever the weekday, every state is there. How many of the ready jobs are
// routed is the search's business.
func checkDemoStates(t *testing.T, d *desk.Desk) {
	t.Helper()
	got := map[jobs.State]int{}
	for _, j := range demoJobs(t, d) {
		got[j.State]++
	}
	for state, want := range map[jobs.State]int{
		jobs.StateEnquiry: 5, jobs.StateSurveyed: 6, jobs.StateQuoted: 5, jobs.StateApproved: 6, jobs.StateUnderWay: 2, jobs.StateMadeSafe: 1,
		jobs.StateConverted: 2, jobs.StateAwaitingInspection: 1, jobs.StateClosed: 19, jobs.StateParked: 2, jobs.StateDeclined: 2,
	} {
		if got[state] != want {
			t.Errorf("%d jobs are %s, want %d", got[state], state.Label(), want)
		}
	}
	if got[jobs.StateRouted] < 6 || got[jobs.StateReady] < 1 || got[jobs.StateRouted]+got[jobs.StateReady] != 14 {
		t.Errorf("%d routed and %d ready, want 14 together, most of them routed", got[jobs.StateRouted], got[jobs.StateReady])
	}
}

// Every tech who may sign in has stops on the first day, with steps.
func checkDemoToday(t *testing.T, d *desk.Desk, day jobs.Day) {
	t.Helper()
	users, err := d.Users(t.Context(), jobs.Page{})
	if err != nil {
		t.Fatal(err)
	}
	techs := 0
	for _, u := range users.Items {
		if u.Role != jobs.RoleTech {
			continue
		}
		techs++
		today, err := d.Today(t.Context(), u.Actor(), day, "", "")
		if err != nil {
			t.Fatal(err)
		}
		if len(today.Stops) == 0 || len(today.Stops[0].Steps) == 0 {
			t.Errorf("%s has %d stops on %s", u.Name, len(today.Stops), day)
		}
	}
	if techs != 3 {
		t.Errorf("%d techs sign in, want 3", techs)
	}
}

// Around the week: six weeks of figures, pools that people watch, messages as
// files, a day closed by a storm.
func checkDemoAround(t *testing.T, d *desk.Desk, w *week.Week, mail string) {
	t.Helper()
	branches, err := d.Branches(t.Context())
	if err != nil || len(branches) != 1 {
		t.Fatalf("%v %v", branches, err)
	}
	first := jobs.Day(w.Days[0].Date)
	figures, err := d.Figures(t.Context(), branches[0].ID, first.Add(-56), first)
	if err != nil {
		t.Fatal(err)
	}
	weeks := 0
	for _, tally := range figures.Weeks {
		if tally.Conversions > 0 {
			weeks++
		}
	}
	if weeks < 6 || len(figures.Wasted) == 0 || figures.Kept == 0 || figures.Kept == figures.Promised {
		t.Errorf("%d weeks with conversions, %d of %d windows kept, wasted %v", weeks, figures.Kept, figures.Promised, figures.Wasted)
	}
	prep, err := d.ListPrep(t.Context(), branches[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	states := map[jobs.PrepState]bool{}
	for _, row := range prep {
		states[row.State] = true
	}
	if len(prep) < 4 || len(states) < 2 {
		t.Errorf("%d pools are watched, in the states %v", len(prep), states)
	}
	letters, err := os.ReadDir(mail)
	if err != nil || len(letters) < 50 {
		t.Errorf("%d messages: %v", len(letters), err)
	}
	off := 0
	for _, p := range w.Places {
		if p.OffRoad {
			off++
		}
	}
	if w.Travel.Roads == "" || off < 1 || len(w.Travel.Periods) == 0 {
		t.Errorf("drives by %q, %d places off the road, %d periods", w.Travel.Roads, off, len(w.Travel.Periods))
	}
	known := map[jobs.Precision]int{}
	sites, err := d.Sites(t.Context(), store.SiteFilter{}, jobs.Page{Limit: jobs.MaxPage})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range sites.Items {
		known[s.Precision]++
	}
	checkDemoPlaces(t, known)
	if len(w.Closures) != 1 || !w.Closures[0].All || !w.Closures[0].StopsPumping {
		t.Errorf("closures %+v", w.Closures)
	}
}

func TestDemoOnce(t *testing.T) {
	folder := t.TempDir()
	env := []string{"EBBLINE_DATABASE=postgres://nowhere.example.com/real", "EBBLINE_DATA=" + folder} // the demo leaves the real ones alone
	demo := filepath.Join(folder, "demo")
	filled := ebbline(t, env, "", "demo", "--once", "--json", "--rounds=1", "--data="+demo)
	filled.want(t, exitDone, "filled in")
	var both demoWeek
	if err := jobs.DecodeStrict([]byte(filled.out), &both); err != nil {
		t.Fatal(err)
	}
	weekFile, planFile, movedFile := filepath.Join(folder, "week.json"), filepath.Join(folder, "plan.json"), filepath.Join(folder, "moved.json")
	plan, err := week.DecodePlan(bytes.NewReader(both.Plan))
	if err != nil {
		t.Fatal(err)
	}
	stop := &plan.Tours[0].Stops[0]
	stop.Start, stop.End = stop.Start-4*3600, stop.End-4*3600 // before the crew has come
	moved, err := json.Marshal(plan)
	if err != nil {
		t.Fatal(err)
	}
	for file, text := range map[string][]byte{weekFile: both.Week, planFile: both.Plan, movedFile: moved} {
		if err := os.WriteFile(file, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	ebbline(t, nil, "", "check", weekFile, planFile).want(t, exitDone, "keeps every rule")
	ebbline(t, nil, "", "check", weekFile, movedFile).want(t, exitCannot, "broken")

	again := ebbline(t, env, "", "demo", "--once", "--data="+demo)
	again.want(t, exitDone, "POOLS", "draining starts", "LEFT OUT", "NOT READY TO PLAN", "COST", "Lamp crew", "lunch")
	if strings.Contains(again.errs, "founding") {
		t.Error("a filled folder was filled again")
	}
	serveDemo(t, env, demo)
	if err := os.Remove(filepath.Join(demo, "demo.json")); err != nil {
		t.Fatal(err)
	}
	ebbline(t, env, "", "demo", "--once", "--data="+demo).want(t, exitCannot, "no finished demo")
}

// serveDemo serves a filled folder as it is, and signs everybody in who is told.
func serveDemo(t *testing.T, env []string, folder string) {
	t.Helper()
	served := start(t, env, "demo", "--listen=127.0.0.1:0", "--data="+folder)
	for _, u := range demoPeople {
		body := `{"email":"` + u.email + `","password":"` + demoPassword + `"}`
		if status, answer := fetch(t, browser(t), "POST", served.url+"/api/v1/session", body); status != 200 {
			t.Errorf("%s: %d %s", u.email, status, answer)
		}
	}
	if code := served.end(t, syscall.SIGTERM); code != exitDone {
		t.Errorf("ended with %d", code)
	}
	for _, said := range []string{demoPassword, "lena@example.com", filepath.Join(folder, "mail")} {
		if !strings.Contains(served.errs.String(), said) {
			t.Errorf("does not say %q:\n%s", said, served.errs)
		}
	}
}
