package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ebbline/estimate"
)

func TestEstimateEverySurveyOfTheTestData(t *testing.T) {
	files, err := filepath.Glob("../../testdata/survey/*.json")
	if err != nil || len(files) < 3 {
		t.Fatalf("surveys found: %v, %v", files, err)
	}
	r := ebbline(t, nil, "", append([]string{"estimate"}, files...)...)
	r.want(t, exitDone, "Light and cord", "Follow the local code", "lectrical work by a licensed person")
	if n := strings.Count(r.out, "Estimate from "); n != len(files) {
		t.Errorf("%d estimates of %d surveys", n, len(files))
	}
}

func TestEstimateShowsItsWorking(t *testing.T) {
	const survey = "../../testdata/survey/rectangle.json"
	brief, full := ebbline(t, nil, "", "estimate", survey), ebbline(t, nil, "", "estimate", "--working", survey)
	full.want(t, exitDone, "source: ")
	if len(full.out) <= len(brief.out) || strings.Contains(brief.out, "source: ") {
		t.Error("the working shows without being asked for, or not at all")
	}
}

func TestEstimateForPrograms(t *testing.T) {
	text, err := os.ReadFile("../../testdata/survey/rectangle.json")
	if err != nil {
		t.Fatal(err)
	}
	r := ebbline(t, nil, string(text), "estimate", "--json", "--zones=2", "-")
	r.want(t, exitDone)
	e, err := estimate.Decode([]byte(r.out))
	if err != nil || e.Ask.Zones != 2 {
		t.Errorf("zones %d, %v", e.Ask.Zones, err)
	}
}

func TestEstimateRefuses(t *testing.T) {
	ebbline(t, nil, "", "estimate").want(t, exitWrongUse)
	ebbline(t, nil, "", "estimate", "--zones=3", "x.json").want(t, exitWrongUse, "--zones=3: want 1 or 2")
	ebbline(t, nil, "", "estimate", "nowhere.json").want(t, exitCannot, "nowhere.json")
	ebbline(t, nil, `{"version":1,"zone":"America/Phoenix","subjects":[],"color":"red"}`, "estimate", "-").want(t, exitCannot, "color")
	ebbline(t, nil, `{"version":1,"zone":"Mars/Olympus","subjects":[{"id":"a","kind":"body"}]}`, "estimate", "-").want(t, exitCannot, "zone", "Mars/Olympus", "America/Phoenix")
}
