package weeks

import "ebbline/dispatch/week"

// wishes adds what customers and the office want: windows that were promised, days,
// tours and starts that are fixed, parts that come later, and hours at which somebody
// is at home.
func (m *maker) wishes() {
	w := m.w
	days := int64(m.Days)
	for j := range w.Jobs {
		job := &w.Jobs[j]
		first := &job.Visits[0]
		d, lows := m.between(0, days-1), lowVisits(job)
		if len(job.Visits) > 2 { // what takes days is not put at the end of the week, nor begun too late
			d = m.between(0, max(0, days-4))
		}
		waits := job.Water != nil && (job.Water.Customer != nil || job.Water.Window != nil)
		switch x := m.r.IntN(100); {
		case x < 18:
			from := d*86400 + m.between(8, 14)*hour
			w.Promises = append(w.Promises, week.Promise{ID: "promise-" + job.ID, Visit: first.ID, From: from, To: from + 2*hour})
		case x < 27 && !waits:
			m.pin(job, int(d))
		case x < 36 && d > 0 && (job.Water == nil || job.Water.Window == nil):
			at := d * 86400
			job.NotBefore = &at // parts arrive
		case x < 54 && !waits && lows < 3:
			at := m.between(min(max(1, days-1), int64(len(job.Visits))), max(1, days-1)) * 86400
			job.NotAfter = &at
		}
		if m.chance(30) && (first.Pin == nil || first.Pin.Start == nil) {
			m.atHome(job)
		}
	}
}

// atHome lets visits happen only while somebody is there.
func (m *maker) atHome(job *week.Job) {
	from, to := m.between(8, 12)*hour, m.between(13, 16)*hour
	lows := lowVisits(job)
	for n := range job.Visits {
		v := &job.Visits[n]
		if v.Water == week.NeedLow && (to-from < v.Seconds+hour || lows > 1) {
			continue // those who work for days have a key
		}
		v.EndInside = m.chance(60) && to-from > v.Seconds+hour
		for d := range int64(m.Days) {
			v.Allowed = append(v.Allowed, week.Span{From: d*86400 + from, To: d*86400 + to})
		}
	}
}

// lowVisits counts the visits that need low water.
func lowVisits(job *week.Job) int {
	n := 0
	for i := range job.Visits {
		if job.Visits[i].Water == week.NeedLow {
			n++
		}
	}
	return n
}

// pin fixes the day, the tour or the start of a job's first visit.
func (m *maker) pin(job *week.Job, day int) {
	v := &job.Visits[0]
	switch at := int64(day)*86400 + m.between(16, 28)*1800; { // 8:00 to 14:00
	case m.chance(35):
		if !m.shut(v.Place, at, at+v.Seconds) {
			v.Pin = &week.Pin{Start: &at}
		}
	case m.chance(50) && m.Crews > 0:
		for range 20 {
			if t := &m.w.Tours[m.r.IntN(m.Crews)*m.Days+day]; able(t, job, v) {
				v.Pin = &week.Pin{Tour: t.ID}
				return
			}
		}
	default:
		v.Pin = &week.Pin{Day: &day}
	}
}

// able reports whether a crew has the skills, the people and the truck for a visit.
func able(t *week.Tour, j *week.Job, v *week.Visit) bool {
	has := map[string]bool{}
	for _, s := range t.Skills {
		has[s] = true
	}
	for _, s := range v.Skills {
		if !has[s] {
			return false
		}
	}
	return t.People >= v.People && (t.Room == 0 || t.Room >= v.Room) && (t.Berths > 0 || !takesPump(j, v))
}

// shut reports whether a closure of a place meets a span.
func (m *maker) shut(place string, from, to int64) bool {
	area := m.w.Places[m.placeNumber(place)].Area
	for _, c := range m.w.Closures {
		if (c.All || c.Area == area && area != "" || c.Place == place) && c.From < to && from < c.To {
			return true
		}
	}
	return false
}
