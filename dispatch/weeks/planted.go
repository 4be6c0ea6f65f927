package weeks

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"

	"ebbline/dispatch/week"
)

// Planted makes a week around a plan: the plan is laid first, crew by crew and day by
// day, and then the jobs, their hours, water, promises and the stocks of pumps are
// drawn so that it keeps every rule. The plan has orders and times, but no cost;
// whoever uses it lets the checker add that up. Jobs and Load of the shape are not
// looked at, T0 is the first midnight.
func Planted(s Shape) (*week.Week, *week.Plan) {
	s.Load, s.T0 = Tight, 0
	p := &planter{maker: &maker{Shape: s, r: rand.New(rand.NewPCG(s.Seed, 78))}}
	p.frame()
	p.sites()
	p.w.Rates.LowFreeSeconds, p.w.Rates.OwedCents = 36*hour, 12_000
	p.periods()
	if p.Days > 1 && !p.Plain {
		d := p.between(1, int64(p.Days)-1)
		p.storm = week.Span{From: d*86400 + 12*hour, To: d*86400 + 15*hour}
		p.w.Closures = append(p.w.Closures, week.Closure{ID: "storm", All: true, From: p.storm.From, To: p.storm.To, StopsPumping: true})
	}
	p.routes = make([]route, len(p.w.Tours))
	for d := range p.Days {
		for c := range p.Crews {
			p.day(c*p.Days+d, p.areaOf(c))
		}
	}
	p.prune()
	p.roads()
	p.price()
	for _, s := range p.seeds {
		p.finish(s)
		p.w.Jobs = append(p.w.Jobs, s.j)
	}
	if !p.Plain {
		p.gates()
	}
	plan := p.plan()
	p.stock(plan)
	p.uncertain()
	return p.w, plan
}

// planter lays a plan.
type planter struct {
	*maker
	storm  week.Span
	seeds  []*seed
	routes []route // by tour
}

// route is a crew's day as laid.
type route struct {
	stops []*planted
	lunch int64 // its start; 0: none
	in    *planted
}

// planted is a visit with its times.
type planted struct {
	seed       *seed
	number     int // in its job
	tour       int
	start, end int64
}

// seed is a job that has begun to be laid.
type seed struct {
	j     week.Job
	b     *builder
	place int
	area  int
	home  string // of the pump on site
	left  []coming
	stops []*planted
	drain week.Interval // of its beginning
	long  bool          // the conversion may go on overnight
}

// coming is a visit that is still to be laid, and from when it can be.
type coming struct {
	kind    string
	seconds int64
	from    int64
}

// areaOf is where a crew works: near its yard.
func (p *planter) areaOf(c int) int {
	switch near := c / 2; {
	case len(p.w.Homes) == 1:
		return c % 5
	case c%2 == 0:
		return near % 2
	default:
		return 2 + near%3
	}
}

// day lays one crew's day: what can go on near it, else something new near it.
func (p *planter) day(t, area int) {
	tour := &p.w.Tours[t]
	at, now := p.placeNumber(tour.Start), tour.ShiftFrom
	for range 12 {
		x := p.goOn(t, area, at, now)
		if x == nil {
			x = p.begin(t, area, at, now)
		}
		if x == nil {
			break
		}
		at, now = x.seed.place, x.end
	}
	r := &p.routes[t]
	if l := tour.Lunch; r.lunch == 0 && len(r.stops) > 0 && p.arrive(now, at, p.placeNumber(tour.End))-tour.ShiftFrom > l.DueAfter {
		r.lunch = max(now, l.From)
	}
}

// goOn lays the next visit of a job that can go on here and now.
func (p *planter) goOn(t, area, at int, now int64) *planted {
	for _, must := range []bool{true, false} { // whose pool is low comes first
		var list []*seed
		for _, s := range p.seeds {
			if s.area == area && len(s.left) > 0 && must == (s.left[0].kind == "convert") && (s.home == "" || !must || s.home == p.w.Tours[t].Home) {
				list = append(list, s)
			}
		}
		slices.SortStableFunc(list, func(a, b *seed) int { return cmp.Compare(p.metres(at, a.place), p.metres(at, b.place)) })
		for _, s := range list {
			if x := p.lay(s, t, at, now); x != nil {
				return x
			}
		}
	}
	return nil
}

func (p *planter) metres(from, to int) int64 {
	_, m := p.street(from, to)
	return m
}

// begin lays the first visit of something new.
func (p *planter) begin(t, area, at int, now int64) *planted {
	for try := range 4 {
		s := p.sow(t, area, at, now, try > 1)
		if x := p.lay(s, t, at, now); x != nil {
			p.seeds = append(p.seeds, s)
			return x
		}
		n := len(p.x) - 1 // it is not there after all
		p.x, p.y, p.w.Places = p.x[:n], p.y[:n], p.w.Places[:n]
	}
	return nil
}

// idle is how long a crew is let wait for a pool, in seconds.
const idle = 300

// converting is the work on a pool that is still to come while it is low, in seconds.
func (s *seed) converting() int64 {
	sum := int64(0)
	for _, c := range s.left {
		if c.kind == "convert" {
			sum += c.seconds
		}
	}
	return sum
}

// lay puts a job's next visit at the end of a tour, if it fits there.
func (p *planter) lay(s *seed, t, at int, now int64) *planted {
	tour, r, v := &p.w.Tours[t], &p.routes[t], s.left[0]
	l, lunch, inside := tour.Lunch, r.lunch, false
	leave := now
	if lunch == 0 && now >= l.From && now <= l.To && len(r.stops) > 0 {
		lunch, leave = now, now+l.Seconds
	}
	start := p.arrive(leave, at, s.place)
	if v.from > start+idle && len(r.stops) > 0 {
		return nil
	}
	start = max(start, v.from)
	room := tour.ShiftTo - start - p.arrive(0, s.place, p.placeNumber(tour.End))*4/3 // at the speed of the evening
	if d := p.storm.From; d > start-12*hour && start < p.storm.To {
		room = min(room, d-start)
	}
	seconds := v.seconds
	if v.kind == "convert" && lunch == 0 && start+seconds > l.To {
		inside, lunch = true, max(start, l.From)
		room -= l.Seconds
	}
	if v.kind == "convert" && !s.long && firstLow(&s.j) < 0 && s.converting() > room {
		return nil // not to lie open overnight
	}
	if v.kind == "convert" && seconds > room && room > 2*hour {
		seconds = room / 300 * 300 // as much as there is time for
		inside = inside && start+seconds > l.From
	}
	end := start + seconds
	if inside {
		end += l.Seconds
	}
	if seconds > room || lunch == 0 && end > l.To || lunch > l.To || inside && lunch > start+seconds {
		return nil
	}
	x := &planted{seed: s, number: len(s.stops), tour: t, start: start, end: end}
	r.lunch = lunch
	if inside {
		r.in = x
	}
	r.stops, s.stops, s.left = append(r.stops, x), append(s.stops, x), s.left[1:]
	p.visit(s, v.kind, seconds, tour)
	p.after(s, x, v.kind)
	return x
}

// prune takes out jobs that were drained and never converted.
func (p *planter) prune() {
	var keep []*seed
	for _, s := range p.seeds {
		if s.j.Water == nil || firstLow(&s.j) >= 0 {
			s.left = nil
			keep = append(keep, s)
			continue
		}
		for t := range p.routes {
			r := &p.routes[t]
			var stops []*planted
			for _, x := range r.stops {
				if x.seed != s {
					stops = append(stops, x)
				}
			}
			r.stops = stops
		}
	}
	p.seeds = keep
}

func firstLow(j *week.Job) int {
	for n := range j.Visits {
		if j.Visits[n].Water == week.NeedLow {
			return n
		}
	}
	return -1
}

// plan writes the routes down.
func (p *planter) plan() *week.Plan {
	plan := &week.Plan{Version: week.Version, Told: []week.Told{}, LeftOut: []week.LeftOut{}, Owed: []week.Owed{}, RuleBreaks: []week.RuleBreak{}}
	for t := range p.routes {
		r, tour := &p.routes[t], &p.w.Tours[t]
		if len(r.stops) == 0 {
			continue
		}
		x := week.PlanTour{Tour: tour.ID}
		at, now, ate := p.placeNumber(tour.Start), tour.ShiftFrom, r.lunch == 0 || r.in != nil
		for i, s := range r.stops {
			if i == 0 { // as late as it can
				for hi := s.start; now < hi; {
					if mid := (now + hi + 1) / 2; p.arrive(mid, at, s.seed.place) <= s.start {
						now = mid
					} else {
						hi = mid - 1
					}
				}
				x.Depart = now
			} else if !ate && r.lunch < s.start {
				now, ate = r.lunch+tour.Lunch.Seconds, true
			}
			x.Stops = append(x.Stops, week.Stop{Visit: s.seed.j.Visits[s.number].ID, Leave: now, Arrive: p.arrive(now, at, s.seed.place), Start: s.start, End: s.end})
			at, now = s.seed.place, s.end
		}
		if !ate {
			now = r.lunch + tour.Lunch.Seconds
		}
		x.HeadHome, x.Return = now, p.arrive(now, at, p.placeNumber(tour.End))
		if r.lunch > 0 {
			x.Lunch = &week.LunchTaken{Start: r.lunch}
			if r.in != nil {
				x.Lunch.Inside = r.in.seed.j.Visits[r.in.number].ID
			}
		}
		plan.Tours = append(plan.Tours, x)
	}
	for _, s := range p.seeds {
		if s.j.Water != nil && s.j.Water.Customer != nil {
			plan.Told = append(plan.Told, week.Told{Job: s.j.ID, Earliest: s.drain.Earliest, Latest: s.drain.Latest})
		}
	}
	return plan
}

// gates shut each area on one day until shortly before its first visit there.
func (p *planter) gates() {
	for a := range min(5, p.Crews) {
		d := p.between(0, int64(p.Days)-1)
		first := (d + 1) * 86400
		for t := range p.routes {
			for _, x := range p.routes[t].stops {
				if x.seed.area == a && x.end > d*86400 {
					first = min(first, max(x.start, d*86400))
				}
			}
		}
		if to := first - p.between(0, 3)*900; to > d*86400 {
			p.w.Closures = append(p.w.Closures, week.Closure{ID: fmt.Sprintf("gate%d", a), Area: fmt.Sprintf("area%d", a), From: d * 86400, To: to})
		}
	}
}

// stock writes the loads down and gives each home as many pumps, and each truck as much
// room, as the plan needs.
func (p *planter) stock(plan *week.Plan) {
	out := make([][]int, len(p.w.Homes)) // pumps on sites at the start of each day
	for h := range out {
		out[h] = make([]int, p.Days+1)
	}
	homes := map[string]int{}
	for h := range p.w.Homes {
		homes[p.w.Homes[h].ID] = h
	}
	loads := map[string]int{}
	berths, rooms := 1, make([]int64, p.Crews)
	for t := range p.routes {
		on, least, most, room := 0, 0, 0, int64(0)
		for _, x := range p.routes[t].stops {
			v := &x.seed.j.Visits[x.number]
			room += v.Room
			if v.CollectsPump {
				on++
				most = max(most, on)
			}
			if x.seed.j.Water != nil && x.seed.j.Water.Way == week.WayArrival && x.number == firstLow(&x.seed.j) {
				least = min(least, on-1)
			}
			if v.DropsPump {
				on--
				least = min(least, on)
			}
		}
		loads[p.w.Tours[t].ID] = -least
		berths = max(berths, most-least)
		rooms[t/p.Days] = max(rooms[t/p.Days], room)
	}
	for _, s := range p.seeds {
		for n, x := range s.stops {
			if s.j.Visits[n].DropsPump {
				for d := p.w.Tours[x.tour].Day + 1; d <= p.w.Tours[s.stops[n+1].tour].Day; d++ {
					out[homes[p.w.Tours[x.tour].Home]][d]++
				}
			}
		}
	}
	for t := range p.w.Tours {
		p.w.Tours[t].Berths, p.w.Tours[t].Room = berths, max(300, rooms[t/p.Days])
		if n := loads[p.w.Tours[t].ID]; n > 0 {
			out[homes[p.w.Tours[t].Home]][p.w.Tours[t].Day] += n
		}
	}
	for h := range p.w.Homes {
		need := 1
		for _, n := range out[h] {
			need = max(need, n)
		}
		for d := range p.w.Homes[h].Pumps {
			p.w.Homes[h].Pumps[d] = need
		}
	}
	for i := range plan.Tours {
		plan.Tours[i].Load = loads[plan.Tours[i].Tour]
	}
}
