package desk

import (
	"time"

	"ebbline/jobs"
)

// onTheWay is how late a report of leaving may come in and still be news for
// the next customer.
const onTheWay = 30 * time.Minute

// tell writes the notices that follow from a visit's new state: how to use the
// lights once they are commissioned, and to the next customer that the crew
// has left.
func (b *batch) tell(was, v jobs.Visit) error {
	if v.State != jobs.VisitDone || v.Outcome != string(jobs.OutcomeDone) || was.State == jobs.VisitDone {
		return nil
	}
	if v.Kind == jobs.VisitCommission {
		j := b.jobs[v.JobID]
		if err := b.d.tell(b.tx, j, b.call.Now, b.d.useTelling(j, b.call.Now)); err != nil {
			return err
		}
	}
	return b.tellNext(v)
}

// tellNext tells the customer of the crew's next stop, when the crew has just
// left this one for it and nobody was told before.
func (b *batch) tellNext(v jobs.Visit) error {
	here, ok := b.stops[v.ID]
	if late := b.call.Now.Sub(v.DoneAt); !ok || late > onTheWay || late < -jobs.PhoneClockSlack {
		return nil
	}
	stops, err := b.tx.StopsOfTour(here.TourID)
	if err != nil {
		return err
	}
	for _, s := range stops {
		if s.Place <= here.Place {
			continue
		}
		next, err := b.tx.Visit(s.VisitID)
		if err != nil {
			return err
		}
		if next.State != jobs.VisitRouted {
			continue
		}
		j, err := b.tx.Job(s.JobID)
		if err != nil || j.CustomerID == b.jobs[v.JobID].CustomerID {
			return err
		}
		told, err := b.tx.NoticeOfVisit(s.VisitID, jobs.NoticeOnTheWay)
		if err != nil || told {
			return err
		}
		drive := max(s.ArriveAt.Sub(here.EndAt), 0) // as planned; a lunch between counts in
		from := v.DoneAt.Add(drive)
		return b.d.tell(b.tx, j, b.call.Now, b.d.leftTelling(s.VisitID, from, from.Add(time.Hour)))
	}
	return nil
}
