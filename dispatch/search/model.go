package search

import (
	"math/bits"

	"ebbline/dispatch/week"
)

// model is a week laid out in flat arrays. Visits are numbered through; behind them
// come the told intervals of customer-drained pools, as visits without a tour that
// start at e and end at l.
type model struct {
	w      *week.Week
	travel travel
	visits []visit
	tours  []tour
	jobs   []job
	homes  []home
	days   int
	real   int // number of visits that are not told intervals
	lunch  []int64
	// unpaid: only distance costs, and lunch is nowhere due
	unpaid bool
	// classes of tours
	classes int
	// shifts are the different stretches of time that tours have, lists the tours by need;
	// both for laying out only
	shifts []span
	lists  map[tourNeed][]int32
	// numbers by id
	tourNo, skillNo, visitNo map[string]int
	// money units for each second past a promised window, and of the largest such lateness
	lateRate, worstRate int64
	rooms               bool // some truck's room counts
	// opened are tours whose last return was taken away, with what it was; see
	// [state.propagateOpen]. nil: none may be.
	opened *[]openTour
}

// visit is what search needs to know of a visit or told interval.
type visit struct {
	job, place int32
	secs       int64
	room       int64 // litres on the truck
	fixed      bool  // it has begun: start and end are facts
	begun0     int64
	begun1     int64
	told       bool
	mayOwe     bool
	drop       bool
	collect    bool
	arrival    bool // drains on arrival
	interrupt  bool
	low        bool
	free       starts   // allowed starts
	freeLunch  []starts // the same with lunch inside, by lunch length
	out        []arc    // rules from this visit
	tours      []int32  // that may make it
	anyTours   []int32  // the same for a job let off pins and availability
	promises   []int32
	frozenTour int32 // -1: not frozen
	frozenRank int32
	owedFloor  bool // as far as constants go it may be owed
	owedLate   bool // the same for a job let off the commission limit: its last hour may be past by then
}

// arc is a rule "to >= f(from)". The ends say which instant of each side is meant.
type arc struct {
	to      int32
	fn      uint8
	fromEnd bool
	toEnd   bool
	limit   bool  // low limit: may be broken where nothing else is left
	comm    bool  // upper bound of a link to a visit that may be owed
	c       int64 // for fnAdd
}

// Functions of arcs.
const (
	fnAdd     = iota // x + c
	fnLowLate        // surely low if draining began at x
	fnCovered        // covered if filling began at x
	fnLimit          // the least begin of draining such that the low limit holds if filling begins at x
)

// Rules that a job may be let off, as bits; see week.RuleBreak.
const (
	offLow = 1 << iota
	offCommission
	offAvailability
	offPin
)

type tour struct {
	day        int32
	shift      int32 // number of its stretch of time, see model.shifts
	class      int32 // equal for tours that differ in nothing but their crew
	crew       int32
	start, end int32
	home       int32 // -1: none
	a, b, o    int64
	limit      int64   // the last return; o is later only for a begun tour that can't keep it
	rivals     []int32 // other tours of the crew that may overlap
	skills     uint64
	people     int
	berths     int
	room       int64 // litres; 0: not looked at
	pay, over  int64 // money units per second
	km         int64 // money units per metre
	lunch      *week.Lunch
	lunchClass int
	begun      *week.Begun
	prefix     []int32
	told       []week.HandedStop
	returned   bool
	from       int32 // place from which it goes on: start, or begun.Place
	depart0    int64 // least departure from there
}

type job struct {
	first, n int32 // visits first..first+n-1
	told     int32 // visit number of the told interval, -1: none
	conv     int32 // last visit that may not be owed
	drain    int32 // -1
	lastLow  int32 // -1
	firstLow int32 // -1
	begun    bool
	must     bool // may not be left out
	value    int64
	water    *week.Water
	pumpHome int32 // home of the pump on site since before the horizon, -1: none
	needPump bool
	toldKeep span // interval already sent
	hasSent  bool
	hard     int // how scarce what it needs is; higher goes first
	near     []int32
	far      int64 // drive to the nearest start of a tour that may convert it
	room     int64 // seconds in which its conversion may start
	worth    int64 // what leaving it out costs for each second of its visits, money units
	hope     int64 // what placing it saves at the most, money units
	hasConv  bool  // some visit may not be owed
	gives    bool  // giving up a promised window or a told interval can gain something
}

type home struct {
	pumps []int
}

func bitsOf(ids []string, idx map[string]int) uint64 {
	var m uint64
	for _, s := range ids {
		m |= 1 << uint(idx[s]&63)
	}
	return m
}

// compile lays the week out. A valid week compiles; skills beyond 64 are refused
// by [Run].
func compile(w *week.Week) *model {
	t := newTravel(w)
	return compileWith(w, &t, nil)
}

// compileWith compiles with travel laid out before, and neighbours known before if any.
func compileWith(w *week.Week, t *travel, known []job) *model {
	m := &model{w: w, travel: *t, days: len(w.Days)}
	place := index(len(w.Places), func(i int) string { return w.Places[i].ID })
	skill := index(len(w.Skills), func(i int) string { return w.Skills[i].ID })
	homes := index(len(w.Homes), func(i int) string { return w.Homes[i].ID })
	crews := index(len(w.Crews), func(i int) string { return w.Crews[i].ID })
	tours := index(len(w.Tours), func(i int) string { return w.Tours[i].ID })
	for _, h := range w.Homes {
		m.homes = append(m.homes, home{pumps: h.Pumps})
	}
	vis := map[string]int{}
	for j := range w.Jobs {
		for i := range w.Jobs[j].Visits {
			vis[w.Jobs[j].Visits[i].ID] = m.real
			m.real++
		}
	}
	m.tourNo, m.skillNo, m.visitNo = tours, skill, vis
	m.visits = make([]visit, m.real)
	for i := range m.visits {
		m.visits[i].frozenTour = -1
	}
	m.compileTours(place, skill, homes, crews, vis)
	m.compileShifts()
	for j := range w.Jobs {
		m.compileJob(j, place, skill, vis)
	}
	for j := range w.Jobs {
		m.compileSets(j)
		m.compileArcs(j)
		m.compileTourLists(j)
	}
	m.lists = nil
	for i, p := range w.Promises {
		if v, ok := vis[p.Visit]; ok {
			m.visits[v].promises = append(m.visits[v].promises, int32(i))
		}
	}
	m.compilePromises()
	m.compileHopes()
	if known == nil {
		m.compileNear()
	}
	for j := range known {
		m.jobs[j].near = known[j].near
	}
	return m
}

func index(n int, id func(int) string) map[string]int {
	m := make(map[string]int, n)
	for i := range n {
		m[id(i)] = i
	}
	return m
}

func (m *model) compileTours(place, skill, homes, crews, vis map[string]int) {
	w := m.w
	anyTold := w.HandedOut != nil
	told := map[string][]week.HandedStop{}
	if anyTold {
		for _, t := range w.HandedOut.Tours {
			told[t.Tour] = t.Stops
		}
	}
	m.tours = make([]tour, len(w.Tours))
	for i := range w.Tours {
		x := &w.Tours[i]
		t := &m.tours[i]
		*t = tour{day: int32(x.Day), crew: int32(crews[x.Crew]), start: int32(place[x.Start]), end: int32(place[x.End]),
			home: -1, a: x.ShiftFrom, b: x.ShiftTo, o: x.OvertimeTo, skills: bitsOf(x.Skills, skill),
			people: x.People, berths: x.Berths, room: x.Room, pay: x.PayPerHour * (week.MoneyUnit / 3600),
			over: x.OvertimePerHour * (week.MoneyUnit / 3600), km: x.CostPerKm * (week.MoneyUnit / 1000),
			lunch: x.Lunch, begun: x.Begun, told: told[x.ID], lunchClass: -1, limit: x.OvertimeTo}
		if x.Home != "" {
			t.home = int32(homes[x.Home])
		}
		m.rooms = m.rooms || x.Room > 0
		if x.Lunch != nil {
			t.lunchClass = m.classOf(x.Lunch.Seconds)
		}
		t.from, t.depart0 = t.start, max(t.a, w.T0)
		if b := x.Begun; b != nil {
			t.from, t.depart0 = int32(place[b.Place]), max(b.FreeAt, w.T0)
			t.returned = b.Returned != nil
			for _, s := range b.Stops {
				v := vis[s.Visit]
				t.prefix = append(t.prefix, int32(v))
				m.visits[v].fixed, m.visits[v].begun0, m.visits[v].begun1 = true, s.Start, s.End
				m.visits[v].frozenTour = int32(i)
			}
			t.told = notBegun(t.told, b)
			if !t.returned {
				x := t.depart0
				if l := t.lunch; l != nil && b.LunchStart == nil && x <= l.To {
					x = max(x, l.From) + l.Seconds
				}
				t.o = max(t.o, m.travel.arrive(t.from, t.end, x))
			}
		}
		for r, id := range x.Frozen {
			if v, ok := vis[id]; ok {
				m.visits[v].frozenTour, m.visits[v].frozenRank = int32(i), int32(r)
			}
		}
	}
	for i := range m.tours {
		for k := range m.tours {
			if a, b := &m.tours[i], &m.tours[k]; i != k && a.crew == b.crew && a.a < b.o && b.a < a.o {
				a.rivals = append(a.rivals, int32(k))
			}
		}
	}
	m.unpaid = true
	for i := range m.tours {
		m.unpaid = m.unpaid && m.tours[i].pay == 0 && m.tours[i].over == 0 && m.tours[i].lunch == nil
	}
	m.compileClasses()
}

// notBegun are the stops handed out without those that have begun.
func notBegun(told []week.HandedStop, b *week.Begun) []week.HandedStop {
	var out []week.HandedStop
	for _, h := range told {
		begun := false
		for i := range b.Stops {
			begun = begun || b.Stops[i].Visit == h.Visit
		}
		if !begun {
			out = append(out, h)
		}
	}
	return out
}

func (m *model) classOf(secs int64) int {
	for i, s := range m.lunch {
		if s == secs {
			return i
		}
	}
	m.lunch = append(m.lunch, secs)
	return len(m.lunch) - 1
}

func (m *model) compileJob(j int, place, skill, vis map[string]int) {
	x := &m.w.Jobs[j]
	jb := job{first: int32(vis[x.Visits[0].ID]), n: int32(len(x.Visits)), told: -1, conv: -1, drain: -1, lastLow: -1, firstLow: -1,
		begun: x.Begun, must: x.Begun, value: x.Value, water: x.Water, pumpHome: -1}
	for i := range x.Visits {
		y := &x.Visits[i]
		n := jb.first + int32(i)
		v := &m.visits[n]
		v.job, v.place, v.secs, v.room = int32(j), int32(place[y.Place]), y.Seconds, y.Room
		v.mayOwe, v.drop, v.collect, v.interrupt = y.MayOwe, y.DropsPump, y.CollectsPump, y.Interruptible
		v.low = y.Water == week.NeedLow
		if v.fixed {
			jb.must = true
		}
		if !y.MayOwe {
			jb.conv, jb.hasConv = n, true
		}
		if v.low {
			if jb.firstLow < 0 {
				jb.firstLow = n
			}
			jb.lastLow = n
		}
		if v.drop || v.collect {
			jb.needPump = true
		}
		jb.hard += bits.OnesCount64(bitsOf(y.Skills, skill)) + y.People
	}
	if !jb.hasConv {
		jb.conv = jb.first + jb.n - 1
	}
	if wt := x.Water; wt != nil {
		if wt.DrainVisit != "" {
			jb.drain = int32(vis[wt.DrainVisit])
		}
		if wt.PumpOnSite != "" {
			for h := range m.w.Homes {
				if m.w.Homes[h].ID == wt.PumpOnSite {
					jb.pumpHome = int32(h)
				}
			}
		}
		if wt.Way == week.WayArrival && wt.DrainedAt == nil && jb.firstLow >= 0 {
			m.visits[jb.firstLow].arrival = true
			jb.needPump = true
		}
		if c := wt.Customer; wt.Way == week.WayCustomer && c != nil && wt.DrainedAt == nil && jb.lastLow >= 0 && !m.visits[jb.firstLow].fixed {
			jb.told = int32(len(m.visits))
			tv := visit{job: int32(j), place: -1, secs: c.Width, told: true, frozenTour: -1}
			m.visits = append(m.visits, tv)
			if c.Sent != nil {
				jb.hasSent, jb.toldKeep = true, span{c.Sent.Earliest, c.Sent.Latest}
			}
		}
	}
	m.jobs = append(m.jobs, jb)
}
