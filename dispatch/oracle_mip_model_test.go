package dispatch_test

import (
	"fmt"
	"slices"
	"strings"

	"ebbline/dispatch/week"
)

// mip is a grid week written down as an integer program, in CPLEX LP format, from the
// week alone: each tour is a flow of one truck through places and slots of time (departs,
// waits, drives, visits, comes home), each start of a visit an arc that is taken or not.
// Times of starts are in slots from the first midnight.
type mip struct {
	w                           *week.Week
	cost, rows, binary, integer strings.Builder
	// takes are the arcs of a visit, by its id.
	takes map[string][]take
	n     int
}

// take is the arc of a visit that starts in a slot of a tour.
type take struct {
	name       string
	tour       *week.Tour
	slot       int   // of its tour
	start, end int64 // seconds
}

// terms of a row.
type terms struct{ strings.Builder }

func (x *terms) add(factor int64, name string) {
	if factor != 0 {
		fmt.Fprintf(x, " %+d %s", factor, name)
	}
}

// mipOf writes the program of a grid week.
func mipOf(w *week.Week) string {
	m := &mip{w: w, takes: map[string][]take{}}
	for t := range w.Tours {
		m.tour(&w.Tours[t])
	}
	all := int64(0) // what jobs cost that are left out
	for j := range w.Jobs {
		all += m.job(&w.Jobs[j])
	}
	m.pumps()
	m.price(all, "one")
	var x terms
	m.row("= 1", &x, term{1, "one"})
	return "Minimize\n cost:" + m.cost.String() + "\nSubject To\n" + m.rows.String() + "Binaries\n" + m.binary.String() + "\nGenerals\n" + m.integer.String() + "\nEnd\n"
}

type term struct {
	factor int64
	name   string
}

func (m *mip) price(cents int64, name string) {
	if cents != 0 {
		fmt.Fprintf(&m.cost, " %+d %s\n", cents, name)
	}
}

// row adds what is written already and further terms as a row; sense holds the right side.
func (m *mip) row(sense string, x *terms, more ...term) {
	for _, t := range more {
		x.add(t.factor, t.name)
	}
	m.n++
	fmt.Fprintf(&m.rows, " r%d:%s %s\n", m.n, x.String(), sense)
}

// number is that of a place, or of the first that is no way from it.
func (m *mip) number(place string) int {
	p := slices.IndexFunc(m.w.Places, func(p week.Place) bool { return p.ID == place })
	return slices.Index(m.w.Travel.Seconds[p], 0)
}

// tour writes the flow of one truck.
func (m *mip) tour(t *week.Tour) {
	last := int((t.OvertimeTo - t.ShiftFrom) / quarter)
	pay := func(from, to int) int64 { // by the slot
		sum := int64(0)
		for k := from; k < to; k++ {
			if t.ShiftFrom+int64(k)*quarter < t.ShiftTo {
				sum += t.PayPerHour / 4
			} else {
				sum += t.OvertimePerHour / 4
			}
		}
		return sum
	}
	balance := make([][]terms, len(m.w.Places))
	for p := range balance {
		balance[p] = make([]terms, last+1)
	}
	name := func(what string, x ...int) string {
		for _, k := range x {
			what += fmt.Sprint("_", k)
		}
		return what + "_" + strings.ReplaceAll(t.ID, "-", "_")
	}
	start, end := m.number(t.Start), m.number(t.End)
	var departs terms
	for k := range last + 1 {
		balance[start][k].add(1, name("go", k))
		departs.add(1, name("go", k))
		balance[end][k].add(-1, name("home", k))
	}
	m.row("<= 1", &departs)
	arc := func(name string, from, to, k, until int, cents int64) {
		balance[from][k].add(-1, name)
		balance[to][until].add(1, name)
		m.price(cents+pay(k, until), name)
	}
	for p := range m.w.Places {
		if m.number(m.w.Places[p].ID) != p {
			continue
		}
		for k := range last {
			arc(name("wait", p, k), p, p, k, k+1, 0)
		}
		for q := range m.w.Places {
			d := int(m.w.Travel.Seconds[p][q] / quarter)
			for k := 0; d > 0 && m.number(m.w.Places[q].ID) == q && k+d <= last; k++ {
				arc(name("drive", p, q, k), p, q, k, k+d, m.w.Travel.Metres[p][q]*t.CostPerKm/1000)
			}
		}
	}
	for j := range m.w.Jobs {
		for n := range m.w.Jobs[j].Visits {
			v := &m.w.Jobs[j].Visits[n]
			p := m.number(v.Place)
			for k := range last + 1 {
				s := t.ShiftFrom + int64(k)*quarter
				if s+v.Seconds > t.OvertimeTo || !m.may(&m.w.Jobs[j], v, t, s) {
					continue
				}
				x := take{name: name("visit", j, n, k), tour: t, slot: k, start: s, end: s + v.Seconds}
				m.takes[v.ID] = append(m.takes[v.ID], x)
				arc(x.name, p, p, k, k+int(v.Seconds/quarter), m.broken(v, s))
				fmt.Fprintln(&m.binary, "", x.name)
			}
		}
	}
	for p := range balance {
		for k := range balance[p] {
			if balance[p][k].Len() > 0 {
				m.row("= 0", &balance[p][k])
			}
		}
	}
}

// may says whether a visit may start at s on a tour.
func (m *mip) may(j *week.Job, v *week.Visit, t *week.Tour, s int64) bool {
	for _, skill := range v.Skills {
		if !slices.Contains(t.Skills, skill) {
			return false
		}
	}
	if v.People > t.People || j.NotBefore != nil && s < *j.NotBefore || j.NotAfter != nil && s+v.Seconds > *j.NotAfter {
		return false
	}
	for _, c := range m.w.Closures {
		if s < c.To && c.From < s+v.Seconds {
			return false
		}
	}
	for _, a := range v.Allowed {
		if a.From <= s && s <= a.To && (!v.EndInside || s+v.Seconds <= a.To) {
			return true
		}
	}
	return len(v.Allowed) == 0
}

// broken is what a start costs that does not keep its promise.
func (m *mip) broken(v *week.Visit, s int64) int64 {
	sum := int64(0)
	for _, p := range m.w.Promises {
		if p.Visit == v.ID && (s < p.From || p.To < s) {
			sum += m.w.Rates.PromiseCents
		}
	}
	return sum
}

// addTakes adds a factor for each start of a visit.
func (x *terms) addTakes(list []take, factor func(take) int64) {
	for _, t := range list {
		x.add(factor(t), t.name)
	}
}

func one(take) int64      { return 1 }
func begin(t take) int64  { return t.start / quarter }
func finish(t take) int64 { return t.end / quarter }
func ofDay(t take) int64  { return int64(t.tour.Day) }
func minus(f func(take) int64) func(take) int64 {
	return func(t take) int64 { return -f(t) }
}

// job writes the rules of a job's chain and returns what leaving it out costs.
func (m *mip) job(j *week.Job) int64 {
	r := &m.w.Rates
	left := j.Value*r.LeftOutPermille/1000 + max(0, int64(m.w.NextWorkday.Day-j.DueDay))*r.LateCents
	for _, p := range m.w.Promises {
		for n := range j.Visits {
			if j.Visits[n].ID == p.Visit {
				left += r.PromiseCents
			}
		}
	}
	in, day, late := "in_"+j.ID, "day_"+j.ID, "late_"+j.ID
	m.price(-left, in)
	m.price(j.Value*r.WaitingPermille/1000, day)
	m.price(r.LateCents, late)
	fmt.Fprintln(&m.binary, "", in)
	fmt.Fprintln(&m.integer, "", day, late)
	var x terms
	m.row(">= 0", &x, term{1, late}, term{-1, day}, term{int64(j.DueDay), in})
	for n := range j.Visits {
		v := &j.Visits[n]
		list := m.takes[v.ID]
		var made terms
		made.addTakes(list, one)
		if v.MayOwe {
			made.add(1, owing(v))
			fmt.Fprintln(&m.binary, "", owing(v))
			m.price(r.OwedCents, owing(v))
			if j.NotAfter != nil && *j.NotAfter-v.Seconds < m.w.NextWorkday.End {
				var never terms
				m.row("= 0", &never, term{1, owing(v)})
			}
		} else {
			var x terms
			x.addTakes(list, minus(ofDay))
			m.row(">= 0", &x, term{1, day})
		}
		m.row("= 0", &made, term{-1, in})
		if n > 0 {
			m.chain(j, &j.Visits[n-1], v)
		}
	}
	return left
}

func owing(v *week.Visit) string { return "owes_" + strings.ReplaceAll(v.ID, "-", "_") }

// gap writes that v starts so many slots (at least or at most) after what from counts of
// u, if both are made: for each instant, v has only started by then (or not before) if u
// was early (or late) enough. So written a relaxed program is hardly cheaper.
func (m *mip) gap(u, v *week.Visit, from func(take) int64, slots int64, most bool) {
	seen := map[int64]bool{}
	for _, y := range m.takes[v.ID] {
		s := begin(y)
		if seen[s] {
			continue
		}
		seen[s] = true
		within := func(x int64) int64 {
			if !most && x <= s || most && x >= s {
				return 1
			}
			return 0
		}
		var x terms
		x.addTakes(m.takes[v.ID], func(t take) int64 { return within(begin(t)) })
		x.addTakes(m.takes[u.ID], func(t take) int64 { return -within(from(t) + slots) })
		m.row("<= 0", &x)
	}
}

// chain writes the rules between two visits that follow each other.
func (m *mip) chain(j *week.Job, u, v *week.Visit) {
	in, bound := "in_"+j.ID, false
	for _, l := range j.Links {
		if l.From != u.ID || l.To != v.ID {
			continue
		}
		bound = true
		from := begin
		if l.FromEnd {
			from = finish
		}
		m.gap(u, v, from, *l.Lo/quarter, false)
		m.gap(u, v, from, *l.Hi/quarter, true)
		if v.MayOwe { // after the first working day
			var x terms
			x.addTakes(m.takes[u.ID], from)
			m.row(">= 0", &x, term{*l.Hi / quarter, in}, term{-m.w.NextWorkday.End / quarter, owing(v)})
		}
	}
	if !bound || v.CollectsPump {
		m.gap(u, v, finish, 0, false)
	}
	w := j.Water
	if w == nil {
		return
	}
	covered := w.Covered[0].Y / quarter
	switch v.Water {
	case week.NeedCovered:
		m.gap(u, v, finish, covered, false)
	case week.NeedLow:
		early, limit := w.LowEarly[0].Y/quarter, w.LowLimit[0].Y/quarter
		m.gap(u, v, finish, w.LowLate[0].Y/quarter, false)
		m.gap(u, v, finish, early+limit-covered-v.Seconds/quarter, true)
		hours := "low_" + j.ID
		fmt.Fprintln(&m.integer, "", hours)
		m.price(m.w.Rates.LowCents, hours)
		var x terms
		x.addTakes(m.takes[u.ID], finish)
		x.addTakes(m.takes[v.ID], minus(finish))
		m.row(">= 0", &x, term{3600 / quarter, hours}, term{early + m.w.Rates.LowFreeSeconds/quarter - covered, in})
	}
}

// pumps follows the pumps of each truck slot by slot, and the stock of each morning.
func (m *mip) pumps() {
	loads := make([]terms, len(m.w.Days))
	for i := range m.w.Tours {
		t := &m.w.Tours[i]
		load := fmt.Sprint("load_", i)
		fmt.Fprintln(&m.integer, "", load)
		loads[t.Day].add(1, load)
		last := int((t.OvertimeTo - t.ShiftFrom) / quarter)
		for k := range last + 1 {
			var few, many terms // on the truck when a drop has ended, and when a visit has begun
			few.add(1, load)
			many.add(1, load)
			m.eachPump(func(v *week.Visit) {
				for _, x := range m.takes[v.ID] {
					done := x.slot + int(v.Seconds/quarter)
					switch {
					case x.tour != t:
					case v.DropsPump && done <= k:
						few.add(-1, x.name)
						many.add(-1, x.name)
					case v.CollectsPump && x.slot < k:
						few.add(1, x.name)
						many.add(1, x.name)
					case v.CollectsPump && x.slot == k:
						many.add(1, x.name)
					}
				}
			})
			m.row(">= 0", &few)
			m.row(fmt.Sprint("<= ", t.Berths), &many)
		}
	}
	for d := range loads {
		m.eachPump(func(v *week.Visit) { // those out overnight
			for _, x := range m.takes[v.ID] {
				switch {
				case x.tour.Day >= d:
				case v.DropsPump:
					loads[d].add(1, x.name)
				default:
					loads[d].add(-1, x.name)
				}
			}
		})
		m.row(fmt.Sprint("<= ", m.w.Homes[0].Pumps[d]), &loads[d])
	}
}

// eachPump calls do with each visit that drops or collects a pump.
func (m *mip) eachPump(do func(v *week.Visit)) {
	for j := range m.w.Jobs {
		for n := range m.w.Jobs[j].Visits {
			if v := &m.w.Jobs[j].Visits[n]; v.DropsPump || v.CollectsPump {
				do(v)
			}
		}
	}
}
