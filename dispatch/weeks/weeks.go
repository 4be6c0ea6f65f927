// Package weeks makes invented weeks from a seed, for the tests of search and of
// dispatch. All places, times and prices are made up.
package weeks

import (
	"fmt"
	"math/rand/v2"

	"ebbline/dispatch/week"
)

// Shape says how large and how rich a week is.
type Shape struct {
	Seed              uint64
	Crews, Days, Jobs int
	// Load scales the work to the crews' hours, with the durations and the shortages of
	// the trade; 0: as it comes. With a load, Jobs 0 means as many as fill it, and less
	// than 0 none.
	Load Load
	// Plain leaves out storms, speeds by period, promises, pins and what was handed out.
	Plain bool
	// T0 is the instant of planning; usual: 0, the first midnight.
	T0 int64
}

type maker struct {
	Shape
	r *rand.Rand
	w *week.Week
	x []int64 // metres east and north of each place
	y []int64
}

const hour = int64(3600)

// Make makes a week; the same shape gives the same week.
func Make(s Shape) *week.Week {
	m := &maker{Shape: s, r: rand.New(rand.NewPCG(s.Seed, 77))}
	m.frame()
	m.sites()
	if s.Load > 0 {
		m.loaded()
		m.uncertain()
		return m.w
	}
	for j := range s.Jobs {
		m.job(j)
	}
	m.roads()
	if !s.Plain {
		m.trouble()
	}
	m.uncertain()
	return m.w
}

func (m *maker) frame() {
	w := &week.Week{Version: week.Version, Zone: "America/Phoenix", T0: m.T0,
		Skills: []week.Name{{ID: "electric"}, {ID: "fibre"}, {ID: "lead"}},
		Kinds: []week.Name{{ID: "survey"}, {ID: "prepare"}, {ID: "circuit"}, {ID: "drain"}, {ID: "convert"}, {ID: "connect"},
			{ID: "inspect"}, {ID: "commission"}, {ID: "collect"}, {ID: "call-back"}}}
	for d := range m.Days {
		w.Days = append(w.Days, week.Day{Date: fmt.Sprintf("2026-03-%02d", 9+d), Start: int64(d) * 86400})
	}
	w.End = int64(m.Days) * 86400
	w.NextWorkday = week.NextWorkday{Day: m.Days + 2, End: w.End + 3*86400}
	for d := -1; d < m.Days+3; d++ {
		w.WaterHours = append(w.WaterHours, m.pumping(int64(d)))
	}
	w.Rates = week.Rates{WaitingPermille: 4, LateCents: 2500, LeftOutPermille: 500, PromiseCents: 6000, ToldAnewCents: 1500,
		ToldAnewSeconds: 900, LowCents: 900, LowFreeSeconds: 20 * hour, OwedCents: 4000,
		BreakLowLimitCents: 80000, BreakCommissionCents: 30000, BreakAvailabilityCents: 50000, BreakPinCents: 20000}
	if m.Load > 0 { // what is owed has to be done next week after all
		w.Rates.OwedCents = 8000
	}
	m.w = w
}

func (m *maker) sites() {
	w := m.w
	homes := 1
	if m.Crews >= 8 {
		homes = 2
	}
	for h := range homes {
		m.place(fmt.Sprintf("yard%d", h), "", 9000+int64(h)*9000, 9000)
		pumps := make([]int, m.Days)
		for d := range pumps {
			pumps[d] = max(2, m.Crews*3/2/homes)
			if m.Load > 0 {
				pumps[d] = max(1, m.Crews*3/10/homes)
			}
		}
		w.Homes = append(w.Homes, week.Home{ID: fmt.Sprintf("home%d", h), Pumps: pumps})
	}
	for c := range m.Crews {
		id := fmt.Sprintf("crew%02d", c)
		w.Crews = append(w.Crews, week.Name{ID: id})
		skills := []string{"fibre"}
		electric, lead := 3, 2
		if m.Load > 0 { // few are licensed
			electric, lead = 4, 3
		}
		if c%electric == 0 {
			skills = append(skills, "electric")
		}
		if c%lead == 0 {
			skills = append(skills, "lead")
		}
		h, people, berths, room := c%homes, 2+c%2, 3, int64(0)
		if m.Load > 0 {
			people, berths, room = 2, c%5%2, 260 // small trucks take no pump
			if c%5 < 2 {
				people, berths, room = 3, 1, 360
			}
		}
		for d := range m.Days {
			at := int64(d) * 86400
			w.Tours = append(w.Tours, week.Tour{ID: fmt.Sprintf("%s-%d", id, d), Crew: id, Day: d, Start: fmt.Sprintf("yard%d", h), End: fmt.Sprintf("yard%d", h),
				Home: fmt.Sprintf("home%d", h), ShiftFrom: at + 7*hour, ShiftTo: at + 16*hour, OvertimeTo: at + 18*hour, Skills: skills,
				People: people, Berths: berths, Room: room, PayPerHour: 6800, OvertimePerHour: 10200, CostPerKm: 62,
				Lunch: &week.Lunch{Seconds: 1800, From: at + 11*hour, To: at + 13*hour + 1800, DueAfter: 6 * hour}})
		}
	}
}

func (m *maker) place(id, area string, x, y int64) {
	m.w.Places = append(m.w.Places, week.Place{ID: id, Area: area})
	m.x, m.y = append(m.x, x), append(m.y, y)
}

// roads lays a street grid: distance by streets, 40 km/h and a minute to park.
func (m *maker) roads() {
	n := len(m.x)
	t := &m.w.Travel
	for i := range n {
		s, d := make([]int64, n), make([]int64, n)
		for k := range n {
			s[k], d[k] = m.street(i, k)
		}
		t.Seconds, t.Metres = append(t.Seconds, s), append(t.Metres, d)
	}
	m.periods()
}

// street is the way between two places in seconds and metres.
func (m *maker) street(i, k int) (seconds, metres int64) {
	if i == k {
		return 0, 0
	}
	metres = abs(m.x[i]-m.x[k]) + abs(m.y[i]-m.y[k])
	return metres*36/400 + 60, metres
}

// periods are the speeds of each day: slow in the mornings and evenings.
func (m *maker) periods() {
	t := &m.w.Travel
	if m.Plain || len(t.Periods) > 0 {
		return
	}
	for d := range m.Days {
		at := int64(d) * 86400
		t.Periods = append(t.Periods, week.Period{From: at + 7*hour, Permille: 800}, week.Period{From: at + 9*hour, Permille: 1050},
			week.Period{From: at + 16*hour, Permille: 750}, week.Period{From: at + 18*hour, Permille: 1000})
	}
}

func abs(x int64) int64 { return max(x, -x) }

func (m *maker) between(a, b int64) int64 { return a + m.r.Int64N(b-a+1) }

func (m *maker) chance(percent int) bool { return m.r.IntN(100) < percent }

// trouble adds a storm, promises and pins.
func (m *maker) trouble() {
	w := m.w
	if m.Days > 2 && m.chance(60) {
		d := m.between(1, int64(m.Days)-1)
		w.Closures = append(w.Closures, week.Closure{ID: "storm", All: true, From: d*86400 + 12*hour, To: d*86400 + 15*hour})
	}
	area := w.Places[len(w.Places)-1].Area
	w.Closures = append(w.Closures, week.Closure{ID: "gate", Area: area, From: 86400 * 9 / 10, To: 86400 + 10*hour})
	for j := range w.Jobs {
		v := &w.Jobs[j].Visits[0]
		d := m.between(0, int64(m.Days)-1)
		switch {
		case m.chance(12):
			from := d*86400 + m.between(8, 14)*hour
			w.Promises = append(w.Promises, week.Promise{ID: fmt.Sprintf("promise%d", j), Visit: v.ID, From: from, To: from + 2*hour})
		case m.chance(4):
			day := int(d)
			v.Pin = &week.Pin{Day: &day}
		}
	}
}
