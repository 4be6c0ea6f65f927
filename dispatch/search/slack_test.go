package search

import (
	"context"
	"slices"
	"testing"

	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// slackWeeks are solved weeks of several shapes, some of them begun.
func slackWeeks(t *testing.T, seeds uint64) (found []*week.Week, plans []*week.Plan) {
	t.Helper()
	solve := func(w *week.Week) *week.Plan {
		p, err := Run(context.Background(), w, Options{Seed: 1, Strands: 1, Rounds: 1}, nil)
		if err != nil {
			t.Fatal(err)
		}
		found, plans = append(found, w), append(plans, p)
		return p
	}
	for seed := range seeds {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 3, Days: 4, Jobs: 18})
		p := solve(w)
		solve(weeks.Later(w, p, 86400+11*3600+1))
		solve(weeks.Make(weeks.Shape{Seed: seed, Crews: 4, Days: 5, Load: weeks.Tight}))
	}
	return found, plans
}

// Each stop moved by its slack leaves a plan that passes the checker, the others timed
// anew; moved by one second more, no times keep every rule and promise with the same
// tours, orders and lunch places.
func TestSlackIsAllThereIs(t *testing.T) {
	seeds := uint64(6)
	if testing.Short() {
		seeds = 2
	}
	all, none, long := 0, 0, 0
	found, plans := slackWeeks(t, seeds)
	for n, w := range found {
		m := compile(w)
		for _, pt := range plans[n].Tours {
			for i, s := range pt.Stops {
				if s.Slack == nil {
					if !m.visits[m.visitByID(s.Visit)].fixed {
						t.Fatalf("week %d: %s states no slack", n, s.Visit)
					}
					continue
				}
				all++
				if *s.Slack == 0 {
					none++
				}
				if *s.Slack >= 3600 {
					long++
				}
				if p, ok := movedStop(t, m, plans[n], s.Visit, s.Start+*s.Slack); !ok {
					t.Errorf("week %d: %s can't start %d s later, which is its slack", n, s.Visit, *s.Slack)
				} else if r := check.Plan(w, p); !r.OK() {
					t.Errorf("week %d: %s moved by its slack of %d s: %+v", n, s.Visit, *s.Slack, r.Broken[0])
				}
				if _, ok := movedStop(t, m, plans[n], s.Visit, s.Start+*s.Slack+1); ok {
					t.Errorf("week %d: %s (stop %d of %s) can start %d s later, one more than its slack", n, s.Visit, i, pt.Tour, *s.Slack+1)
				}
			}
		}
	}
	t.Logf("%d stops: %d without slack, %d with an hour or more", all, none, long)
	if all < 100 || none == 0 || long == 0 {
		t.Errorf("the weeks try too little: %d stops, %d without slack, %d with an hour or more", all, none, long)
	}
}

func (m *model) visitByID(id string) int32 {
	for v := range int32(m.real) {
		if m.visitID(v) == id {
			return v
		}
	}
	return -1
}

// movedStop is the plan with one visit started at an instant or later and the others as
// early as that lets them be; ok is false if there is none, or only with another lunch
// place, a promise given up or a crew on two tours at once.
func movedStop(t *testing.T, m *model, p *week.Plan, visit string, at int64) (*week.Plan, bool) {
	t.Helper()
	st, err := load(m, p)
	if err != nil {
		t.Fatal(err)
	}
	lunches, v := slices.Clone(st.lunch), m.visitByID(visit)
	st.set(undoLS, v, max(st.ls[v], at))
	st.enqueue(st.tourOf[v])
	st.allow(1000)
	if !st.propagate() || !slices.Equal(st.lunch, lunches) {
		return nil, false
	}
	for _, pt := range p.Tours {
		for _, s := range pt.Stops {
			v := m.visitByID(s.Visit)
			for _, k := range m.visits[v].promises {
				if pr := &m.w.Promises[k]; pr.From <= s.Start && s.Start <= pr.To && st.s[v] > pr.To {
					return nil, false
				}
			}
		}
	}
	st.reprice()
	for t := range m.tours {
		for _, r := range m.tours[t].rivals {
			if len(st.stops[t]) > 0 && len(st.stops[r]) > 0 && st.leave[t] < st.back[r] && st.leave[r] < st.back[t] {
				return nil, false
			}
		}
	}
	return st.plan(), true
}

// The latest times of all stops together are a plan too, and what is said to bind a stop
// is said of every stop that is still to be made.
func TestLatestTimesAreAPlan(t *testing.T) {
	found, plans := slackWeeks(t, 2)
	said := map[string]int{}
	for n, w := range found {
		st, err := load(compile(w), plans[n])
		if err != nil {
			t.Fatal(err)
		}
		g, ok := st.latestStarts()
		if !ok {
			t.Fatalf("week %d: the latest times did not settle", n)
		}
		for v := range st.m.visits {
			if st.placed[v] && !st.m.visits[v].fixed {
				st.ss[v], st.se[v] = g.s[v], g.s[v]+g.secs(int32(v))
			}
		}
		for k := range st.m.tours {
			if len(st.stops[k]) > len(st.m.tours[k].prefix) {
				st.back[k] = g.ret[k]
				if st.m.tours[k].begun == nil {
					st.leave[k] = g.dep[k]
				}
			}
		}
		p := st.plan()
		for i := range p.Tours { // leave the last stop late, as late as the return is
			pt := &p.Tours[i]
			k := slices.IndexFunc(w.Tours, func(x week.Tour) bool { return x.ID == pt.Tour })
			if stops := st.stops[k]; len(stops) > len(st.m.tours[k].prefix) {
				pt.HeadHome = st.m.travel.leave(st.m.visits[stops[len(stops)-1]].place, st.m.tours[k].end, pt.Return)
				pt.Return = st.m.travel.arrive(st.m.visits[stops[len(stops)-1]].place, st.m.tours[k].end, pt.HeadHome)
			}
		}
		p.Cost = check.Plan(w, p).Cost
		if r := check.Plan(w, p); !r.OK() {
			t.Errorf("week %d: all at their latest: %+v", n, r.Broken)
		}
		for _, pt := range plans[n].Tours {
			for _, s := range pt.Stops {
				if s.Slack != nil && s.Binds == "" {
					t.Errorf("week %d: nothing is said to bind %s", n, s.Visit)
				}
				if s.Slack != nil && s.BindsKind == "" {
					t.Errorf("week %d: %q, which binds %s, has no kind", n, s.Binds, s.Visit)
				}
				if s.Slack != nil {
					said[s.Binds]++
				}
			}
		}
	}
	for b, k := range said {
		t.Logf("%4d %s", k, b)
	}
	if len(said) < 8 {
		t.Errorf("only %d kinds of limits bind in these weeks", len(said))
	}
}
