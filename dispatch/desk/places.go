package desk

import (
	"context"
	"fmt"
	"time"

	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// Places are all spots for a visit that is held, the cheapest first. Its job's
// other visits keep their orders and shift in time.
type Places struct {
	View    ViewRef
	VisitID string
	Items   []Spot
	Says    string
}

// Spot is one of them.
type Spot struct {
	CrewID       string
	CrewName     string
	Day          jobs.Day
	AfterVisitID string // empty: first of what has not begun
	StartAt      time.Time
	EndAt        time.Time
	Delta        jobs.Cents
	Deltas       []jobs.CostHead
}

// Places lists where a planned visit could go. CodeInvalid, CodeNotFound,
// CodeConflict.
func (d *Desk) Places(ctx context.Context, ref ViewRef, visitID string) (Places, error) {
	v, err := d.view(ctx, ref, "")
	if err != nil {
		return Places{}, err
	}
	out := Places{View: v.ref, VisitID: visitID}
	if _, _, ok := v.stopOf(visitID); !ok {
		return out, jobs.Faults{{Field: "visit_id", Value: visitID, Want: "a visit that is planned; for a job that is left out, try job_in or ask for offers"}}.Err()
	}
	list, err := v.warm.Places(visitID)
	if err != nil {
		return out, v.tryError(err, jobs.WeekChange{VisitID: visitID}, "")
	}
	for _, s := range list {
		x := Spot{AfterVisitID: s.After, StartAt: v.at(s.Start), EndAt: v.at(s.Start + v.seconds(visitID)), Delta: jobs.Cents(s.Delta.Total),
			Deltas: headDeltas(week.Cost{}, s.Delta)}
		x.CrewID, x.CrewName, x.Day = v.names.tour(s.Tour)
		out.Items = append(out.Items, x)
	}
	out.Says = v.placesSay(out)
	return out, nil
}

func (v *looked) placesSay(p Places) string {
	who := upper(of(v.names.visit[p.VisitID]))
	if len(p.Items) == 0 {
		return who + " fits nowhere but where it lies."
	}
	best := p.Items[0]
	return fmt.Sprintf("%s fits at %s; the cheapest is %s with %s, %s.", who, plural(int64(len(p.Items)), "place"), v.say(best.StartAt), best.CrewName,
		more(int64(best.Delta)))
}
