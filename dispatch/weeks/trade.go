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
		b.visit("circuit", m.draw(supplySwap), "electric")
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
	b.water()
	wt := j.Water
	if wt.DrainVisit != "" {
		j.Visits[0].Seconds = m.draw(draining)
	}
	work := int64(0)
	for range m.between(1, 5) {
		work += m.draw(pullLight) + m.draw(fitLight)
	}
	electric := false
	if swap := m.draw(supplySwap); m.chance(35) && wt.Way != week.WayPump { // the pump goes with the first visit after it was left
		b.visit("circuit", swap, "electric")
	} else {
		work, electric = work+swap, true
	}
	work = min(work, 15*hour-wt.ArrivalSeconds, int64(5-len(j.Visits))*longestPart-wt.ArrivalSeconds) // more is a job of its own, and a chain has six visits
	parts := (work + wt.ArrivalSeconds + longestPart - 1) / longestPart
	for i := range wt.LowLimit { // larger work is planned where the ground lets a pool stay low for longer
		wt.LowLimit[i].Y += (parts - 1) * 20 * hour
	}
	if wt.Window != nil {
		wt.Window.To += (parts - 1) * 86400
	}
	for p := range parts {
		secs := work / parts
		if wt.Way == week.WayArrival && p == 0 {
			secs += wt.ArrivalSeconds
		}
		v := b.visit("convert", secs, "fibre")
		v.Water, v.Interruptible = week.NeedLow, true
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
		case m.chance(15): // two crews at once
			zero := int64(0)
			j.Links = append(j.Links, week.Link{From: before.ID, To: v.ID, Lo: &zero, Hi: &zero})
		case m.chance(40): // the body is open: go on soon
			lo, hi := int64(0), 24*hour
			j.Links = append(j.Links, week.Link{From: before.ID, FromEnd: true, To: v.ID, Lo: &lo, Hi: &hi})
		}
	}
	if m.chance(80) {
		last := j.Visits[len(j.Visits)-1].ID
		v := b.visit("commission", m.draw(trying), "lead")
		v.Water, v.MayOwe = week.NeedCovered, true
		lo, hi := int64(0), m.between(3, 8)*86400
		j.Links = append(j.Links, week.Link{From: last, FromEnd: true, To: v.ID, Lo: &lo, Hi: &hi})
	}
}
