package search

import (
	"slices"

	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
)

// orders are lists of visits for every tour, timed by substitution until every rule of the
// form x >= f(y) holds. It is written from the meaning of the rules, shares nothing with
// the search, and leaves the last word to the checker.
type orders struct {
	w *week.Week
	// closed holds for all but job let
	closed []week.Closure
	let    int
	place  map[string]int
	no     map[string]int // of each visit
	visit  []*week.Visit
	job    []int   // of each visit
	lists  [][]int // by tour
	lunch  []meal  // by tour
	on     []int   // by visit: its tour; -1: none
	owed   []bool  // by visit
	kept   []bool  // by job: its customer is told what was sent
	times
	dirty []bool // tours to walk
	again []bool // jobs whose rules are to be looked at
	miss  bool   // a rule can't be kept
}

// times are by visit, and behind them the told intervals by job.
type times struct {
	s, e, lb        []int64 // lb: start not before
	dep, back, eats []int64 // by tour
}

func (o *orders) toldNo(j int) int { return len(o.visit) + j }

// copyTo copies the times without keeping what was there.
func (x *times) copyTo(y *times) {
	y.s, y.e, y.lb = append(y.s[:0], x.s...), append(y.e[:0], x.e...), append(y.lb[:0], x.lb...)
	y.dep, y.back, y.eats = append(y.dep[:0], x.dep...), append(y.back[:0], x.back...), append(y.eats[:0], x.eats...)
}

// meal is where lunch lies: 'n' not at all, 'b' before the drive to stop at, 'a' after it,
// 'i' inside it.
type meal struct {
	kind byte
	at   int
}

const unreached = int64(-1) << 50

func newOrders(w *week.Week, p *week.Plan) *orders {
	o := &orders{w: w, place: map[string]int{}, no: map[string]int{}, lists: make([][]int, len(w.Tours)), lunch: make([]meal, len(w.Tours)),
		kept: make([]bool, len(w.Jobs)), dirty: make([]bool, len(w.Tours)), again: make([]bool, len(w.Jobs))}
	for i := range w.Places {
		o.place[w.Places[i].ID] = i
	}
	for j := range w.Jobs {
		for i := range w.Jobs[j].Visits {
			v := &w.Jobs[j].Visits[i]
			o.no[v.ID] = len(o.visit)
			o.visit, o.job = append(o.visit, v), append(o.job, j)
		}
		for _, t := range p.Told {
			if wt := w.Jobs[j].Water; t.Job == w.Jobs[j].ID && wt.Customer.Sent != nil {
				o.kept[j] = *wt.Customer.Sent == (week.Interval{Earliest: t.Earliest, Latest: t.Latest})
			}
		}
	}
	o.on, o.owed = make([]int, len(o.visit)), make([]bool, len(o.visit))
	for v := range o.on {
		o.on[v] = -1
	}
	for t := range w.Tours {
		o.lunch[t] = meal{'n', 0}
		for i := range p.Tours {
			if pt := &p.Tours[i]; pt.Tour == w.Tours[t].ID {
				for _, s := range pt.Stops {
					o.lists[t] = append(o.lists[t], o.no[s.Visit])
					o.on[o.no[s.Visit]] = t
				}
				o.lunch[t] = mealOf(pt)
			}
		}
	}
	for i := range p.Owed {
		o.owed[o.no[p.Owed[i].Visit]] = true
	}
	n, k := len(o.visit)+len(w.Jobs), len(w.Tours)
	all := slices.Repeat([]int64{unreached}, 3*n+3*k)
	o.s, o.e, o.lb = all[:n:n], all[n:2*n:2*n], all[2*n:3*n:3*n]
	all = all[3*n:]
	o.dep, o.back, o.eats = all[:k:k], all[k:2*k:2*k], all[2*k:]
	return o
}

// mealOf is where a planned tour has its lunch.
func mealOf(pt *week.PlanTour) meal {
	if pt.Lunch == nil {
		return meal{'n', 0}
	}
	for i, s := range pt.Stops {
		switch {
		case pt.Lunch.Inside == s.Visit:
			return meal{'i', i}
		case pt.Lunch.Start < s.Leave || pt.Lunch.Start == s.Leave && s.Leave < s.Arrive:
			return meal{'b', i}
		case pt.Lunch.Start < s.Start:
			return meal{'a', i}
		}
	}
	return meal{'b', len(pt.Stops)}
}

func firstLow(j *week.Job) int {
	return slices.IndexFunc(j.Visits, func(v week.Visit) bool { return v.Water == week.NeedLow })
}

// settle raises times until all rules hold; false if they can't.
func (o *orders) settle() bool {
	o.miss = false
	for range 2000 {
		idle := true
		for t := range o.dirty {
			if !o.dirty[t] {
				continue
			}
			if idle, o.dirty[t] = false, false; !o.walk(t) {
				return false
			}
		}
		for j := range o.again {
			if !o.again[j] {
				continue
			}
			o.again[j] = false
			if o.rules(j); o.miss {
				return false
			}
		}
		if idle {
			return true
		}
	}
	return false
}

// walk times one tour; false if it can't be.
func (o *orders) walk(t int) bool {
	tour, list, m := &o.w.Tours[t], o.lists[t], o.lunch[t]
	if len(list) == 0 {
		return true
	}
	for {
		o.dep[t] = max(o.dep[t], tour.ShiftFrom, o.w.T0)
		x, p := o.dep[t], tour.Start
		eat := func() bool {
			x = max(x, tour.Lunch.From)
			o.eats[t] = x
			x += tour.Lunch.Seconds
			return o.eats[t] <= tour.Lunch.To
		}
		for i, n := range list {
			v := o.visit[n]
			if m == (meal{'b', i}) && !eat() {
				return false
			}
			x = o.drive(p, v.Place, x)
			if m == (meal{'a', i}) && !eat() {
				return false
			}
			d, lo, inside := v.Seconds, max(x, o.lb[n]), m == meal{'i', i}
			if inside {
				lo = max(lo, tour.Lunch.From-v.Seconds)
				d += tour.Lunch.Seconds
			}
			s, ok := o.next(n, lo, d)
			if !ok || inside && !v.Interruptible {
				return false
			}
			if inside {
				if o.eats[t] = max(s, tour.Lunch.From); o.eats[t] > tour.Lunch.To {
					return false
				}
			}
			if s != o.s[n] || s+d != o.e[n] {
				o.s[n], o.e[n] = s, s+d
				o.again[o.job[n]] = true
			}
			if x, p = s+d, v.Place; x > tour.OvertimeTo {
				return false
			}
		}
		if m == (meal{'b', len(list)}) && !eat() {
			return false
		}
		if o.back[t] = o.drive(p, tour.End, x); o.back[t] > tour.OvertimeTo {
			return false
		}
		if m.kind != 'n' || tour.Lunch == nil || o.back[t]-o.dep[t] <= tour.Lunch.DueAfter {
			return true
		}
		o.dep[t] = o.back[t] - tour.Lunch.DueAfter
	}
}

// next is the least start of a visit at x or later that its own rules allow; false: none.
func (o *orders) next(n int, x, d int64) (int64, bool) {
	v, j := o.visit[n], &o.w.Jobs[o.job[n]]
	x = max(x, o.w.T0, 0)
	if j.NotBefore != nil {
		x = max(x, *j.NotBefore)
	}
	wt := j.Water
	drains := wt != nil && wt.Way == week.WayArrival && wt.DrainedAt == nil && j.Visits[firstLow(j)].ID == v.ID
	shut := o.closed
	if o.job[n] == o.let {
		shut = o.w.Closures
	}
	for {
		var ok bool
		was := x
		if p := v.Pin; p != nil && p.Start != nil {
			if x = max(x, *p.Start); x > *p.Start {
				return 0, false
			}
		}
		if len(v.Allowed) > 0 {
			inside := int64(0)
			if v.EndInside {
				inside = d
			}
			if x, ok = into(v.Allowed, x, inside); !ok {
				return 0, false
			}
		}
		for c := range shut {
			k := &shut[c]
			if !o.shut(k, v.Place) {
				continue
			}
			if x < k.To && x+d > k.From || drains && k.StopsPumping && x < k.To && x+wt.ArrivalSeconds > k.From {
				x = k.To
			}
		}
		if drains {
			if x, ok = into(o.w.WaterHours, x, wt.ArrivalSeconds); !ok {
				return 0, false
			}
		}
		if wt != nil && wt.Way == week.WayWindow {
			if v.Water == week.NeedLow {
				if x = max(x, wt.Window.From); x+d > wt.Window.To {
					return 0, false
				}
			}
			if v.Water == week.NeedCovered && len(wt.Covered) == 0 {
				x = max(x, wt.Window.To)
			}
		}
		if x == was {
			break
		}
	}
	if j.NotAfter != nil && x+d > *j.NotAfter || x+d > o.w.End {
		return 0, false
	}
	return x, true
}

// into is the least instant at x or later from which so many seconds lie inside one span.
func into(spans []week.Span, x, inside int64) (int64, bool) {
	best, ok := int64(0), false
	for _, p := range spans {
		if y := max(x, p.From); y+inside <= p.To && (!ok || y < best) {
			best, ok = y, true
		}
	}
	return best, ok
}

func (o *orders) shut(c *week.Closure, place string) bool {
	return c.All || c.Place != "" && c.Place == place || c.Area != "" && c.Area == o.w.Places[o.place[place]].Area
}

// drive is when a drive is over, by the permilles of the seconds it takes.
func (o *orders) drive(from, to string, x int64) int64 {
	left := o.w.Travel.Seconds[o.place[from]][o.place[to]] * 1000
	for left > 0 {
		rate, until := int64(1000), int64(1)<<50
		for _, p := range o.w.Travel.Periods {
			if p.From <= x {
				rate = p.Permille
			} else {
				until = p.From
				break
			}
		}
		n := min((left+rate-1)/rate, until-x)
		left -= n * rate
		x += n
	}
	return x
}

// atLeast raises a start.
func (o *orders) atLeast(n int, x int64) {
	if o.on[n] >= 0 && x > o.s[n] && x > o.lb[n] {
		o.lb[n], o.dirty[o.on[n]] = x, true
	}
}

// rules raises what the rules of one job ask for.
func (o *orders) rules(j int) {
	job := &o.w.Jobs[j]
	linked := func(a, b string) bool {
		return slices.ContainsFunc(job.Links, func(l week.Link) bool { return l.From == a && l.To == b })
	}
	for _, l := range job.Links {
		a, b := o.no[l.From], o.no[l.To]
		if o.on[a] < 0 {
			continue
		}
		from, d, until, bound := o.s[a], int64(0), o.s[b], o.on[b] >= 0
		if l.FromEnd {
			from, d = o.e[a], o.e[a]-o.s[a]
		}
		if bound && l.Lo != nil {
			o.atLeast(b, from+*l.Lo)
		}
		if !bound && o.owed[b] {
			until, bound = o.w.NextWorkday.End, true
		}
		if bound && l.Hi != nil {
			o.atLeast(a, until-*l.Hi-d)
		}
	}
	for n := 1; n < len(job.Visits); n++ {
		a, b := o.no[job.Visits[n-1].ID], o.no[job.Visits[n].ID]
		if o.on[a] >= 0 && !linked(job.Visits[n-1].ID, job.Visits[n].ID) {
			o.atLeast(b, o.e[a])
		}
	}
	if job.Water != nil && !o.water(j) {
		o.miss = true
	}
}

// read is a table's value; false outside of it.
func read(t week.Table, x int64) (int64, bool) {
	for i := range t {
		if t[i].X == x {
			return t[i].Y, true
		}
		if i > 0 && t[i-1].X < x && x < t[i].X {
			return t[i-1].Y + (x-t[i-1].X)*(t[i].Y-t[i-1].Y)/(t[i].X-t[i-1].X), true
		}
	}
	return 0, false
}

// water raises what the water of a job asks for.
func (o *orders) water(j int) bool {
	job := &o.w.Jobs[j]
	wt, base, low := job.Water, o.no[job.Visits[0].ID], firstLow(job)
	fill := unreached
	for i := range job.Visits {
		if job.Visits[i].Water == week.NeedLow && o.on[base+i] >= 0 {
			fill = max(fill, o.e[base+i])
		}
	}
	begin, late, early := -1, int64(0), int64(0)
	switch {
	case wt.Way == week.WayWindow:
	case wt.Way == week.WayCustomer && fill > unreached:
		begin = o.toldNo(j)
		if !o.tell(j) {
			return false
		}
		late, early = o.e[begin], o.s[begin]
	case wt.Way == week.WayArrival && o.on[base+low] >= 0:
		begin = base + low
		late, early = o.s[begin], o.s[begin]
	case wt.DrainVisit != "" && o.on[o.no[wt.DrainVisit]] >= 0:
		begin = o.no[wt.DrainVisit]
		late, early = o.e[begin], o.e[begin]
	}
	covered, readable := int64(0), false
	if fill > unreached && len(wt.Covered) > 0 {
		if covered, readable = read(wt.Covered, fill); !readable {
			return false
		}
	}
	for i, v := range job.Visits {
		switch {
		case v.Water == week.NeedLow && begin >= 0 && wt.Way == week.WayArrival:
			if i != low {
				o.atLeast(base+i, o.e[base+low])
			}
		case v.Water == week.NeedLow && begin >= 0:
			ready, ok := read(wt.LowLate, late)
			if !ok {
				return false
			}
			o.atLeast(base+i, ready)
		case v.Water == week.NeedCovered && readable:
			o.atLeast(base+i, covered)
		}
	}
	if begin < 0 || !readable {
		return true
	}
	x, ok := leastBegin(wt, early, covered)
	if ok && x > early {
		if begin == o.toldNo(j) {
			o.lb[begin], o.again[j] = x, true
		} else {
			o.atLeast(begin, x-(early-o.s[begin]))
		}
	}
	return ok
}

// leastBegin is the least begin of a drain, at d or later, with which the pool may be low
// until it is covered.
func leastBegin(wt *week.Water, d, covered int64) (int64, bool) {
	keeps := func(d int64) bool {
		low, ok := read(wt.LowEarly, d)
		if !ok {
			return false
		}
		until, ok := read(wt.LowLimit, low)
		return ok && until >= covered
	}
	lo, hi := d, d
	for step := int64(3600); !keeps(hi); step *= 2 { // by growing steps, then halving
		if lo, hi = hi, hi+step; step > 30*86400 {
			return 0, false
		}
	}
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; keeps(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi, true
}

// tell finds the least interval that the customer can be told.
func (o *orders) tell(j int) bool {
	c, n := o.w.Jobs[j].Water.Customer, o.toldNo(j)
	if o.kept[j] {
		o.s[n], o.e[n] = c.Sent.Earliest, c.Sent.Latest
		return o.lb[n] <= c.Sent.Earliest
	}
	notice, ok := into(c.NoticeHours, o.w.T0, 0)
	if !ok {
		return false
	}
	x, ok := into(c.Hours, max(notice+c.Lead, o.lb[n]), c.Width)
	o.s[n], o.e[n] = x, x+c.Width
	return ok
}

// plan writes the times down.
func (o *orders) plan(out []string) *week.Plan {
	p := &week.Plan{Version: week.Version}
	for t, list := range o.lists {
		if len(list) == 0 {
			continue
		}
		tour := &o.w.Tours[t]
		pt := week.PlanTour{Tour: tour.ID, Depart: o.dep[t], Return: o.back[t], Load: o.load(list)}
		x, at, m := o.dep[t], tour.Start, o.lunch[t]
		for i, n := range list {
			if m == (meal{'b', i}) {
				x = o.eats[t] + tour.Lunch.Seconds
			}
			pt.Stops = append(pt.Stops, week.Stop{Visit: o.visit[n].ID, Leave: x, Arrive: o.drive(at, o.visit[n].Place, x), Start: o.s[n], End: o.e[n]})
			x, at = o.e[n], o.visit[n].Place
		}
		if m == (meal{'b', len(list)}) {
			x = o.eats[t] + tour.Lunch.Seconds
		}
		pt.HeadHome = x
		if m.kind != 'n' {
			pt.Lunch = &week.LunchTaken{Start: o.eats[t]}
			if m.kind == 'i' {
				pt.Lunch.Inside = o.visit[list[m.at]].ID
			}
		}
		p.Tours = append(p.Tours, pt)
	}
	for j := range o.w.Jobs {
		id := o.w.Jobs[j].ID
		if slices.Contains(out, id) {
			p.LeftOut = append(p.LeftOut, week.LeftOut{Job: id})
			continue
		}
		if n := o.toldNo(j); o.s[n] > unreached {
			p.Told = append(p.Told, week.Told{Job: id, Earliest: o.s[n], Latest: o.e[n]})
		}
		for _, v := range o.w.Jobs[j].Visits {
			if o.owed[o.no[v.ID]] {
				p.Owed = append(p.Owed, week.Owed{Visit: v.ID})
			}
		}
	}
	return p
}

// load is the least morning load of a tour with these stops.
func (o *orders) load(list []int) int {
	on, least := 0, 0
	for _, n := range list {
		v, j := o.visit[n], &o.w.Jobs[o.job[n]]
		if v.CollectsPump {
			on++
		}
		if j.Water != nil && j.Water.Way == week.WayArrival && j.Visits[firstLow(j)].ID == v.ID {
			least = min(least, on-1)
		}
		if v.DropsPump {
			on--
		}
		least = min(least, on)
	}
	return -least
}

// checked reports whether the checker finds nothing wrong with the times but figures that
// are only stated, and whether pumps or room on a truck are what it finds.
func (o *orders) checked(out []string) (ok, pumps bool) {
	ok = true
	for _, b := range check.Plan(o.w, o.plan(out)).Broken {
		switch b.Rule {
		case check.RuleStated, check.RuleCost:
			continue
		case check.RuleTruck, check.RuleLoad, check.RuleStock, check.RuleRoom, check.RuleCollect, check.RulePumpOut:
			pumps = true
		}
		ok = false
	}
	return ok, pumps
}
