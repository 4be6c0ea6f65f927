package weeks

import (
	"cmp"
	"fmt"
	"slices"

	"ebbline/dispatch/week"
)

// sow makes a job near a crew that stands at a place; small: something short.
func (p *planter) sow(t, area, at int, now int64, small bool) *seed {
	crew := int64(t / p.Days)
	cx, cy := int64(4000+area*5500)+(crew*37%5-2)*900, int64(3000+(area*7)%5*4200)+(crew*53%5-2)*900
	x, y := max(0, cx+p.between(-600, 600)), max(0, cy+p.between(-600, 600)) // each has streets of its own
	if len(p.routes[t].stops) > 0 {                                          // near where the crew is
		x, y = max(0, p.x[at]+p.between(-500, 500)), max(0, p.y[at]+p.between(-500, 500))
	}
	id := fmt.Sprintf("site%03d", len(p.seeds))
	p.place(id, fmt.Sprintf("area%d", area), x, y)
	s := &seed{j: week.Job{ID: fmt.Sprintf("job%03d", len(p.seeds))}, place: len(p.x) - 1, area: area}
	s.b = &builder{m: p.maker, j: &s.j, place: id}
	day := int64(p.w.Tours[t].Day)
	whole := func() { // the rest of a conversion
		s.long = p.chance(15)
		lights, most := p.between(1, 3), 27*hour/4
		if s.long {
			lights, most = p.between(3, 5), 3*longestPart
		}
		work := p.draw(supplySwap)
		for range lights {
			work += p.draw(pullLight) + p.draw(fitLight)
		}
		work = min(work, most)
		parts := (work + longestPart - 1) / longestPart
		for range parts {
			s.left = append(s.left, coming{kind: "convert", seconds: work / parts / 300 * 300})
		}
		s.left = append(s.left, coming{kind: "commission", seconds: p.draw(trying)})
		s.j.Water = &week.Water{}
	}
	switch k := p.r.IntN(100); {
	case small && k < 50:
		s.left = []coming{{kind: "survey", seconds: p.draw(surveying)}}
	case small || k < 8:
		s.left = []coming{{kind: "call-back", seconds: p.draw(callingBck)}}
	case k < 18:
		s.left = []coming{{kind: "circuit", seconds: p.draw(supplySwap)}, {kind: "inspect", seconds: p.between(20, 40) * 60}}
	case k < 48 && day < int64(p.Days)-1 && now > day*86400+11*hour && p.open(area) < p.crewsIn(area): // low next morning, and a crew for it
		s.left = []coming{{kind: "drain", seconds: p.draw(draining)}}
		whole()
		if s.j.Water.Way = week.WayPump; k < 26 {
			s.j.Water.Way = week.WayOutlet
		}
	case k < 65 && day > 1: // a notice can be sent on the first day, for the second
		whole()
		s.j.Water.Way = week.WayCustomer
		s.drain = week.Interval{Earliest: (day-1)*86400 + 9*hour, Latest: (day-1)*86400 + 11*hour}
		p.drained(s, day*86400+7*hour)
	case k < 78 && now >= p.pumping(day).From:
		whole()
		s.j.Water.Way, s.j.Water.ArrivalSeconds = week.WayArrival, p.between(60, 110)*60
		s.left[0].seconds = max(s.left[0].seconds, s.j.Water.ArrivalSeconds+hour)
	default:
		whole()
		s.j.Water.Way = week.WayWindow
	}
	return s
}

// open counts the pools of an area that were drained for a conversion still to come.
func (p *planter) open(area int) int {
	n := 0
	for _, s := range p.seeds {
		if s.area == area && len(s.stops) > 0 && len(s.left) > 0 && s.left[0].kind == "convert" {
			n++
		}
	}
	return n
}

func (p *planter) crewsIn(area int) int {
	n := 0
	for c := range p.Crews {
		if p.areaOf(c) == area {
			n++
		}
	}
	return n
}

// visit adds a visit to a job, with what its crew can do.
func (p *planter) visit(s *seed, kind string, seconds int64, tour *week.Tour) {
	has := map[string]bool{}
	for _, x := range tour.Skills {
		has[x] = true
	}
	v := s.b.visit(kind, seconds)
	need := func(skill string, percent int) {
		if has[skill] && p.chance(percent) {
			v.Skills = append(v.Skills, skill)
		}
	}
	switch kind {
	case "drain":
		v.DropsPump = s.j.Water.Way == week.WayPump
		s.j.Water.DrainVisit = v.ID
	case "convert":
		first := firstLow(&s.j) < 0
		v.Water, v.Interruptible, v.Room = week.NeedLow, true, p.between(8, 30)*10
		v.CollectsPump = s.j.Water.Way == week.WayPump && first
		need("fibre", 100)
		need("electric", 50)
		if tour.People > 2 && p.chance(60) {
			v.People = 3
		}
	case "commission":
		v.Water, v.MayOwe = week.NeedCovered, true
		need("lead", 100)
	case "circuit":
		need("electric", 100)
	case "survey", "call-back":
		need("fibre", 100)
	}
}

// after says from when the next visit can be, once x is laid.
func (p *planter) after(s *seed, x *planted, kind string) {
	from := x.end
	switch kind {
	case "drain":
		s.drain = week.Interval{Earliest: x.end, Latest: x.end}
		if s.j.Water.Way == week.WayPump {
			s.home = p.w.Tours[x.tour].Home
		}
		from = p.drained(s, int64(p.w.Tours[x.tour].Day+1)*86400+7*hour)
	case "convert":
		s.home = ""
		if s.j.Water.Way == week.WayArrival && s.drain.Earliest == 0 {
			s.drain = week.Interval{Earliest: x.start, Latest: x.start}
			s.j.Water.LowEarly = p.flow(s.j.Water.ArrivalSeconds*8/10, 0)
			drains(s.j.Water, s.j.Water.ArrivalSeconds)
		}
		if len(s.left) > 0 && s.left[0].kind == "commission" {
			p.fills(s.j.Water, p.between(3, 9)*hour, 2*hour)
			from = value(s.j.Water.Covered, x.end)
		}
	}
	if len(s.left) > 0 {
		s.left[0].from = from
	}
}

// drained draws how long the draining takes, so that the pool is low by an instant but
// not long before, and returns when it is surely low.
func (p *planter) drained(s *seed, by int64) int64 {
	for quarters := p.between(48, 72); ; quarters-- {
		late := p.flow(quarters*900, 0)
		if at := value(late, s.drain.Latest); at <= by || quarters <= 4 {
			s.j.Water.LowLate, s.j.Water.LowEarly = late, p.flow(quarters*900*9/10, 0)
			drains(s.j.Water, quarters*900)
			return at
		}
	}
}

// value reads a table inside its points.
func value(t week.Table, x int64) int64 {
	for i := 1; i < len(t); i++ {
		if a, b := t[i-1], t[i]; x <= b.X {
			return a.Y + (x-a.X)*(b.Y-a.Y)/(b.X-a.X)
		}
	}
	return t[len(t)-1].Y
}

// price gives every job a value such that what is worth more for the work it takes
// comes first, as it should.
func (p *planter) price() {
	cents := make([]int64, len(p.seeds)) // for an hour of work
	for i := range cents {
		cents[i] = p.between(50_000, 200_000)
	}
	slices.Sort(cents)
	order := slices.Clone(p.seeds)
	last := func(s *seed) int64 {
		end := int64(0)
		for n, x := range s.stops {
			if !s.j.Visits[n].MayOwe {
				end = x.end
			}
		}
		return end
	}
	slices.SortStableFunc(order, func(a, b *seed) int { return cmp.Compare(last(b), last(a)) })
	for i, s := range order {
		work := int64(0)
		for _, v := range s.j.Visits {
			work += v.Seconds
		}
		s.j.Value = max(20_000, cents[i]*work/hour)
	}
}

// finish closes a job: its water, and hours, promises and pins around its times.
func (p *planter) finish(s *seed) {
	first, last := s.stops[0], s.stops[len(s.stops)-1]
	day := func(x *planted) int64 { return int64(p.w.Tours[x.tour].Day) }
	done := last
	for n, x := range s.stops {
		if !s.j.Visits[n].MayOwe {
			done = x
		}
	}
	s.j.DueDay = int(day(done) + p.between(0, 4))
	if s.j.Water != nil {
		p.finishWater(s)
	}
	if p.Plain {
		return
	}
	switch k := p.r.IntN(100); {
	case k < 20:
		from := first.start - p.between(0, 7200)
		p.w.Promises = append(p.w.Promises, week.Promise{ID: "promise-" + s.j.ID, Visit: s.j.Visits[0].ID, From: from, To: from + 7200})
	case k < 28:
		d := int(day(first))
		s.j.Visits[0].Pin = &week.Pin{Day: &d}
	case k < 38 && day(first) > 0:
		at := day(first) * 86400
		s.j.NotBefore = &at
	case k < 46:
		at := (day(last) + 1) * 86400
		s.j.NotAfter = &at
	}
	if p.chance(30) {
		for n, x := range s.stops {
			v := &s.j.Visits[n]
			at := day(x) * 86400
			from, to := max(0, x.start-at-p.between(0, 10800)), x.end-at+p.between(0, 10800)
			v.EndInside = p.chance(50)
			for d := range int64(p.Days) {
				v.Allowed = append(v.Allowed, week.Span{From: d*86400 + from, To: d*86400 + to})
			}
		}
	}
}

// finishWater draws the limits of a pool around its times.
func (p *planter) finishWater(s *seed) {
	w := s.j.Water
	low := firstLow(&s.j)
	end := low
	for n := range s.j.Visits {
		if s.j.Visits[n].Water == week.NeedLow {
			end = n
		}
	}
	if w.Covered == nil && w.Way != week.WayWindow {
		p.fills(w, p.between(3, 9)*hour, 2*hour)
	}
	if n := len(s.j.Visits) - 1; s.j.Visits[n].MayOwe {
		lo, hi := int64(0), max(p.between(3, 8)*86400, s.stops[n].start-s.stops[end].end)
		s.j.Links = append(s.j.Links, week.Link{From: s.j.Visits[end].ID, FromEnd: true, To: s.j.Visits[n].ID, Lo: &lo, Hi: &hi})
	}
	if w.Way == week.WayWindow {
		day := int64(86400)
		w.Window = &week.Span{From: s.stops[low].start / day * day, To: (s.stops[end].end/day + p.between(1, 2)) * day}
		return
	}
	if w.Way == week.WayCustomer { // as late as it can be
		d := s.drain.Latest / 86400 * 86400
		for value(w.LowLate, s.drain.Latest+900) <= s.stops[low].start && s.drain.Latest+900 <= d+21*hour {
			s.drain.Earliest, s.drain.Latest = s.drain.Earliest+900, s.drain.Latest+900
		}
	}
	need := value(w.Covered, s.stops[end].end) - value(w.LowEarly, s.drain.Earliest)
	most := max(p.between(50, 90)*hour, need+p.between(0, 12)*hour)
	w.LowLimit = week.Table{{X: -10 * 86400, Y: -10*86400 + most}, {X: 30 * 86400, Y: 30*86400 + most}}
	if w.Way == week.WayCustomer {
		w.Customer = &week.Customer{Lead: 12 * hour, Width: 7200}
		for d := range int64(p.Days) {
			w.Customer.Hours = append(w.Customer.Hours, week.Span{From: d*86400 + 7*hour, To: d*86400 + 21*hour})
			w.Customer.NoticeHours = append(w.Customer.NoticeHours, week.Span{From: d*86400 + 8*hour, To: d*86400 + 20*hour})
		}
	}
}
