package weeks

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"ebbline/dispatch/week"
)

// Generator is the version of the loaded and planted weeks: it grows with every change
// that makes another week of the same shape.
const Generator = 1

// Load is work over crew hours, in permille.
type Load int

// The loads that weeks are measured at.
const (
	Calm  Load = 800
	Tight Load = 950
	Over  Load = 1300
)

// Loads by name.
var Loads = map[string]Load{"calm": Calm, "tight": Tight, "over": Over}

// Hash is a short name of a week's contents.
func Hash(w *week.Week) string {
	text, err := json.Marshal(w)
	if err != nil {
		return "" // a week of plain values can always be written
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:6])
}

// crewHours are the seconds that crews can work at straight pay.
func (m *maker) crewHours() int64 {
	sum := int64(0)
	for i := range m.w.Tours {
		t := &m.w.Tours[i]
		sum += t.ShiftTo - t.ShiftFrom - t.Lunch.Seconds
	}
	return sum
}

// work is the seconds of all visits.
func (m *maker) work() int64 {
	sum := int64(0)
	for j := range m.w.Jobs {
		for _, v := range m.w.Jobs[j].Visits {
			sum += v.Seconds
		}
	}
	return sum
}

// loaded makes the jobs of a week that was given a load.
func (m *maker) loaded() {
	if !m.Plain {
		m.storms()
	}
	want := m.crewHours() / 1000 * int64(m.Load)
	for n := 0; m.Jobs > 0 && n < m.Jobs || m.Jobs == 0 && m.work() < want; n++ {
		m.tradeJob(n)
	}
	m.scale(want)
	m.roads()
	if !m.Plain {
		m.hours()
	}
}

// scale brings the work to what is wanted, in steps of five minutes.
func (m *maker) scale(want int64) {
	have := m.work()
	for j := range m.w.Jobs {
		job := &m.w.Jobs[j]
		drains := int64(0)
		if job.Water != nil {
			drains = job.Water.ArrivalSeconds
		}
		for n := range job.Visits {
			v := &job.Visits[n]
			least := int64(900)
			if v.Water == week.NeedLow {
				least += drains
			}
			v.Seconds = max(least, min(5*hour, (v.Seconds*want/have+150)/300*300))
		}
	}
}

// storms shut everything for some hours of one day, and stop pumping; a smaller one
// shuts one area.
func (m *maker) storms() {
	if m.Days < 2 {
		return
	}
	d := m.between(1, int64(m.Days)-1)
	from := d*86400 + m.between(10, 14)*hour
	m.w.Closures = append(m.w.Closures,
		week.Closure{ID: "storm", All: true, From: from, To: from + m.between(2, 3)*hour, StopsPumping: true})
	for a := range 5 { // gated streets let crews in late, or not at all on one day
		d := m.between(0, int64(m.Days)-1)
		c := week.Closure{ID: fmt.Sprintf("gate%d", a), Area: fmt.Sprintf("area%d", a), From: d * 86400, To: d*86400 + m.between(10, 14)*hour}
		if a == 0 {
			c.To = (d + 1) * 86400
		}
		m.w.Closures = append(m.w.Closures, c)
	}
}

// hours adds customers' hours, limits, promises and pins.
func (m *maker) hours() {
	w := m.w
	for j := range w.Jobs {
		job := &w.Jobs[j]
		first := &job.Visits[0]
		d := m.between(0, int64(m.Days)-1)
		long := len(job.Visits) > 2
		if long { // what takes days is not put at the end of the week, nor begun too late
			d = m.between(0, max(0, int64(m.Days)-3))
		}
		waits := job.Water != nil && (job.Water.Customer != nil || job.Water.Window != nil)
		switch x := m.r.IntN(100); {
		case x < 18:
			from := d*86400 + m.between(8, 14)*hour
			w.Promises = append(w.Promises, week.Promise{ID: "promise-" + job.ID, Visit: first.ID, From: from, To: from + 2*hour})
		case x < 24 && !waits:
			day := int(d)
			first.Pin = &week.Pin{Day: &day}
		case x < 31 && d > 0:
			at := d * 86400
			job.NotBefore = &at // parts arrive
		case x < 38:
			at := m.between(min(int64(m.Days), 4), int64(m.Days)) * 86400
			job.NotAfter = &at
		}
		if m.chance(25) && len(job.Visits) < 5 { // somebody has to be at home
			from, to := m.between(8, 12)*hour, m.between(14, 16)*hour
			for n := range job.Visits {
				v := &job.Visits[n]
				if v.Water == week.NeedLow && to-from < v.Seconds+hour {
					continue
				}
				v.EndInside = m.chance(50) && to-from > v.Seconds+hour
				for d := range int64(m.Days) {
					v.Allowed = append(v.Allowed, week.Span{From: d*86400 + from, To: d*86400 + to})
				}
			}
		}
	}
}
