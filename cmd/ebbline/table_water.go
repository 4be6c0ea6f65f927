package main

import (
	"sort"

	"ebbline/dispatch/week"
)

// pools writes the water of every placed job: when draining starts and by whom,
// when the lights are free of water, and when they are covered again.
func (s *sheet) pools() {
	type row struct {
		from int64
		text string
	}
	var rows []row
	for i := range s.plan.Water {
		water := &s.plan.Water[i]
		j, ok := s.index.Job[water.Job]
		if !ok || s.week.Jobs[j].Water == nil {
			continue
		}
		job := &s.week.Jobs[j]
		from, start := s.drainStart(job)
		low := water.SurelyLow
		if job.Water.Way == week.WayArrival && low == nil {
			after := from + job.Water.ArrivalSeconds
			low = &after
		}
		rows = append(rows, row{from, name(job.ID, job.Label) + "\t" + start + "\t" + s.instant(low) + "\t" +
			s.instant(water.FillFrom) + "\t" + s.instant(water.CoveredBy) + "\t" + s.instant(water.Limit)})
	}
	if len(rows) == 0 {
		return
	}
	sort.SliceStable(rows, func(i, k int) bool { return rows[i].from < rows[k].from })
	s.heading("Pools")
	lines := []string{"job\tdraining starts\tsurely low\tfill from\tcovered by\tmust be covered by"}
	for _, r := range rows {
		lines = append(lines, r.text)
	}
	s.rows(lines)
	s.line("  Do not empty a pool below the planned level. Follow the local code and the manufacturer's instructions;")
	s.line("  electrical work by a licensed person; the authority having jurisdiction decides.")
}

// drainStart says when and by whom a pool is drained, and from when on, for the
// order of the rows.
func (s *sheet) drainStart(job *week.Job) (int64, string) {
	water := job.Water
	if water.DrainedAt != nil {
		return *water.DrainedAt, s.dayHour(*water.DrainedAt) + ", begun"
	}
	switch water.Way {
	case week.WayPump, week.WayOutlet:
		if stop := s.stopOf(water.DrainVisit); stop != nil {
			by := " by a crew's pump"
			if water.Way == week.WayOutlet {
				by = " by the pool's outlet"
			}
			return stop.End, s.dayHour(stop.End) + by
		}
	case week.WayCustomer:
		for _, told := range s.plan.Told {
			if told.Job == job.ID {
				return told.Earliest, s.dayHour(told.Earliest) + " to " + s.dayHour(told.Latest) + " by the customer"
			}
		}
	case week.WayArrival:
		for i := range job.Visits {
			if stop := s.stopOf(job.Visits[i].ID); stop != nil && job.Visits[i].Water == week.NeedLow {
				return stop.Start, s.dayHour(stop.Start) + " on arrival"
			}
		}
	case week.WayWindow:
		if water.Window != nil {
			return water.Window.From, "low " + s.dayHour(water.Window.From) + " to " + s.dayHour(water.Window.To)
		}
	}
	return s.week.End, "not planned"
}

func (s *sheet) instant(second *int64) string {
	if second == nil {
		return "-"
	}
	return s.dayHour(*second)
}

// stopOf finds the stop of a visit in the plan, or nil.
func (s *sheet) stopOf(visit string) *week.Stop {
	for i := range s.plan.Tours {
		for k := range s.plan.Tours[i].Stops {
			if stop := &s.plan.Tours[i].Stops[k]; stop.Visit == visit {
				return stop
			}
		}
	}
	return nil
}
