package server

import (
	"context"
	"strconv"

	"ebbline/dispatch/desk"
	"ebbline/server/api"
)

// GET /day-now. Office.
func (h *handlers) ShowDayNow(ctx context.Context, r api.ShowDayNowRequestObject) (api.ShowDayNowResponseObject, error) {
	d, err := h.s.Desk.DayNow(ctx, r.Params.BranchID)
	if err != nil {
		return nil, err
	}
	return api.ShowDayNow200JSONResponse{BranchID: d.BranchID, Zone: d.Zone, Day: string(d.Day), Now: d.Now, PlanNumber: d.PlanNumber,
		Crews: mapped(d.Crews, toDayCrew), Late: mapped(d.Late, toDayStop), Says: d.Says}, nil
}

// POST /day-now/late. Office.
func (h *handlers) TellLate(ctx context.Context, r api.TellLateRequestObject) (api.TellLateResponseObject, error) {
	out, err := h.s.Desk.TellLate(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.Body.BranchID)
	if err != nil {
		return nil, err
	}
	visits, err := strconv.ParseInt(out.Note, 10, 64)
	return api.TellLate200JSONResponse{Visits: visits}, err
}

func toDayCrew(c desk.DayCrew) api.DayCrew {
	return api.DayCrew{CrewID: c.CrewID, CrewName: c.CrewName, Stops: mapped(c.Stops, toDayStop), PlannedReturnAt: opt(c.PlannedReturn),
		ExpectedReturnAt: opt(c.ExpectedReturn), OvertimeSeconds: c.Overtime, Says: c.Says}
}

func toDayStop(s desk.DayStop) api.DayStop {
	return api.DayStop{VisitID: s.VisitID, Kind: api.VisitKindID(s.Kind), JobID: s.JobID, JobNumber: s.JobNumber, CustomerName: s.CustomerName,
		SiteName: s.SiteName, State: string(s.State), PlannedAt: s.PlannedAt, ExpectedAt: s.ExpectedAt, ExpectedEndAt: s.ExpectedEnd,
		BehindSeconds: s.Behind, PromiseFrom: opt(s.PromiseFrom), PromiseTo: opt(s.PromiseTo), LateSeconds: s.Late, WaitsFor: opt(s.WaitsFor), Says: s.Says}
}
