package weeks

import (
	"math"
	"slices"

	"ebbline/dispatch/week"
)

// How lengths spread: log standard deviations in thousandths. They are common practice,
// no source, and draw nothing: a week of a seed is the same with and without them.
const (
	planned    = 800 // quantiles in thousandths
	late       = 900
	workDay    = 80
	trafficDay = 100
	waterDay   = 60
	oneDrive   = 180
	flowing    = 142 // the late quantile of a flow is 1.2 times its median
)

// kindSpreads are by kinds of visits: cords that stick have a long tail.
var kindSpreads = map[string]int64{"survey": 260, "call-back": 380, "circuit": 280, "inspect": 300, "drain": 220, "convert": 300, "commission": 260}

// uncertain states how the week's lengths spread. The medians follow from the planning
// quantiles that the visits have.
func (m *maker) uncertain() {
	drive := int64(oneDrive)
	m.w.Uncertainty = &week.Uncertainty{PlannedPermille: planned, LatePermille: late, EarlyPermille: 100, DrivePermille: 500,
		DriveLogSD: &drive, WorkDayLogSD: workDay, TrafficDayLogSD: trafficDay, WaterDayLogSD: waterDay}
	for j := range m.w.Jobs {
		job := &m.w.Jobs[j]
		arrives := job.Water != nil && job.Water.Way == week.WayArrival
		for n := range job.Visits {
			v := &job.Visits[n]
			own := v.Seconds
			if arrives && v.Water == week.NeedLow {
				own, arrives = max(own-job.Water.ArrivalSeconds, 60), false
			}
			if v.LogSD = kindSpreads[v.Kind]; v.LogSD == 0 {
				v.LogSD = 250
			}
			v.MedianSeconds = medianOf(own, planned, v.LogSD)
		}
	}
}

// medianOf is the median of a log-normal length of which a quantile is given.
func medianOf(seconds, permille, logSD int64) int64 {
	z := math.Sqrt2 * math.Erfinv(float64(2*permille-1000)/1000)
	return max(1, int64(math.Round(float64(seconds)*math.Exp(-z*float64(logSD)/1000))))
}

// drains notes how long the pumping takes of which the late quantile is given.
func drains(w *week.Water, seconds int64) {
	w.DrainMedian, w.DrainLogSD = medianOf(seconds, late, flowing), flowing
}

// fills lays the table of a refill and notes how long it takes.
func (m *maker) fills(w *week.Water, seconds, settle int64) {
	w.Covered = m.flow(seconds, settle)
	w.FillMedian, w.FillLogSD = medianOf(seconds, late, flowing), flowing
}

// certain is a copy of a week that says nothing of how its lengths spread.
func certain(w *week.Week) *week.Week {
	x := *w
	x.Uncertainty, x.Jobs = nil, slices.Clone(w.Jobs)
	for j := range x.Jobs {
		job := &x.Jobs[j]
		job.Visits = slices.Clone(job.Visits)
		for n := range job.Visits {
			job.Visits[n].MedianSeconds, job.Visits[n].LogSD = 0, 0
		}
		if job.Water != nil {
			wt := *job.Water
			wt.DrainMedian, wt.DrainLogSD, wt.FillMedian, wt.FillLogSD = 0, 0, 0, 0
			job.Water = &wt
		}
	}
	return &x
}
