package dispatch

import (
	"fmt"

	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// What is asked for where a question does not say.
const (
	offerMost  = 5
	offerWidth = 7200
	offerStep  = 1800
)

// Offer gives the cheapest arrival windows for a job that is not in the plan, in the order
// of their costs: of each crew's day one at the most, and none that overlaps a cheaper one.
// The job goes in between the stops as they are; no promise that the plan keeps is broken
// and no interval that was sent is moved. Each window begins on the last whole step before
// the planned arrival.
//
// All chains of visits are looked at whose least cost may be cheap enough; of a very large
// week, several thousand of them at the most.
//
// An error names the field, its value and what would be right.
func (a *Warm) Offer(ask OfferAsk) (Offers, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	s, q, err := a.offerOf(&ask)
	if err != nil {
		return Offers{}, err
	}
	got := s.Offer(q)
	say := &speaker{w: s.Given(), s: s}
	out := Offers{Windows: []Window{}}
	for i := range got.Windows {
		out.Windows = append(out.Windows, say.window(&got.Windows[i], q.Job))
	}
	if got.Earliest == nil {
		switch {
		case !got.Whole:
			out.Holds = "Nothing was found; not every way of making its visits could be looked at."
		case len(got.Limits) > 0:
			out.Holds = say.text(&got.Limits[0])
		default:
			out.Holds = "It does not fit."
		}
		return out, nil
	}
	first := say.window(got.Earliest, q.Job)
	for i := range out.Windows { // one window has one price, though its cheapest start is not its first
		if out.Windows[i].From == first.From && out.Windows[i].To == first.To {
			first = out.Windows[i]
		}
	}
	out.Earliest, out.Holds = &first, got.Holds
	return out, nil
}

// offerOf finds the job that is asked for, laid out in its week.
func (a *Warm) offerOf(ask *OfferAsk) (s *search.Warm, q search.OfferAsk, err error) {
	q = search.OfferAsk{Most: ask.Most, Width: ask.Width, Step: ask.Step}
	if q.Most == 0 {
		q.Most = offerMost
	}
	if q.Width == 0 {
		q.Width = offerWidth
	}
	if q.Step == 0 {
		q.Step = min(offerStep, q.Width)
	}
	switch {
	case q.Most < 1 || q.Most > 100:
		return nil, q, fault("most", ask.Most, "1 to 100 windows")
	case q.Width < 60 || q.Width > 86_400:
		return nil, q, fault("width", ask.Width, "60 to 86,400 seconds")
	case q.Step < 60 || q.Step > q.Width:
		return nil, q, fault("step", ask.Step, fmt.Sprintf("60 to %d seconds, the width", q.Width))
	case (ask.Job == "") == (ask.New == nil):
		return nil, q, fault("job", ask.Job, "a job that is left out, or new: one of them")
	}
	s = a.s
	if ask.New != nil {
		var w *week.Week
		if s, w, err = a.withNew(ask.New, ""); err != nil {
			return nil, q, err
		}
		q.Job = len(w.Jobs) - 1
	} else {
		j, ok := a.ix.Job[ask.Job]
		switch {
		case !ok:
			return nil, q, fault("job", ask.Job, "the id of a job of the week")
		case s.Placed(j):
			return nil, q, fault("job", ask.Job, "a job that is left out; it is in the plan")
		}
		q.Job = j
	}
	q.Visit, err = arrivalOf(&s.Given().Jobs[q.Job], ask.Visit, s)
	return s, q, err
}

// arrivalOf is the visit whose arrival is offered.
func arrivalOf(job *week.Job, id string, s *search.Warm) (int, error) {
	last := ""
	for i := range job.Visits {
		if !job.Visits[i].MayOwe {
			last = job.Visits[i].ID
		}
		if job.Visits[i].ID == id {
			last = id
			break
		}
	}
	if id != "" && last != id {
		return 0, fault("visit", id, "a visit of the job")
	}
	v, _ := s.VisitNo(last)
	return v, nil
}

// window says a window in the week's names.
func (x *speaker) window(w *search.Window, job int) Window {
	out := Window{From: w.From, To: w.To, Tour: x.w.Tours[w.Tour].ID, Start: w.Start, Delta: w.Delta, Stops: []MovedVisit{}}
	for _, m := range w.Stops {
		s := MovedVisit{Visit: x.visitID(m.Visit), Start: m.Start}
		if m.Tour >= 0 {
			s.Tour = x.w.Tours[m.Tour].ID
		}
		out.Stops = append(out.Stops, s)
	}
	if w.Told != nil {
		out.Told = &week.Told{Job: x.w.Jobs[job].ID, Earliest: w.Told.Earliest, Latest: w.Told.Latest}
	}
	return out
}
