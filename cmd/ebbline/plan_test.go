package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ebbline/dispatch/week"
)

const exampleWeek = "testdata/week.json"

// planned plans the example and answers the plan and the file it stands in.
func planned(t *testing.T) (*week.Plan, string) {
	t.Helper()
	r := ebbline(t, nil, "", "plan", exampleWeek, "--rounds=3", "--json")
	r.want(t, exitDone)
	p, err := week.DecodePlan(strings.NewReader(r.out))
	if err != nil {
		t.Fatal(err)
	}
	return p, written(t, p)
}

func written(t *testing.T, value any) string {
	t.Helper()
	text, err := json.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "file.json")
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestPlanPassesCheck(t *testing.T) {
	p, file := planned(t)
	if len(p.Tours) == 0 {
		t.Fatal("nothing planned: the example proves nothing")
	}
	ebbline(t, nil, "", "check", exampleWeek, file).want(t, exitDone, "keeps every rule")
}

// One stop an hour earlier, and nothing else changed: the crew can't be there.
func TestCheckRefusesAMovedStop(t *testing.T) {
	p, _ := planned(t)
	for i := range p.Tours {
		stop := &p.Tours[i].Stops[0]
		stop.Start -= 3600
		stop.End -= 3600
		r := ebbline(t, nil, "", "check", exampleWeek, written(t, p))
		r.want(t, exitCannot, "broken", stop.Visit)
		stop.Start += 3600
		stop.End += 3600
	}
}

func TestCheckRefusesATooCheapPlan(t *testing.T) {
	p, _ := planned(t)
	p.Cost.Driving--
	p.Cost.Total--
	ebbline(t, nil, "", "check", exampleWeek, written(t, p)).want(t, exitCannot, "cost")
}

func TestSameSeedSamePlan(t *testing.T) {
	a, _ := planned(t)
	b, _ := planned(t)
	a.ElapsedMS, b.ElapsedMS = 0, 0
	first, second := written(t, a), written(t, b)
	x, errX := os.ReadFile(first)
	y, errY := os.ReadFile(second)
	if errX != nil || errY != nil || string(x) != string(y) {
		t.Errorf("plans differ, or can't be read: %v, %v", errX, errY)
	}
}

func TestPlanPrintsTheWeekForAPerson(t *testing.T) {
	text, err := os.ReadFile(exampleWeek)
	if err != nil {
		t.Fatal(err)
	}
	ebbline(t, nil, string(text), "plan", "-", "--rounds=3").want(t, exitDone, "MON 9 MAR", "crew00: leaves", "POOLS", "surely low", "LEFT OUT", "COST", "total", "round 0:")
}

func TestPlanStopsInTime(t *testing.T) {
	ebbline(t, nil, "", "plan", exampleWeek, "--seconds=1", "--rounds=1000000").want(t, exitDone, "COST")
}

func TestPlanRefusesABadWeek(t *testing.T) {
	text, err := os.ReadFile(exampleWeek)
	if err != nil {
		t.Fatal(err)
	}
	good := string(text)
	for _, c := range []struct{ name, old, new, want string }{
		{"unknown field", `"zone":`, `"zoom":1,"zone":`, "zoom"},
		{"unknown zone", `"America/Phoenix"`, `"Mars/Dune"`, `"Mars/Dune"`},
		{"a day that begins late", `"start":86400`, `"start":86401`, "days[1].start: 86401"},
		{"cut off", good[len(good)/2:], "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			bad := strings.Replace(good, c.old, c.new, 1)
			if bad == good {
				t.Fatal("nothing was changed")
			}
			r := ebbline(t, nil, bad, "plan", "-", "--rounds=1")
			r.want(t, exitCannot, c.want)
			if r.out != "" {
				t.Errorf("printed a plan: %s", r.out)
			}
		})
	}
}

func TestPlanWrongUse(t *testing.T) {
	for _, args := range [][]string{{}, {exampleWeek, "--seconds=-1"}, {exampleWeek, "--strands=0"}, {exampleWeek, "--rounds=many"}, {exampleWeek, exampleWeek}} {
		ebbline(t, nil, "", append([]string{"plan"}, args...)...).want(t, exitWrongUse)
	}
	ebbline(t, nil, "", "check", "-", "-").want(t, exitWrongUse)
}
