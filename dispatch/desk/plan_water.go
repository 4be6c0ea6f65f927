package desk

import (
	"slices"
	"time"

	"ebbline/dispatch/week"
	"ebbline/estimate"
	"ebbline/jobs"
)

// hotDay is a forecast high above which fresh or bare plaster should not stand
// dry for long: 100 °F in thousandths of a degree Celsius (trade advice, no
// standard). On such days the time a pool may stand low counts half.
const hotDay = 37_800

// fallen is how far readings must fall to say that a pool is being drained: an
// inch, in µm; less may be sun and splashing.
const fallen = 25_400

// refilledAfter is the instant after which the pool was refilled to come back
// later: what was said and done about its water before no longer counts. Zero
// where it was not.
func refilledAfter(j jobs.Job) time.Time {
	since := time.Time{}
	if j.LowDecision == jobs.RefillAndReturn {
		for _, v := range j.Visits {
			if v.Kind == jobs.VisitConvert && v.DoneAt.After(since) {
				since = v.DoneAt
			}
		}
	}
	return since
}

// startedAt is when the pool's draining began, unix seconds, if that is a fact
// already and the pool was not refilled since; 0: it has not.
func (j *jobFacts) startedAt() int64 {
	since := refilledAfter(j.Job)
	at, work := int64(0), int64(0)
	for _, v := range j.Job.Visits {
		switch {
		case v.Kind == jobs.VisitDrain && v.State == jobs.VisitDone && v.DoneAt.After(since):
			at = v.DoneAt.Unix()
		case v.Kind == jobs.VisitConvert && v.BegunAt.After(since) && v.State != jobs.VisitWasted && work == 0:
			work = v.BegunAt.Unix()
		}
	}
	if at == 0 && j.Drain != nil {
		for _, a := range j.Answers {
			if !a.At.After(since) || a.Kind != jobs.AnswerStarted && a.Kind != jobs.AnswerReached {
				continue
			}
			if at = a.At.Unix(); a.Kind == jobs.AnswerStarted {
				break
			}
		}
	}
	if n := len(j.Readings); at == 0 && n > 1 && j.Drain != nil && j.Readings[n-1].BelowTileUM-j.Readings[0].BelowTileUM >= fallen {
		at = j.Readings[0].At.Unix() // nobody said so, but the water falls
	}
	if at == 0 && work != 0 { // work has begun in it, so it was lowered before
		at = work
		if j.Drain != nil && !j.Drain.ToldTo.IsZero() {
			at = min(at, j.Drain.ToldTo.Unix())
		}
	}
	return at
}

// lowDone is when the last visit in the low pool ended, unix seconds, if none
// is still to come; 0 otherwise.
func (j *jobFacts) lowDone() int64 {
	at := int64(0)
	for _, v := range j.Job.Visits {
		if v.Kind != jobs.VisitConvert {
			continue
		}
		if v.Open() {
			return 0
		}
		if v.State == jobs.VisitDone && v.Outcome != string(jobs.OutcomeMadeSafe) && !v.DoneAt.IsZero() {
			at = max(at, v.DoneAt.Unix())
		}
	}
	return at
}

// water states a job's pool. Reasons say why it can't be planned.
func (m *weekMaker) water(j *jobFacts, out *week.Job) []string {
	needs := map[int]string{}
	for i, v := range out.Visits {
		if kind := m.kinds[jobs.VisitKind(v.Kind)]; kind.Water == "low" || kind.Water == "covered" {
			needs[i] = kind.Water
		}
	}
	drains := slices.ContainsFunc(out.Visits, func(v week.Visit) bool { return v.Kind == string(jobs.VisitDrain) })
	if len(needs) == 0 && !drains {
		return nil
	}
	if j.Estimate == nil || !j.Estimate.Clock.Known {
		if j.Estimate != nil && len(j.Estimate.Clock.Missing) > 0 {
			return []string{"its water clock is not known yet: " + j.Estimate.Clock.Missing[0].Text}
		}
		return []string{"its water clock is not known yet: keep an estimate first"}
	}
	if j.Job.State == jobs.StateMadeSafe && !slices.ContainsFunc(out.Visits, func(v week.Visit) bool { return v.Kind == string(jobs.VisitConvert) }) {
		return []string{"it was made safe half way: decide whether it is held low or refilled"}
	}
	if done := j.lowDone(); done != 0 {
		return m.refilling(j, out, needs, done)
	}
	w := &week.Water{}
	reasons := m.way(j, out, w)
	if len(reasons) > 0 {
		return reasons
	}
	for i, need := range needs {
		out.Visits[i].Water = need
	}
	out.Water = w
	return m.tables(j, w)
}

// refilling lets what needs covered water wait until the pool is full again:
// when it was lowered no longer matters.
func (m *weekMaker) refilling(j *jobFacts, out *week.Job, needs map[int]string, done int64) []string {
	t, _, err := m.clockTables(j, min(done-m.base, 0))
	if err != nil {
		return []string{"its refill can't be followed: " + err.Error()}
	}
	for i := range needs {
		m.notBefore(&out.Visits[i], tableAt(t.Covered, done-m.base))
	}
	return nil
}

// tableAt reads a table as the week does; outside of it, its nearest end.
func tableAt(t estimate.Table, x int64) int64 {
	if x <= t[0].X {
		return t[0].Y
	}
	for i := 1; i < len(t); i++ {
		if a, b := t[i-1], t[i]; x <= b.X {
			return a.Y + (x-a.X)*(b.Y-a.Y)/(b.X-a.X)
		}
	}
	return t[len(t)-1].Y
}

// way states how the pool becomes low and what of it is a fact already.
func (m *weekMaker) way(j *jobFacts, out *week.Job, w *week.Water) []string {
	way := j.Job.WayLow
	if way == jobs.LowNotKnown {
		way = jobs.WayLowOf(j.Estimate.Clock.Way)
	}
	drain := slices.IndexFunc(out.Visits, func(v week.Visit) bool { return v.Kind == string(jobs.VisitDrain) })
	var drainedAt *int64
	if at := j.startedAt(); at != 0 && drain < 0 {
		s := min(at-m.base, m.w.T0)
		drainedAt = &s
	}
	switch way {
	case jobs.LowCrewPump, jobs.LowOwnOutlet:
		w.Way = week.WayOutlet
		if way == jobs.LowCrewPump {
			w.Way = week.WayPump
		}
		if drainedAt != nil {
			w.DrainedAt = drainedAt
			m.pumpOnSite(j, out, w)
			return nil
		}
		if drain < 0 {
			return []string{"its pool is lowered by a crew, and its chain has no drain visit"}
		}
		w.DrainVisit = out.Visits[drain].ID
		if w.Way == week.WayPump {
			if drain+1 >= len(out.Visits) {
				return []string{"nothing comes after its drain visit that could collect the pump"}
			}
			out.Visits[drain].DropsPump, out.Visits[drain+1].CollectsPump = true, true
		}
	case jobs.LowCustomer:
		w.Way = week.WayCustomer
		if w.DrainedAt = drainedAt; drainedAt == nil {
			w.Customer = m.customer(j)
		}
	case jobs.LowArrival:
		w.Way, w.ArrivalSeconds = week.WayArrival, max(j.Estimate.Clock.Drain.Late, 1)
		for i := range out.Visits {
			if out.Visits[i].Kind == string(jobs.VisitConvert) {
				out.Visits[i].Seconds = max(out.Visits[i].Seconds, w.ArrivalSeconds)
				break
			}
		}
	case jobs.LowOthers:
		w.Way = week.WayWindow
		from, to := min(m.w.T0, 0), m.w.End
		if out.NotBefore != nil {
			from = *out.NotBefore
		}
		if out.NotAfter != nil {
			to = *out.NotAfter
		}
		w.Window = &week.Span{From: from, To: max(from, to)}
	default:
		return []string{"how its pool becomes low is not known yet"}
	}
	return nil
}

// pumpOnSite says whose pump stands there, and lets the next visit collect it.
func (m *weekMaker) pumpOnSite(j *jobFacts, out *week.Job, w *week.Water) {
	if w.Way != week.WayPump || len(out.Visits) == 0 {
		return
	}
	var drain jobs.Visit
	for _, v := range j.Job.Visits {
		if v.Kind == jobs.VisitDrain && v.State == jobs.VisitDone {
			drain = v
		}
	}
	for _, v := range j.Job.Visits {
		if v.ID != drain.ID && v.BegunAt.After(drain.DoneAt) && v.State != jobs.VisitUnderWay {
			return // a later visit has taken it along
		}
	}
	for _, c := range m.facts.Crews {
		if c.ID == m.crewOf(j, drain) {
			w.PumpOnSite = c.HomeID
		}
	}
	if w.PumpOnSite == "" && len(m.facts.Homes) > 0 {
		w.PumpOnSite = m.facts.Homes[0].ID
	}
	out.Visits[0].CollectsPump = w.PumpOnSite != ""
}

// customer states what binds the interval that a customer is told.
func (m *weekMaker) customer(j *jobFacts) *week.Customer {
	r, first := m.facts.Rules, jobs.DayOf(m.facts.Now, j.Zone)
	last := m.facts.FirstDay.Add(m.facts.Days)
	c := &week.Customer{
		Hours:       m.spans(jobs.HoursBetween(r.CustomerHours, first, last, j.Zone)),
		NoticeHours: m.spans(jobs.HoursBetween(r.NoticeHours, first, last.Add(7), j.Zone)),
		Lead:        r.NoticeLeadHours * 3600, Width: max(r.ToldWidthMinutes*60, 1),
	}
	if d := j.Drain; d != nil && d.ToldFrom.After(refilledAfter(j.Job)) && (j.Job.State == jobs.StateRouted || j.Job.State == jobs.StateUnderWay) {
		c.Sent = &week.Interval{Earliest: m.sec(d.ToldFrom), Latest: m.sec(d.ToldTo)}
	}
	return c
}

// tables lays the water clock over the horizon.
func (m *weekMaker) tables(j *jobFacts, w *week.Water) []string {
	from := min(m.w.T0, 0)
	if w.DrainedAt != nil {
		from = min(from, *w.DrainedAt)
	}
	if w.Customer != nil && w.Customer.Sent != nil {
		from = min(from, w.Customer.Sent.Earliest)
	}
	t, clock, err := m.clockTables(j, from)
	if err != nil {
		return []string{"its water clock does not fit: " + err.Error()}
	}
	waterSpreads(w, clock)
	switch w.Way {
	case week.WayWindow:
		w.Covered = weekTable(t.Covered)
		return nil
	case week.WayArrival:
	default:
		w.LowLate = weekTable(t.LowLate)
	}
	w.LowEarly, w.Covered = weekTable(t.LowEarly), weekTable(t.Covered)
	w.LowLimit = m.lowLimit(j, t.LowLimit[0].X, t.LowLimit[len(t.LowLimit)-1].X)
	return nil
}

// clockTables lays the water clock over the horizon; the clock it gives back is the one
// in use, refitted where the drain runs.
func (m *weekMaker) clockTables(j *jobFacts, from int64) (estimate.WaterTables, estimate.Clock, error) {
	first := jobs.DayOf(time.Unix(m.base+from, 0), j.Zone)
	hours := pumpingHours(m.facts.Rules, m.facts.Closures, j.Site, j.Zone, first, m.facts.FirstDay.Add(m.facts.Days+dry))
	spans := make([]estimate.Span, len(hours))
	for i, h := range hours {
		spans[i] = estimate.Span{From: m.sec(h.From), To: m.sec(h.To)}
	}
	clock := j.Estimate.Clock
	if drain, ok := j.refitted(hours); ok {
		left := int64(0) // a drain that hardly moves is low some time after these days
		for _, s := range spans {
			left += max(0, s.To-max(s.From, m.w.End))
		}
		clock.Drain = estimate.Quantiles{Early: min(drain.Early, left), Median: min(drain.Median, left), Late: min(drain.Late, left)}
	}
	t, err := estimate.Tables(clock, from, m.w.End, spans, spans)
	return t, clock, err
}

// refitted is the pumping time of a drain that runs, from what was read and said
// of it; false: it stands as estimated.
func (j *jobFacts) refitted(hours []jobs.Stretch) (estimate.Quantiles, bool) {
	at := j.startedAt()
	if at == 0 || j.lowDone() != 0 {
		return estimate.Quantiles{}, false
	}
	r := running{Start: time.Unix(at, 0), Readings: j.Readings, Hours: hours}
	since := refilledAfter(j.Job)
	for _, a := range j.Answers {
		switch {
		case !a.At.After(since):
		case a.Kind == jobs.AnswerStarted:
			r.Said = true
		case a.Kind == jobs.AnswerReached && r.Reached.IsZero():
			r.Reached = a.At
		}
	}
	for _, v := range j.Job.Visits {
		r.Said = r.Said || v.Kind == jobs.VisitDrain && v.State == jobs.VisitDone && v.DoneAt.After(since)
	}
	out, _, ok := refit(j.Estimate, r)
	return out.Drain, ok && (out.Used > 0 || !r.Reached.IsZero())
}

func weekTable(t estimate.Table) week.Table {
	out := make(week.Table, len(t))
	for i, p := range t {
		out[i] = week.Point{X: p.X, Y: p.Y}
	}
	return out
}

// lowLimit is by when a pool must be covered that may be low from x: the
// shorter of the clock's limit and the branch's, half of it on hot days, and
// never past the instant that somebody decided on. The table never falls:
// where a later start has the earlier limit, both have it.
func (m *weekMaker) lowLimit(j *jobFacts, from, to int64) week.Table {
	usual := min(j.Estimate.Clock.LowLimit, m.facts.Rules.LowDays*86_400)
	var t week.Table
	for day := jobs.DayOf(time.Unix(m.base+from, 0), m.facts.Zone); ; day = day.Add(1) {
		a, b := max(from, m.sec(day.Start(m.facts.Zone))), min(to, m.sec(day.Add(1).Start(m.facts.Zone))-1)
		if a > to {
			break
		}
		limit := usual
		if slices.ContainsFunc(m.facts.DayFacts, func(f jobs.DayFact) bool {
			return f.Day == day && f.HighTempMC != nil && *f.HighTempMC > hotDay
		}) {
			limit /= 2
		}
		t = append(t, week.Point{X: a, Y: a + limit})
		if b > a {
			t = append(t, week.Point{X: b, Y: b + limit})
		}
	}
	if j.Job.State == jobs.StateMadeSafe && j.Job.LowDecision == jobs.HoldLow && !j.Job.LowUntil.IsZero() {
		until := m.sec(j.Job.LowUntil)
		for i := range t {
			t[i].Y = max(t[i].X, until)
		}
	}
	for i := len(t) - 2; i >= 0; i-- {
		t[i].Y = max(t[i].X, min(t[i].Y, t[i+1].Y))
	}
	return t
}
