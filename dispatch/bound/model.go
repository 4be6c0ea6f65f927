package bound

import (
	"context"
	"slices"

	"ebbline/dispatch/week"
)

const (
	perSecond = week.MoneyUnit / 3600 // units in a second at a cent per hour
	perMetre  = week.MoneyUnit / 1000
	perMille  = week.MoneyUnit / 1000
	day       = int64(86_400)
)

// node is a visit that starts in a part of a day.
type node struct {
	visit int32
	day   int32
	// starts of the visit in that part, and the first and last of them that some choice
	// of days of its job leaves.
	starts []span
	win    span
	// truck is what the visit does to the pumps on the truck.
	truck int8
	// promised lets a start in or out of the promises that can be kept that day.
	promises []span
}

// What a visit does to the pumps on its truck.
const (
	drops    = int8(1 + iota) // leaves one
	collects                  // takes one along
	borrows                   // needs one there
)

// visit of the week, numbered through all jobs.
type visit struct {
	job     int32
	place   int
	seconds int64
	// stretch is by how much lunch may move its end.
	stretch int64
	pay     int64   // least cents per hour of a tour that may make it
	nodes   []int32 // as time goes
}

// tour stands for all crew-days that differ in nothing the bound looks at.
type tour struct {
	many          int64
	day           int32
	from, to      int
	a, b, o       int64
	pay, over, km int64 // units per second, second and metre
	lunch         *week.Lunch
	nodes         []int32
	skills        []string
	people        int
	carries       bool // has a home and berths
	ids           []string
}

type model struct {
	ctx    context.Context
	w      *week.Week
	road   *road
	place  map[string]int
	visits []visit
	nodes  []node
	tours  []tour
	jobs   []job
	// stock is how many pumps all homes have together, by day: on that day or any before,
	// for what stands on sites overnight is not fetched back when a stock shrinks.
	stock []int64
}

// choicesMost is how many choices a job may have before its days are cut less finely.
const choicesMost = 12_000

// compile makes the model with days cut into so many parts. It is of no use if ctx ends
// meanwhile.
func compile(ctx context.Context, w *week.Week, road *road, parts int) *model {
	m := &model{ctx: ctx, w: w, road: road, place: map[string]int{}}
	for i := range w.Places {
		m.place[w.Places[i].ID] = i
	}
	m.compileTours()
	m.compileStock()
	stretch := int64(0)
	for i := range w.Tours {
		if l := w.Tours[i].Lunch; l != nil {
			stretch = max(stretch, l.Seconds)
		}
	}
	for j := range w.Jobs {
		if ctx.Err() != nil {
			break
		}
		x := &w.Jobs[j]
		jb := job{week: x, first: int32(len(m.visits))}
		for n := range x.Visits {
			v := &x.Visits[n]
			vs := visit{job: int32(j), place: m.place[v.Place], seconds: v.Seconds}
			if v.Interruptible {
				vs.stretch = stretch
			}
			m.visits = append(m.visits, vs)
		}
		for cut := parts; ; cut /= 2 {
			nodes := len(m.nodes)
			for n := range x.Visits {
				m.compileNodes(jb.first+int32(n), x, &x.Visits[n], partsOf(x, n, cut))
			}
			if m.choices(&jb, cut == 1) || ctx.Err() != nil {
				break
			}
			m.nodes = m.nodes[:nodes]
			for t := range m.tours {
				m.tours[t].nodes = slices.DeleteFunc(m.tours[t].nodes, func(n int32) bool { return int(n) >= nodes })
			}
		}
		m.jobs = append(m.jobs, jb)
	}
	// A visit on a day that no choice of its job uses is no stop of any route.
	for t := range m.tours {
		m.tours[t].nodes = slices.DeleteFunc(m.tours[t].nodes, func(n int32) bool { return m.nodes[n].win.lo > m.nodes[n].win.hi })
	}
	return m
}

func (m *model) compileTours() {
	for i := range m.w.Tours {
		t := &m.w.Tours[i]
		x := tour{many: 1, day: int32(t.Day), from: m.place[t.Start], to: m.place[t.End], a: max(t.ShiftFrom, m.w.T0), b: t.ShiftTo, o: t.OvertimeTo,
			pay: t.PayPerHour * perSecond, over: t.OvertimePerHour * perSecond, km: t.CostPerKm * perMetre, lunch: t.Lunch,
			skills: t.Skills, people: t.People, carries: t.Home != "" && t.Berths > 0, ids: []string{t.ID}}
		k := slices.IndexFunc(m.tours, func(y tour) bool { return same(&x, &y) })
		if k < 0 {
			m.tours = append(m.tours, x)
			continue
		}
		m.tours[k].many++
		m.tours[k].ids = append(m.tours[k].ids, t.ID)
	}
}

func (m *model) compileStock() {
	m.stock = make([]int64, len(m.w.Days))
	for h := range m.w.Homes {
		most := 0
		for d, n := range m.w.Homes[h].Pumps {
			most = max(most, n)
			m.stock[d] += int64(most)
		}
	}
}

func same(a, b *tour) bool {
	if (a.lunch == nil) != (b.lunch == nil) || a.lunch != nil && *a.lunch != *b.lunch {
		return false
	}
	return a.day == b.day && a.from == b.from && a.to == b.to && a.a == b.a && a.b == b.b && a.o == b.o && a.pay == b.pay &&
		a.over == b.over && a.km == b.km && a.people == b.people && a.carries == b.carries && slices.Equal(a.skills, b.skills)
}

// fits reports whether the tours of a class may make a visit.
func (m *model) fits(t *tour, j *week.Job, v *week.Visit) bool {
	if v.People > t.people || v.Pin != nil && v.Pin.Day != nil && *v.Pin.Day != int(t.day) {
		return false
	}
	if v.Pin != nil && v.Pin.Tour != "" && !slices.Contains(t.ids, v.Pin.Tour) {
		return false
	}
	if !t.carries && (v.DropsPump || v.CollectsPump) {
		return false
	}
	for _, s := range v.Skills {
		if !slices.Contains(t.skills, s) {
			return false
		}
	}
	return true
}

// partsOf is how many parts of a day a visit of a job has. How long a pool lies low hangs
// on when its drain begins and its last low visit ends, so those are cut more finely than
// the others; and nothing hangs on when a job's only visit is.
func partsOf(j *week.Job, n, cut int) int {
	switch v := &j.Visits[n]; {
	case len(j.Visits) == 1:
		return 1
	case cut == 1 || j.Water == nil || j.Water.Way == week.WayWindow:
		return cut
	case v.Water == week.NeedLow && (n+1 == len(j.Visits) || j.Visits[n+1].Water != week.NeedLow), v.ID == j.Water.DrainVisit:
		return 2 * cut
	case v.Water == week.NeedCovered:
		return max(1, cut/2)
	}
	return cut
}

// compileNodes makes the parts of days in which a visit may start with some tour.
func (m *model) compileNodes(n int32, j *week.Job, v *week.Visit, parts int) {
	vs := &m.visits[n]
	vs.nodes, vs.pay = vs.nodes[:0], never
	starts := m.starts(j, v)
	for d := range m.w.Days {
		lo, hi := int64(never), int64(always)
		begin, end := int64(never), int64(always)
		var who []int
		for i := range m.tours {
			t := &m.tours[i]
			if int(t.day) != d {
				continue
			}
			begin, end = min(begin, t.a), max(end, t.o)
			if !m.fits(t, j, v) {
				continue
			}
			from := m.road.arrive(t.a, m.road.seconds[t.from][vs.place])
			to := t.o - v.Seconds - m.road.seconds[vs.place][t.to]*1000/m.road.fastest(t.a)
			if from > to {
				continue
			}
			who = append(who, i)
			lo, hi = min(lo, from), max(hi, to)
			vs.pay = min(vs.pay, t.pay, t.over)
		}
		if len(who) == 0 {
			continue
		}
		for p := range int64(parts) {
			part := span{begin + (end-begin)*p/int64(parts), begin + (end-begin)*(p+1)/int64(parts) - 1}
			if p == 0 {
				part.lo = always
			}
			if p == int64(parts)-1 {
				part.hi = never
			}
			if list := both(both(starts, []span{{lo, hi}}), []span{part}); len(list) > 0 {
				m.addNode(n, d, v, list, who)
			}
		}
	}
}

func (m *model) jobOf(n int32) *week.Job { return &m.w.Jobs[m.visits[n].job] }

func (m *model) addNode(n int32, d int, v *week.Visit, starts []span, who []int) {
	x := node{visit: n, day: int32(d), starts: starts, win: span{never, always}}
	j := m.jobOf(n)
	switch {
	case v.DropsPump:
		x.truck = drops
	case v.CollectsPump:
		x.truck = collects
	case j.Water != nil && j.Water.Way == week.WayArrival && firstLow(j) == v:
		x.truck = borrows
	}
	for _, p := range m.w.Promises {
		if p.Visit == v.ID && len(both(starts, []span{{p.From, p.To}})) > 0 {
			x.promises = append(x.promises, span{p.From, p.To})
		}
	}
	id := int32(len(m.nodes))
	m.visits[n].nodes = append(m.visits[n].nodes, id)
	for _, i := range who {
		m.tours[i].nodes = append(m.tours[i].nodes, id)
	}
	m.nodes = append(m.nodes, x)
}

// starts are the instants at which a visit may start, whatever its crew.
func (m *model) starts(j *week.Job, v *week.Visit) []span {
	w := m.w
	list := []span{{max(0, w.T0), w.End - v.Seconds}}
	if len(v.Allowed) > 0 {
		var allowed []span
		for _, a := range v.Allowed {
			to := a.To
			if v.EndInside {
				to -= v.Seconds
			}
			if a.From <= to {
				allowed = append(allowed, span{a.From, to})
			}
		}
		slices.SortFunc(allowed, func(a, b span) int { return int(min(1, max(-1, a.lo-b.lo))) })
		list = both(list, joined(allowed))
	}
	if j.NotBefore != nil {
		list = both(list, []span{{*j.NotBefore, never}})
	}
	if j.NotAfter != nil {
		list = both(list, []span{{always, *j.NotAfter - v.Seconds}})
	}
	if v.Pin != nil && v.Pin.Start != nil {
		list = both(list, []span{{*v.Pin.Start, *v.Pin.Start}})
	}
	area := w.Places[m.place[v.Place]].Area
	drains := int64(0)
	if j.Water != nil && v.Water == week.NeedLow {
		if j.Water.Way == week.WayArrival && firstLow(j) == v {
			drains = j.Water.ArrivalSeconds
			var hours []span
			for _, h := range w.WaterHours {
				if h.From <= h.To-drains {
					hours = append(hours, span{h.From, h.To - drains})
				}
			}
			list = both(list, joined(hours))
		}
		if j.Water.Way == week.WayWindow {
			list = both(list, []span{{j.Water.Window.From, j.Water.Window.To - v.Seconds}})
		}
	}
	for _, c := range w.Closures {
		if v.Seconds > 0 && (c.All || c.Place != "" && c.Place == v.Place || c.Area != "" && c.Area == area) {
			list = without(list, c.From-v.Seconds, c.To)
			if c.StopsPumping && drains > 0 {
				list = without(list, c.From-drains, c.To)
			}
		}
	}
	return list
}

// joined melts spans, sorted by their begin, that overlap.
func joined(s []span) []span {
	var out []span
	for _, x := range s {
		if n := len(out); n > 0 && x.lo <= out[n-1].hi {
			out[n-1].hi = max(out[n-1].hi, x.hi)
			continue
		}
		out = append(out, x)
	}
	return out
}

// firstLow is the first visit that needs low water; nil if none.
func firstLow(j *week.Job) *week.Visit {
	for n := range j.Visits {
		if j.Visits[n].Water == week.NeedLow {
			return &j.Visits[n]
		}
	}
	return nil
}
