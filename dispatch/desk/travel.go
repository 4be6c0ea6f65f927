package desk

import (
	"slices"

	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// drives says how a branch's drives are measured: by a road file's roads, or,
// where table is nil, by straight lines.
type drives struct {
	table  *roadTable
	learnt learnt
}

// spot is a place of a week; nobody looks for parking at a yard.
type spot struct {
	at   point
	yard bool
}

// legs are the drives between the places of a week: row from, column to.
type legs struct {
	seconds, metres [][]int64
	offRoad         []bool // by place: no road reaches it, its drives are straight lines
	byRoad          bool   // there are roads
}

// straight says whether a drive was measured by straight line.
func (l legs) straight(from, to int) bool { return !l.byRoad || l.offRoad[from] || l.offRoad[to] }

// drivesOf finds out how a branch drives.
func (d *Desk) drivesOf(tx *store.Tx, f *weekFacts) (drives, error) {
	out := drives{table: d.tableFor(f.Homes)}
	if out.table == nil {
		return out, nil
	}
	var err error
	out.learnt, err = d.learntOf(tx, f, out.table)
	return out, err
}

// legs measures the drives between places. By road: the quickest way, times what
// was learnt, and parking; else the straight line times a factor. Two places at
// one spot are 0 apart.
func (f *weekFacts) legs(places []spot) legs {
	at := make([]point, len(places))
	for i, p := range places {
		at[i] = p.at
	}
	out := legs{offRoad: make([]bool, len(places))}
	out.seconds, out.metres = lineTravel(at, f.Rules.RoadFactorPermille, f.Rules.SpeedKmPerHour)
	if f.Drives.table == nil {
		return out
	}
	seconds, metres, off := f.Drives.table.between(at)
	out.offRoad, out.byRoad = off, true
	for i := range at {
		for k := range at {
			if at[i] == at[k] || seconds[i][k] < 0 {
				continue
			}
			s := f.Drives.learnt.over(seconds[i][k])
			if !places[k].yard {
				s += f.Rules.ParkingSeconds
			}
			out.seconds[i][k], out.metres[i][k] = s, metres[i][k]
		}
	}
	return out
}

// longest is what a drive takes at the slowest hour.
func (f *weekFacts) longest(seconds int64) int64 {
	slowest := int64(1000)
	for _, p := range f.Rules.TravelPeriods {
		slowest = min(slowest, p.SpeedPermille)
	}
	return (seconds*1000 + slowest - 1) / slowest
}

// travel states the drives between the week's places, and the hours in which
// traffic is not the usual.
func (m *weekMaker) travel(places []spot) {
	l := m.facts.legs(places)
	m.w.Travel.Seconds, m.w.Travel.Metres = l.seconds, l.metres
	if t := m.facts.Drives.table; t != nil {
		m.w.Travel.Roads = t.name()
		for i := range m.w.Places {
			m.w.Places[i].OffRoad = l.offRoad[i]
		}
	}
	m.w.Travel.Periods = m.periods()
}

// periods lays the settings' hours over the horizon, and a day beyond it, for
// who comes home late.
func (m *weekMaker) periods() []week.Period {
	var out []week.Period
	f := m.facts
	step := func(at, permille int64) {
		if n := len(out); n > 0 && out[n-1].From == at {
			out[n-1].Permille = permille
			return
		}
		out = append(out, week.Period{From: at, Permille: permille})
	}
	for d := range f.Days + 1 {
		day := f.FirstDay.Add(d)
		for _, p := range f.Rules.TravelPeriods {
			if p.Weekday == int(day.Weekday()) {
				step(m.sec(jobs.MinuteOf(day, p.FromMinute, f.Zone)), p.SpeedPermille)
				step(m.sec(jobs.MinuteOf(day, p.ToMinute, f.Zone)), 1000)
			}
		}
	}
	// A step to the speed that holds already says nothing.
	last := int64(1000)
	return slices.DeleteFunc(out, func(p week.Period) bool {
		same := p.Permille == last
		last = p.Permille
		return same
	})
}
