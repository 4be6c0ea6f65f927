package search

import (
	"context"
	"os"
	"slices"
	"testing"

	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// everywhere looks for spots for one job in every gap of every tour, with every place for
// lunch on the tours that it touches, all others' orders as in the plan.
type everywhere struct {
	*orders
	j     *week.Job
	first int      // its first visit
	out   []string // jobs that stay out
	spent int
	// hopeless: not the times are wrong
	hopeless bool
	base     times
}

// everywhereMost is how many arrangements are tried; what would take more is counted.
var everywhereMost = 6_000

// newEverywhere looks for spots for a job in a week in which something is granted to it.
// Closures that were lifted for it hold for the others.
func newEverywhere(was, w *week.Week, p *week.Plan, id string) (*everywhere, bool) {
	e := &everywhere{orders: newOrders(w, p)}
	e.closed = was.Closures
	for j := range w.Jobs {
		if w.Jobs[j].ID == id {
			e.let, e.j, e.first = j, &w.Jobs[j], e.no[w.Jobs[j].Visits[0].ID]
		}
	}
	for _, l := range p.LeftOut {
		if l.Job != id {
			e.out = append(e.out, l.Job)
		}
	}
	for t := range e.dirty {
		e.dirty[t] = true
	}
	for j := range e.again {
		e.again[j] = true
	}
	ok := e.settle() && slices.Equal(e.again, make([]bool, len(e.again)))
	e.times.copyTo(&e.base)
	return e, ok
}

// fits tries every way for the visits of the job from number n on.
func (e *everywhere) fits(n int, touched []int) bool {
	if n == len(e.j.Visits) {
		e.hopeless = false
		return e.lunches(touched, func() bool {
			ok, pumps := e.checked(e.out)
			e.hopeless = pumps // no lunch helps
			return ok
		})
	}
	v, no := &e.j.Visits[n], e.first+n
	if v.MayOwe {
		e.owed[no] = true
		if e.fits(n+1, touched) {
			return true
		}
		e.owed[no] = false
	}
	if n > 0 && e.owed[no-1] {
		return false // what comes after an owed visit is owed
	}
	for t := range e.lists {
		tour := &e.w.Tours[t]
		if tour.People < v.People || slices.ContainsFunc(v.Skills, func(s string) bool { return !slices.Contains(tour.Skills, s) }) {
			continue
		}
		list, lunch := e.lists[t], e.lunch[t]
		more := touched
		if !slices.Contains(more, t) {
			more = append(slices.Clone(touched), t)
		}
		e.on[no] = t
		for pos := 0; pos <= len(list) && e.spent < everywhereMost; pos++ {
			e.lists[t] = slices.Insert(slices.Clone(list), pos, no)
			if e.lunch[t] = lunch; lunch.kind != 'n' && lunch.at >= pos {
				e.lunch[t].at++
			}
			e.hopeless = false
			if e.lunches(more, func() bool { return true }) && e.fits(n+1, more) {
				return true
			}
		}
		e.lists[t], e.lunch[t], e.on[no] = list, lunch, -1
	}
	return false
}

// lunches tries every place for lunch on the tours touched until there are times and do
// is satisfied.
func (e *everywhere) lunches(touched []int, do func() bool) bool {
	for t := range e.dirty {
		e.dirty[t] = false
	}
	return e.eat(touched, touched, do)
}

func (e *everywhere) eat(left, touched []int, do func() bool) bool {
	if len(left) == 0 {
		e.base.copyTo(&e.times)
		for _, t := range touched {
			e.dirty[t] = true
			e.dep[t] = unreached
		}
		for j := range e.again {
			e.again[j] = false
		}
		e.again[e.job[e.first]] = true
		e.spent++
		return e.settle() && do()
	}
	t := left[0]
	was := e.lunch[t]
	defer func() { e.lunch[t] = was }()
	meals := []meal{was}
	if e.w.Tours[t].Lunch != nil {
		meals = append(meals, meal{'n', 0})
		for i := range len(e.lists[t]) + 1 {
			meals = append(meals, meal{'b', i})
			if i < len(e.lists[t]) {
				meals = append(meals, meal{'a', i}, meal{'i', i})
			}
		}
	}
	for k, m := range meals {
		if e.lunch[t] = m; k > 0 && m == was || e.hopeless || e.spent > everywhereMost {
			continue
		}
		e.base.copyTo(&e.times) // by itself it must have times at least
		e.dep[t] = unreached
		if e.walk(t) && e.eat(left[1:], touched, do) {
			return true
		}
	}
	return false
}

// whyWeeks are small weeks in which some jobs do not fit.
func whyWeeks(t *testing.T, seeds uint64) (list []*week.Week, plans []*week.Plan) {
	t.Helper()
	for seed := range seeds {
		for _, s := range []weeks.Shape{
			{Seed: seed, Crews: 2, Days: 3, Jobs: 16},
			{Seed: seed, Crews: 2, Days: 3, Load: weeks.Over},
			{Seed: seed, Crews: 3, Days: 2, Load: weeks.Over},
		} {
			w := weeks.Make(s)
			p, err := Run(context.Background(), w, Options{Seed: 1, Strands: 1, Rounds: 1}, nil)
			if err != nil {
				t.Fatal(err)
			}
			list, plans = append(list, w), append(plans, p)
		}
	}
	return list, plans
}

// Every reason is a smallest set: with all its facts granted there is a plan that passes
// the checker and costs what was said; with any one of them not granted no gap of any tour
// takes the job, whatever is tried.
func TestReasonsAreSmallest(t *testing.T) {
	seeds := uint64(2)
	if os.Getenv("EBBLINE_LONG") != "" {
		seeds, everywhereMost = 30, 100_000
	}
	reasons, facts, dropped, open := 0, map[int]int{}, 0, 0
	list, plans := whyWeeks(t, seeds)
	for n, w := range list {
		p := plans[n]
		g := newGranting(w, p)
		for id, fits := range Why(context.Background(), w, p) {
			j := slices.IndexFunc(w.Jobs, func(x week.Job) bool { return x.ID == id })
			for _, f := range fits {
				reasons++
				facts[len(f.Facts)]++
				granted1, _ := granted(w, j, f.Facts)
				if granted1 == nil {
					t.Fatalf("week %d, %s: %v binds nothing", n, id, f.Facts)
				}
				at, ok := g.fits(j, f.Facts)
				if !ok {
					t.Errorf("week %d, %s: %v does not let it in when asked again", n, id, f.Facts)
					continue
				}
				g.cheapest(j, f.Facts, at).withPlaced(j, func(st *state) {
					q := st.plan()
					if r := check.Plan(granted1, q); !r.OK() {
						t.Errorf("week %d, %s with %v granted: %+v", n, id, f.Facts, r.Broken[0])
					}
					if d := q.Cost.Total - p.Cost.Total; d != f.DeltaCents {
						t.Errorf("week %d, %s with %v granted costs %d more, said %d", n, id, f.Facts, d, f.DeltaCents)
					}
				})
				for i := range f.Facts {
					less := slices.Delete(slices.Clone(f.Facts), i, i+1)
					x, _ := granted(w, j, less)
					e, ok := newEverywhere(w, x, p, id)
					if !ok {
						t.Fatalf("week %d: the plan's own orders have no times by the test", n)
					}
					fits := e.fits(0, nil)
					if dropped++; e.spent >= everywhereMost {
						open++
					}
					if fits {
						t.Errorf("week %d: %s fits with %v, without %s: %v", n, id, less, f.Facts[i], e.lists)
					}
				}
			}
		}
	}
	t.Logf("%d reasons by their number of facts %v, %d sets tried that lack one, %d of them not to the end", reasons, facts, dropped, open)
	if open*3 > dropped || facts[1] < 10 || facts[2] < 10 || facts[3] < 3 {
		t.Errorf("the weeks try too little: %v", facts)
	}
}
