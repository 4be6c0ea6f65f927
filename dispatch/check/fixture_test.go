package check

import (
	"encoding/json"
	"fmt"
	"slices"
	"sort"
	"strings"
	"testing"

	"ebbline/dispatch/week"
)

const (
	hour   = int64(3600)
	minute = int64(60)
	day    = 24 * hour
)

// at is an instant of the test week: day number, hours, minutes.
func at(d, h, m int64) int64 { return d*day + h*hour + m*minute }

func ptr[T any](v T) *T { return &v }

// later is a table that adds the same seconds everywhere.
func later(by int64) week.Table {
	return week.Table{{X: -10 * day, Y: -10*day + by}, {X: 20 * day, Y: 20*day + by}}
}

// newWeek is three days, two crews, four places 20 minutes and 15 km apart, and no jobs.
func newWeek() *week.Week {
	w := &week.Week{Version: 1, Zone: "America/Phoenix", End: 3 * day, NextWorkday: week.NextWorkday{Day: 3, End: 4 * day},
		Days:   []week.Day{{Date: "2026-03-09", Start: 0}, {Date: "2026-03-10", Start: day}, {Date: "2026-03-11", Start: 2 * day}},
		Skills: []week.Name{{ID: "licensed", Label: "a licensed person"}},
		Kinds:  []week.Name{{ID: "any"}}, Crews: []week.Name{{ID: "red"}, {ID: "blue"}},
		Homes:      []week.Home{{ID: "yard", Pumps: []int{2, 2, 2}}, {ID: "annex", Pumps: []int{1, 1, 1}}},
		WaterHours: []week.Span{{From: at(0, 7, 0), To: at(0, 19, 0)}, {From: at(1, 7, 0), To: at(1, 19, 0)}, {From: at(2, 7, 0), To: at(2, 19, 0)}},
		Rates: week.Rates{WaitingPermille: 2, LateCents: 5000, LeftOutPermille: 30, PromiseCents: 7500, ToldAnewCents: 2000, ToldAnewSeconds: 900,
			LowCents: 400, LowFreeSeconds: 36 * hour, OwedCents: 1500, BreakLowLimitCents: 100_000, BreakCommissionCents: 40_000,
			BreakAvailabilityCents: 60_000, BreakPinCents: 50_000}}
	for _, id := range []string{"depot", "ash", "birch", "cedar"} {
		w.Places = append(w.Places, week.Place{ID: id, Label: strings.ToUpper(id[:1]) + id[1:], Area: map[bool]string{true: "", false: "north"}[id == "depot" || id == "cedar"]})
	}
	for i := range w.Places {
		s, m := make([]int64, 4), make([]int64, 4)
		for j := range s {
			if i != j {
				s[j], m[j] = 20*minute, 15_000
			}
		}
		w.Travel.Seconds, w.Travel.Metres = append(w.Travel.Seconds, s), append(w.Travel.Metres, m)
	}
	for d := range int64(3) {
		for _, crew := range []string{"red", "blue"} {
			t := week.Tour{ID: fmt.Sprintf("%s%d", crew, d), Crew: crew, Day: int(d), Start: "depot", End: "depot", Home: "yard",
				ShiftFrom: at(d, 7, 0), ShiftTo: at(d, 15, 30), OvertimeTo: at(d, 17, 30), People: 2, Berths: 1,
				PayPerHour: 9000, OvertimePerHour: 13_500, CostPerKm: 60,
				Lunch: &week.Lunch{Seconds: 30 * minute, From: at(d, 11, 0), To: at(d, 13, 0), DueAfter: 6 * hour}}
			if crew == "red" {
				t.Skills = []string{"licensed"}
			}
			w.Tours = append(w.Tours, t)
		}
	}
	return w
}

// visit is a plain visit.
func visit(id, place string, seconds int64) week.Visit {
	return week.Visit{ID: id, Kind: "any", Place: place, Seconds: seconds, People: 1, Water: week.NeedNothing}
}

// addSurvey adds a job of one visit at a place.
func addSurvey(w *week.Week, id, place string, seconds int64) *week.Job {
	w.Jobs = append(w.Jobs, week.Job{ID: id, Value: 100_000, DueDay: 5, Visits: []week.Visit{visit(id+".look", place, seconds)}})
	return &w.Jobs[len(w.Jobs)-1]
}

// addConversion adds drain, convert (4 h), commission at a place. The pool is surely
// low 10 h after draining began, maybe after 8; covered 12 h after filling began, and
// has to be 48 h after it may be low.
func addConversion(w *week.Week, id, place string) *week.Job {
	drain, convert, light := visit(id+".drain", place, 30*minute), visit(id+".convert", place, 4*hour), visit(id+".light", place, 30*minute)
	drain.DropsPump, convert.CollectsPump, convert.Water, convert.Interruptible = true, true, week.NeedLow, true
	light.Water, light.MayOwe = week.NeedCovered, true
	w.Jobs = append(w.Jobs, week.Job{ID: id, Value: 400_000, DueDay: 1, Visits: []week.Visit{drain, convert, light},
		Water: &week.Water{Way: week.WayPump, DrainVisit: id + ".drain", LowLate: later(10 * hour), LowEarly: later(8 * hour), Covered: later(12 * hour), LowLimit: later(48 * hour)}})
	return &w.Jobs[len(w.Jobs)-1]
}

// go1 is a stop to be planned: a visit and its start.
type go1 struct {
	visit string
	start int64
}

// addTour plans a tour that drives to each stop at once and waits there; the first
// drive arrives just in time.
func addTour(w *week.Week, p *week.Plan, id string, load int, lunch *week.LunchTaken, stops ...go1) *week.PlanTour {
	ix := week.NewIndex(w)
	t := &w.Tours[ix.Tour[id]]
	pt := week.PlanTour{Tour: id, Load: load, Lunch: lunch}
	place, free := t.Start, int64(0)
	road := func(a, b string) int64 { return w.Travel.Seconds[ix.Place[a]][ix.Place[b]] }
	for k, s := range stops {
		v := w.Jobs[ix.Visit[s.visit].Job].Visits[ix.Visit[s.visit].Number]
		if k == 0 {
			free = s.start - road(place, v.Place)
			pt.Depart = free
		}
		stop := week.Stop{Visit: s.visit, Leave: free, Arrive: free + road(place, v.Place), Start: s.start, End: s.start + v.Seconds}
		if lunch != nil && lunch.Inside == s.visit {
			stop.End += t.Lunch.Seconds
		}
		pt.Stops = append(pt.Stops, stop)
		place, free = v.Place, stop.End
	}
	pt.HeadHome, pt.Return = free, free+road(place, t.End)
	p.Tours = append(p.Tours, pt)
	return &p.Tours[len(p.Tours)-1]
}

// settle lets the plan claim the cost that the checker adds up; the cost itself is
// tested against figures worked out by hand.
func settle(w *week.Week, p *week.Plan) {
	p.Version = 1
	p.Cost = Plan(w, p).Cost
}

// rules lists the names of what is broken, each once, in order.
func rules(r Report) []string {
	var names []string
	for _, b := range r.Broken {
		if !slices.Contains(names, b.Rule) {
			names = append(names, b.Rule)
		}
	}
	sort.Strings(names)
	return names
}

// wantOK fails unless the week is valid and the plan keeps every rule.
func wantOK(t *testing.T, w *week.Week, p *week.Plan) {
	t.Helper()
	if err := w.Validate(); err != nil {
		t.Fatalf("the week is not valid: %v", err)
	}
	settle(w, p)
	if r := Plan(w, p); !r.OK() {
		t.Fatalf("a good plan is refused: %s", texts(r))
	}
}

// wantBroken fails unless exactly the named rules are broken, cost aside.
func wantBroken(t *testing.T, w *week.Week, p *week.Plan, want ...string) Report {
	t.Helper()
	settle(w, p)
	r := Plan(w, p)
	sort.Strings(want)
	if got := rules(r); !slices.Equal(got, want) {
		t.Fatalf("broken %v, want %v: %s", got, want, texts(r))
	}
	for _, b := range r.Broken {
		if b.Text == "" || !strings.HasSuffix(b.Text, ".") {
			t.Errorf("%s has no sentence: %q", b.Rule, b.Text)
		}
	}
	return r
}

func texts(r Report) string {
	var lines []string
	for _, b := range append(slices.Clone(r.Broken), r.Excused...) {
		lines = append(lines, b.Rule+": "+b.Text)
	}
	return "\n" + strings.Join(lines, "\n")
}

// stopOf finds a stop of a plan.
func stopOf(p *week.Plan, visit string) *week.Stop {
	for i := range p.Tours {
		for k := range p.Tours[i].Stops {
			if p.Tours[i].Stops[k].Visit == visit {
				return &p.Tours[i].Stops[k]
			}
		}
	}
	panic("no stop " + visit)
}

// shift moves the work of one stop, all else kept.
func shift(p *week.Plan, visit string, by int64) {
	s := stopOf(p, visit)
	s.Start, s.End = s.Start+by, s.End+by
}

// planTour finds a tour of a plan.
func planTour(p *week.Plan, id string) *week.PlanTour {
	for i := range p.Tours {
		if p.Tours[i].Tour == id {
			return &p.Tours[i]
		}
	}
	panic("no tour " + id)
}

// clone copies a week or a plan through JSON.
func clone[T any](v *T) *T {
	data, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	out := new(T)
	if err := json.Unmarshal(data, out); err != nil {
		panic(err)
	}
	return out
}
