package main

import (
	"runtime"

	"ebbline/dispatch/odds"
)

// oddsCalls is how often a thousand weeks are lived through; the median counts.
const oddsCalls = 9

// actsOdds measures living through a thousand weeks, on one core, in processor time.
func (b *bench) actsOdds(on *actsOn, r *acts) error {
	runtime.LockOSThread() // its processor time is counted
	defer runtime.UnlockOSThread()
	var t timed
	var o *odds.Odds
	for n := range oddsCalls {
		if err := t.call(func() (err error) {
			o, err = odds.Simulate(on.w, on.p, odds.Ask{Seed: b.run + int64(n), Runs: 1000})
			return err
		}); err != nil {
			return err
		}
	}
	tight := 0
	for _, p := range o.Promises {
		if p.Kept.Face() == odds.FaceTight {
			tight++
		}
	}
	x := percentile(t.cpu, 50)
	on.say("odds: 1,000 weeks of %d visits, processor p50 %.1f most %.1f ms, wall p50 %.1f ms; %d of %d promises tight, overtime %.1f h (error %.1f), %.2f visits fail, %.2f calls",
		len(o.Visits), x, percentile(t.cpu, 100), percentile(t.wall, 50), tight, len(o.Promises), float64(o.Overtime.Milli)/3.6e6, float64(o.Overtime.ErrorMilli)/3.6e6,
		float64(o.Failed.Milli)/1000, float64(o.Calls.Milli)/1000)
	r.Odds = &x
	return nil
}
