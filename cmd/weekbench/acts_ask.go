package main

import (
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"runtime"
	"slices"

	"golang.org/x/sys/unix"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
)

// threadCPU is the processor time of this thread in nanoseconds.
func threadCPU() int64 {
	var t unix.Timespec
	if unix.ClockGettime(unix.CLOCK_THREAD_CPUTIME_ID, &t) != nil {
		return 0
	}
	return t.Nano()
}

// actsAsk measures try, places and offer.
func (b *bench) actsAsk(on *actsOn, r *acts) error {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	a, err := dispatch.NewWarm(on.w, on.p)
	if err != nil {
		return err
	}
	d := newDrawer(on, b.shape.Seed)
	var try, places, offer timed
	byKind := map[string]*timed{}
	fits, linked, kinds := 0, 0, map[string][2]int{}
	const tries = 2000
	for n := 0; n < tries; n++ {
		c := d.change(n%2 == 0)
		var got dispatch.Tried
		if err := try.call(func() (err error) { got, err = a.Try(c); return err }); err != nil {
			var bad week.FieldErrors
			if !errors.As(err, &bad) {
				return fmt.Errorf("try %d, %+v: %w", n, c, err)
			}
			try.forget() // a question that was wrong
			n--
			continue
		}
		name := c.Kind
		if !got.Fits {
			name += ", does not fit"
		}
		if byKind[name] == nil {
			byKind[name] = &timed{}
		}
		byKind[name].wall, byKind[name].cpu = append(byKind[name].wall, try.wall[n]), append(byKind[name].cpu, try.cpu[n])
		k := kinds[c.Kind]
		if k[1]++; got.Fits {
			fits++
			k[0]++
		}
		kinds[c.Kind] = k
		if n%2 == 0 {
			linked++
		}
	}
	on.say("tries: %d%% fit, %d%% on linked jobs; fit of tried by kind: %v", fits*100/tries, linked*100/tries, kinds)
	for _, name := range slices.Sorted(maps.Keys(byKind)) {
		byKind[name].p99(on, "  "+name)
	}
	r.Try = try.p99(on, "try")
	for range 200 {
		v := pick(d.r, d.visits)
		if err := places.call(func() error { _, err := a.Places(v); return err }); err != nil {
			return err
		}
	}
	r.Places = places.p99(on, "places")
	for range 100 {
		ask := dispatch.OfferAsk{New: d.newJob()}
		if err := offer.call(func() error { _, err := a.Offer(ask); return err }); err != nil {
			on.say("offer: %v", err)
			return nil
		}
	}
	r.Offer = offer.p99(on, "offer")
	return nil
}

// drawer draws changes of a plan.
type drawer struct {
	on             *actsOn
	r              *rand.Rand
	visits         []string // planned
	linked, single []string // of them
	tourOf         map[string]int
	tours          map[string]*week.Tour
	stops          map[string][]string
	jobs, out      []string
	chains         []*week.Job // of three visits
}

func pick[T any](r *rand.Rand, l []T) T { return l[r.IntN(len(l))] }

func newDrawer(on *actsOn, seed uint64) *drawer {
	d := &drawer{on: on, r: rand.New(rand.NewPCG(seed, 99)), tourOf: map[string]int{}, tours: map[string]*week.Tour{}, stops: map[string][]string{}}
	chain := map[string]int{}
	out := map[string]bool{}
	for _, l := range on.p.LeftOut {
		out[l.Job] = true
		d.out = append(d.out, l.Job)
	}
	for j := range on.w.Jobs {
		x := &on.w.Jobs[j]
		for i := range x.Visits {
			chain[x.Visits[i].ID] = len(x.Visits)
		}
		if !out[x.ID] {
			d.jobs = append(d.jobs, x.ID)
		}
		if len(x.Visits) == 3 {
			d.chains = append(d.chains, x)
		}
	}
	at := map[string]int{}
	for i := range on.w.Tours {
		d.tours[on.w.Tours[i].ID], at[on.w.Tours[i].ID] = &on.w.Tours[i], i
	}
	for i := range on.p.Tours {
		for _, s := range on.p.Tours[i].Stops {
			d.visits = append(d.visits, s.Visit)
			if d.tourOf[s.Visit] = at[on.p.Tours[i].Tour]; chain[s.Visit] > 1 {
				d.linked = append(d.linked, s.Visit)
			} else {
				d.single = append(d.single, s.Visit)
			}
			d.stops[on.p.Tours[i].Tour] = append(d.stops[on.p.Tours[i].Tour], s.Visit)
		}
	}
	return d
}

// change draws a change that a dispatcher would try: most are moves of a visit on its own
// crew's day or to another crew or day near; half of all are of linked jobs.
func (d *drawer) change(linked bool) dispatch.Change {
	v := pick(d.r, d.single)
	if linked {
		v = pick(d.r, d.linked)
	}
	job := v[:6]
	for j := range d.on.w.Jobs {
		for i := range d.on.w.Jobs[j].Visits {
			if d.on.w.Jobs[j].Visits[i].ID == v {
				job = d.on.w.Jobs[j].ID
			}
		}
	}
	w := d.on.w
	t := &w.Tours[d.tourOf[v]]
	switch k := d.r.IntN(100); {
	case k < 4:
		return dispatch.Change{Kind: dispatch.ChangeCrewOut, Tours: []string{t.ID}}
	case k < 7:
		return dispatch.Change{Kind: dispatch.ChangeCrew, Crews: []dispatch.CrewChange{{Tour: t.ID, People: max(1, t.People-1), Skills: t.Skills}}}
	case k < 10:
		return dispatch.Change{Kind: dispatch.ChangePumps, Home: pick(d.r, w.Homes).ID, Less: 1, From: d.r.IntN(len(w.Days))}
	case k < 14:
		p := pick(d.r, w.Places)
		from := t.ShiftFrom + d.r.Int64N(6*3600)
		return dispatch.Change{Kind: dispatch.ChangeClosed, Closure: &week.Closure{Place: p.ID, From: from, To: from + 3600}}
	case k < 22:
		return dispatch.Change{Kind: dispatch.ChangeJobOut, Job: job}
	case k < 25 && len(d.out) > 0:
		return dispatch.Change{Kind: dispatch.ChangeJobIn, Job: pick(d.r, d.out)}
	case k < 35:
		return dispatch.Change{Kind: dispatch.ChangeLonger, Visit: v, Seconds: 900 + d.r.Int64N(12)*600}
	case k < 40:
		return dispatch.Change{Kind: dispatch.ChangeJobEarlier, Job: job, By: w.End - d.r.Int64N(5*86400)}
	}
	c := dispatch.Change{Kind: dispatch.ChangeVisit, Visit: v, Tour: t.ID}
	if d.r.IntN(10) < 7 {
		c.Tour = pick(d.r, d.near(t)).ID
	}
	if s := d.stops[c.Tour]; d.r.IntN(2) > 0 {
		after := ""
		if len(s) > 0 && d.r.IntN(4) > 0 {
			after = pick(d.r, s)
		}
		if after != v {
			c.After = &after
		}
	}
	return c
}

// near are the tours of the same day with the same skills, or of the day before or after.
func (d *drawer) near(t *week.Tour) []*week.Tour {
	var out []*week.Tour
	for i := range d.on.w.Tours {
		x := &d.on.w.Tours[i]
		if x.Day >= t.Day-1 && x.Day <= t.Day+1 && x.People >= t.People && !slices.ContainsFunc(t.Skills, func(s string) bool { return !slices.Contains(x.Skills, s) }) {
			out = append(out, x)
		}
	}
	return out
}

// newJob is a caller's job like one of the week's chains of three.
func (d *drawer) newJob() *dispatch.NewJob {
	j := pick(d.r, d.chains)
	n := &dispatch.NewJob{Job: *j}
	const mark = "-call"
	n.Job.ID += mark
	n.Job.Begun = false
	n.Job.Visits = slices.Clone(j.Visits)
	for i := range n.Job.Visits {
		n.Job.Visits[i].ID += mark
		n.Job.Visits[i].Pin = nil
	}
	n.Job.Links = slices.Clone(j.Links)
	for i := range n.Job.Links {
		n.Job.Links[i].From += mark
		n.Job.Links[i].To += mark
	}
	if j.Water != nil {
		x := *j.Water
		if x.DrainVisit != "" {
			x.DrainVisit += mark
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
