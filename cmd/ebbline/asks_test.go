package main

import (
	"encoding/json"
	"fmt"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
)

// fileOf writes a text of JSON with its values to a file.
func fileOf(t *testing.T, text string, args ...any) string {
	t.Helper()
	var value any
	if err := json.Unmarshal(fmt.Appendf(nil, text, args...), &value); err != nil {
		t.Fatal(err)
	}
	return written(t, value)
}

// What is taken in by try passes check and costs what try said.
func TestTryFromFiles(t *testing.T) {
	p, plan := planned(t)
	visit := p.Tours[0].Stops[0].Visit

	job := ""
	w := exampleIn(t)
	for _, j := range w.Jobs {
		for _, v := range j.Visits {
			if v.ID == visit && !j.Begun {
				job = j.ID
			}
		}
	}
	gone := fileOf(t, `{"kind":"job_out","job":%q}`, job)
	ebbline(t, nil, "", "try", exampleWeek, plan, gone).want(t, exitDone, "It fits, and costs", "total", "Falls out")
	r := ebbline(t, nil, "", "try", exampleWeek, plan, gone, "--json")
	r.want(t, exitDone)
	var tried dispatch.Tried
	if err := json.Unmarshal([]byte(r.out), &tried); err != nil || !tried.Fits {
		t.Fatalf("%v: %s", err, r.out)
	}
	r = ebbline(t, nil, "", "try", exampleWeek, plan, gone, "--take")
	r.want(t, exitDone)
	var taken struct {
		Week json.RawMessage `json:"week"`
		Plan week.Plan       `json:"plan"`
	}
	if err := json.Unmarshal([]byte(r.out), &taken); err != nil {
		t.Fatal(err)
	}
	if taken.Plan.Cost.Total != tried.After.Total {
		t.Errorf("taken it costs %d, tried %d", taken.Plan.Cost.Total, tried.After.Total)
	}
	ebbline(t, nil, "", "check", written(t, taken.Week), written(t, taken.Plan)).want(t, exitDone, "keeps every rule")

	ebbline(t, nil, "", "try", exampleWeek, plan, fileOf(t, `{"kind":"coffee"}`)).want(t, exitCannot, "coffee", "crew_out")
	ebbline(t, nil, "", "try", exampleWeek, plan, fileOf(t, `{"kind":"job_out","jib":1}`)).want(t, exitCannot, "jib")
	ebbline(t, nil, "", "try", "-", plan, "-").want(t, exitWrongUse)
}

func exampleIn(t *testing.T) *week.Week {
	t.Helper()
	w, err := (&app{}).readWeek(exampleWeek)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func TestAskFromFiles(t *testing.T) {
	p, plan := planned(t)
	if len(p.LeftOut) == 0 {
		t.Fatal("nothing is left out: the example proves nothing")
	}
	visit := ""
	for _, tour := range p.Tours {
		for _, s := range tour.Stops {
			visit = s.Visit
		}
	}
	ebbline(t, nil, "", "places", exampleWeek, plan, visit).want(t, exitDone, "fits at")
	ebbline(t, nil, "", "places", exampleWeek, plan, "nothing").want(t, exitCannot, "nothing")
	ebbline(t, nil, "", "why", exampleWeek, plan).want(t, exitDone, "To the customer: ")
	ebbline(t, nil, "", "why", exampleWeek, plan, p.LeftOut[0].Job, "--json").want(t, exitDone, `"reasons"`)
	ebbline(t, nil, "", "why", exampleWeek, plan, "nobody").want(t, exitCannot, "nobody")
	ebbline(t, nil, "", "odds", exampleWeek, plan, "--runs=100").want(t, exitDone, "PROMISES KEPT", "CREWS' DAYS")
	ebbline(t, nil, "", "odds", exampleWeek, plan, "--runs=0").want(t, exitWrongUse)
}

func TestOfferFromFiles(t *testing.T) {
	p, plan := planned(t)
	r := ebbline(t, nil, "", "offer", exampleWeek, plan, p.LeftOut[0].Job, "--json")
	r.want(t, exitDone, `"windows"`)
	ebbline(t, nil, "", "offer", exampleWeek, plan, p.LeftOut[0].Job).want(t, exitDone, "can be promised")
	ebbline(t, nil, "", "offer", exampleWeek, plan, "nobody").want(t, exitCannot, "nobody")
}

// A mended plan is one of the changed week, and says who must be told.
func TestMendFromFiles(t *testing.T) {
	p, plan := planned(t)
	out := fileOf(t, `[{"kind":"crew_out","tours":[%q]}]`, p.Tours[len(p.Tours)-1].Tour)
	ebbline(t, nil, "", "mend", exampleWeek, plan, out, "--rounds=2").want(t, exitDone, "mended", "WHO MUST BE TOLD", "another list of stops", "COST")
	r := ebbline(t, nil, "", "mend", exampleWeek, plan, out, "--rounds=2", "--json")
	r.want(t, exitDone)
	var got struct {
		Week   json.RawMessage `json:"week"`
		Mended struct {
			Plan json.RawMessage `json:"plan"`
		} `json:"mended"`
	}
	if err := json.Unmarshal([]byte(r.out), &got); err != nil {
		t.Fatal(err)
	}
	ebbline(t, nil, "", "check", written(t, got.Week), written(t, got.Mended.Plan)).want(t, exitDone, "keeps every rule")
	ebbline(t, nil, "", "mend", exampleWeek, plan, "--seconds=0").want(t, exitWrongUse)
}
