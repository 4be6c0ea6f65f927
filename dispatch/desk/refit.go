package desk

import (
	"slices"
	"time"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// running is a drain that runs, as far as it is a fact.
type running struct {
	Start    time.Time // when it began; zero: with the first reading
	Said     bool      // somebody said that it began then; else the level at that instant is open
	Reached  time.Time // somebody said that it is low; zero: nobody did
	Readings []jobs.Reading
	Hours    []jobs.Stretch // in which water may move
}

// begin is the instant from which pumping is counted; false while nothing has
// been said or read.
func (r running) begin() (time.Time, bool) {
	switch {
	case !r.Start.IsZero():
		return r.Start, true
	case len(r.Readings) > 0:
		return r.Readings[0].At, true
	}
	return time.Time{}, false
}

// refit makes the estimate of a running drain anew from what was read; instants
// are unix seconds. False where there is nothing to make it from.
func refit(e *estimate.Estimate, r running) (estimate.Refitted, estimate.Draining, bool) {
	begin, ok := r.begin()
	if e == nil || !ok || len(r.Readings) == 0 && r.Reached.IsZero() {
		return estimate.Refitted{}, estimate.Draining{}, false
	}
	d, ok := e.Draining("")
	if !ok {
		return estimate.Refitted{}, estimate.Draining{}, false
	}
	d.Start, d.Started = begin.Unix(), r.Said
	for _, h := range r.Hours {
		d.Open = append(d.Open, estimate.Span{From: h.From.Unix(), To: h.To.Unix()})
	}
	out := estimate.Refit(d, levels(e, r.Readings))
	if !r.Reached.IsZero() { // said to be low: no longer than until then
		most := int64(0)
		for _, o := range d.Open {
			most += max(0, min(r.Reached.Unix(), o.To)-max(d.Start, o.From))
		}
		out.Drain = estimate.Quantiles{Early: min(out.Drain.Early, most), Median: min(out.Drain.Median, most), Late: min(out.Drain.Late, most)}
	}
	return out, d, true
}

// levels are the readings of the body that stands for the job, in order; those
// of others stay at their place in the list but before any start.
func levels(e *estimate.Estimate, list []jobs.Reading) []estimate.Reading {
	main, _ := e.Main("")
	out := make([]estimate.Reading, len(list))
	for i, r := range list {
		out[i] = estimate.Reading{At: r.At.Unix(), Below: r.BelowTileUM}
		if r.SubjectID != "" && r.SubjectID != main.Body {
			out[i].At = -1 << 60
		}
	}
	return out
}

// pumpingHours are the water hours of a pool's days but for the closures that
// stop pumping there.
func pumpingHours(rules jobs.PlanningSettings, closures []jobs.Closure, site jobs.Site, zone *time.Location, first, last jobs.Day) []jobs.Stretch {
	return jobs.Without(jobs.HoursBetween(rules.WaterHours, first, last, zone), noPumping(closures, site.ID, site.Postcode))
}

func noPumping(closures []jobs.Closure, siteID, postcode string) []jobs.Stretch {
	var out []jobs.Stretch
	for _, c := range closures {
		here := c.Kind == jobs.ClosureEverything || c.Kind == jobs.ClosureSite && siteID != "" && c.SiteID == siteID ||
			c.Kind == jobs.ClosureArea && postcode != "" && jobs.FoldKey(c.Area) == jobs.FoldKey(postcode)
		if here && c.StopsPumping {
			out = append(out, jobs.Stretch{From: c.FromAt, To: c.ToAt})
		}
	}
	return out
}

// predict fills in what the readings say of a pool that drains: when it is low,
// with its band, and which readings were put aside.
func predict(tx *store.Tx, branchID string, k knowing, start time.Time, f *jobs.PrepFacts) (reached bool, err error) {
	n := len(f.Readings)
	target, ok := lowLevel(k.estimate)
	if n == 0 || !ok {
		return false, nil
	}
	rules, err := tx.Settings(branchID)
	if err != nil {
		return false, err
	}
	r := running{Start: start, Said: !start.IsZero(), Readings: f.Readings}
	begin, _ := r.begin()
	zone, err := time.LoadLocation(k.site.Zone)
	if err != nil {
		zone = time.UTC
	}
	closures, err := tx.Closures(branchID, begin, begin.Add(dry*24*time.Hour))
	if err != nil {
		return false, err
	}
	first := jobs.DayOf(begin, zone)
	r.Hours = pumpingHours(rules.Settings.Planning, closures, k.site, zone, first, first.Add(dry))
	out, _, ok := refit(k.estimate, r)
	if !ok { // no estimate of this drain: the straight line through the readings
		if at, ok := jobs.LowAt(f.Readings, target); ok {
			f.LowAt = &at
		}
		return f.Readings[n-1].BelowTileUM >= target, nil
	}
	f.Doubt = doubtSays(out)
	if out.Known && out.Used > 0 {
		f.LowAt, f.LowEarly, f.LowLate = unix(out.LowAt.Median), unix(out.LowAt.Early), unix(out.LowAt.Late)
	}
	main, _ := k.estimate.Main("")
	for i := n - 1; i >= 0; i-- {
		if id := f.Readings[i].SubjectID; id != "" && id != main.Body {
			continue
		}
		aside := slices.ContainsFunc(out.Doubts, func(d estimate.Doubt) bool { return d.Index == i })
		return f.Readings[i].BelowTileUM >= target && !aside && !out.Contradict, nil
	}
	return false, nil
}

func doubtSays(r estimate.Refitted) string {
	switch {
	case r.Contradict:
		return "The readings contradict each other: have the level read again."
	case !r.Known && r.Used > 0:
		return "By its readings the water hardly falls: look whether it is pumping."
	case len(r.Doubts) == 1:
		return "One reading was put aside (" + r.Doubts[0].Why + "): have it read again."
	case len(r.Doubts) > 1:
		return "Some readings do not fit the others and were put aside: have the level read again."
	}
	return ""
}

func unix(s int64) *time.Time {
	at := time.Unix(s, 0).UTC()
	return &at
}
