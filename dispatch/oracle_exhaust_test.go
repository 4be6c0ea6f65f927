package dispatch_test

import (
	"slices"

	"ebbline/dispatch/week"
)

// exhaust finds the cheapest plan of a grid week by trying everything: every set of
// jobs, every tour for each of their visits (assign), every start on the grid of the
// visits that hang together (times), and every order and start of the others (tourCost).
// It shares nothing with search or bound and knows only what grid weeks have. Passed over
// is only what costs the best known or more even if each tour and each job were timed
// for itself.
type exhaust struct {
	w      *week.Week
	visits []*week.Visit
	job    []int // of each visit
	first  []int // visit of each job
	place  map[string]int
	// open says which visits may start when: by visit and slot of the day of a tour.
	open [][][]bool // by tour, visit, slot
	// alone is what each tour costs at the least with each set of visits.
	alone [][]int64
	ways  [][]way // of each job
	best  int64

	on    []int // tour of each visit; out, owes
	start []int64
	after []int // of each visit the set of those that come later if one tour makes both
	cells []int64
	known map[timed]int64
}

// way is one choice of a job: a tour for each visit, what it costs at the least beside
// its tours, and its visits as sets by tour.
type way struct {
	on   []int
	cost int64
	sets [4]int
}

const (
	out  = -1
	owes = -2
	// hopeless is the price of what can't be.
	hopeless = int64(1) << 50
	// slots of a tour's day, from the begin of its shift to the last overtime.
	slots = 20
)

// below is the least cost in cents of a plan that costs less than the limit, or the limit.
func below(w *week.Week, limit int64) int64 {
	e := &exhaust{w: w, best: limit, place: map[string]int{}}
	for i := range w.Places {
		e.place[w.Places[i].ID] = i
	}
	for j := range w.Jobs {
		e.first = append(e.first, len(e.visits))
		for n := range w.Jobs[j].Visits {
			e.visits, e.job = append(e.visits, &w.Jobs[j].Visits[n]), append(e.job, j)
		}
	}
	e.on, e.start = make([]int, len(e.visits)), make([]int64, len(e.visits))
	e.after = make([]int, len(e.visits))
	e.hours()
	e.chains()
	for t := range w.Tours {
		e.alone = append(e.alone, e.allSets(t))
	}
	for j := range w.Jobs {
		e.ways = append(e.ways, []way{{on: slices.Repeat([]int{out}, len(w.Jobs[j].Visits)), cost: e.outPrice(j)}})
		e.choose(j, 0)
	}
	for _, c := range e.assignments() {
		if c.least >= e.best {
			break
		}
		e.settle(c)
	}
	return e.best
}

// chains has the visits of a job come in their order.
func (e *exhaust) chains() {
	for v := range e.after {
		if e.after[v] = 0; v+1 < len(e.visits) && e.job[v+1] == e.job[v] {
			e.after[v] = 1 << (v + 1)
		}
	}
}

// hours fills open.
func (e *exhaust) hours() {
	for t := range e.w.Tours {
		tour := &e.w.Tours[t]
		rows := make([][]bool, len(e.visits))
		for v, x := range e.visits {
			rows[v] = make([]bool, slots)
			for k := range rows[v] {
				s := tour.ShiftFrom + int64(k)*quarter
				rows[v][k] = x.People <= tour.People && (len(x.Skills) == 0 || len(tour.Skills) > 0) && e.may(v, s) &&
					s-e.drive(tour.Start, x.Place) >= tour.ShiftFrom && s+x.Seconds+e.drive(x.Place, tour.End) <= tour.OvertimeTo
			}
		}
		e.open = append(e.open, rows)
	}
}

func (e *exhaust) drive(from, to string) int64 { return e.w.Travel.Seconds[e.place[from]][e.place[to]] }

// may reports whether a visit alone may start at s.
func (e *exhaust) may(v int, s int64) bool {
	x, j := e.visits[v], &e.w.Jobs[e.job[v]]
	end := s + x.Seconds
	ok := len(x.Allowed) == 0
	for _, a := range x.Allowed {
		ok = ok || a.From <= s && s <= a.To && (!x.EndInside || end <= a.To)
	}
	for _, c := range e.w.Closures {
		ok = ok && (end <= c.From || c.To <= s)
	}
	return ok && (j.NotBefore == nil || s >= *j.NotBefore) && (j.NotAfter == nil || end <= *j.NotAfter)
}

// pair tests the rules between two visits of a job that follow each other.
func (e *exhaust) pair(a, b int) bool {
	j := &e.w.Jobs[e.job[a]]
	x, y := e.visits[a], e.visits[b]
	end := e.start[a] + x.Seconds
	bound := false
	for _, l := range j.Links {
		if l.From != x.ID || l.To != y.ID {
			continue
		}
		bound = true
		gap := e.start[b] - e.start[a]
		if l.FromEnd {
			gap = e.start[b] - end
		}
		if gap < *l.Lo || gap > *l.Hi {
			return false
		}
	}
	if (!bound || y.CollectsPump) && e.start[b] < end {
		return false
	}
	w := j.Water
	switch {
	case w == nil:
	case y.Water == week.NeedLow: // a drains, b converts
		return e.start[b] >= end+w.LowLate[0].Y && e.start[b]+y.Seconds+w.Covered[0].Y <= end+w.LowEarly[0].Y+w.LowLimit[0].Y
	case y.Water == week.NeedCovered:
		return e.start[b] >= end+w.Covered[0].Y
	}
	return true
}

// mayOwe reports whether visit v may be left for after the horizon with the start of the
// one before it.
func (e *exhaust) mayOwe(v int) bool {
	j, end := &e.w.Jobs[e.job[v]], e.w.NextWorkday.End
	x := e.visits[v]
	return x.MayOwe && (j.NotAfter == nil || *j.NotAfter-x.Seconds >= end) &&
		e.start[v-1]+e.visits[v-1].Seconds+*j.Links[0].Hi >= end
}

func (e *exhaust) outPrice(j int) int64 {
	sum := e.w.Jobs[j].Value + max(0, int64(e.w.NextWorkday.Day-e.w.Jobs[j].DueDay))*e.w.Rates.LateCents
	for _, p := range e.w.Promises {
		if e.visits[e.first[j]].ID == p.Visit {
			sum += e.w.Rates.PromiseCents
		}
	}
	return sum
}

// jobPrice is what a job costs beside its tours by its tours and starts: waiting and
// lateness, what is owed, lying low.
func (e *exhaust) jobPrice(j int) int64 {
	x, r, day, sum := &e.w.Jobs[j], &e.w.Rates, int64(0), int64(0)
	v := e.first[j]
	for n := range x.Visits {
		switch t := e.on[v+n]; {
		case t == owes:
			sum += r.OwedCents
		case !x.Visits[n].MayOwe:
			day = max(day, int64(e.w.Tours[t].Day))
		}
	}
	sum += x.Value*r.WaitingPermille/1000*day + max(0, day-int64(x.DueDay))*r.LateCents
	if w := x.Water; w != nil {
		low := e.start[v+1] + x.Visits[1].Seconds + w.Covered[0].Y - (e.start[v] + x.Visits[0].Seconds + w.LowEarly[0].Y)
		sum += max(0, (low-r.LowFreeSeconds+3599)/3600) * r.LowCents
	}
	return sum
}

// choose lists the ways of a job from its n-th visit on, each with its least price.
func (e *exhaust) choose(j, n int) {
	v := e.first[j] + n
	if n == len(e.w.Jobs[j].Visits) {
		on := e.on[e.first[j]:v]
		cost := e.jobPrice(j)
		for k := range e.ways[j] {
			if x := &e.ways[j][k]; slices.Equal(x.on, on) {
				x.cost = min(x.cost, cost)
				return
			}
		}
		x := way{on: slices.Clone(on), cost: cost}
		for i, t := range on {
			if t >= 0 {
				x.sets[t] |= 1 << (e.first[j] + i)
			}
		}
		e.ways[j] = append(e.ways[j], x)
		return
	}
	if n > 0 && e.mayOwe(v) {
		e.on[v] = owes
		e.choose(j, n+1)
	}
	for t := range e.w.Tours {
		e.on[v] = t
		for k, ok := range e.open[t][v] {
			e.start[v] = e.w.Tours[t].ShiftFrom + int64(k)*quarter
			if ok && (n == 0 || e.pair(v-1, v)) {
				e.choose(j, n+1)
			}
		}
	}
}

// assignment is a way of each job and what they cost together at the least.
type assignment struct {
	ways  []int
	least int64
}

// assignments are all that may cost less than the best, cheapest first.
func (e *exhaust) assignments() []assignment {
	var list []assignment
	rest := make([]int64, len(e.ways)+1) // of the jobs not chosen yet, at the least
	for j := len(e.ways) - 1; j >= 0; j-- {
		least := hopeless
		for _, x := range e.ways[j] {
			least = min(least, x.cost)
		}
		rest[j] = rest[j+1] + least
	}
	chosen := make([]int, len(e.ways))
	var pick func(j int, sum int64, sets [4]int)
	pick = func(j int, sum int64, sets [4]int) {
		least := sum + rest[j]
		for t := range sets {
			least += e.alone[t][sets[t]]
		}
		if least >= e.best {
			return
		}
		if j == len(e.ways) {
			list = append(list, assignment{slices.Clone(chosen), least})
			return
		}
		for k := range e.ways[j] {
			x := &e.ways[j][k]
			chosen[j] = k
			more := sets
			for t := range more {
				more[t] |= x.sets[t]
			}
			pick(j+1, sum+x.cost, more)
		}
	}
	pick(0, 0, [4]int{})
	slices.SortFunc(list, func(a, b assignment) int { return int(a.least - b.least) })
	return list
}

// settle finds the best times of an assignment.
func (e *exhaust) settle(a assignment) {
	var sets [4]int
	sum := int64(0)
	var tied []int // visits of jobs that make several
	for j, k := range a.ways {
		x := &e.ways[j][k]
		for n, t := range x.on {
			v := e.first[j] + n
			e.on[v], e.start[v] = t, -1
			if t >= 0 {
				sets[t] |= 1 << v
				if len(x.on) > 1 {
					tied = append(tied, v)
				}
			}
		}
		sum += x.cost
	}
	e.trucks(0, sets, func() {
		e.known = map[timed]int64{}
		var costs [4]int64
		for t := range sets {
			if costs[t] = e.alone[t][sets[t]]; sets[t]&(sets[t]-1) != 0 {
				costs[t] = e.tourCost(t, sets[t])
			}
		}
		e.times(tied, sets, costs, sum)
	})
}

// trucks tries every order in which tours, from t on, touch pumps, and goes on with
// those that trucks and stock allow.
func (e *exhaust) trucks(t int, sets [4]int, do func()) {
	if t == len(e.w.Tours) {
		if e.pumps() {
			do()
		}
		return
	}
	var touch []int
	for v, x := range e.visits {
		if sets[t]&(1<<v) != 0 && (x.DropsPump || x.CollectsPump) {
			touch = append(touch, v)
		}
	}
	var order func(k int)
	order = func(k int) {
		if k == len(touch) {
			e.trucks(t+1, sets, do)
			return
		}
		old := slices.Clone(e.after)
		for i := k; i < len(touch); i++ {
			v := touch[i]
			later := 0
			for _, u := range touch[k:] {
				if u != v {
					later |= 1 << u
				}
			}
			if x := e.visits[v]; x.CollectsPump && later&(1<<(v-1)) != 0 {
				continue // not there yet
			}
			touch[k], touch[i] = touch[i], touch[k]
			e.after[v] |= later
			order(k + 1)
			copy(e.after, old)
			touch[k], touch[i] = touch[i], touch[k]
		}
	}
	order(0)
}

// times tries every start of the tied visits that are left; sum is what the jobs cost at
// the least, costs what the tours do by themselves with the starts so far.
func (e *exhaust) times(tied []int, sets [4]int, costs [4]int64, sum int64) {
	if sum+costs[0]+costs[1]+costs[2]+costs[3] >= e.best {
		return
	}
	if len(tied) == 0 {
		e.best = sum + costs[0] + costs[1] + costs[2] + costs[3]
		return
	}
	v := tied[0]
	j, t := e.job[v], e.on[v]
	last := v+1 == len(e.visits) || e.job[v+1] != j || e.on[v+1] == owes
	for k, ok := range e.open[t][v] {
		e.start[v] = e.w.Tours[t].ShiftFrom + int64(k)*quarter
		if !ok || v > e.first[j] && !e.pair(v-1, v) {
			continue
		}
		more := sum
		if last { // its job's price is known
			if v+1 < len(e.visits) && e.job[v+1] == j && !e.mayOwe(v+1) {
				continue
			}
			more += e.jobPrice(j) - e.wayPrice(j)
		}
		with := costs
		with[t] = e.tourCost(t, sets[t])
		e.times(tied[1:], sets, with, more)
	}
	e.start[v] = -1
}

// wayPrice is the least price of a job by its tours.
func (e *exhaust) wayPrice(j int) int64 {
	on := e.on[e.first[j] : e.first[j]+len(e.w.Jobs[j].Visits)]
	k := slices.IndexFunc(e.ways[j], func(x way) bool { return slices.Equal(x.on, on) })
	return e.ways[j][k].cost
}

// pumps follows the trucks, in the order of the visits that touch pumps, and the stock of
// each morning.
func (e *exhaust) pumps() bool {
	loads, away := [2]int{}, [2]int{}
	for t := range e.w.Tours {
		var order []int
		for v, x := range e.visits {
			if e.on[v] == t && (x.DropsPump || x.CollectsPump) {
				order = append(order, v)
			}
		}
		slices.SortFunc(order, func(a, b int) int {
			if e.after[a]&(1<<b) != 0 {
				return -1
			}
			return 1
		})
		on, least, most := 0, 0, 0
		for _, v := range order {
			if e.visits[v].CollectsPump {
				on++
				most = max(most, on)
			}
			if e.visits[v].DropsPump {
				on--
				least = min(least, on)
			}
		}
		if most-least > e.w.Tours[t].Berths {
			return false
		}
		loads[e.w.Tours[t].Day] -= least
	}
	for v, x := range e.visits {
		if x.DropsPump && e.on[v] >= 0 && e.w.Tours[e.on[v]].Day == 0 && e.w.Tours[e.on[v+1]].Day == 1 {
			away[1]++
		}
	}
	for d := range loads {
		if loads[d] > 0 && loads[d] > e.w.Homes[0].Pumps[d]-away[d] {
			return false
		}
	}
	return true
}
