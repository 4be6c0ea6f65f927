package search

import (
	"context"
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"

	"ebbline/dispatch/week"
)

// plainWeek is a day of drives between hours and nothing else.
func plainWeek(seed uint64, jobs int) *week.Week {
	r := rand.New(rand.NewPCG(seed, 3))
	w := &week.Week{Version: week.Version, Zone: "Etc/UTC", End: 86400, NextWorkday: week.NextWorkday{Day: 1, End: 2 * 86400},
		Days: []week.Day{{Date: "2026-03-09"}}, Kinds: []week.Name{{ID: "visit"}}, Rates: week.Rates{LeftOutPermille: 1000}}
	var x, y []int64
	for i := range jobs + 1 {
		w.Places = append(w.Places, week.Place{ID: fmt.Sprint("p", i)})
		x, y = append(x, r.Int64N(6000)), append(y, r.Int64N(6000))
		if i == 0 {
			continue
		}
		from := r.Int64N(20000)
		w.Jobs = append(w.Jobs, week.Job{ID: fmt.Sprint("j", i), Value: 10_000_000, Visits: []week.Visit{{ID: fmt.Sprint("v", i), Kind: "visit",
			Place: fmt.Sprint("p", i), Seconds: 600, People: 1, Room: 1 + r.Int64N(9), Water: week.NeedNothing, Allowed: []week.Span{{From: from, To: from + 9000}}}}})
	}
	for i := range x {
		var m []int64
		for k := range x {
			m = append(m, max(x[i]-x[k], x[k]-x[i])+max(y[i]-y[k], y[k]-y[i]))
		}
		w.Travel.Metres, w.Travel.Seconds = append(w.Travel.Metres, m), append(w.Travel.Seconds, m)
	}
	for k := range max(2, jobs/3) {
		id := fmt.Sprint("k", k)
		w.Crews = append(w.Crews, week.Name{ID: id})
		w.Tours = append(w.Tours, week.Tour{ID: id, Crew: id, Start: "p0", End: "p0", ShiftTo: 50000, OvertimeTo: 50000, People: 1, Room: 40, CostPerKm: 1000})
	}
	return w
}

// A plain week goes through the kernel, costs no more than by ruin and recreate, and its
// plan is the same again on one core and on two.
func TestPlainWeeksGoThroughTheKernel(t *testing.T) {
	for seed := range uint64(6) {
		w := plainWeek(seed, 24)
		if err := w.Validate(); err != nil {
			t.Fatal(err)
		}
		m := compile(w)
		if _, ok := m.classic(); !ok {
			t.Fatalf("seed %d: not seen as plain", seed)
		}
		o := Options{Seed: 1, Strands: 2, Rounds: 20, Cores: 1}
		p, err := Run(context.Background(), w, o, nil)
		if err != nil {
			t.Fatal(err)
		}
		st := newState(m)
		construct(t.Context(), st, newInserter(nil, 8, 4), m.byHardness, nil)
		s := newStrand(st, 1, 0)
		for range 20 {
			s.round(t.Context(), 100, 0, 1)
		}
		if other := s.best.heads().Total; p.Cost.Total > other || len(p.LeftOut) > 0 {
			t.Errorf("seed %d: %d by the kernel with %d left out, %d by ruin and recreate", seed, p.Cost.Total, len(p.LeftOut), other)
		}
		o.Cores = 2
		if q, err := Run(context.Background(), w, o, nil); err != nil || !reflect.DeepEqual(p, q) {
			t.Errorf("seed %d: another plan on two cores, %v", seed, err)
		}
	}
}

// Anything more than drives between hours is not the kernel's.
func TestWhatIsNotPlain(t *testing.T) {
	for name, change := range map[string]func(w *week.Week){
		"pay": func(w *week.Week) { w.Tours[0].PayPerHour = 100 },
		"lunch": func(w *week.Week) {
			w.Tours[0].Lunch = &week.Lunch{Seconds: 600, From: 9000, To: 20000, DueAfter: 3600}
		},
		"shift": func(w *week.Week) { w.Tours[1].ShiftFrom = 60 },
		"room":  func(w *week.Week) { w.Tours[1].Room = 39 },
		"two spans": func(w *week.Week) {
			v := &w.Jobs[0].Visits[0]
			v.Allowed = append(v.Allowed, week.Span{From: 40000, To: 41000})
		},
		"pin":     func(w *week.Week) { w.Jobs[0].Visits[0].Pin = &week.Pin{Tour: "k1"} },
		"promise": func(w *week.Week) { w.Promises = []week.Promise{{ID: "p", Visit: "v1", From: 100, To: 200}} },
		"speeds":  func(w *week.Week) { w.Travel.Periods = []week.Period{{From: 0, Permille: 900}} },
		"two visits": func(w *week.Week) {
			v := w.Jobs[0].Visits[0]
			v.ID = "again"
			w.Jobs[0].Visits = append(w.Jobs[0].Visits, v)
		},
		"hardly worth the drive": func(w *week.Week) { w.Jobs[0].Value = 1 },
		"waiting over midnight": func(w *week.Week) {
			w.Rates.WaitingPermille, w.Jobs[0].Visits[0].Allowed = 1, []week.Span{{From: 80000, To: 90000}}
		},
		"lunch everywhere": func(w *week.Week) {
			for t := range w.Tours {
				w.Tours[t].Lunch = &week.Lunch{Seconds: 600, From: 9000, To: 20000, DueAfter: 3600}
			}
		},
	} {
		w := plainWeek(1, 6)
		change(w)
		if _, ok := compile(w).classic(); ok {
			t.Errorf("%s: seen as plain", name)
		}
	}
}

// A plain week whose first plan leaves jobs out is searched like any other: the kernel
// would look for a plan with all of them until the time is over.
func TestPlainWeekWithTooFewTours(t *testing.T) {
	w := plainWeek(2, 24)
	w.Tours, w.Crews = w.Tours[:2], w.Crews[:2]
	m := compile(w)
	if _, ok := m.classic(); !ok {
		t.Fatal("not seen as plain")
	}
	st := newState(m)
	construct(t.Context(), st, newInserter(nil, 8, 4), m.byHardness, nil)
	if r := (&run{m: m, o: Options{Rounds: 1, Strands: 1}, best: st}); len(st.absent) == 0 || r.plain(t.Context(), st) {
		t.Errorf("%d left out, and given to the kernel", len(st.absent))
	}
}
