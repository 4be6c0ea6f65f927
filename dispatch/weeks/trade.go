package weeks

import (
	"fmt"
	"math"

	"ebbline/dispatch/week"
)

// Durations in minutes at their least, usual and most. They are common practice, no
// source: first guesses that a contractor's own records replace.
type minutes struct{ least, usual, most float64 }

var (
	surveying  = minutes{30, 45, 90}
	supplySwap = minutes{60, 90, 180} // power off, and the supply changed
	pullLight  = minutes{30, 60, 240} // for each light; the tail is a stuck bundle
	fitLight   = minutes{15, 30, 60}  // for each light
	trying     = minutes{30, 45, 90}  // test and clean-up
	callingBck = minutes{30, 60, 120}
	draining   = minutes{20, 30, 45}
)

// longestPart is what a crew is sent out for at most; longer work is cut in parts.
const longestPart = 4 * hour

// draw is seconds from the triangle of the three values.
func (m *maker) draw(d minutes) int64 {
	u, span := m.r.Float64(), d.most-d.least
	x := d.least + math.Sqrt(u*span*(d.usual-d.least))
	if u > (d.usual-d.least)/span {
		x = d.most - math.Sqrt((1-u)*span*(d.most-d.usual))
	}
	return int64(x) * 60
}

// tradeJob adds one job with its place, with the durations of the trade.
func (m *maker) tradeJob(n int) {
	cluster := m.r.IntN(5)
	cx, cy := int64(4000+cluster*5500), int64(3000+(cluster*7)%5*4200)
	place := fmt.Sprintf("site%03d", n)
	m.place(place, fmt.Sprintf("area%d", cluster), max(0, cx+m.between(-2500, 2500)), max(0, cy+m.between(-2500, 2500)))
	j := week.Job{ID: fmt.Sprintf("job%03d", n), Value: m.between(180000, 900000), DueDay: int(m.between(-2, int64(m.Days)+3))}
	b := &builder{m: m, j: &j, place: place}
	switch x := m.r.IntN(100); {
	case x < 12:
		b.visit("survey", m.draw(surveying), "fibre")
	case x < 22:
		b.visit("call-back", m.draw(callingBck), "fibre")
	case x < 30:
		b.visit("circuit", m.draw(supplySwap), "electric").Room = m.between(4, 14) * 10
		b.visit("inspect", m.between(20, 40)*60)
	default:
		b.tradeConversion()
	}
	m.w.Jobs = append(m.w.Jobs, j)
}

// tradeConversion changes the supply, pulls and fits each light while the water is
// low, and tests under water.
func (b *builder) tradeConversion() {
	m, j := b.m, b.j
	work, lights, electric := m.draw(supplySwap), m.between(1, 5), !m.chance(35)
	if !electric { // another crew comes for it before
		b.visit("circuit", work, "electric").Room = m.between(4, 14) * 10
		work = 0
	}
	for range lights {
		work += m.draw(pullLight) + m.draw(fitLight)
	}
	b.tradeWater()
	wt := j.Water
	work = min(work, 3*longestPart-wt.ArrivalSeconds) // more is a job of its own
	parts := (work + wt.ArrivalSeconds + longestPart - 1) / longestPart
	if wt.LowEarly != nil {
		most := m.leastLow(wt, parts) + m.between(2, 26)*hour // the ground is not the same everywhere
		wt.LowLimit = week.Table{{X: -10 * 86400, Y: -10*86400 + most}, {X: 30 * 86400, Y: 30*86400 + most}}
	}
	if wt.Window != nil {
		last := int64(m.Days) - (parts+1)/2
		from := max(0, m.between(-2, max(0, last-1))) * 86400
		*wt.Window = week.Span{From: from, To: from + ((parts+1)/2+m.between(1, 2))*86400}
	}
	gaps := 0
	for p := range parts {
		secs := work / parts
		if wt.Way == week.WayArrival && p == 0 {
			secs += wt.ArrivalSeconds
		}
		v := b.visit("convert", secs, "fibre")
		v.Water, v.Interruptible, v.Room = week.NeedLow, true, lights*m.between(3, 6)*10/parts+m.between(2, 6)*10
		v.CollectsPump = wt.Way == week.WayPump && p == 0
		if m.chance(30) {
			v.People = 3
		}
		if electric && p == parts-1 && m.chance(40) {
			v.Skills = append(v.Skills, "electric")
		}
		if p == 0 {
			continue
		}
		switch before := &j.Visits[len(j.Visits)-2]; {
		case m.chance(30) && p == parts-1 && (p > 1 || wt.Way != week.WayArrival): // two crews at once
			zero := int64(0)
			j.Links = append(j.Links, week.Link{From: before.ID, To: v.ID, Lo: &zero, Hi: &zero})
		case m.chance(50) && gaps == 0: // the body is open: go on soon
			gaps++
			lo, hi := int64(0), m.between(16, 20)*hour
			if m.chance(50) {
				hi = m.between(2, 5) * hour
			}
			j.Links = append(j.Links, week.Link{From: before.ID, FromEnd: true, To: v.ID, Lo: &lo, Hi: &hi})
		}
	}
	if m.chance(80) {
		last := j.Visits[len(j.Visits)-1].ID
		v := b.visit("commission", m.draw(trying), "lead")
		v.Water, v.MayOwe = week.NeedCovered, true
		lo, hi := int64(0), m.between(5, 9)*86400
		if m.chance(45) {
			hi = m.between(2, 4) * 86400
		}
		j.Links = append(j.Links, week.Link{From: last, FromEnd: true, To: v.ID, Lo: &lo, Hi: &hi})
	}
}

// leastLow is about how long a pool is low at the least when it is drained in a morning
// and a crew goes on with it every day, two parts a day.
func (m *maker) leastLow(wt *week.Water, parts int64) int64 {
	const from = -9*86400 + 10*hour // before any storm
	start := from
	if wt.LowLate != nil {
		start = value(wt.LowLate, from)
	}
	if day := start / 86400 * 86400; start-day > 11*hour || start < day {
		start = (start+86400*20)/86400*86400 - 19*86400 + 8*hour // next morning
	}
	end := start + (parts-1)/2*86400 + 4*hour
	if parts%2 == 0 {
		end += 4 * hour
	}
	return value(wt.Covered, end) - value(wt.LowEarly, from)
}
