package dispatch_test

import (
	"reflect"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
)

func TestTold(t *testing.T) {
	stop := func(v string, at int64) week.Stop { return week.Stop{Visit: v, Start: at} }
	before := &week.Plan{
		Tours: []week.PlanTour{{Tour: "a", Stops: []week.Stop{stop("v1", 1000), stop("v2", 5000)}}, {Tour: "b", Stops: []week.Stop{stop("v3", 1000)}},
			{Tour: "c", Stops: []week.Stop{stop("v4", 1000)}}},
		Told: []week.Told{{Job: "j1", Earliest: 10, Latest: 20}, {Job: "j2", Earliest: 10, Latest: 20}, {Job: "j3", Earliest: 10, Latest: 20}},
	}
	after := &week.Plan{
		Tours: []week.PlanTour{{Tour: "a", Stops: []week.Stop{stop("v2", 5900)}}, {Tour: "b", Stops: []week.Stop{stop("v3", 1901)}},
			{Tour: "c", Stops: []week.Stop{stop("v4", 1900)}}, {Tour: "d", Stops: []week.Stop{stop("v5", 7)}}},
		Told: []week.Told{{Job: "j1", Earliest: 10, Latest: 20}, {Job: "j2", Earliest: 11, Latest: 21}, {Job: "j4", Earliest: 1, Latest: 2}},
	}
	at := func(a, b int64) *week.Interval { return &week.Interval{Earliest: a, Latest: b} }
	want := []dispatch.Difference{
		{What: dispatch.CrewAnew, Tour: "a"},
		{What: dispatch.CrewMoved, Tour: "b"},
		{What: dispatch.CrewAnew, Tour: "d"},
		{What: dispatch.MoveDrain, Job: "j2", Before: at(10, 20), After: at(11, 21)},
		{What: dispatch.WithdrawDrain, Job: "j3", Before: at(10, 20)},
		{What: dispatch.TellDrain, Job: "j4", After: at(1, 2)},
		{What: dispatch.WithdrawWindow, Visit: "v1", Before: at(1000, 1000)},
		{What: dispatch.MoveWindow, Visit: "v3", Tour: "b", Before: at(1000, 1000), After: at(1901, 1901)},
		{What: dispatch.TellWindow, Visit: "v5", Tour: "d", After: at(7, 7)},
	}
	if got := dispatch.Told(before, after); !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if got := dispatch.Told(after, after); len(got) != 0 {
		t.Errorf("same plan twice: %+v", got)
	}
	if got := dispatch.Told(nil, after); len(got) != 4+3+4 {
		t.Errorf("from nothing: %d differences: %+v", len(got), got)
	}
}
