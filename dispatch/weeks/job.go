package weeks

import (
	"fmt"

	"ebbline/dispatch/week"
)

// job adds one job with its place; the mix is a contractor's: mostly conversions, and
// a third of the stops something else.
func (m *maker) job(n int) {
	cluster := m.r.IntN(5)
	cx, cy := int64(4000+cluster*5500), int64(3000+(cluster*7)%5*4200)
	place := fmt.Sprintf("site%03d", n)
	m.place(place, fmt.Sprintf("area%d", cluster), max(0, cx+m.between(-2500, 2500)), max(0, cy+m.between(-2500, 2500)))
	j := week.Job{ID: fmt.Sprintf("job%03d", n), Value: m.between(180000, 900000), DueDay: int(m.between(-2, int64(m.Days)+3))}
	b := &builder{m: m, j: &j, place: place}
	switch x := m.r.IntN(100); {
	case x < 12:
		b.visit("survey", m.between(35, 70)*60, "fibre")
	case x < 22:
		b.visit("call-back", m.between(30, 120)*60, "fibre")
	case x < 30:
		b.visit("circuit", m.between(90, 200)*60, "electric")
		b.visit("inspect", m.between(20, 40)*60)
	default:
		b.conversion()
	}
	if m.chance(8) {
		at := m.between(1, max(1, int64(m.Days)-2)) * 86400
		j.NotBefore = &at // parts arrive
	}
	m.w.Jobs = append(m.w.Jobs, j)
}

type builder struct {
	m     *maker
	j     *week.Job
	place string
}

func (b *builder) visit(kind string, seconds int64, skills ...string) *week.Visit {
	b.j.Visits = append(b.j.Visits, week.Visit{ID: fmt.Sprintf("%s-%d-%s", b.j.ID, len(b.j.Visits), kind), Kind: kind, Place: b.place,
		Seconds: seconds, Skills: skills, People: 1, Water: week.NeedNothing})
	return &b.j.Visits[len(b.j.Visits)-1]
}

// conversion is a chain of the usual shape with made-up lengths.
func (b *builder) conversion() {
	b.water()
	m, j, wt := b.m, b.j, b.j.Water
	parts := 1
	if m.chance(25) {
		parts = 2
	}
	for p := range parts {
		secs := m.between(100, 260) * 60
		if wt.Way == week.WayArrival && p == 0 {
			secs += wt.ArrivalSeconds
		}
		v := b.visit("convert", secs, "fibre")
		v.Water, v.Interruptible = week.NeedLow, true
		v.CollectsPump = wt.Way == week.WayPump && p == 0
		if m.chance(30) {
			v.People = 2
		}
		if m.chance(30) {
			v.Skills = append(v.Skills, "electric")
		}
		if parts == 2 && p == 1 && m.chance(40) {
			before := &j.Visits[len(j.Visits)-2]
			if m.chance(50) { // two crews at once
				zero := int64(0)
				j.Links = append(j.Links, week.Link{From: before.ID, To: v.ID, Lo: &zero, Hi: &zero})
			} else {
				lo, hi := int64(0), 30*hour
				j.Links = append(j.Links, week.Link{From: before.ID, FromEnd: true, To: v.ID, Lo: &lo, Hi: &hi})
			}
		}
	}
	if m.chance(75) {
		last := j.Visits[len(j.Visits)-1].ID
		v := b.visit("commission", m.between(30, 60)*60, "lead")
		v.Water, v.MayOwe = week.NeedCovered, true
		lo, hi := int64(0), m.between(4, 9)*86400
		j.Links = append(j.Links, week.Link{From: last, FromEnd: true, To: v.ID, Lo: &lo, Hi: &hi})
	}
}

// water is how the pool becomes low, its tables, and the visit that begins the drain.
func (b *builder) water() {
	m, j := b.m, b.j
	j.Water = &week.Water{}
	wt := j.Water
	m.fills(wt, m.between(5, 14)*hour, 3*hour)
	hours := m.between(5, 20)
	early, late := m.flow(hours*hour*8/10, 0), m.flow(hours*hour*12/10, 0)
	drains(wt, hours*hour*12/10)
	limit := week.Table{{X: -10 * 86400, Y: -10*86400 + m.between(50, 90)*hour}}
	limit = append(limit, week.Point{X: 30 * 86400, Y: 30*86400 + limit[0].Y - limit[0].X})
	wt.LowEarly, wt.LowLimit = early, limit
	switch x := m.r.IntN(100); {
	case x < 35:
		wt.Way, wt.LowLate = week.WayPump, late
		v := b.visit("drain", m.between(20, 40)*60)
		v.DropsPump = true
		wt.DrainVisit = v.ID
	case x < 45:
		wt.Way, wt.LowLate = week.WayOutlet, late
		wt.DrainVisit = b.visit("drain", m.between(15, 30)*60).ID
	case x < 75:
		wt.Way, wt.LowLate = week.WayCustomer, late
		c := &week.Customer{Lead: 12 * hour, Width: 7200}
		for d := int64(0); d < int64(m.Days); d++ {
			c.Hours = append(c.Hours, week.Span{From: d*86400 + 7*hour, To: d*86400 + 21*hour})
			c.NoticeHours = append(c.NoticeHours, week.Span{From: d*86400 + 8*hour, To: d*86400 + 20*hour})
		}
		wt.Customer = c
	case x < 88:
		wt.Way = week.WayArrival
		wt.ArrivalSeconds = m.between(60, 110) * 60
		drains(wt, wt.ArrivalSeconds)
	default:
		wt.Way, wt.LowEarly, wt.LowLimit = week.WayWindow, nil, nil
		wt.DrainMedian, wt.DrainLogSD = 0, 0
		from := m.between(0, int64(m.Days)-1) * 86400
		wt.Window = &week.Span{From: from, To: from + m.between(2, 4)*86400}
	}
}
