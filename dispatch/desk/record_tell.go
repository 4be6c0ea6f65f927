package desk

import (
	"time"

	"ebbline/jobs"
)

// onTheWay is how late a report of leaving may come in and still be news for
// the next customer.
const onTheWay = 30 * time.Minute

// leaving is a visit that a crew has left.
type leaving struct {
	visit jobs.Visit
	at    time.Time
}

// noteTellings keeps what people must be told of a visit that was just settled;
// it is told once all visits of the batch are, for a phone that was offline
// reports on several stops at once.
func (b *batch) noteTellings(v jobs.Visit, r jobs.Record) {
	if v.Kind == jobs.VisitCommission && r.Outcome == jobs.OutcomeDone {
		b.use = append(b.use, v)
	}
	if r.LeftAt != nil {
		b.left = append(b.left, leaving{v, *r.LeftAt})
	}
}

// tell writes the notices that follow from the batch's visits: how to use the
// lights once they are commissioned, and to the next customer that the crew
// has left. Each is told once for a visit, however often it is reported.
func (b *batch) tell() error {
	for _, v := range b.use {
		told, err := b.tx.NoticeOfVisit(v.ID, jobs.NoticeHowToUse)
		if err == nil && !told {
			err = b.d.tell(b.tx, b.jobs[v.JobID], b.call.Now, b.d.useTelling(v.ID, b.call.Now))
		}
		if err != nil {
			return err
		}
	}
	for _, l := range b.left {
		if err := b.tellNext(l); err != nil {
			return err
		}
	}
	return nil
}

// tellNext tells the customer of the crew's next stop, when the crew has just
// left this one for it.
func (b *batch) tellNext(l leaving) error {
	here, ok := b.stops[l.visit.ID]
	if late := b.call.Now.Sub(l.at); !ok || late > onTheWay || late < -jobs.PhoneClockSlack {
		return nil
	}
	stops, err := b.tx.StopsOfTour(here.TourID)
	if err != nil {
		return err
	}
	var skipped time.Duration // the time that stops in between would have taken
	for _, s := range stops {
		if s.Place <= here.Place {
			continue
		}
		next, err := b.tx.Visit(s.VisitID)
		if err != nil {
			return err
		}
		switch next.State {
		case jobs.VisitUnderWay:
			return nil // the crew is there already
		case jobs.VisitRouted:
			drive := s.ArriveAt.Sub(here.EndAt) - skipped // as planned; a lunch between counts in
			return b.tellStop(l, s, next, l.at.Add(max(drive, 0)))
		}
		skipped += s.EndAt.Sub(s.ArriveAt)
	}
	return nil
}

// tellStop tells the customer of a stop when to expect the crew: not before the
// window that was promised.
func (b *batch) tellStop(l leaving, s jobs.Stop, next jobs.Visit, at time.Time) error {
	told, err := b.tx.NoticeOfVisit(s.VisitID, jobs.NoticeOnTheWay)
	if err != nil || told {
		return err
	}
	j, err := b.tx.Job(s.JobID)
	if err != nil || j.CustomerID == b.jobs[l.visit.JobID].CustomerID {
		return err
	}
	windows, err := b.tx.PromisesOf(s.VisitID)
	if err != nil {
		return err
	}
	if from := windows[s.VisitID].FromAt; at.Before(from) {
		at = from
	}
	return b.d.tell(b.tx, j, b.call.Now, b.d.leftTelling(next, at))
}
