package desk

import (
	"ebbline/dispatch/week"
	"ebbline/estimate"
)

// How drives and water spread by the day: log standard deviations in thousandths (common
// practice, no source; to be learned from what was done). A tenth of a drive's length is
// the day's traffic, whoever drives.
const (
	driveSpread   = 200
	trafficSpread = 100
	waterSpread   = 60
)

// mostSpread is the largest log standard deviation that a week takes.
const mostSpread = 3000

// uncertainty states what the lengths of the week share: by the settings that estimates
// are made with, whose drain and fill times are kept as their 10 and 90 % quantiles.
func (m *weekMaker) uncertainty() *week.Uncertainty {
	drive := int64(driveSpread)
	return &week.Uncertainty{PlannedPermille: min(max(m.facts.Labour.Quantile, 1), 999), LatePermille: 900, EarlyPermille: 100, DrivePermille: 500,
		DriveLogSD: &drive, WorkDayLogSD: min(max(m.facts.Labour.DayFactor, 0), mostSpread), TrafficDayLogSD: trafficSpread, WaterDayLogSD: waterSpread}
}

// spread states how a visit's own work spreads, as its estimate has it. Work that is
// parted, and a length that somebody set, keep the estimate's spread and its relation of
// median to planned length (lowering on arrival counted in: all parts together then take
// the estimated work). Without an estimate it is not known yet.
func (m *weekMaker) spread(v *week.Visit, e estimate.Visit) {
	plan := e.Plan.Value
	if !e.Plan.Known || !e.Median.Known || plan <= 0 || e.Median.Value <= 0 {
		return
	}
	v.MedianSeconds = min(max((v.Seconds*e.Median.Value+plan/2)/plan, 1), 86_400)
	v.LogSD = min(e.Spread, mostSpread)
}

// waterSpreads states how the pumping and the filling spread that the tables of a pool are
// made from.
func waterSpreads(w *week.Water, clock estimate.Clock) {
	if w.Way != week.WayWindow {
		w.DrainMedian, w.DrainLogSD = max(clock.Drain.Median, 1), min(clock.Drain.Spread(), mostSpread)
	}
	w.FillMedian, w.FillLogSD = max(clock.Cover.Median, 1), min(clock.Cover.Spread(), mostSpread)
}
