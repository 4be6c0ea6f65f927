package search

import "ebbline/dispatch/week"

// tourPrice is what a tour with stops costs, in money units: driving, paid time,
// overtime and whether its crew must be told anew.
func (st *state) tourPrice(t int32, dep, ret int64) int64 {
	driving, paid, over := st.tourHeads(t, dep, ret)
	cost := driving + paid + over + st.anewCost(t, len(st.stops[t]))
	if tr := &st.m.tours[t]; ret > tr.limit && !tr.returned {
		cost += st.m.w.Rates.BreakAvailabilityCents * week.MoneyUnit
	}
	return cost
}

// tourHeads are driving, paid time and overtime of a tour with stops.
func (st *state) tourHeads(t int32, dep, ret int64) (driving, paid, over int64) {
	tr := &st.m.tours[t]
	driving = st.metres(t) * tr.km
	straight, late := max(0, min(ret, tr.b)-dep), max(0, ret-max(tr.b, dep))
	if l := tr.lunch; l != nil && !l.Paid && st.lunch[t].kind != lunchNone {
		y := st.lunchStart(t)
		from, to := max(y, dep), min(y+l.Seconds, ret) // a lunch that was begun may lie anyhow
		straight -= max(0, min(to, tr.b)-from)
		late -= max(0, to-max(from, tr.b))
	}
	if tr.begun != nil {
		late += tr.begun.OvertimeRun
	}
	return driving, straight * tr.pay, late * tr.over
}

// metres driven by a tour with stops.
func (st *state) metres(t int32) int64 {
	m, tr := st.m, &st.m.tours[t]
	p, sum := tr.start, int64(0)
	nb := len(tr.prefix)
	for i, v := range st.stops[t] {
		if i == nb && tr.begun != nil {
			sum += m.travel.dist(p, tr.from)
			p = tr.from
		}
		sum += m.travel.dist(p, m.visits[v].place)
		p = m.visits[v].place
	}
	if tr.begun != nil && len(st.stops[t]) == nb {
		sum += m.travel.dist(p, tr.from)
		p = tr.from
	}
	return sum + m.travel.dist(p, tr.end)
}

// lunchStart is when the settled tour has its lunch.
func (st *state) lunchStart(t int32) int64 {
	m, tr, lp := st.m, &st.m.tours[t], st.lunch[t]
	l := tr.lunch
	switch lp.kind {
	case lunchTaken:
		return *tr.begun.LunchStart
	case lunchInside: // near the middle of its window
		v := st.stops[t][lp.pos]
		return max(st.ss[v], l.From, min(l.To, (l.From+l.To)/2, st.ss[v]+m.visits[v].secs))
	case lunchAfter:
		i := int(lp.pos)
		p, x := tr.from, st.leave[t]
		if tr.begun != nil {
			x = tr.depart0
		}
		if i > len(tr.prefix) {
			v := st.stops[t][i-1]
			p, x = m.visits[v].place, st.se[v]
		}
		return max(m.travel.arrive(p, m.visits[st.stops[t][i]].place, x), l.From)
	default:
		i := int(lp.pos)
		x := st.leave[t]
		if tr.begun != nil {
			x = tr.depart0
		}
		if i > len(tr.prefix) {
			x = st.se[st.stops[t][i-1]]
		}
		return max(x, l.From)
	}
}

// anewCost is what telling the tour's crew anew costs: its list of stops differs
// from what was handed out, or a start by more than is let pass.
func (st *state) anewCost(t int32, n int) int64 {
	w := st.m.w
	if w.HandedOut == nil || !st.anew(t, n) {
		return 0
	}
	return w.Rates.ToldAnewCents * week.MoneyUnit
}

func (st *state) anew(t int32, n int) bool {
	tr := &st.m.tours[t]
	if tr.returned {
		return false
	}
	nb := len(tr.prefix)
	if len(tr.told) != n-nb {
		return true
	}
	for i, h := range tr.told {
		v := st.stops[t][nb+i]
		if st.m.visitID(v) != h.Visit {
			return true
		}
		if d := st.ss[v] - h.Start; d > st.m.w.Rates.ToldAnewSeconds || -d > st.m.w.Rates.ToldAnewSeconds {
			return true
		}
	}
	return false
}

// jobHeads are the heads that a job adds, in money units.
type jobHeads struct{ waiting, late, leftOut, promises, low, owed, breaks int64 }

func (h jobHeads) sum() int64 {
	return h.waiting + h.late + h.leftOut + h.promises + h.low + h.owed + h.breaks
}

// breakWeight is added, in search only, for each rule broken: rules are broken where
// nothing else is left, not where it is cheap.
const breakWeight = int64(5_000_000) * week.MoneyUnit

// missing is added for a job that may not be left out and has no spots.
const missing = int64(1_000_000_000) * week.MoneyUnit

func (st *state) jobPrice(j int32) int64 {
	sum := st.jobHeads(j).sum()
	if st.m.jobs[j].must && !st.in[j] {
		sum += missing
	}
	if st.off[j] != 0 {
		sum += breakWeight * int64(len(st.broken(j)))
	}
	return sum
}

func (st *state) jobHeads(j int32) (h jobHeads) {
	m, w, jb := st.m, st.m.w, &st.m.jobs[j]
	r := &w.Rates
	x := &w.Jobs[j]
	if end, ok := st.conversion(j); ok {
		if end > w.T0 {
			h.waiting = jb.value * r.WaitingPermille * (week.MoneyUnit / 1000) * ((end - w.T0) / 86400)
		}
		h.late = int64(max(0, m.dayOf(end)-x.DueDay)) * r.LateCents * week.MoneyUnit
	} else if jb.hasConv || !st.in[j] {
		h.leftOut = m.leftOutPrice(j)
	}
	for i := jb.first; i < jb.first+jb.n; i++ {
		if st.owed[i] {
			h.owed += r.OwedCents * week.MoneyUnit
		}
		for _, p := range m.visits[i].promises {
			if pr := &w.Promises[p]; !st.placed[i] || st.ss[i] < pr.From || st.ss[i] > pr.To {
				h.promises += r.PromiseCents * week.MoneyUnit
			}
		}
		if m.lateRate > 0 && st.placed[i] {
			by, _ := m.pastPromise(i, st.ss[i])
			h.promises += by * m.lateRate
		}
	}
	if jb.hasSent && (!st.placed[jb.told] || st.ss[jb.told] != jb.toldKeep.lo || st.se[jb.told] != jb.toldKeep.hi) {
		h.promises += r.PromiseCents * week.MoneyUnit
	}
	if low, ok := st.lowFor(j); ok && low > r.LowFreeSeconds {
		h.low = (low - r.LowFreeSeconds + 3599) / 3600 * r.LowCents * week.MoneyUnit
	}
	if st.off[j] != 0 {
		h.breaks = st.breakPrice(j)
	}
	return h
}

// lowFor is how long a placed job's pool may be low; ok is false where nothing says.
func (st *state) lowFor(j int32) (int64, bool) {
	jb := &st.m.jobs[j]
	wt := jb.water
	if wt == nil || wt.Way == week.WayWindow || !st.in[j] && !jb.must {
		return 0, false
	}
	d, ok := st.drainBegin(j)
	if !ok {
		return 0, false
	}
	from, ok1 := at(wt.LowEarly, d)
	e, ok := st.fillBegin(j)
	if !ok {
		return st.m.w.NextWorkday.End - from, ok1 && st.owesLow(j)
	}
	to, ok2 := at(wt.Covered, e)
	return to - from, ok1 && ok2
}

// conversion is the latest end of a job's visits that may not be owed; ok is false
// unless all are placed.
func (st *state) conversion(j int32) (end int64, ok bool) {
	m, jb := st.m, &st.m.jobs[j]
	end, ok = always, true
	for v := jb.first; v < jb.first+jb.n; v++ {
		if m.visits[v].mayOwe {
			continue
		}
		ok = ok && st.placed[v]
		end = max(end, st.se[v])
	}
	return end, ok && end > always
}

// fillBegin is when filling of a job's pool begins: the latest end of the visits that
// need low water.
func (st *state) fillBegin(j int32) (e int64, ok bool) {
	m, jb := st.m, &st.m.jobs[j]
	if jb.water.FillFrom != nil {
		return *jb.water.FillFrom, true
	}
	if jb.lastLow < 0 {
		return 0, false
	}
	e, ok = always, true
	for v := jb.first; v <= jb.lastLow; v++ {
		if m.visits[v].low {
			ok = ok && st.placed[v]
			e = max(e, st.se[v])
		}
	}
	return e, ok
}

// owesLow reports whether a visit that needs low water is owed.
func (st *state) owesLow(j int32) bool {
	jb := &st.m.jobs[j]
	for v := jb.first; v < jb.first+jb.n; v++ {
		if st.m.visits[v].low && st.owed[v] {
			return true
		}
	}
	return false
}

// leftOutPrice is what leaving a job out costs.
func (m *model) leftOutPrice(j int32) int64 {
	w, r := m.w, &m.w.Rates
	late := int64(max(0, w.NextWorkday.Day-w.Jobs[j].DueDay)) * r.LateCents * week.MoneyUnit
	return m.jobs[j].value*r.LeftOutPermille*(week.MoneyUnit/1000) + late
}

// conversionPrice is waiting and lateness of a job converted at an instant.
func (m *model) conversionPrice(j int32, end int64) int64 {
	w, r := m.w, &m.w.Rates
	cost := int64(max(0, m.dayOf(end)-w.Jobs[j].DueDay)) * r.LateCents * week.MoneyUnit
	if end > w.T0 {
		cost += m.jobs[j].value * r.WaitingPermille * (week.MoneyUnit / 1000) * ((end - w.T0) / 86400)
	}
	return cost
}

// drainBegin is the earliest instant at which draining of a job's pool begins.
func (st *state) drainBegin(j int32) (int64, bool) {
	jb := &st.m.jobs[j]
	switch wt := jb.water; {
	case wt.DrainedAt != nil:
		return *wt.DrainedAt, true
	case jb.told >= 0:
		return st.ss[jb.told], st.placed[jb.told]
	case jb.drain >= 0:
		return st.se[jb.drain], st.placed[jb.drain]
	case wt.Way == week.WayArrival && jb.firstLow >= 0:
		return st.ss[jb.firstLow], st.placed[jb.firstLow]
	}
	return 0, false
}

// dayOf is the number of the civil day that holds an instant.
func (m *model) dayOf(x int64) int {
	d := m.w.Days
	if x < 0 {
		return -int((-x + 86399) / 86400)
	}
	if x >= m.w.End {
		return len(d) + int((x-m.w.End)/86400)
	}
	for i := len(d) - 1; i > 0; i-- {
		if x >= d[i].Start {
			return i
		}
	}
	return 0
}

// visitID is the id of a visit in the week.
func (m *model) visitID(v int32) string {
	j := m.visits[v].job
	return m.w.Jobs[j].Visits[v-m.jobs[j].first].ID
}
