package weeks

import (
	"cmp"
	"slices"

	"ebbline/dispatch/week"
)

// handed is what crews were told of the first day before all of this was known: not the
// best there is, and for some of them the order of their first stops is fixed.
func (m *maker) handed() {
	h := &week.HandedOut{}
	told, stock := map[string]bool{}, map[string]int{}
	for i := range m.w.Homes {
		stock[m.w.Homes[i].ID] = m.w.Homes[i].Pumps[0]
	}
	for i := range m.w.Tours {
		if t := &m.w.Tours[i]; t.Day == 0 {
			list := m.firstDay(t, told, stock)
			h.Tours = append(h.Tours, week.HandedTour{Tour: t.ID, Stops: list})
			for k := range list {
				if k < 2 && len(list) > 1 && i%3 == 0 {
					t.Frozen = append(t.Frozen, list[k].Visit)
				}
			}
		}
	}
	m.w.HandedOut = h
}

// firstDay lays up to three first visits of jobs that were not told yet.
func (m *maker) firstDay(t *week.Tour, told map[string]bool, stock map[string]int) []week.HandedStop {
	var list []week.HandedStop
	at, now := m.placeNumber(t.Start), t.ShiftFrom
	pumps, room := min(t.Berths, stock[t.Home]), t.Room
	for len(list) < 3 {
		var near []*week.Job
		for j := range m.w.Jobs {
			job := &m.w.Jobs[j]
			v := &job.Visits[0]
			start := m.arrive(now, at, m.placeNumber(v.Place))
			end := start + v.Seconds
			if !told[job.ID] && able(t, job, v) && v.Room <= room && m.canBegin(job, start, pumps) && !m.shut(v.Place, start, end) &&
				m.arrive(end, m.placeNumber(v.Place), m.placeNumber(t.End)) <= t.ShiftTo {
				near = append(near, job)
			}
		}
		if len(near) == 0 {
			break
		}
		far := func(j *week.Job) int64 {
			_, metres := m.street(at, m.placeNumber(j.Visits[0].Place))
			return metres
		}
		slices.SortStableFunc(near, func(a, b *week.Job) int { return cmp.Compare(far(a), far(b)) })
		job := near[m.r.IntN(min(4, len(near)))]
		v := &job.Visits[0]
		start := m.arrive(now, at, m.placeNumber(v.Place))
		list = append(list, week.HandedStop{Visit: v.ID, Start: start})
		at, now, room = m.placeNumber(v.Place), start+v.Seconds, room-v.Room
		if takesPump(job, v) {
			pumps--
			stock[t.Home]--
		}
		told[job.ID] = true
	}
	return list
}

// canBegin reports whether a job can begin on the first day at an instant, as far as its
// own facts go.
func (m *maker) canBegin(j *week.Job, start int64, pumps int) bool {
	v := &j.Visits[0]
	if j.NotBefore != nil || v.Pin != nil || takesPump(j, v) && pumps < 1 {
		return false
	}
	if v.Water == week.NeedLow {
		switch wt := j.Water; wt.Way {
		case week.WayWindow:
			if start < wt.Window.From || start+v.Seconds > wt.Window.To {
				return false
			}
		case week.WayArrival:
			if h := m.pumping(0); start < h.From || start+wt.ArrivalSeconds > h.To {
				return false
			}
		default:
			return false
		}
	}
	ok := len(v.Allowed) == 0
	for _, a := range v.Allowed {
		ok = ok || a.From <= start && start <= a.To && (!v.EndInside || start+v.Seconds <= a.To)
	}
	return ok
}

func takesPump(j *week.Job, v *week.Visit) bool {
	return v.DropsPump || v.Water == week.NeedLow && j.Water.Way == week.WayArrival
}
