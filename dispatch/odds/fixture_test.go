package odds_test

import (
	"math"
	"testing"

	"ebbline/dispatch/odds"
	"ebbline/dispatch/week"
)

const hour = int64(3600)

func ptr[T any](v T) *T { return &v }

// yard is a small made-up week of two days: so many crews, two places half an hour apart,
// no lunch, water hours all day. What is asked of it is added by each test.
func yard(crews int) *week.Week {
	w := &week.Week{Version: 1, Zone: "America/Phoenix", T0: 0, End: 2 * 24 * hour,
		Days:        []week.Day{{Date: "2026-03-09", Start: 0}, {Date: "2026-03-10", Start: 24 * hour}},
		NextWorkday: week.NextWorkday{Day: 2, End: 3 * 24 * hour},
		Places:      []week.Place{{ID: "yard"}, {ID: "far"}},
		Travel:      week.Travel{Seconds: [][]int64{{0, 1800}, {1800, 0}}, Metres: [][]int64{{0, 20000}, {20000, 0}}},
		Kinds:       []week.Name{{ID: "work"}},
		Uncertainty: &week.Uncertainty{PlannedPermille: 800, LatePermille: 900, EarlyPermille: 100, DrivePermille: 500},
	}
	for c := range crews {
		id := string(rune('a' + c))
		w.Crews = append(w.Crews, week.Name{ID: id})
		for d := range 2 {
			at := int64(d) * 24 * hour
			w.Tours = append(w.Tours, week.Tour{ID: id + string(rune('0'+d)), Crew: id, Day: d, Start: "yard", End: "yard", People: 1,
				ShiftFrom: at + 8*hour, ShiftTo: at + 16*hour, OvertimeTo: at + 23*hour})
		}
	}
	return w
}

// job adds a job of visits at places, each of so many planned seconds.
func job(w *week.Week, id string, visits ...week.Visit) *week.Job {
	for n := range visits {
		v := &visits[n]
		v.Kind, v.People = "work", 1
		if v.Place == "" {
			v.Place = "yard"
		}
		if v.Water == "" {
			v.Water = week.NeedNothing
		}
	}
	w.Jobs = append(w.Jobs, week.Job{ID: id, Value: 100, Visits: visits})
	return &w.Jobs[len(w.Jobs)-1]
}

// log1 is a visit of two hours' median with a log standard deviation in thousandths.
func log1(id string, logSD int64) week.Visit {
	return week.Visit{ID: id, Seconds: 3 * hour, MedianSeconds: 2 * hour, LogSD: logSD}
}

// brief is a certain visit of a minute.
func brief(id string) week.Visit { return week.Visit{ID: id, Seconds: 60} }

// tourOf lays stops one after the other from the shift's begin, as planned.
func tourOf(w *week.Week, id string, visits ...string) week.PlanTour {
	ix := week.NewIndex(w)
	x := &w.Tours[ix.Tour[id]]
	pt := week.PlanTour{Tour: id, Depart: x.ShiftFrom}
	now, at := x.ShiftFrom, ix.Place[x.Start]
	for _, v := range visits {
		k := ix.Visit[v]
		s := &w.Jobs[k.Job].Visits[k.Number]
		to := ix.Place[s.Place]
		arrive := now + w.Travel.Seconds[at][to]
		pt.Stops = append(pt.Stops, week.Stop{Visit: v, Leave: now, Arrive: arrive, Start: arrive, End: arrive + s.Seconds})
		now, at = arrive+s.Seconds, to
	}
	pt.HeadHome, pt.Return = now, now+w.Travel.Seconds[at][ix.Place[x.End]]
	return pt
}

// later moves a planned stop and all after it to start at an instant.
func later(pt week.PlanTour, stop int, start int64) week.PlanTour {
	by := start - pt.Stops[stop].Start
	for k := stop; k < len(pt.Stops); k++ {
		s := &pt.Stops[k]
		s.Start, s.End = s.Start+by, s.End+by
	}
	pt.HeadHome, pt.Return = pt.HeadHome+by, pt.Return+by
	return pt
}

func plan(tours ...week.PlanTour) *week.Plan { return &week.Plan{Version: 1, Tours: tours} }

func promise(w *week.Week, visit string, from, to int64) {
	w.Promises = append(w.Promises, week.Promise{ID: "promise of " + visit, Visit: visit, From: from, To: to})
}

func simulate(t *testing.T, w *week.Week, p *week.Plan, ask odds.Ask) *odds.Odds {
	t.Helper()
	o, err := odds.Simulate(w, p, ask)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// many is enough runs for closed forms: a standard error of 3.5 thousandths at most.
const many = 20_000

// near wants a share within four standard errors of a chance (and half a thousandth of
// rounding).
func near(t *testing.T, what string, got odds.Share, want float64) {
	t.Helper()
	bar := 4*1000*math.Sqrt(want*(1-want)/many) + .5
	if math.Abs(float64(got.Permille)-1000*want) > bar {
		t.Errorf("%s: %d of 1,000, want %.1f within %.1f", what, got.Permille, 1000*want, bar)
	}
	if se := 1000 * math.Sqrt(want*(1-want)/many); math.Abs(float64(got.ErrorPermille)-se) > 1.2 {
		t.Errorf("%s: error %d, want about %.1f", what, got.ErrorPermille, se)
	}
}

// below is the standard normal distribution function.
func below(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
