package estimate

import (
	"strconv"

	"ebbline/jobs"
)

// Quantiles are the early, middle and late value of a time, in seconds.
type Quantiles struct {
	Early  int64 `json:"early"` // 10 % quantile
	Median int64 `json:"median"`
	Late   int64 `json:"late"` // 90 % quantile
}

// Spread is the log standard deviation in thousandths of the log-normal with
// this median and late value; 0 where nothing spreads.
func (q Quantiles) Spread() int64 {
	if q.Median <= 0 || q.Late <= q.Median {
		return 0
	}
	return round(1000 * fromMedianQuantile(float64(q.Median), .9, float64(q.Late)).S)
}

// Clock is the water clock of a whole conversion, all its bodies of water
// together: what the week's planning needs to know. Times of pumping and
// filling are counted in water hours; LowLimit and Hold run day and night.
type Clock struct {
	Known    bool      `json:"known"`
	Way      string    `json:"way,omitempty"` // a choice of the survey's becomes_low, the one the week plans by
	Ways     []string  `json:"ways,omitempty"`
	Drain    Quantiles `json:"drain"`
	Cover    Quantiles `json:"cover"`     // until the lights are covered
	Fill     Quantiles `json:"fill"`      // until the level is as before
	LowLimit int64     `json:"low_limit"` // seconds it may stay low, of the most delicate body
	Hold     int64     `json:"hold"`      // seconds without chlorine before pumping starts; 0: none needed
	Missing  []Miss    `json:"missing,omitempty"`
	Total    Figure    `json:"total"` // pumping time until all bodies are low
	Covers   Figure    `json:"covers"`
	Fills    Figure    `json:"fills"`
	Low      Figure    `json:"low"`
	Waits    Figure    `json:"waits"`
}

// clock joins the bodies. What our pump empties goes one after the other; what
// runs out by itself or is lowered by the customer goes at the same time, but
// never more through the discharge place than is allowed there; what others
// lower takes none of our time. The water comes back through one hose.
func (c *calc) clock(bodies []Water) Clock {
	var clock Clock
	var pumped, beside, volumes, covers, fills []num
	limit, limitBy := int64(0), ""
	ours, ways := false, map[string]bool{}
	for _, w := range bodies {
		if !w.Lowered {
			continue
		}
		if w.Way != "" && !ways[w.Way] {
			ways[w.Way] = true
			clock.Ways = append(clock.Ways, w.Way)
		}
		covers = append(covers, w.cover.then(w.Cover))
		fills = append(fills, w.fill.then(w.Fill))
		body, _ := c.survey.Subject(w.Body)
		if allow, by := c.lowLimit(body); limit == 0 || allow < limit {
			limit, limitBy = allow, w.Name+": "+by
		}
		if w.Way == jobs.LowByOthers {
			continue
		}
		ours = true
		volumes = append(volumes, w.volume)
		switch w.Way {
		case jobs.LowByOutlet, jobs.LowByCustomer:
			beside = append(beside, w.drain.then(w.Drain))
		default:
			pumped = append(pumped, w.drain.then(w.Drain))
		}
	}
	clock.Way = firstWay(ways)
	c.drainTime(&clock, ours, pumped, beside, volumes)
	if len(covers) == 0 {
		lack := unknown(Miss{Text: "The bodies of water and their light positions"})
		covers, fills = []num{lack}, []num{lack}
	}
	clock.Covers = timed("clock.cover", "Filling time until lights are covered, all bodies", sum(covers...).orZero())
	clock.Fills = timed("clock.fill", "Filling time to the level before, all bodies", sum(fills...).orZero())
	clock.Drain, clock.Cover, clock.Fill = quantiles(clock.Total), quantiles(clock.Covers), quantiles(clock.Fills)
	clock.LowLimit = limit
	low := unknown(Miss{Text: "The bodies of water and their finish"})
	if limit > 0 {
		low = fixed(float64(limit), Input{Name: "Finish", Text: limitBy})
	}
	clock.Low = figure("clock.low_limit", "Longest time it may stay low", "", UnitSeconds, low)
	clock.Low.Source = "common practice, no source: a day or two at most, less for vinyl and fibreglass"
	clock.Waits = c.hold()
	clock.Hold = clock.Waits.Value
	clock.Known = clock.Total.Known && clock.Covers.Known && clock.Low.Known
	clock.Missing = appendMiss(clock.Missing, clock.Total.Missing...)
	clock.Missing = appendMiss(clock.Missing, clock.Covers.Missing...)
	return clock
}

// firstWay is the way by which the week plans a job whose bodies become low in
// several ways: the one that asks most of a crew.
func firstWay(ways map[string]bool) string {
	for _, way := range []string{jobs.LowByCrewPump, jobs.LowOnArrival, jobs.LowByOutlet, jobs.LowByCustomer, jobs.LowByOthers} {
		if ways[way] {
			return way
		}
	}
	return ""
}

// drainTime is the time until all is low.
func (c *calc) drainTime(clock *Clock, ours bool, pumped, beside, volumes []num) {
	const key, name = "clock.drain", "Pumping time, all bodies"
	switch {
	case !ours && clock.Way == jobs.LowByOthers:
		clock.Total = timed(key, name, fixed(0, Input{Name: "How it becomes low", Text: "by others"}))
		clock.Total.Text, clock.Total.Formula, clock.Total.Source = "none of ours", "others lower it: planned by the days on which it stands low", "definition"
	case !ours:
		clock.Total = timed(key, name, unknown(Miss{Text: "The bodies of water and their light positions"}))
	case len(beside) == 0:
		clock.Total = timed(key, name, sum(pumped...).orZero())
	default:
		streams := append([]num{}, beside...)
		if len(pumped) > 0 {
			streams = append(streams, sum(pumped...))
		}
		n := greatest(streams...)
		if len(streams) > 1 {
			allowed, _ := c.allowed()
			n = greatest(append(streams, quotient(sum(volumes...), allowed).times(60))...)
		}
		clock.Total = timed(key, name, n.orZero())
		clock.Total.Formula = "the longest of: what our pump empties, one after the other; each that runs out on its own; all water ÷ rate allowed"
		clock.Total.Source = "what runs out on its own needs no pump, but the place takes no more than is allowed"
	}
}

// lowLimit is how long a body may stay low, in seconds, by its finish.
func (c *calc) lowLimit(body jobs.Subject) (allow int64, by string) {
	finish := body.Choice("finish")
	allow, ok := c.set.Water.LowLimit[finish]
	if !ok {
		allow = c.set.Water.LowLimitElse
	}
	if finish != "" {
		return allow, finish
	}
	for _, least := range c.set.Water.LowLimit { // unknown finish: the strictest
		allow = min(allow, least)
	}
	return allow, "finish not known yet, the strictest taken"
}

func (n num) orZero() num {
	if n.ok {
		return n.atLeast(0)
	}
	return n
}

func timed(key, name string, n num) Figure {
	f := figure(key, name, "", UnitSeconds, n)
	f.Formula, f.Source = "sum of the bodies, one after the other", "one pump and one hose: the safe side"
	return f
}

func quantiles(f Figure) Quantiles { return Quantiles{Early: f.Low, Median: f.Value, Late: f.High} }

// hold is how long the water must stand without chlorine before it may go: not
// at all where somebody measured it low enough, or a neutraliser may be used.
func (c *calc) hold() Figure {
	n, formula := c.holdTime()
	f := figure("clock.hold", "Time without chlorine before pumping", "", UnitSeconds, n)
	if f.Formula = formula; f.Known && f.Value == 0 {
		f.Text = "none"
	}
	f.Source = "agency discharge rules, usually about 10 days or a neutraliser; the agency's own current text governs"
	return f
}

func (c *calc) holdTime() (n num, formula string) {
	d, ok := c.place()
	if !ok {
		return unknown(Miss{Text: "A discharge place that may be used, and its rules"}), ""
	}
	limit := c.chlorineLimit(d)
	var in []Input
	for _, body := range c.survey.OfKind(jobs.SubjectBody) {
		v, ok := body.Value("chlorine")
		if with, _ := shared(body); with {
			continue
		}
		if !ok || v.Known.Rank() < jobs.KnownMeasuredWet.Rank() || float64(v.Base) > limit.v {
			in = nil
			break
		}
		in = append(in, c.read(body, "chlorine").in...)
	}
	if len(in) > 0 {
		return fixed(0, append(in, limit.in...)...), "none: the chlorine measured is within the limit; measure again before pumping"
	}
	if n := c.read(d, "hold"); n.ok {
		return n, "rule of the place"
	}
	if d.Yes("neutraliser") {
		return fixed(0, Input{Name: "Neutraliser", Text: "allowed instead of waiting", Subject: d.ID, Field: "neutraliser"}), "none: dose it and measure before pumping"
	}
	return fixed(float64(c.set.Water.Hold), Input{Name: "Hold time", Text: "branch rule " + duration(c.set.Water.Hold)}), "branch rule"
}

// chlorineLimit is what may go into a discharge place, in µg/L.
func (c *calc) chlorineLimit(d jobs.Subject) num {
	if n := c.read(d, "chlorine_limit"); n.ok {
		return n
	}
	limit := c.set.Water.ChlorineLimit
	return fixed(float64(limit), Input{Name: "Highest chlorine allowed", Text: "branch rule " + ppm(limit)})
}

// ppm writes micrograms in a litre as parts in a million.
func ppm(ugL int64) string { return strconv.FormatFloat(float64(ugL)/1000, 'f', -1, 64) + " ppm" }

// InsideConversion says that the pool is lowered on arrival, inside the
// conversion visit.
func (c Clock) InsideConversion() bool { return c.Way == jobs.LowOnArrival }
