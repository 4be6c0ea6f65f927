package odds

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"ebbline/dispatch/week"
)

// never is an instant that does not come.
const never = math.MaxInt64 / 4

// model is a plan of a week laid out for living through it.
type model struct {
	w      *week.Week
	policy Policy
	roads  roads
	visits []visit
	tours  []tour
	pools  []pool
	order  []int32   // visits by tour and stop, those that have begun left out
	events []int32   // tours, once for each of those stops, as the plan has them follow each other
	groups [][]int32 // visits that start together
	days   []struct{ work, way, pool uint64 }
	starts []int64 // of the days
	dayLog week.Uncertainty
}

// visit is one planned stop.
type visit struct {
	id          string
	tour, place int32
	pool        int32 // -1: it needs nothing of a pool and begins no drain
	group       int32 // -1: it starts alone
	needs       need
	begins      bool // its end begins the drain
	lows        bool // its end may begin the fill
	arrives     bool // it lowers the pool itself
	begun       bool
	start, end  int64 // as planned, or as it was
	work        length
	driveKey    uint64
	seconds     int64 // planned, draining on arrival counted in
	floor       int64 // not before
	after       []after
	allowed     []week.Span
	endInside   bool
	shut        []week.Closure // of its place, by their begin
	promised    []int64        // ends of the windows
	underWay    bool
	chain       int   // number in its job, to order what starts at once
	job         int32 // of the week
	last        int64 // latest end while a pool is low by season; never: none
}

type need uint8

const (
	needsNothing need = iota
	needsLow
	needsCovered
)

// after has a visit start no earlier than seconds after another's start or end.
type after struct {
	visit   int32
	fromEnd bool
	seconds int64
}

// tour is one crew's day.
type tour struct {
	id                      string
	day                     int32
	first, count            int32 // in order
	from, home              int32 // places
	freeAt, leave           int64 // leave: no earlier for the first stop
	shiftTo, overtimeTo     int64
	returnKey               uint64
	underWay                int32 // its begun visit that has not ended; -1: none
	lunchAt                 int32 // stop, of those in order; -1: no lunch to come
	lunchHow                lunchHow
	lunchFrom, lunchSeconds int64
	over                    bool  // has returned
	back                    int64 // when it has
}

type lunchHow uint8

const (
	lunchBeforeDrive lunchHow = iota
	lunchAfterDrive
	lunchInside
)

// newModel lays out a plan for a filled policy. Its errors name what does not fit the week.
func newModel(w *week.Week, p *week.Plan, policy Policy) (*model, error) {
	if w == nil || p == nil {
		return nil, fmt.Errorf("odds: a week and a plan of it are needed")
	}
	if err := w.Validate(); err != nil {
		return nil, fmt.Errorf("odds: the week: %w", err)
	}
	if err := p.Validate(); err != nil {
		return nil, fmt.Errorf("odds: the plan: %w", err)
	}
	m := &model{w: w, policy: policy, roads: newRoads(w)}
	for _, d := range w.Days {
		m.days = append(m.days, struct{ work, way, pool uint64 }{thing(sortDayWork, d.Date), thing(sortDayWay, d.Date), thing(sortDayPool, d.Date)})
		m.starts = append(m.starts, d.Start)
	}
	if w.Uncertainty != nil {
		m.dayLog = *w.Uncertainty
	}
	b := &builder{model: m, ix: week.NewIndex(w), p: p, at: map[string]int32{}, told: map[string]int64{}, planTour: map[string]*week.PlanTour{}}
	for _, step := range []func() error{b.tours_, b.visits_, b.pools_, b.links, b.promises, b.lay} {
		if err := step(); err != nil {
			return nil, fmt.Errorf("odds: the plan: %w", err)
		}
	}
	return m, nil
}

// day is the number of the civil day of an instant, the nearest of the horizon.
func (m *model) day(t int64) int {
	d := len(m.starts) - 1
	for d > 0 && m.starts[d] > t {
		d--
	}
	return d
}

// builder fills a model.
type builder struct {
	*model
	ix       *week.Index
	p        *week.Plan
	at       map[string]int32 // visits by id
	told     map[string]int64 // starts that were handed out
	planTour map[string]*week.PlanTour
	hours    map[string]*hours
}

func (b *builder) tours_() error {
	for i := range b.p.Tours {
		pt := &b.p.Tours[i]
		k, ok := b.ix.Tour[pt.Tour]
		if !ok {
			return fmt.Errorf("tours[%d].tour: %q is not right; want the id of one of the week's tours", i, pt.Tour)
		}
		x := &b.w.Tours[k]
		t := tour{id: x.ID, day: int32(x.Day), from: int32(b.ix.Place[x.Start]), home: int32(b.ix.Place[x.End]), freeAt: pt.Depart,
			leave: pt.Stops[0].Leave, shiftTo: max(x.ShiftTo, pt.Depart), overtimeTo: x.OvertimeTo, returnKey: thing(sortReturn, x.ID), underWay: -1, lunchAt: -1, back: pt.Return}
		if g := x.Begun; g != nil {
			t.from, t.freeAt, t.over = int32(b.ix.Place[g.Place]), g.FreeAt, g.Returned != nil
			t.leave = g.FreeAt
			if len(pt.Stops) < len(g.Stops) {
				return fmt.Errorf("tours[%d].stops: a list of %d is not right; want the %d begun stops of %q first", i, len(pt.Stops), len(g.Stops), x.ID)
			}
		}
		b.lunch(&t, x, pt)
		b.tours, b.planTour[x.ID] = append(b.tours, t), pt
	}
	slices.SortFunc(b.tours, func(x, y tour) int { return cmp.Compare(x.id, y.id) })
	return nil
}

// lunch finds the place among the stops that have not begun where the plan has it.
func (b *builder) lunch(t *tour, x *week.Tour, pt *week.PlanTour) {
	done := 0
	if x.Begun != nil {
		done = len(x.Begun.Stops)
	}
	if pt.Lunch == nil || x.Lunch == nil || x.Begun != nil && x.Begun.LunchStart != nil {
		return
	}
	t.lunchFrom, t.lunchSeconds = x.Lunch.From, x.Lunch.Seconds
	stops := pt.Stops[done:]
	for k := range stops {
		t.lunchAt = int32(k)
		switch s := &stops[k]; {
		case pt.Lunch.Inside == s.Visit:
			t.lunchHow = lunchInside
			return
		case pt.Lunch.Inside == "" && pt.Lunch.Start < s.Arrive:
			return
		case pt.Lunch.Inside == "" && pt.Lunch.Start < s.End:
			t.lunchHow = lunchAfterDrive
			return
		}
	}
	t.lunchAt = int32(len(stops))
}

func (b *builder) visits_() error {
	for i := range b.tours {
		for k, s := range b.planTour[b.tours[i].id].Stops {
			at, ok := b.ix.Visit[s.Visit]
			if !ok {
				return fmt.Errorf("tour %q, stop %d: %q is not right; want the id of a visit of the week", b.tours[i].id, k, s.Visit)
			}
			b.visits = append(b.visits, b.visit(int32(i), &s, at))
		}
	}
	slices.SortFunc(b.visits, func(x, y visit) int { return cmp.Compare(x.id, y.id) })
	for i := range b.visits {
		if _, twice := b.at[b.visits[i].id]; twice {
			return fmt.Errorf("visit %q is not right; want it in the plan once", b.visits[i].id)
		}
		b.at[b.visits[i].id] = int32(i)
	}
	return nil
}

func (b *builder) visit(onTour int32, s *week.Stop, at week.VisitAt) visit {
	job := &b.w.Jobs[at.Job]
	x := &job.Visits[at.Number]
	v := visit{id: x.ID, tour: onTour, place: int32(b.ix.Place[x.Place]), pool: -1, group: -1, start: s.Start, end: s.End,
		driveKey: thing(sortDrive, x.ID), seconds: x.Seconds, floor: b.w.T0, allowed: x.Allowed, endInside: x.EndInside, chain: at.Number, job: int32(at.Job), last: never}
	own := x.Seconds
	if wt := job.Water; wt != nil && wt.Way == week.WayArrival && wt.DrainedAt == nil && firstLow(job) == at.Number {
		own = max(own-wt.ArrivalSeconds, 1)
	}
	v.work = newLength(x.MedianSeconds, x.LogSD, b.dayLog.WorkDayLogSD, own, thing(sortWork, x.ID))
	if job.NotBefore != nil {
		v.floor = max(v.floor, *job.NotBefore)
	}
	if x.Pin != nil && x.Pin.Start != nil {
		v.floor = max(v.floor, *x.Pin.Start)
	}
	t := &b.tours[onTour]
	if g := b.w.Tours[b.ix.Tour[t.id]].Begun; g != nil {
		v.begun = slices.ContainsFunc(g.Stops, func(o week.Stop) bool { return o.Visit == x.ID })
		v.underWay = v.begun && s.End > b.w.T0
	}
	v.shut = b.closures(x.Place)
	return v
}

// closures of a place, by their begin.
func (b *builder) closures(place string) []week.Closure {
	area := b.w.Places[b.ix.Place[place]].Area
	var list []week.Closure
	for _, c := range b.w.Closures {
		if c.All || c.Place == place || c.Area != "" && c.Area == area {
			list = append(list, c)
		}
	}
	slices.SortFunc(list, func(x, y week.Closure) int { return cmp.Or(cmp.Compare(x.From, y.From), cmp.Compare(x.ID, y.ID)) })
	return list
}

// firstLow is the number of the first visit of a chain that needs low water; -1: none.
func firstLow(j *week.Job) int {
	return slices.IndexFunc(j.Visits, func(v week.Visit) bool { return v.Water == week.NeedLow })
}
