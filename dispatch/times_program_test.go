package dispatch_test

import (
	"fmt"
	"sort"
	"strings"

	"ebbline/dispatch/week"
)

// timesProgram is a plan's times as a mixed-integer program: tours, orders, lunch places
// and what is owed are kept, every instant is free. It is written from the meaning of
// the rules and costs and shares nothing with search or checker. Instants are real
// numbers in it, so its best may lie a few cents below that of whole seconds. It knows
// weeks without speeds by period in which nothing has begun or was sent.
type timesProgram struct {
	w        *week.Week
	p        *week.Plan
	rows     strings.Builder
	cost     strings.Builder // in cents
	fixed    float64         // cents that no instant changes
	binaries []string
	generals []string
	free     []string // names of instants, which may be negative
	n, names int
	start    map[string]string // instants by visit
	end      map[string]string
	toldOf   map[string]string // begin of the told interval by job
}

// newTimesProgram writes the program of a plan.
func newTimesProgram(w *week.Week, p *week.Plan) *timesProgram {
	x := &timesProgram{w: w, p: p, start: map[string]string{}, end: map[string]string{}, toldOf: map[string]string{}}
	x.cost.WriteString("0 nothing")
	x.row("nothing = 0")
	for i := range p.Tours {
		x.tour(&p.Tours[i])
	}
	for j := range w.Jobs {
		x.job(&w.Jobs[j])
	}
	x.promises()
	return x
}

func (x *timesProgram) row(format string, args ...any) {
	x.n++
	fmt.Fprintf(&x.rows, " r%d: %s\n", x.n, fmt.Sprintf(format, args...))
}

func (x *timesProgram) pay(cents float64, name string) {
	fmt.Fprintf(&x.cost, " + %.9f %s", cents, name)
}

// number tells new variables apart.
func (x *timesProgram) number() int {
	x.names++
	return x.names
}

// hours writes seconds as hours: the program counts in them, for numbers of a size.
func hours(seconds int64) string { return fmt.Sprintf("%.10f", float64(seconds)/3600) }

// instant is a new variable without bounds, in hours.
func (x *timesProgram) instant(name string) string {
	x.free = append(x.free, name)
	return name
}

func (x *timesProgram) binary(format string, args ...any) string {
	name := fmt.Sprintf(format, args...)
	x.binaries = append(x.binaries, name)
	return name
}

func (x *timesProgram) visitOf(id string) (*week.Job, *week.Visit) {
	for j := range x.w.Jobs {
		for n := range x.w.Jobs[j].Visits {
			if x.w.Jobs[j].Visits[n].ID == id {
				return &x.w.Jobs[j], &x.w.Jobs[j].Visits[n]
			}
		}
	}
	panic("no visit " + id)
}

func (x *timesProgram) drive(a, b string) int64 {
	var i, k int
	for n := range x.w.Places {
		if x.w.Places[n].ID == a {
			i = n
		}
		if x.w.Places[n].ID == b {
			k = n
		}
	}
	return x.w.Travel.Seconds[i][k]
}

// tour binds the instants of one crew's day and pays for it.
func (x *timesProgram) tour(pt *week.PlanTour) {
	var t *week.Tour
	for i := range x.w.Tours {
		if x.w.Tours[i].ID == pt.Tour {
			t = &x.w.Tours[i]
		}
	}
	k := x.number()
	dep, ret, over := x.instant(fmt.Sprint("dep", k)), x.instant(fmt.Sprint("ret", k)), fmt.Sprint("over", k)
	x.row("%s >= %s", dep, hours(max(t.ShiftFrom, x.w.T0)))
	x.row("%s <= %s", ret, hours(t.OvertimeTo))
	x.row("%s - %s >= %s", over, ret, hours(-t.ShiftTo)) // at least 0, as all that is not free
	straight, extra := float64(t.PayPerHour), float64(t.OvertimePerHour)
	x.pay(straight, ret)
	x.pay(-straight, dep)
	x.pay(extra-straight, over)
	lunch := ""
	if l := pt.Lunch; l == nil {
		if t.Lunch != nil {
			x.row("%s - %s <= %s", ret, dep, hours(t.Lunch.DueAfter))
		}
	} else {
		lunch = x.instant(fmt.Sprint("lunch", k))
		x.row("%s >= %s", lunch, hours(max(t.Lunch.From, x.w.T0)))
		x.row("%s <= %s", lunch, hours(t.Lunch.To))
		x.row("%s - %s >= 0", lunch, dep)
		if !t.Lunch.Paid {
			if t.Lunch.To+t.Lunch.Seconds > t.ShiftTo {
				panic("lunch may lie in overtime")
			}
			x.fixed -= straight * float64(t.Lunch.Seconds) / 3600
		}
	}
	at, ready := t.Start, dep
	for i := range pt.Stops {
		s := &pt.Stops[i]
		_, v := x.visitOf(s.Visit)
		start, end, secs := x.instant(fmt.Sprintf("s%d_%d", k, i)), x.instant(fmt.Sprintf("e%d_%d", k, i)), v.Seconds
		x.start[v.ID], x.end[v.ID] = start, end
		way := x.drive(at, v.Place)
		inside := pt.Lunch != nil && pt.Lunch.Inside == v.ID
		switch {
		case inside:
			secs += t.Lunch.Seconds
			x.row("%s - %s >= 0", lunch, start)
			x.row("%s - %s <= %s", lunch, start, hours(v.Seconds))
			x.row("%s - %s >= %s", start, ready, hours(way))
		case pt.Lunch != nil && pt.Lunch.Inside == "" && pt.Lunch.Start < s.Start && (i == 0 || pt.Lunch.Start >= pt.Stops[i-1].End):
			x.row("%s - %s >= %s", start, ready, hours(way+t.Lunch.Seconds))
			if pt.Lunch.Start+t.Lunch.Seconds <= s.Leave { // before the drive
				x.row("%s - %s >= 0", lunch, ready)
				x.row("%s - %s >= %s", start, lunch, hours(way+t.Lunch.Seconds))
			} else {
				x.row("%s - %s >= %s", lunch, ready, hours(way))
				x.row("%s - %s >= %s", start, lunch, hours(t.Lunch.Seconds))
			}
		default:
			x.row("%s - %s >= %s", start, ready, hours(way))
		}
		x.row("%s - %s = %s", end, start, hours(secs))
		x.inside(start, fmt.Sprintf("a%d_%d", k, i), x.starts(v, secs))
		at, ready = v.Place, end
	}
	way := x.drive(at, t.End)
	x.row("%s - %s >= %s", ret, ready, hours(way))
	if last := pt.Stops[len(pt.Stops)-1].End; pt.Lunch != nil && pt.Lunch.Inside == "" && pt.Lunch.Start >= last {
		x.row("%s - %s >= 0", lunch, ready)
		x.row("%s - %s >= %s", ret, lunch, hours(way+t.Lunch.Seconds))
	}
}

// starts are the spans in which a visit that lasts secs may start by the rules that look
// at nothing else. Between two neighbouring candidates they all hold or none does.
func (x *timesProgram) starts(v *week.Visit, secs int64) []week.Span {
	job, _ := x.visitOf(v.ID)
	wt := job.Water
	var area string
	for _, p := range x.w.Places {
		if p.ID == v.Place {
			area = p.Area
		}
	}
	shuts := func(c *week.Closure) bool { return c.All || c.Place == v.Place || c.Area != "" && c.Area == area }
	var first string
	for n := len(job.Visits) - 1; n >= 0; n-- {
		if job.Visits[n].Water == week.NeedLow {
			first = job.Visits[n].ID
		}
	}
	arrives := wt != nil && wt.Way == week.WayArrival && wt.DrainedAt == nil && first == v.ID
	good := func(s int64) bool {
		e := s + secs
		if s < max(0, x.w.T0) || e > x.w.End || job.NotBefore != nil && s < *job.NotBefore || job.NotAfter != nil && e > *job.NotAfter {
			return false
		}
		if v.Pin != nil && v.Pin.Start != nil && s != *v.Pin.Start {
			return false
		}
		allowed := len(v.Allowed) == 0
		for _, a := range v.Allowed {
			allowed = allowed || a.From <= s && s <= a.To && (!v.EndInside || e <= a.To)
		}
		for i := range x.w.Closures {
			c := &x.w.Closures[i]
			allowed = allowed && !(shuts(c) && s < c.To && c.From < e)
			allowed = allowed && !(arrives && c.StopsPumping && shuts(c) && s < c.To && c.From < s+wt.ArrivalSeconds)
		}
		if arrives {
			wet := false
			for _, h := range x.w.WaterHours {
				wet = wet || h.From <= s && s+wt.ArrivalSeconds <= h.To
			}
			allowed = allowed && wet
		}
		if wt != nil && wt.Way == week.WayWindow {
			allowed = allowed && (v.Water != week.NeedLow || wt.Window.From <= s && e <= wt.Window.To)
			allowed = allowed && (v.Water != week.NeedCovered || len(wt.Covered) > 0 || s >= wt.Window.To)
		}
		return allowed
	}
	marks := []int64{max(0, x.w.T0), x.w.End - secs}
	mark := func(at ...int64) { marks = append(marks, at...) }
	if job.NotBefore != nil {
		mark(*job.NotBefore)
	}
	if job.NotAfter != nil {
		mark(*job.NotAfter - secs)
	}
	if v.Pin != nil && v.Pin.Start != nil {
		mark(*v.Pin.Start)
	}
	for _, a := range v.Allowed {
		mark(a.From, a.To, a.To-secs)
	}
	for _, c := range x.w.Closures {
		mark(c.From-secs, c.To)
		if arrives {
			mark(c.From - wt.ArrivalSeconds)
		}
	}
	if wt != nil && wt.Window != nil {
		mark(wt.Window.From, wt.Window.To, wt.Window.To-secs)
	}
	for _, h := range x.w.WaterHours {
		if arrives {
			mark(h.From, h.To-wt.ArrivalSeconds)
		}
	}
	sort.Slice(marks, func(i, j int) bool { return marks[i] < marks[j] })
	var spans []week.Span
	for i, m := range marks {
		if !good(m) || i > 0 && marks[i-1] == m {
			continue
		}
		if n := len(spans); n > 0 && good((spans[n-1].To+m)/2) && good(spans[n-1].To+1) {
			spans[n-1].To = m
			continue
		}
		spans = append(spans, week.Span{From: m, To: m})
	}
	return spans
}

// inside wants an instant in one of the spans.
func (x *timesProgram) inside(name, of string, spans []week.Span) {
	if len(spans) == 0 {
		panic("the plan has a visit where it can't be")
	}
	var from, to, one strings.Builder
	for i, s := range spans {
		b := x.binary("%s_%d", of, i)
		fmt.Fprintf(&from, " - %s %s", hours(s.From), b)
		fmt.Fprintf(&to, " - %s %s", hours(s.To), b)
		fmt.Fprintf(&one, " + %s", b)
	}
	x.row("%s%s >= 0", name, from.String())
	x.row("%s%s <= 0", name, to.String())
	x.row("0 nothing%s = 1", one.String())
}

// read is a table's value at an instant, as another instant.
func (x *timesProgram) read(t week.Table, at string) string {
	k := x.number()
	y := x.instant(fmt.Sprint("y", k))
	var xs, ys, one strings.Builder
	add := func(i int, b string, p week.Point) {
		fmt.Fprintf(&xs, " - %s %s", hours(p.X), b)
		fmt.Fprintf(&ys, " - %s %s", hours(p.Y), b)
		fmt.Fprintf(&one, " + %s", b)
	}
	for i := range t {
		reach := func(at int64) bool { return -86400 <= at && at <= x.w.End+14*86400 }
		if i+1 == len(t) || !reach(t[i].X) && !reach(t[i+1].X) && (t[i].X > 0) == (t[i+1].X > 0) {
			continue
		}
		if t[i+1].X == t[i].X+1 && i > 0 && i+2 < len(t) {
			continue // a jump: no whole second lies inside
		}
		b := x.binary("t%d_%d", k, i)
		add(i, b, t[i])
		d := fmt.Sprintf("d%d_%d", k, i)
		wide, high := t[i+1].X-t[i].X, t[i+1].Y-t[i].Y
		x.row("%s - %s %s <= 0", d, hours(wide), b)
		fmt.Fprintf(&xs, " - %s", d)
		fmt.Fprintf(&ys, " - %.9f %s", float64(high)/float64(wide), d)
	}
	x.row("%s%s = 0", at, xs.String())
	x.row("%s%s = 0", y, ys.String())
	x.row("0 nothing%s = 1", one.String())
	return y
}

// job binds the visits of one job to each other and to its water, and pays for when it
// is converted and how long it lies low.
func (x *timesProgram) job(j *week.Job) {
	for _, l := range x.p.LeftOut {
		if l.Job == j.ID {
			return
		}
	}
	x.chain(j)
	x.waits(j)
	if j.Water != nil && j.Water.Way != week.WayWindow {
		x.water(j)
	}
	if wt := j.Water; wt != nil && wt.Way == week.WayWindow && len(wt.Covered) > 0 {
		x.refilled(j, x.fill(j))
	}
}

func (x *timesProgram) chain(j *week.Job) {
	linked := func(a, b string) bool {
		for _, l := range j.Links {
			if l.From == a && l.To == b || l.From == b && l.To == a {
				return true
			}
		}
		return false
	}
	for n := 1; n < len(j.Visits); n++ {
		a, b := j.Visits[n-1].ID, j.Visits[n].ID
		if x.start[a] != "" && x.start[b] != "" && !linked(a, b) {
			x.row("%s - %s >= 0", x.start[b], x.end[a])
		}
	}
	for _, l := range j.Links {
		from, to := x.start[l.From], x.start[l.To]
		if l.FromEnd {
			from = x.end[l.From]
		}
		switch {
		case from != "" && to != "":
			if l.Lo != nil {
				x.row("%s - %s >= %s", to, from, hours(*l.Lo))
			}
			if l.Hi != nil {
				x.row("%s - %s <= %s", to, from, hours(*l.Hi))
			}
		case from != "" && l.Hi != nil: // owed: its latest start lies late enough
			x.row("%s >= %s", from, hours(x.w.NextWorkday.End-*l.Hi))
		}
	}
}

// waits pays for whole days until the conversion and days past the due day.
func (x *timesProgram) waits(j *week.Job) {
	k := x.number()
	days, late := fmt.Sprint("days", k), fmt.Sprint("late", k)
	x.generals = append(x.generals, days, late)
	x.pay(float64(j.Value)*float64(x.w.Rates.WaitingPermille)/1000, days)
	x.pay(float64(x.w.Rates.LateCents), late)
	for _, v := range j.Visits {
		if e := x.end[v.ID]; e != "" && !v.MayOwe {
			x.row("%s - 24 %s <= %s", e, days, hours(x.w.T0+86399))
			x.row("%s - 24 %s <= %s", e, late, hours(int64(j.DueDay+1)*86400-1))
		}
	}
}

// fill is when filling begins: not before the last visit that needs low water ends.
func (x *timesProgram) fill(j *week.Job) string {
	fill := x.instant(fmt.Sprint("fill", x.number()))
	for _, v := range j.Visits {
		if v.Water == week.NeedLow {
			x.row("%s - %s >= 0", fill, x.end[v.ID])
		}
	}
	return fill
}

// refilled reads when the lights are covered, for the visits that wait for it.
func (x *timesProgram) refilled(j *week.Job, fill string) string {
	covered := x.read(j.Water.Covered, fill)
	for _, v := range j.Visits {
		if s := x.start[v.ID]; s != "" && v.Water == week.NeedCovered {
			x.row("%s - %s >= 0", s, covered)
		}
	}
	return covered
}

func (x *timesProgram) water(j *week.Job) {
	wt, early, late := j.Water, "", ""
	first := ""
	for n := len(j.Visits) - 1; n >= 0; n-- {
		if j.Visits[n].Water == week.NeedLow {
			first = j.Visits[n].ID
		}
	}
	switch {
	case wt.Customer != nil:
		early, late = x.told(j)
	case wt.Way == week.WayArrival:
		early = x.start[first]
	default:
		early, late = x.end[wt.DrainVisit], x.end[wt.DrainVisit]
	}
	if late != "" {
		low := x.read(wt.LowLate, late)
		for _, v := range j.Visits {
			if v.Water == week.NeedLow {
				x.row("%s - %s >= 0", x.start[v.ID], low)
			}
		}
	}
	for _, v := range j.Visits {
		if wt.Way == week.WayArrival && v.Water == week.NeedLow && v.ID != first {
			x.row("%s - %s >= 0", x.start[v.ID], x.end[first])
		}
	}
	covered := x.refilled(j, x.fill(j))
	may := x.read(wt.LowEarly, early)
	limit := x.read(wt.LowLimit, may)
	x.row("%s - %s >= 0", limit, covered)
	low := fmt.Sprint("low", x.number())
	x.generals = append(x.generals, low)
	x.pay(float64(x.w.Rates.LowCents), low)
	x.row("%s - %s - %s <= %s", covered, may, low, hours(x.w.Rates.LowFreeSeconds))
}

// told is the interval that a customer is told, of the least width.
func (x *timesProgram) told(j *week.Job) (early, late string) {
	c := j.Water.Customer
	k := x.number()
	early, late = x.instant(fmt.Sprint("te", k)), x.instant(fmt.Sprint("tl", k))
	x.toldOf[j.ID] = early
	x.row("%s - %s = %s", late, early, hours(c.Width))
	send := int64(-1)
	for i := len(c.NoticeHours) - 1; i >= 0; i-- {
		if h := c.NoticeHours[i]; h.To >= x.w.T0 {
			send = max(h.From, x.w.T0)
		}
	}
	var spans []week.Span
	for _, h := range c.Hours {
		if s := (week.Span{From: max(h.From, send+c.Lead), To: h.To - c.Width}); s.From <= s.To {
			spans = append(spans, s)
		}
	}
	x.inside(early, fmt.Sprint("told", k), spans)
	return early, late
}

// promises pays for windows that are missed.
func (x *timesProgram) promises() {
	const far = 40 * 24
	r := &x.w.Rates
	worst := "worst"
	x.pay(float64(r.PromiseWorstCents), worst)
	x.row("%s >= 0", worst)
	for i, p := range x.w.Promises {
		s := x.start[p.Visit]
		if s == "" {
			x.fixed += float64(r.PromiseCents)
			continue
		}
		missed, by := x.binary("missed%d", i), fmt.Sprint("by", i)
		x.pay(float64(r.PromiseCents), missed)
		x.pay(float64(r.PromiseLateCents), by)
		x.row("%s + %d %s >= %s", s, far, missed, hours(p.From))
		x.row("%s - %d %s <= %s", s, far, missed, hours(p.To))
		x.row("%s - %s >= %s", by, s, hours(-p.To))
		x.row("%s - %s >= 0", worst, by)
	}
}

// lp is the program in CPLEX LP format with another objective if one is given.
func (x *timesProgram) lp(objective string) string {
	goal := "Minimize\n obj: " + x.cost.String()
	if objective != "" {
		goal = "Maximize\n obj: " + objective
	}
	return goal + "\nSubject To\n" + x.rows.String() + "Bounds\n " + strings.Join(x.free, " free\n ") + " free\n" +
		"Binaries\n " + strings.Join(x.binaries, " ") + "\nGenerals\n " + strings.Join(x.generals, " ") + "\nEnd\n"
}
