package dispatch_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"reflect"
	"strings"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// solvedOnce keeps what askWeeks solved, for several tests.
var solvedOnce = map[uint64][2]any{}

// askWeeks are solved weeks of several shapes, some of them begun.
func askWeeks(t *testing.T, seeds uint64) (ws []*week.Week, ps []*week.Plan) {
	t.Helper()
	if s, ok := solvedOnce[seeds]; ok {
		return s[0].([]*week.Week), s[1].([]*week.Plan)
	}
	defer func() { solvedOnce[seeds] = [2]any{ws, ps} }()
	add := func(w *week.Week) *week.Plan {
		p := solved(t, w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 1, NoReasons: true})
		ws, ps = append(ws, w), append(ps, p)
		return p
	}
	for seed := range seeds {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 3, Days: 4, Jobs: 18})
		p := add(w)
		add(weeks.Later(w, p, 86400+11*3600+1))
		add(weeks.Make(weeks.Shape{Seed: seed, Crews: 4, Days: 5, Load: weeks.Tight}))
		add(weeks.Make(weeks.Shape{Seed: seed, Crews: 2, Days: 3, Load: weeks.Over}))
	}
	return ws, ps
}

// changer draws changes of a week, most of them of what its plan makes.
type changer struct {
	w      *week.Week
	p      *week.Plan
	r      *rand.Rand
	visits []string // planned and not begun
	stops  map[string][]string
	jobs   []string // planned and not begun
}

func newChanger(w *week.Week, p *week.Plan, seed uint64) *changer {
	c := &changer{w: w, p: p, r: rand.New(rand.NewPCG(seed, 5)), stops: map[string][]string{}}
	begun := map[string]bool{}
	for i := range w.Tours {
		if b := w.Tours[i].Begun; b != nil {
			for _, s := range b.Stops {
				begun[s.Visit] = true
			}
		}
	}
	for i := range p.Tours {
		for _, s := range p.Tours[i].Stops {
			if !begun[s.Visit] {
				c.visits = append(c.visits, s.Visit)
				c.stops[p.Tours[i].Tour] = append(c.stops[p.Tours[i].Tour], s.Visit)
			}
		}
	}
	out := map[string]bool{}
	for _, l := range p.LeftOut {
		out[l.Job] = true
	}
	for j := range w.Jobs {
		if !out[w.Jobs[j].ID] && !w.Jobs[j].Begun {
			c.jobs = append(c.jobs, w.Jobs[j].ID)
		}
	}
	return c
}

func (c *changer) tour() *week.Tour {
	for {
		if t := &c.w.Tours[c.r.IntN(len(c.w.Tours))]; t.Begun == nil || t.Begun.Returned == nil {
			return t
		}
	}
}

func pick[T any](r *rand.Rand, l []T) T { return l[r.IntN(len(l))] }

func (c *changer) move() dispatch.Change {
	x := dispatch.Change{Kind: dispatch.ChangeVisit, Visit: pick(c.r, c.visits), Tour: c.tour().ID}
	if s := c.stops[x.Tour]; c.r.IntN(3) > 0 {
		after := ""
		if len(s) > 0 && c.r.IntN(4) > 0 {
			after = pick(c.r, s)
		}
		if after != x.Visit {
			x.After = &after
		}
	}
	if c.r.IntN(5) == 0 {
		start := max(c.w.T0, 0) + c.r.Int64N(c.w.End-max(c.w.T0, 0))/900*900
		x.Start = &start
	}
	return x
}

func (c *changer) job(id string) *week.Job {
	for j := range c.w.Jobs {
		if c.w.Jobs[j].ID == id {
			return &c.w.Jobs[j]
		}
	}
	return nil
}

// change draws one of any kind.
func (c *changer) change() dispatch.Change {
	switch k := c.r.IntN(16); {
	case k < 6:
		return c.move()
	case k == 6:
		return dispatch.Change{Kind: dispatch.ChangeCrewOut, Tours: []string{c.tour().ID}}
	case k == 7:
		t := c.tour()
		skills := t.Skills
		if len(skills) > 1 {
			skills = skills[:len(skills)-1]
		}
		return dispatch.Change{Kind: dispatch.ChangeCrew, Crews: []dispatch.CrewChange{{Tour: t.ID, People: max(1, t.People-c.r.IntN(2)), Skills: skills}}}
	case k == 8:
		return dispatch.Change{Kind: dispatch.ChangePumps, Home: c.w.Homes[0].ID, Less: 1, From: c.r.IntN(len(c.w.Days))}
	case k == 9:
		p := c.w.Places[c.r.IntN(len(c.w.Places))]
		from := max(0, c.w.T0) + c.r.Int64N(c.w.End-max(0, c.w.T0))
		cl := &week.Closure{From: from, To: from + 1800 + c.r.Int64N(4*3600)}
		switch {
		case c.r.IntN(6) == 0:
			cl.All = true
		case p.Area != "":
			cl.Area = p.Area
		default:
			cl.Place = p.ID
		}
		return dispatch.Change{Kind: dispatch.ChangeClosed, Closure: cl}
	case k == 10 && len(c.p.LeftOut) > 0:
		return dispatch.Change{Kind: dispatch.ChangeJobIn, Job: pick(c.r, c.p.LeftOut).Job}
	case k == 11 && len(c.jobs) > 0:
		return dispatch.Change{Kind: dispatch.ChangeJobOut, Job: pick(c.r, c.jobs)}
	case k == 12 && len(c.jobs) > 0:
		return dispatch.Change{Kind: dispatch.ChangeJobEarlier, Job: pick(c.r, c.jobs), By: max(0, c.w.T0) + 6*3600 + c.r.Int64N(c.w.End-max(0, c.w.T0))}
	case k == 13:
		return dispatch.Change{Kind: dispatch.ChangeLonger, Visit: pick(c.r, c.visits), Seconds: 1800 + c.r.Int64N(16)*900}
	case k == 14 && len(c.jobs) > 0:
		id := pick(c.r, c.jobs)
		if wt := c.job(id).Water; wt != nil && len(wt.LowLate) > 0 {
			x := *wt
			later := func(t week.Table) (out week.Table) {
				for _, p := range t {
					out = append(out, week.Point{X: p.X, Y: p.Y + 3600})
				}
				return out
			}
			x.LowLate = later(x.LowLate)
			return dispatch.Change{Kind: dispatch.ChangeWater, Job: id, New: &dispatch.NewJob{Job: week.Job{Water: &x}}}
		}
	case k == 15 && len(c.jobs) > 0:
		return dispatch.Change{Kind: dispatch.ChangeJobIn, New: copyOf(c.job(pick(c.r, c.jobs)), c.r)}
	}
	return c.move()
}

// copyOf is a new job like one of the week.
func copyOf(j *week.Job, r *rand.Rand) *dispatch.NewJob {
	n := &dispatch.NewJob{Job: *j}
	id := fmt.Sprintf("-new%d", r.IntN(1000))
	n.Job.ID += id
	n.Job.Begun = false
	n.Job.Visits = append([]week.Visit(nil), j.Visits...)
	for i := range n.Job.Visits {
		n.Job.Visits[i].ID += id
		n.Job.Visits[i].Pin = nil
	}
	n.Job.Links = append([]week.Link(nil), j.Links...)
	for i := range n.Job.Links {
		n.Job.Links[i].From += id
		n.Job.Links[i].To += id
	}
	if j.Water != nil {
		x := *j.Water
		if x.DrainVisit != "" {
			x.DrainVisit += id
		}
		if x.Customer != nil {
			c := *x.Customer
			c.Sent = nil
			x.Customer = &c
		}
		n.Job.Water = &x
	}
	return n
}

func asked(t *testing.T, w *week.Week, p *week.Plan) *dispatch.Warm {
	t.Helper()
	a, err := dispatch.NewWarm(w, p)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// What is tried is what the changed week costs when it is timed from nothing: to the cent,
// and the checker has nothing to say against it.
func TestTryIsARecomputation(t *testing.T) {
	seeds, tries := uint64(1), 120
	if os.Getenv("EBBLINE_LONG") != "" {
		seeds, tries = 12, 400
	}
	ws, ps := askWeeks(t, seeds)
	fits, not := map[string]int{}, map[string]int{}
	for n, w := range ws {
		a, c := asked(t, w, ps[n]), newChanger(w, ps[n], uint64(n))
		for k := range tries {
			x := c.change()
			got, err := a.Try(x)
			if err != nil {
				var bad week.FieldErrors
				if !errors.As(err, &bad) {
					t.Fatalf("week %d try %d %+v: %v", n, k, x, err)
				}
				continue
			}
			w2, p2, err := a.TryPlan(x)
			if !got.Fits {
				not[x.Kind]++
				var no *dispatch.NotFittingError
				if !errors.As(err, &no) || len(got.Limits) == 0 {
					t.Fatalf("week %d try %d %s: %v; limits %v", n, k, x.Kind, err, got.Limits)
				}
				continue
			}
			fits[x.Kind]++
			if err != nil {
				t.Errorf("week %d try %d %+v: %v", n, k, x, err)
				continue
			}
			if r := check.Plan(w2, p2); !r.OK() || r.Cost != got.After {
				t.Errorf("week %d try %d %s: %v; costs %d, said %d", n, k, x.Kind, r.Broken, r.Cost.Total, got.After.Total)
			}
			sameStarts(t, ps[n], p2, got)
		}
	}
	t.Log("fit:", fits, "do not:", not)
	for _, k := range []string{dispatch.ChangeVisit, dispatch.ChangeCrewOut, dispatch.ChangeJobIn, dispatch.ChangeJobOut, dispatch.ChangeLonger, dispatch.ChangePumps} {
		if fits[k] == 0 {
			t.Errorf("no %s fits: the test says nothing of it", k)
		}
	}
}

// sameStarts compares the plan of a change with the visits that were said to move.
func sameStarts(t *testing.T, before, after *week.Plan, got dispatch.Tried) {
	t.Helper()
	type at struct {
		tour  string
		start int64
	}
	read := func(p *week.Plan) map[string]at {
		m := map[string]at{}
		for i := range p.Tours {
			for _, s := range p.Tours[i].Stops {
				m[s.Visit] = at{p.Tours[i].Tour, s.Start}
			}
		}
		return m
	}
	x := read(after)
	for _, m := range got.Moved {
		if x[m.Visit] != (at{m.Tour, m.Start}) {
			t.Errorf("%s: said %s %d, planned %v", m.Visit, m.Tour, m.Start, x[m.Visit])
		}
	}
	_ = before
}

// Thousands of questions of all kinds leave the answers as they were.
func TestQuestionsChangeNothing(t *testing.T) {
	ws, ps := askWeeks(t, 1)
	for n, w := range ws {
		a, c := asked(t, w, ps[n]), newChanger(w, ps[n], uint64(n)+100)
		var list []dispatch.Change
		var first []dispatch.Tried
		for range 40 {
			x := c.change()
			got, err := a.Try(x)
			if err != nil {
				continue
			}
			list, first = append(list, x), append(first, got)
		}
		for k := range 400 {
			i := c.r.IntN(len(list))
			if k%7 == 0 {
				if _, err := a.Places(pick(c.r, c.visits)); err != nil {
					t.Fatal(err)
				}
			}
			if k%25 == 0 {
				if _, err := a.Offer(dispatch.OfferAsk{New: copyOf(c.job(pick(c.r, c.jobs)), c.r)}); err != nil {
					t.Fatal(err)
				}
				if len(ps[n].LeftOut) > 0 {
					if _, err := a.Offer(dispatch.OfferAsk{Job: pick(c.r, ps[n].LeftOut).Job}); err != nil {
						t.Fatal(err)
					}
				}
			}
			if got, err := a.Try(list[i]); err != nil || !reflect.DeepEqual(got, first[i]) {
				t.Fatalf("week %d: %s answers otherwise the second time: %v", n, list[i].Kind, err)
			}
		}
	}
}

// A visit moved to where it is changes nothing.
func TestMovedToWhereItIs(t *testing.T) {
	ws, ps := askWeeks(t, 1)
	same, all := 0, 0
	for n, w := range ws {
		a, c := asked(t, w, ps[n]), newChanger(w, ps[n], 1)
		for tour, stops := range c.stops {
			for i, v := range stops {
				after := ""
				if i > 0 {
					after = stops[i-1]
				}
				got, err := a.Try(dispatch.Change{Kind: dispatch.ChangeVisit, Visit: v, Tour: tour, After: &after})
				if err != nil || !got.Fits {
					t.Fatalf("week %d: %s stays at %s: %v %v", n, v, tour, err, got.Limits)
				}
				if all++; got.After == got.Before {
					same++
				}
				if got.After.Total > got.Before.Total {
					t.Logf("week %d: %s where it is costs %d more", n, v, got.After.Total-got.Before.Total)
				}
			}
		}
	}
	t.Logf("%d of %d the same to the cent", same, all)
}

// Wrong questions name the field, its value and what would be right.
func TestWrongQuestions(t *testing.T) {
	ws, ps := askWeeks(t, 1)
	w, p := ws[1], ps[1] // has begun
	a := asked(t, w, p)
	c := newChanger(w, p, 1)
	var begun, over string
	for i := range w.Tours {
		b := w.Tours[i].Begun
		if b != nil && len(b.Stops) > 0 {
			begun = b.Stops[0].Visit
		}
		if b != nil && b.Returned != nil {
			over = w.Tours[i].ID
		}
	}
	if begun == "" || over == "" || len(p.LeftOut) == 0 {
		t.Fatal("the week has nothing begun, no tour that is over, or nothing left out")
	}
	none, far := "none", int64(-5)
	out := c.job(p.LeftOut[0].Job)
	for _, x := range []struct {
		c    dispatch.Change
		want string
	}{
		{dispatch.Change{Kind: "swap"}, `kind: "swap"`},
		{dispatch.Change{Kind: dispatch.ChangeVisit, Visit: none, Tour: w.Tours[5].ID}, `visit: "none"`},
		{dispatch.Change{Kind: dispatch.ChangeVisit, Visit: begun, Tour: c.tour().ID}, `a visit that has not begun`},
		{dispatch.Change{Kind: dispatch.ChangeVisit, Visit: out.Visits[0].ID, Tour: c.tour().ID}, `is left out`},
		{dispatch.Change{Kind: dispatch.ChangeVisit, Visit: c.visits[0], Tour: none}, `tour: "none"`},
		{dispatch.Change{Kind: dispatch.ChangeVisit, Visit: c.visits[0], Tour: over}, `its crew has returned`},
		{dispatch.Change{Kind: dispatch.ChangeVisit, Visit: c.visits[0], Tour: c.tour().ID, After: &none}, `after: "none"`},
		{dispatch.Change{Kind: dispatch.ChangeVisit, Visit: c.visits[0], Tour: c.tour().ID, Start: &far}, `start: -5`},
		{dispatch.Change{Kind: dispatch.ChangeCrewOut}, `tours: ""`},
		{dispatch.Change{Kind: dispatch.ChangeCrewOut, Tours: []string{over}}, `tours[0]: `},
		{dispatch.Change{Kind: dispatch.ChangeCrew, Crews: []dispatch.CrewChange{{Tour: c.tour().ID}}}, `crews[0].people: 0`},
		{dispatch.Change{Kind: dispatch.ChangeCrew, Crews: []dispatch.CrewChange{{Tour: c.tour().ID, People: 1, Skills: []string{none}}}}, `crews[0].skills[0]: "none"`},
		{dispatch.Change{Kind: dispatch.ChangePumps, Home: none, Less: 1}, `home: "none"`},
		{dispatch.Change{Kind: dispatch.ChangePumps, Home: w.Homes[0].ID, Less: 99}, `less: 99`},
		{dispatch.Change{Kind: dispatch.ChangePumps, Home: w.Homes[0].ID, Less: 1, From: 40}, `from: 40`},
		{dispatch.Change{Kind: dispatch.ChangeClosed}, `closure: `},
		{dispatch.Change{Kind: dispatch.ChangeClosed, Closure: &week.Closure{Place: none, To: 9}}, `closure.place: "none"`},
		{dispatch.Change{Kind: dispatch.ChangeClosed, Closure: &week.Closure{All: true, From: 9, To: 9}}, `closure.to: 9`},
		{dispatch.Change{Kind: dispatch.ChangeJobIn, Job: none}, `job: "none"`},
		{dispatch.Change{Kind: dispatch.ChangeJobIn, Job: c.jobs[0]}, `it is in the plan`},
		{dispatch.Change{Kind: dispatch.ChangeJobIn, New: &dispatch.NewJob{Job: week.Job{ID: c.jobs[0]}}}, `new.job.id: `},
		{dispatch.Change{Kind: dispatch.ChangeJobOut, Job: out.ID}, `it is left out`},
		{dispatch.Change{Kind: dispatch.ChangeJobEarlier, Job: c.jobs[0], By: -9}, `by: -9`},
		{dispatch.Change{Kind: dispatch.ChangeLonger, Visit: c.visits[0]}, `seconds: 0`},
		{dispatch.Change{Kind: dispatch.ChangeLonger, Visit: begun, Seconds: 60}, `a visit that is not over yet`},
		{dispatch.Change{Kind: dispatch.ChangeWater, Job: c.jobs[0]}, ``},
	} {
		_, err := a.Try(x.c)
		var bad week.FieldErrors
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), x.want) {
			t.Errorf("%+v: %v; want something with %q", x.c, err, x.want)
		}
	}
	if _, err := a.Places(none); err == nil || !strings.Contains(err.Error(), `visit: "none"`) {
		t.Errorf("places of no visit: %v", err)
	}
}
