package search

import "ebbline/dispatch/week"

// plan writes the state down as a plan.
func (st *state) plan() *week.Plan {
	m, w := st.m, st.m.w
	p := &week.Plan{Version: week.Version, Tours: []week.PlanTour{}, Told: []week.Told{}, LeftOut: []week.LeftOut{},
		Owed: []week.Owed{}, RuleBreaks: []week.RuleBreak{}}
	for t := range m.tours {
		if len(st.stops[t]) > 0 {
			p.Tours = append(p.Tours, st.planTour(int32(t)))
		}
		if tr := &m.tours[t]; len(st.stops[t]) > 0 && st.back[t] > tr.limit && !tr.returned {
			p.RuleBreaks = append(p.RuleBreaks, week.RuleBreak{Rule: week.BreakAvailability, Tour: w.Tours[t].ID})
		}
	}
	for j := range m.jobs {
		st.planJob(p, int32(j))
	}
	p.Cost = st.heads()
	return p
}

func (st *state) planJob(p *week.Plan, j int32) {
	m, w, jb := st.m, st.m.w, &st.m.jobs[j]
	x := &w.Jobs[j]
	if !st.in[j] {
		p.LeftOut = append(p.LeftOut, week.LeftOut{Job: x.ID})
		return
	}
	if jb.told >= 0 && st.placed[jb.told] {
		p.Told = append(p.Told, week.Told{Job: x.ID, Earliest: st.ss[jb.told], Latest: st.se[jb.told]})
	}
	for v := jb.first; v < jb.first+jb.n; v++ {
		if st.owed[v] {
			p.Owed = append(p.Owed, week.Owed{Visit: m.visitID(v), Latest: st.owedLatest(j, v)})
		}
	}
	p.RuleBreaks = append(p.RuleBreaks, st.broken(j)...)
	if jb.water != nil {
		if pw := st.planWater(j); pw != (week.PlanWater{Job: x.ID}) {
			p.Water = append(p.Water, pw)
		}
	}
}

// owedLatest is the latest start of an owed visit; nil: nothing bounds it.
func (st *state) owedLatest(j, v int32) *int64 {
	m, x := st.m, &st.m.w.Jobs[j]
	y := &x.Visits[v-m.jobs[j].first]
	best := never
	if x.NotAfter != nil {
		best = *x.NotAfter - y.Seconds
	}
	for _, l := range x.Links {
		if l.To != y.ID || l.Hi == nil {
			continue
		}
		for u := m.jobs[j].first; u < m.jobs[j].first+m.jobs[j].n; u++ {
			if m.visitID(u) != l.From || !st.placed[u] {
				continue
			}
			from := st.ss[u]
			if l.FromEnd {
				from = st.se[u]
			}
			best = min(best, from+*l.Hi)
		}
	}
	if best == never {
		return nil
	}
	return &best
}

func (st *state) planWater(j int32) week.PlanWater {
	jb := &st.m.jobs[j]
	wt := jb.water
	pw := week.PlanWater{Job: st.m.w.Jobs[j].ID}
	read := func(t week.Table, x int64) *int64 {
		if y, ok := at(t, x); ok {
			return &y
		}
		return nil
	}
	if d, ok := st.drainBegin(j); ok {
		late := d
		if jb.told >= 0 {
			late = st.se[jb.told]
		}
		pw.MayBeLow, pw.SurelyLow = read(wt.LowEarly, d), read(wt.LowLate, late)
		if pw.MayBeLow != nil {
			pw.Limit = read(wt.LowLimit, *pw.MayBeLow)
		}
	}
	if e, ok := st.fillBegin(j); ok {
		pw.FillFrom, pw.CoveredBy = &e, read(wt.Covered, e)
	}
	return pw
}

func (st *state) planTour(t int32) week.PlanTour {
	m, tr, w := st.m, &st.m.tours[t], st.m.w
	stops := st.stops[t]
	p := week.PlanTour{Tour: w.Tours[t].ID, Load: int(st.load[t]), Depart: st.leave[t], Return: st.back[t], Stops: make([]week.Stop, 0, len(stops))}
	lp := st.lunch[t]
	lunch := int64(0)
	switch {
	case lp.kind == lunchTaken:
		p.Lunch = &week.LunchTaken{Start: *tr.begun.LunchStart, Inside: tr.begun.LunchInside}
	case lp.kind != lunchNone:
		lunch = st.lunchStart(t)
		p.Lunch = &week.LunchTaken{Start: lunch}
		if lp.kind == lunchInside {
			p.Lunch.Inside = m.visitID(stops[lp.pos])
		}
	}
	on := p.Load
	at, x := tr.from, p.Depart
	if tr.begun != nil {
		x = tr.depart0
	}
	for i, v := range stops {
		vs := &m.visits[v]
		if vs.collect {
			on++
		}
		if vs.drop {
			on--
		}
		if i < len(tr.prefix) {
			s := tr.begun.Stops[i]
			p.Stops = append(p.Stops, s)
			continue
		}
		if lp.kind == lunchBefore && int(lp.pos) == i {
			x = lunch + tr.lunch.Seconds
		}
		after := on
		s := week.Stop{Visit: m.visitID(v), Leave: x, Arrive: m.travel.arrive(at, vs.place, x), Start: st.ss[v], End: st.se[v], PumpsAfter: &after}
		p.Stops = append(p.Stops, s)
		at, x = vs.place, s.End
	}
	if lp.kind == lunchBefore && int(lp.pos) == len(stops) {
		x = lunch + tr.lunch.Seconds
	}
	p.HeadHome = x
	return p
}

// heads adds up the cost by heads, each rounded to the cent once.
func (st *state) heads() week.Cost {
	var h week.Cost
	for t := range st.m.tours {
		if len(st.stops[t]) > 0 {
			d, p, o := st.tourHeads(int32(t), st.leave[t], st.back[t])
			h.Driving, h.PaidTime, h.Overtime = h.Driving+d, h.PaidTime+p, h.Overtime+o
			if tr := &st.m.tours[t]; st.back[t] > tr.limit && !tr.returned {
				h.RuleBreaks += st.m.w.Rates.BreakAvailabilityCents * week.MoneyUnit
			}
		}
		h.ToldAnew += st.anewCost(int32(t), len(st.stops[t]))
	}
	for j := range st.m.jobs {
		x := st.jobHeads(int32(j))
		h.Waiting, h.Late, h.LeftOut, h.Promises = h.Waiting+x.waiting, h.Late+x.late, h.LeftOut+x.leftOut, h.Promises+x.promises
		h.Low, h.Owed, h.RuleBreaks = h.Low+x.low, h.Owed+x.owed, h.RuleBreaks+x.breaks
	}
	h.Promises += st.worst * st.m.worstRate
	for _, p := range []*int64{&h.Driving, &h.PaidTime, &h.Overtime, &h.Waiting, &h.Late, &h.LeftOut, &h.Promises, &h.ToldAnew, &h.Low, &h.Owed, &h.RuleBreaks} {
		*p = (*p + week.MoneyUnit/2) / week.MoneyUnit
		h.Total += *p
	}
	return h
}
