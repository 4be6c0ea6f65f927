package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/server/api"
)

// GET /odds. Office.
func (h *handlers) ShowOdds(ctx context.Context, r api.ShowOddsRequestObject) (api.ShowOddsResponseObject, error) {
	o, err := h.s.Desk.Odds(ctx, viewOf(r.Params.DraftID, r.Params.BranchID, r.Params.PlanNumber), val(r.Params.Runs), val(r.Params.Seed))
	if err != nil {
		return nil, err
	}
	return api.ShowOdds200JSONResponse{View: toViewRef(o.View), Runs: o.Runs, Seed: o.Seed, Standing: api.OddsStanding(o.Standing),
		KeptPermille: o.Kept, LeastPermille: o.Least, OvertimeSeconds: o.Overtime, OvertimeMarginSeconds: o.Margin,
		NotKnown: opt(o.NotKnown), Says: o.Says, Promises: mapped(o.Promises, toOddsPromise), Pools: mapped(o.Pools, toOddsPool),
		Days: mapped(o.Days, toOddsDay)}, nil
}

func toOddsPromise(p desk.OddsPromise) api.OddsPromise {
	return api.OddsPromise{VisitID: p.VisitID, Kind: api.VisitKindID(p.Kind), JobID: p.JobID, JobNumber: p.JobNumber, CustomerName: p.CustomerName,
		SiteName: p.SiteName, FromAt: p.FromAt, ToAt: p.ToAt, KeptPermille: p.Kept, MarginPermille: p.Margin,
		Standing: api.OddsPromiseStanding(p.Standing), ShortSeconds: p.Short}
}

func toOddsPool(p desk.OddsPool) api.OddsPool {
	return api.OddsPool{JobID: p.Job.ID, JobNumber: p.Job.Number, CustomerName: p.Job.CustomerName, SiteName: p.Job.SiteName, LowPermille: p.Low,
		MarginPermille: p.Margin, Standing: api.OddsPoolStanding(p.Standing), ShortSeconds: p.Short}
}

func toOddsDay(d desk.OddsDay) api.OddsDay {
	return api.OddsDay{CrewID: d.CrewID, CrewName: d.CrewName, Day: string(d.Day), OvertimeSeconds: d.Overtime, OvertimeMarginSeconds: d.Margin,
		ReturnHalfAt: d.HalfAt, ReturnLateAt: d.LateAt, Standing: api.OddsDayStanding(d.Standing)}
}
