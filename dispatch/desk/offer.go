package desk

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// offerDays is how far ahead windows are offered.
const offerDays = 14

// MaxOffers bounds how many windows are offered at once.
const MaxOffers = 20

// OfferAsk asks for windows of a job. Zero values: the last visit that may not
// wait, five windows, as wide as the settings have them.
type OfferAsk struct {
	JobID        string
	VisitID      string
	Most         int64
	WidthMinutes int64
}

// Offers are windows that can be promised for a job in the next two weeks, the
// cheapest first. No promise is moved by any of them.
type Offers struct {
	Job        jobs.Job
	VisitID    string
	Zone       string
	FirstDay   jobs.Day
	Days       int64
	PlanNumber int64
	Windows    []OfferWindow
	Earliest   *OfferWindow
	Holds      string // what keeps it from being earlier, or from fitting at all
}

// OfferWindow is one of them.
type OfferWindow struct {
	FromAt, ToAt     time.Time
	CrewID           string
	CrewName         string
	StartAt          time.Time // as planned
	Delta            jobs.Cents
	Deltas           []jobs.CostHead
	Stops            []jobs.MovedVisit
	ToldFrom, ToldTo time.Time // the customer starts the drain; zero: does not
	Says             string
}

// Offer finds the cheapest arrival windows for a job that is not in the plan,
// as things stand, around what was handed out and the windows held for others.
// CodeInvalid, CodeNotFound, CodeConflict (it is in the plan, can't be planned
// yet, or a window is held for it).
func (d *Desk) Offer(ctx context.Context, ask OfferAsk) (Offers, error) {
	out, _, err := d.offer(ctx, ask)
	return out, err
}

func (d *Desk) offer(ctx context.Context, ask OfferAsk) (Offers, *looked, error) {
	var f jobs.Faults
	f.Check(ask.Most >= 0 && ask.Most <= MaxOffers, "most", itoa(int(ask.Most)), "1 to "+itoa(MaxOffers))
	f.Check(ask.WidthMinutes == 0 || ask.WidthMinutes >= 30 && ask.WidthMinutes <= 720, "width_minutes", itoa(int(ask.WidthMinutes)), "30 to 720 minutes")
	if err := f.Err(); err != nil {
		return Offers{}, nil, err
	}
	job, err := read(ctx, d, func(tx *store.Tx) (jobs.Job, error) { return tx.Job(ask.JobID) })
	if err != nil {
		return Offers{}, nil, err
	}
	out := Offers{Job: job, Days: offerDays}
	v, err := d.viewOf(ctx, viewAsk{ref: ViewRef{BranchID: job.BranchID}, now: d.Now(), days: offerDays})
	if err != nil {
		return out, nil, err
	}
	out.Zone, out.FirstDay, out.PlanNumber = v.zone.String(), v.first, v.ref.PlanNumber
	w, err := d.offerJob(ctx, v, job)
	if err != nil {
		return out, nil, err
	}
	if out.VisitID = ask.VisitID; out.VisitID == "" {
		out.VisitID = offeredVisit(w)
	} else if !slices.ContainsFunc(w.Visits, func(x week.Visit) bool { return x.ID == out.VisitID }) {
		return out, nil, jobs.Faults{{Field: "visit_id", Value: ask.VisitID, Want: "a visit of the job that is still to come"}}.Err()
	}
	width := ask.WidthMinutes * 60
	if width == 0 {
		width = v.rules.WindowMinutes * 60
	}
	got, err := v.warm.Offer(dispatch.OfferAsk{Job: job.ID, Visit: out.VisitID, Most: int(ask.Most), Width: width})
	if err != nil {
		return out, nil, v.tryError(err, jobs.WeekChange{JobID: job.ID, VisitID: out.VisitID}, "")
	}
	for _, x := range got.Windows {
		out.Windows = append(out.Windows, v.window(x, out.VisitID))
	}
	if got.Earliest != nil {
		x := v.window(*got.Earliest, out.VisitID)
		out.Earliest = &x
	}
	out.Holds = got.Holds
	return out, v, nil
}

// offerJob finds the job in the week, or says why nothing can be offered.
func (d *Desk) offerJob(ctx context.Context, v *looked, job jobs.Job) (*week.Job, error) {
	held, err := read(ctx, d, func(tx *store.Tx) ([]jobs.Hold, error) { return tx.LiveHolds(job.BranchID, d.Now()) })
	if err != nil {
		return nil, err
	}
	for _, h := range held {
		if h.JobID != job.ID {
			continue
		}
		if h.State == jobs.HoldBooked {
			return nil, jobs.Errorf(jobs.CodeConflict, "%s is booked for job %d; let that go first", upper(v.windowWords(h.FromAt, h.ToAt)), job.Number)
		}
		return nil, jobs.Errorf(jobs.CodeConflict, "%s is held for job %d until %s; book it or let it go first", upper(v.windowWords(h.FromAt, h.ToAt)), job.Number,
			clockOf(h.UntilAt, v.zone))
	}
	for _, k := range v.out {
		if k.Job.ID == job.ID {
			return nil, jobs.Errorf(jobs.CodeConflict, "Job %d can't be planned yet: %s", job.Number, strings.Join(k.Reasons, "; "))
		}
	}
	i := slices.IndexFunc(v.w.Jobs, func(j week.Job) bool { return j.ID == job.ID })
	if i < 0 {
		return nil, jobs.Errorf(jobs.CodeConflict, "Job %d is %s: no visit of it waits for a crew in the next two weeks", job.Number, job.State.Label())
	}
	if !slices.ContainsFunc(v.p.LeftOut, func(l week.LeftOut) bool { return l.Job == job.ID }) {
		return nil, jobs.Errorf(jobs.CodeConflict, "Job %d is in the plan already; try to move it instead", job.Number)
	}
	return &v.w.Jobs[i], nil
}

// offeredVisit is the visit whose arrival is offered where nobody says: the last
// one that may not be left for later.
func offeredVisit(j *week.Job) string {
	for i := len(j.Visits) - 1; i > 0; i-- {
		if !j.Visits[i].MayOwe {
			return j.Visits[i].ID
		}
	}
	return j.Visits[0].ID
}

func (v *looked) windowWords(from, to time.Time) string {
	return v.say(from) + " to " + clockOf(to, v.zone)
}

func (v *looked) window(x dispatch.Window, visitID string) OfferWindow {
	out := OfferWindow{FromAt: v.at(x.From), ToAt: v.at(x.To), StartAt: v.at(x.Start), Delta: jobs.Cents(x.Delta.Total), Deltas: headDeltas(week.Cost{}, x.Delta),
		Stops: v.movedAll(x.Stops)}
	out.CrewID, out.CrewName, _ = v.names.tour(x.Tour)
	out.Says = fmt.Sprintf("%s with %s for %s, %s", v.windowWords(out.FromAt, out.ToAt), out.CrewName, of(v.names.visit[visitID]), more(int64(out.Delta)))
	if x.Told != nil {
		out.ToldFrom, out.ToldTo = v.at(x.Told.Earliest), v.at(x.Told.Latest)
		out.Says += "; the customer starts the drain " + v.windowWords(out.ToldFrom, out.ToldTo)
	}
	return out
}
