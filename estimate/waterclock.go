package estimate

import (
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
	Way      string    `json:"way,omitempty"` // a choice of the survey's becomes_low
	Drain    Quantiles `json:"drain"`
	Cover    Quantiles `json:"cover"`     // until the lights are covered
	Fill     Quantiles `json:"fill"`      // until the level is as before
	LowLimit int64     `json:"low_limit"` // seconds it may stay low, of the most delicate body
	Hold     int64     `json:"hold"`      // seconds without chlorine before pumping starts; 0: none needed
	Missing  []Miss    `json:"missing,omitempty"`
	Total    Figure    `json:"total"` // pumping time of all bodies, one after the other
	Covers   Figure    `json:"covers"`
	Fills    Figure    `json:"fills"`
	Low      Figure    `json:"low"`
	Waits    Figure    `json:"waits"`
}

// clock joins the bodies: one pump, one hose, one after the other, which is the
// safe side where two could run at once.
func (c *calc) clock(bodies []Water) Clock {
	var clock Clock
	var drains, covers, fills []num
	limit, limitBy := int64(0), ""
	for _, w := range bodies {
		if !w.Lowered {
			continue
		}
		if clock.Way == "" {
			clock.Way = w.Way
		}
		drains = append(drains, w.drain.then(w.Drain))
		covers = append(covers, w.cover.then(w.Cover))
		fills = append(fills, w.fill.then(w.Fill))
		body, _ := c.survey.Subject(w.Body)
		finish := body.Choice("finish")
		allow, ok := c.set.Water.LowLimit[finish]
		if !ok {
			allow = c.set.Water.LowLimitElse
		}
		if finish == "" {
			for _, least := range c.set.Water.LowLimit { // unknown finish: the strictest
				allow = min(allow, least)
			}
			finish = "finish not known yet, the strictest taken"
		}
		if limit == 0 || allow < limit {
			limit, limitBy = allow, w.Name+": "+finish
		}
	}
	if len(drains) == 0 {
		lack := Miss{Text: "The bodies of water and their light positions"}
		drains, covers, fills = []num{unknown(lack)}, []num{unknown(lack)}, []num{unknown(lack)}
	}
	clock.Total = timed("clock.drain", "Pumping time, all bodies", sum(drains...).orZero())
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
	hold := c.hold()
	clock.Waits = figure("clock.hold", "Time without chlorine before pumping", "", UnitSeconds, hold)
	clock.Waits.Source = "agency discharge rules, usually about 10 days or a neutraliser; the agency's own current text governs"
	clock.Hold = clock.Waits.Value
	clock.Known = clock.Total.Known && clock.Covers.Known && clock.Low.Known
	clock.Missing = appendMiss(clock.Missing, clock.Total.Missing...)
	clock.Missing = appendMiss(clock.Missing, clock.Covers.Missing...)
	return clock
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

// hold is how long the water must stand without chlorine before it may go.
func (c *calc) hold() num {
	d, ok := c.place()
	if !ok {
		return unknown(Miss{Text: "A discharge place that may be used, and its rules"})
	}
	if n := c.read(d, "hold"); n.ok {
		return n
	}
	if d.Yes("neutraliser") {
		return fixed(0, Input{Name: "Neutraliser", Text: "allowed instead of waiting", Subject: d.ID, Field: "neutraliser"})
	}
	return fixed(float64(c.set.Water.Hold), Input{Name: "Hold time", Text: "branch rule " + duration(c.set.Water.Hold)})
}

// InsideConversion says that the pool is lowered on arrival, inside the
// conversion visit.
func (c Clock) InsideConversion() bool { return c.Way == jobs.LowOnArrival }
