package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /plans. Office.
func (h *handlers) ListPlans(ctx context.Context, r api.ListPlansRequestObject) (api.ListPlansResponseObject, error) {
	list, err := h.s.Desk.Plans(ctx, r.Params.BranchID, page(r.Params.After, r.Params.Limit))
	if err != nil {
		return nil, err
	}
	return api.ListPlans200JSONResponse{Items: mapped(list.Items, toPlan), Next: opt(list.Next)}, nil
}

// GET /weeks/{first_day}. Office.
func (h *handlers) ShowWeek(ctx context.Context, r api.ShowWeekRequestObject) (api.ShowWeekResponseObject, error) {
	v, err := h.s.Desk.Week(ctx, r.Params.BranchID, jobs.Day(r.FirstDay), val(r.Params.Days))
	if err != nil {
		return nil, err
	}
	return api.ShowWeek200JSONResponse(toWeekView(v)), nil
}

func toPlan(x jobs.Plan) api.Plan {
	return api.Plan{Number: x.Number, BranchID: x.BranchID, FirstDay: string(x.FirstDay), Days: x.Days, CostCents: int64(x.Cost),
		HandedOutAt: x.HandedOutAt, HandedOutBy: x.HandedOutBy, DraftID: x.DraftID, Notices: x.NoticesCount}
}

func toWeekView(v desk.WeekView) api.WeekView {
	return api.WeekView{BranchID: v.BranchID, Zone: v.Zone, FirstDay: string(v.FirstDay), Days: v.Days, FromAt: v.From, ToAt: v.To, Now: v.Now,
		PlanNumber: opt(v.PlanNumber), DraftID: opt(v.DraftID), DayStarts: v.DayStarts, Lanes: mapped(v.Lanes, toLane),
		Strips: mapped(v.Strips, toStrip), LeftOut: mapped(v.LeftOut, toLeftOut), Heads: mapped(v.Heads, toCostHead),
		TotalCents: int64(v.Total), Closures: mapped(v.Closures, toClosure)}
}

func toLane(l desk.Lane) api.Lane {
	return api.Lane{CrewID: l.CrewID, CrewName: l.CrewName, People: mapped(l.People, func(s string) string { return s }),
		Days: mapped(l.Days, toCrewDay)}
}

func toCrewDay(d desk.CrewDay) api.CrewDay {
	return api.CrewDay{Day: string(d.Day), ShiftFrom: d.ShiftFrom, ShiftTo: d.ShiftTo, DepartAt: opt(d.Depart), ReturnAt: opt(d.Return),
		LunchFrom: opt(d.LunchFrom), LunchTo: opt(d.LunchTo), MorningPumps: d.MorningPumps, DriveMetres: d.DriveMetres,
		Stops: mapped(d.Stops, toStop), Note: opt(d.Note)}
}

func toStop(s desk.StopView) api.Stop {
	return api.Stop{VisitID: s.VisitID, JobID: s.JobID, JobNumber: s.JobNumber, Kind: api.VisitKindID(s.Kind), SiteName: s.SiteName,
		CustomerName: s.CustomerName, Place: s.Place, DriveFromAt: opt(s.DriveFrom), DriveStraight: opt(s.DriveStraight), ArriveAt: s.ArriveAt, StartAt: s.StartAt, EndAt: s.EndAt,
		SlackSeconds: s.Slack, Binds: opt(s.Binds), PumpsAfter: s.PumpsAfter, PromiseFrom: opt(s.PromiseFrom), PromiseTo: opt(s.PromiseTo),
		State: string(s.State)}
}

func toStrip(s desk.LevelStrip) api.LevelStrip {
	return api.LevelStrip{JobID: s.JobID, JobNumber: s.JobNumber, SiteName: s.SiteName, CustomerName: s.CustomerName, WayLow: string(s.Drain.WayLow),
		ToldFrom: opt(s.Drain.ToldFrom), ToldTo: opt(s.Drain.ToldTo), LowEarlyAt: opt(s.Drain.LowEarlyAt), LowLateAt: opt(s.Drain.LowLateAt),
		CoveredAt: opt(s.Drain.CoveredAt), LimitAt: opt(s.Drain.LimitAt), LimitSays: opt(s.LimitSays),
		Points:   mapped(s.Points, func(p desk.LevelPoint) api.LevelPoint { return api.LevelPoint{At: p.At, Early: p.Early, Late: p.Late} }),
		VisitIds: mapped(s.VisitIDs, func(id string) string { return id }), Confirmed: opt(s.Confirmed)}
}

func toLeftOut(l desk.LeftOut) api.LeftOut {
	return api.LeftOut{JobID: l.JobID, JobNumber: l.JobNumber, CustomerName: l.CustomerName, SiteName: l.SiteName,
		Reasons: mapped(l.Reasons, func(s string) string { return s }), Fits: opt(l.Fits)}
}
