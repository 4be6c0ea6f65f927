package week

import (
	"fmt"
	"sort"
)

// waterForm says what each way of becoming low is stated with.
var waterForm = map[string]struct{ lowLate, lowEarly, limit, drain, arrival, window, customer bool }{
	WayPump:     {lowLate: true, lowEarly: true, limit: true, drain: true},
	WayOutlet:   {lowLate: true, lowEarly: true, limit: true, drain: true},
	WayCustomer: {lowLate: true, lowEarly: true, limit: true, customer: true},
	WayArrival:  {lowEarly: true, limit: true, arrival: true},
	WayWindow:   {window: true},
}

func (c *checker) water(path string, job *Job) {
	w := job.Water
	form, known := waterForm[w.Way]
	if !c.is(path+".way", known, w.Way, "pump, outlet, customer, arrival or window") {
		return
	}
	before := len(c.faults)
	low, covered := c.needs(job)
	c.given(path+".low_late", len(w.LowLate) > 0, form.lowLate, "a table of points", w.Way)
	c.given(path+".low_early", len(w.LowEarly) > 0, form.lowEarly, "a table of points", w.Way)
	c.given(path+".low_limit", len(w.LowLimit) > 0, form.limit, "a table of points", w.Way)
	if w.Way != WayWindow {
		c.given(path+".covered", len(w.Covered) > 0, true, "a table of points", w.Way)
	}
	c.given(path+".window", w.Window != nil, form.window, "a span", w.Way)
	c.given(path+".arrival_seconds", w.ArrivalSeconds != 0, form.arrival, "the seconds of draining", w.Way)
	if form.drain {
		c.drainVisit(path, job)
	} else {
		c.given(path+".drain_visit", w.DrainVisit != "", false, "", w.Way)
	}
	if form.customer {
		c.is(path+".customer", (w.Customer != nil) != (w.DrainedAt != nil), said("both or neither of customer and drained_at"), "exactly one of the two")
	} else {
		c.given(path+".customer", w.Customer != nil, false, "", w.Way)
	}
	for _, t := range []struct {
		name  string
		table Table
	}{{"low_late", w.LowLate}, {"low_early", w.LowEarly}, {"covered", w.Covered}, {"low_limit", w.LowLimit}} {
		c.table(path+"."+t.name, t.table)
	}
	c.length(path, "drain_median_seconds", "drain_log_sd_permille", w.DrainMedian, w.DrainLogSD, maxInstant)
	c.length(path, "fill_median_seconds", "fill_log_sd_permille", w.FillMedian, w.FillLogSD, maxInstant)
	c.facts(path, job, low, covered)
	if len(c.faults) > before {
		return
	}
	c.windowFits(path, job)
	c.arrivalFits(path, job)
	if w.Customer != nil {
		c.customer(path+".customer", w.Customer)
	}
	if form.limit && low >= 0 && len(c.faults) == before {
		c.drainFits(path, job)
	}
}

// needs gives the numbers of the first visit that needs low water and of the first
// that needs covered water, -1 if none.
func (c *checker) needs(job *Job) (low, covered int) {
	low, covered = -1, -1
	for n := range job.Visits {
		if job.Visits[n].Water == NeedLow && low < 0 {
			low = n
		}
		if job.Visits[n].Water == NeedCovered && covered < 0 {
			covered = n
		}
	}
	return low, covered
}

func (c *checker) given(path string, is, should bool, what, way string) {
	if should {
		c.is(path, is, said("missing"), what+" (way "+way+")")
		return
	}
	c.is(path, !is, said("given"), "nothing (way "+way+")")
}

func (c *checker) drainVisit(path string, job *Job) {
	w := job.Water
	if w.DrainedAt != nil {
		c.is(path+".drain_visit", w.DrainVisit == "", w.DrainVisit, "nothing beside drained_at")
		return
	}
	if !c.is(path+".drain_visit", w.DrainVisit != "", said("missing"), "a visit of the job, or drained_at") {
		return
	}
	for n := range job.Visits {
		v := &job.Visits[n]
		if v.ID != w.DrainVisit {
			continue
		}
		c.is(path+".drain_visit", v.Water == NeedNothing, w.DrainVisit, "a visit whose water is nothing")
		c.is(path+".drain_visit", v.DropsPump == (w.Way == WayPump), w.DrainVisit,
			fmt.Sprintf("a visit with drops_pump %t (way %s)", w.Way == WayPump, w.Way))
		for _, earlier := range job.Visits[:n] {
			c.is(path+".drain_visit", earlier.Water == NeedNothing, w.DrainVisit, "a visit before all that need low or covered water")
		}
		return
	}
	c.is(path+".drain_visit", false, w.DrainVisit, "the id of one of the job's own visits")
}

// facts tests what is stated as having happened before, and the order of needs.
func (c *checker) facts(path string, job *Job, low, covered int) {
	w := job.Water
	for _, f := range []struct {
		name  string
		value *int64
	}{{"drained_at", w.DrainedAt}, {"fill_from", w.FillFrom}} {
		if f.value == nil {
			continue
		}
		c.instant(path+"."+f.name, *f.value)
		c.is(path+"."+f.name, *f.value <= c.w.T0, *f.value, fmt.Sprintf("%d (t0) or earlier: it has happened", c.w.T0))
		c.is(path+"."+f.name, job.Begun, *f.value, "a job with begun true")
	}
	if w.FillFrom != nil {
		c.is(path+".fill_from", low < 0, *w.FillFrom, "no visit that still needs low water")
	}
	if w.PumpOnSite != "" {
		c.known(path+".pump_on_site", w.PumpOnSite, c.homes, "homes")
		c.is(path+".pump_on_site", w.Way == WayPump && w.DrainedAt != nil, w.PumpOnSite, "way pump with drained_at")
		c.is(path+".pump_on_site", job.Begun, w.PumpOnSite, "a job with begun true")
	}
	if covered >= 0 {
		c.is(path, low >= 0 || w.FillFrom != nil || (w.Way == WayWindow && len(w.Covered) == 0), said("a visit that needs covered water"),
			"a visit that needs low water before it, or fill_from")
		for n := covered; n < len(job.Visits); n++ {
			c.is(path, job.Visits[n].Water != NeedLow, said("visit "+quote(job.Visits[n].ID)+" needs low water after one that needs covered"),
				"all that need low water first")
		}
	}
}

func (c *checker) table(path string, t Table) {
	for i, p := range t {
		if good := min(p.X, p.Y) >= -maxInstant && max(p.X, p.Y) <= maxInstant && p.Y >= p.X; good && (i == 0 || p.X > t[i-1].X && p.Y >= t[i-1].Y) {
			continue // the usual case writes no texts
		}
		at := fmt.Sprintf("%s[%d]", path, i)
		c.instant(at+".x", p.X)
		c.instant(at+".y", p.Y)
		c.is(at+".y", p.Y >= p.X, p.Y, fmt.Sprintf("%d (x) or later: water needs time", p.X))
		if i > 0 {
			c.is(at+".x", p.X > t[i-1].X, p.X, fmt.Sprintf("more than %d, the x before it", t[i-1].X))
			c.is(at+".y", p.Y >= t[i-1].Y, p.Y, fmt.Sprintf("%d or more, the y before it: tables never fall", t[i-1].Y))
		}
	}
}

func (c *checker) windowFits(path string, job *Job) {
	w := job.Water
	if w.Window == nil || !c.span(path+".window", *w.Window) {
		return
	}
	for n := range job.Visits {
		v := &job.Visits[n]
		c.is(path+".window.to", v.Water != NeedLow || w.Window.To-w.Window.From >= v.Seconds, w.Window.To,
			fmt.Sprintf("%d or later: visit %s needs %d s of low water", w.Window.From+v.Seconds, quote(v.ID), v.Seconds))
	}
}

func (c *checker) arrivalFits(path string, job *Job) {
	w := job.Water
	if w.Way != WayArrival {
		return
	}
	low, _ := c.needs(job)
	at := path + ".arrival_seconds"
	c.atLeast(at, w.ArrivalSeconds, 1, "seconds")
	if low >= 0 {
		v := &job.Visits[low]
		c.is(at, w.ArrivalSeconds <= v.Seconds, w.ArrivalSeconds, fmt.Sprintf("%d or less, the seconds of visit %s that hold it", v.Seconds, quote(v.ID)))
	}
	longest := int64(0)
	for _, s := range c.w.WaterHours {
		longest = max(longest, s.To-s.From)
	}
	c.is(at, w.ArrivalSeconds <= longest, w.ArrivalSeconds, fmt.Sprintf("%d or less, the longest of water_hours: this drain can never fit", longest))
}

func (c *checker) customer(path string, k *Customer) {
	c.spans(path+".hours", k.Hours)
	c.spans(path+".notice_hours", k.NoticeHours)
	c.atLeast(path+".lead", k.Lead, 0, "seconds")
	c.atLeast(path+".width", k.Width, 1, "seconds (usual 7,200)")
	if k.Sent != nil {
		c.instant(path+".sent.earliest", k.Sent.Earliest)
		c.instant(path+".sent.latest", k.Sent.Latest)
		c.is(path+".sent.latest", k.Sent.Latest >= k.Sent.Earliest, k.Sent.Latest, fmt.Sprintf("%d (earliest) or later", k.Sent.Earliest))
		return
	}
	c.is(path+".hours", len(k.Hours) > 0, said("a list of 0"), "at least one span")
	c.is(path+".notice_hours", len(k.NoticeHours) > 0, said("a list of 0"), "at least one span")
	longest := int64(0)
	for _, s := range k.Hours {
		longest = max(longest, s.To-s.From)
	}
	c.is(path+".width", k.Width <= longest, k.Width, fmt.Sprintf("%d or less, the longest of hours", longest))
}

// drainFits refuses a pool that cannot be low, worked on and covered again before
// its limit, whenever draining begins and however quick the crews are.
func (c *checker) drainFits(path string, job *Job) {
	w := job.Water
	if w.DrainedAt != nil || (w.Customer != nil && w.Customer.Sent != nil) {
		return // facts; the checker names the limit if it breaks
	}
	work := int64(0) // visits may run beside each other, so only the longest is sure
	for n := range job.Visits {
		if job.Visits[n].Water == NeedLow {
			work = max(work, job.Visits[n].Seconds)
		}
	}
	width := int64(0)
	if w.Customer != nil {
		width = w.Customer.Width
	}
	low := func(d int64) int64 { // when the work can begin at the earliest, draining begun at d
		if w.Way == WayArrival {
			return d
		}
		return w.LowLate.near(d + width)
	}
	limit := func(d int64) int64 { return w.LowLimit.near(w.LowEarly.near(d)) }
	// Only where every table has a value can anything be told.
	first, last := w.LowEarly[0].X, w.LowEarly[len(w.LowEarly)-1].X
	least := func(ok func(d int64) bool) int64 { // the least d from first on, last+1 if none
		return first + int64(sort.Search(int(last-first)+1, func(i int) bool { return ok(first + int64(i)) }))
	}
	end := least(func(d int64) bool {
		return w.LowEarly.near(d) > w.LowLimit.last() || low(d)+work > w.Covered.last() || (w.Way != WayArrival && d+width > w.LowLate.last())
	}) - 1
	first = least(func(d int64) bool {
		return w.LowEarly.near(d) >= w.LowLimit[0].X && low(d)+work >= w.Covered[0].X && (w.Way == WayArrival || d+width >= w.LowLate[0].X)
	})
	if end < first {
		return
	}
	// Between two of these instants both sides are straight but for rounding, which at
	// most adds up to 3 s, so the best d is one of them or as good within that.
	// Usually the first looked at will do.
	fits := func(x int64) bool {
		for d := max(first, x-1); d <= min(end, x+1); d++ {
			if limit(d)-w.Covered.near(low(d)+work) >= -3 {
				return true
			}
		}
		return false
	}
	when := func(f func(int64) int64, y int64) int64 {
		return first + int64(sort.Search(int(end-first), func(i int) bool { return f(first+int64(i)) >= y }))
	}
	if fits(first) || fits(end) {
		return
	}
	for _, p := range w.LowEarly {
		if fits(p.X) {
			return
		}
	}
	for _, p := range w.LowLate {
		if fits(p.X - width) {
			return
		}
	}
	for _, p := range w.LowLimit {
		if fits(when(w.LowEarly.near, p.X)) {
			return
		}
	}
	for _, p := range w.Covered {
		if fits(when(func(d int64) int64 { return low(d) + work }, p.X)) {
			return
		}
	}
	c.is(path+".low_limit", false, said("a limit that no start of the drain can keep"),
		fmt.Sprintf("tables with which the pool is low, worked on for %d s and covered in time: this drain can never fit", work))
}

// near gives the table's value at x, its first or last value outside; for validation
// only: search and check have their own reading of a table.
func (t Table) near(x int64) int64 {
	n := sort.Search(len(t), func(i int) bool { return t[i].X >= x })
	if n == len(t) {
		return t[n-1].Y
	}
	if n == 0 || t[n].X == x {
		return t[n].Y
	}
	a, b := t[n-1], t[n]
	return a.Y + (x-a.X)*(b.Y-a.Y)/(b.X-a.X)
}

// last is the greatest x at which the table has a value.
func (t Table) last() int64 { return t[len(t)-1].X }
