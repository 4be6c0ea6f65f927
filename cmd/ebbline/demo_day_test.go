package main

import (
	"bytes"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// TestDemoDay lives through the day with the shortest searches: what it tells has
// its parts in their order, and what it says was recorded is there. Its numbers
// are not looked at.
func TestDemoDay(t *testing.T) {
	folder := t.TempDir()
	st, err := store.Open(t.Context(), "sqlite:"+filepath.Join(folder, "demo.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = st.Close() })
	if _, err := st.Migrate(t.Context()); err != nil {
		t.Fatal(err)
	}
	now := time.Date(2026, 3, 4, 18, 0, 0, 0, time.UTC) // a Wednesday
	f, err := bringToLife(t.Context(), st, demoAsk{now: now, seed: 1, rounds: 1, url: "http://localhost:8080", mail: filepath.Join(folder, "mail"), roads: demoRoads(t), say: t.Logf})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := (&demoDay{demoFill: f, out: &out}).tell(); err != nil {
		t.Fatalf("%v, after\n%s", err, out.String())
	}
	text := out.String()
	at := 0
	for _, want := range []string{
		"Cinder Wells, Wed Mar 4, 2026", "Plan 2 was handed out last night",
		"06:30  Mirta Solano is out on Wed Mar 4, 2026: sick.", "Noted:", "If nobody did anything:", "What is changed:", "Who must be told:", "Handed out as plan 3:",
		"08:00  Job ", "in below the tile line: four inches too high.", "Noted:", "If nobody did anything:", "What is changed:", "Who must be told:", "Handed out as plan 4:",
		"11:00  Everything is closed from Wed Mar 4, 11:00 am", "storm.", "Closed: storm", "If nobody did anything:", "What is changed:", "Who must be told:", "Handed out as plan 5:",
		"14:00  ", "two hours more than planned.", "Noted:", "If nobody did anything:", "What is changed:", "Who must be told:", "Handed out as plan 6:",
		"20:00  The crews are back.",
	} {
		i := strings.Index(text[at:], want)
		if i < 0 {
			t.Fatalf("%q does not follow in\n%s", want, text)
		}
		at += i + len(want)
	}
	if n := len(regexp.MustCompile(`It costs \$[0-9,]+\.\d\d in all`).FindAllString(text, -1)); n != 4 {
		t.Errorf("%d costs are told", n)
	}
	if n := len(regexp.MustCompile(`(?m)^    (Today's \d+ windows? still to come: kept .+|Nothing is promised any more today\.|How sure today's .+ not known yet\.)$`).FindAllString(text, -1)); n != 4 {
		t.Errorf("%d times is told how sure the rest of the day is, in\n%s", n, text)
	}

	d, ctx := f.desk, t.Context()
	away, err := d.Absences(ctx, f.branch, "2026-03-04", "2026-03-04")
	if err != nil || len(away) != 1 || away[0].Reason != "sick" {
		t.Errorf("absences %+v, %v", away, err)
	}
	closed, err := d.Closures(ctx, f.branch, "2026-03-04", "2026-03-04")
	if err != nil || len(closed) != 1 || closed[0].Reason != "storm" {
		t.Errorf("closures %+v, %v", closed, err)
	}
	plans, err := d.Plans(ctx, f.branch, jobs.Page{})
	if err != nil || plans.Items[0].Number != 6 {
		t.Errorf("plans %+v, %v", plans.Items, err)
	}
	drafts, err := d.Drafts(ctx, desk.DraftFilter{BranchID: f.branch}, jobs.Page{})
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[jobs.ChangeWord]bool{}
	for _, x := range drafts.Items {
		draft, err := d.Draft(ctx, x.ID)
		if err != nil {
			t.Fatal(err)
		}
		if draft.Upset != nil {
			kinds[draft.Upset.Kind] = true
		}
	}
	for _, k := range []jobs.ChangeWord{jobs.WeekPersonOut, jobs.WeekWater, jobs.WeekClosed, jobs.WeekLonger} {
		if !kinds[k] {
			t.Errorf("nothing was mended for %s", k)
		}
	}
}

func TestDemoDayWrongUse(t *testing.T) {
	ebbline(t, nil, "", "demo", "--day", "--json", "--data", t.TempDir()).want(t, exitWrongUse, "--day")
}
