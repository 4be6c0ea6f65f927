package main

import (
	"slices"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
)

// dayStop is a stop of a day with its crew.
type dayStop struct {
	desk.StopView
	crew string
}

// stopsOf are the stops of a day as they hold now, in the order of their starts.
func (d *demoDay) stopsOf(day jobs.Day) ([]dayStop, error) {
	week, err := d.desk.Week(d.ctx, d.branch, day, 1)
	if err != nil {
		return nil, err
	}
	var out []dayStop
	for _, l := range week.Lanes {
		for _, c := range l.Days {
			for _, s := range c.Stops {
				out = append(out, dayStop{s, l.CrewID})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b dayStop) int { return a.StartAt.Compare(b.StartAt) })
	return out, nil
}

// liveUntil lets the crews work as they were told, up to an instant: each says
// when it has come and when it is done.
func (d *demoDay) liveUntil(until time.Time) error {
	for {
		stops, err := d.stopsOf(d.days.first)
		if err != nil {
			return err
		}
		next, at, ok := nextOf(stops)
		if at = latest(at, d.desk.Now()); !ok || at.After(until) {
			return d.passTo(until)
		}
		if err := d.passTo(at); err != nil {
			return err
		}
		if next.State == jobs.VisitRouted {
			err = d.come(next)
		} else {
			err = d.report(next.crew, d.days.first, next.VisitID, next.StartAt)
		}
		if err != nil {
			return err
		}
	}
}

// nextOf is what happens next: the first stop of a crew's day that is not over
// begins, or ends.
func nextOf(stops []dayStop) (next dayStop, at time.Time, ok bool) {
	busy := map[string]bool{}
	for _, s := range stops {
		if busy[s.crew] || s.State != jobs.VisitRouted && s.State != jobs.VisitUnderWay {
			continue
		}
		busy[s.crew] = true
		then := s.StartAt
		if s.State == jobs.VisitUnderWay {
			then = s.EndAt
		}
		if !ok || then.Before(at) {
			next, at, ok = s, then, true
		}
	}
	return next, at, ok
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// come reports that a crew is at its stop.
func (d *demoDay) come(s dayStop) error {
	call := d.office()
	var err error
	if call.Actor, err = d.tech(s.crew); err != nil {
		return err
	}
	note := &demoNote{fill: d.demoFill, visit: s.VisitID, from: call.Now, to: call.Now}
	note.add(jobs.Operation{Kind: jobs.OpArrived})
	_, err = d.desk.RecordField(d.ctx, call, note.ops)
	return err
}
