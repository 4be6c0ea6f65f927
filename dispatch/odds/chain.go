package odds

import (
	"cmp"
	"fmt"
	"slices"

	"ebbline/dispatch/week"
)

// pools_ lays out the water of the jobs that have planned visits.
func (b *builder) pools_() error {
	told := map[string]*week.Told{}
	for i := range b.p.Told {
		t := &b.p.Told[i]
		if _, ok := b.ix.Job[t.Job]; !ok || t.Latest < t.Earliest {
			return fmt.Errorf("told[%d]: %q from %d to %d is not right; want a job of the week, and latest after earliest", i, t.Job, t.Earliest, t.Latest)
		}
		told[t.Job] = t
	}
	b.hours = map[string]*hours{}
	for _, j := range b.byID() {
		job := &b.w.Jobs[j]
		if job.Water != nil && slices.ContainsFunc(job.Visits, func(v week.Visit) bool { _, ok := b.at[v.ID]; return ok }) {
			b.pool(job, told[job.ID])
		}
	}
	return nil
}

// byID are the numbers of the jobs in the order of their ids.
func (b *builder) byID() []int {
	list := make([]int, len(b.w.Jobs))
	for j := range list {
		list[j] = j
	}
	slices.SortFunc(list, func(x, y int) int { return cmp.Compare(b.w.Jobs[x].ID, b.w.Jobs[y].ID) })
	return list
}

func (b *builder) pool(job *week.Job, told *week.Told) {
	wt := job.Water
	p := pool{job: job.ID, late: wt.LowLate, covered: wt.Covered, startKey: thing(sortStart, job.ID), drainedAt: wt.DrainedAt, fillFrom: wt.FillFrom, window: wt.Window}
	p.drain = newLength(wt.DrainMedian, wt.DrainLogSD, b.dayLog.WaterDayLogSD, wt.ArrivalSeconds, thing(sortDrain, job.ID))
	p.fill = newLength(wt.FillMedian, wt.FillLogSD, b.dayLog.WaterDayLogSD, 0, thing(sortFill, job.ID))
	if b.w.Uncertainty != nil {
		p.lateDrain, p.lateFill = int64(p.drain.quantile(b.dayLog.LatePermille)+.5), int64(p.fill.quantile(b.dayLog.LatePermille)+.5)
	}
	if wt.DrainedAt == nil && wt.Way == week.WayCustomer {
		p.customer = told
	}
	if wt.DrainedAt == nil && wt.Way == week.WayArrival {
		p.arrival = wt.ArrivalSeconds
	}
	place := job.Visits[0].Place
	if p.hours = b.hours[place]; p.hours == nil {
		p.hours = waterHours(b.w, b.closures(place))
		b.hours[place] = p.hours
	}
	n := int32(len(b.pools))
	for k := range job.Visits {
		x := &job.Visits[k]
		at, ok := b.at[x.ID]
		if !ok {
			p.owed = p.owed || x.Water == week.NeedLow
			continue
		}
		v := &b.visits[at]
		v.pool, v.begins = n, wt.DrainVisit == x.ID && wt.DrainedAt == nil
		switch x.Water {
		case week.NeedLow:
			v.needs, v.lows = needsLow, true
			v.arrives = p.arrival > 0 && firstLow(job) == k
			p.lows++
			if wt.Window != nil {
				v.last = wt.Window.To
			}
		case week.NeedCovered:
			v.needs = needsCovered
		}
	}
	b.pools = append(b.pools, p)
}

// links lays out what each visit waits for among its job's others.
func (b *builder) links() error {
	for i := range b.visits {
		v := &b.visits[i]
		job := &b.w.Jobs[v.job]
		linked := map[string]bool{}
		for _, l := range job.Links {
			if l.To != v.id {
				continue
			}
			linked[l.From] = true
			from, ok := b.at[l.From]
			if !ok || l.Lo == nil {
				continue
			}
			if !l.FromEnd && *l.Lo == 0 && l.Hi != nil && *l.Hi == 0 && !v.begun && !b.visits[from].begun {
				b.together(from, int32(i))
				continue
			}
			b.follows(v, from, l.FromEnd, *l.Lo)
		}
		if v.chain > 0 && !linked[job.Visits[v.chain-1].ID] {
			if from, ok := b.at[job.Visits[v.chain-1].ID]; ok {
				b.follows(v, from, true, 0)
			}
		}
		if wt := job.Water; wt != nil && wt.Way == week.WayArrival && v.needs == needsLow && v.chain > firstLow(job) {
			if from, ok := b.at[job.Visits[firstLow(job)].ID]; ok && v.group < 0 {
				b.follows(v, from, true, 0)
			}
		}
	}
	return nil
}

// follows notes a wait, unless the plan has the other start later (a link may allow that).
func (b *builder) follows(v *visit, from int32, fromEnd bool, seconds int64) {
	f := &b.visits[from]
	if f.start < v.start || f.start == v.start && f.chain < v.chain {
		v.after = append(v.after, after{visit: from, fromEnd: fromEnd, seconds: seconds})
	}
}

// together puts two visits into one group.
func (b *builder) together(x, y int32) {
	g := b.visits[x].group
	if g < 0 {
		g = int32(len(b.groups))
		b.groups = append(b.groups, []int32{x})
		b.visits[x].group = g
	}
	old := b.visits[y].group
	switch {
	case old == g:
		return
	case old < 0:
		b.groups[g] = append(b.groups[g], y)
		b.visits[y].group = g
		return
	}
	for _, i := range b.groups[old] {
		b.visits[i].group = g
	}
	b.groups[g], b.groups[old] = append(b.groups[g], b.groups[old]...), nil
}

// promises keeps promised and handed out starts from being early.
func (b *builder) promises() error {
	if b.w.HandedOut != nil {
		for _, t := range b.w.HandedOut.Tours {
			for _, s := range t.Stops {
				if i, ok := b.at[s.Visit]; ok {
					b.visits[i].floor = max(b.visits[i].floor, min(s.Start, b.visits[i].start))
				}
			}
		}
	}
	for _, p := range b.w.Promises {
		if i, ok := b.at[p.Visit]; ok {
			v := &b.visits[i]
			v.floor = max(v.floor, min(p.From, v.start))
			v.promised = append(v.promised, p.To)
		}
	}
	return nil
}

// lay puts the stops that have not begun in the order of their tours, and all of them in
// the order in which the plan has them follow each other.
func (b *builder) lay() error {
	var next []int32
	for i := range b.tours {
		t := &b.tours[i]
		t.first = int32(len(b.order))
		before := int64(-never)
		for _, s := range b.planTour[t.id].Stops {
			at := b.at[s.Visit]
			v := &b.visits[at]
			if v.begun {
				if v.underWay {
					t.underWay = at
				}
				continue
			}
			if s.Start < before || s.End < s.Start {
				return fmt.Errorf("tour %q, visit %q: start %d is not right; want %d (the end of the stop before it) or later, and its end after it", t.id, s.Visit, s.Start, before)
			}
			before = s.End
			b.order, next = append(b.order, at), append(next, at)
		}
		t.count = int32(len(b.order)) - t.first
		if t.over && t.count > 0 {
			return fmt.Errorf("tour %q is not right; want no stop after it has returned", t.id)
		}
	}
	slices.SortFunc(next, func(x, y int32) int {
		a, c := &b.visits[x], &b.visits[y]
		return cmp.Or(cmp.Compare(a.start, c.start), cmp.Compare(b.w.Jobs[a.job].ID, b.w.Jobs[c.job].ID), cmp.Compare(a.chain, c.chain))
	})
	for _, v := range next {
		b.events = append(b.events, b.visits[v].tour)
	}
	return nil
}
