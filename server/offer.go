package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/server/api"
)

// GET /jobs/{id}/offers. Office.
func (h *handlers) ListOffers(ctx context.Context, r api.ListOffersRequestObject) (api.ListOffersResponseObject, error) {
	o, err := h.s.Desk.Offer(ctx, desk.OfferAsk{JobID: r.ID, VisitID: val(r.Params.VisitID), Most: val(r.Params.Most), WidthMinutes: val(r.Params.WidthMinutes)})
	if err != nil {
		return nil, err
	}
	out := api.ListOffers200JSONResponse{JobID: o.Job.ID, JobNumber: o.Job.Number, CustomerName: o.Job.CustomerName, SiteName: o.Job.SiteName,
		VisitID: o.VisitID, Zone: o.Zone, FirstDay: string(o.FirstDay), Days: o.Days, PlanNumber: o.PlanNumber, Holds: o.Holds,
		Windows: mapped(o.Windows, toOfferWindow)}
	if o.Earliest != nil {
		x := toOfferWindow(*o.Earliest)
		out.Earliest = &x
	}
	return out, nil
}

func toOfferWindow(w desk.OfferWindow) api.OfferWindow {
	return api.OfferWindow{FromAt: w.FromAt, ToAt: w.ToAt, CrewID: w.CrewID, CrewName: w.CrewName, StartAt: w.StartAt, DeltaCents: int64(w.Delta),
		Deltas: mapped(w.Deltas, toCostHead), Stops: mapped(w.Stops, toMovedVisit), ToldFromAt: opt(w.ToldFrom), ToldToAt: opt(w.ToldTo), Says: w.Says}
}
