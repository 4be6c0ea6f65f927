package server

import (
	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// viewOf reads which plan is looked at from a query.
func viewOf(draftID, branchID *string, planNumber *int64) desk.ViewRef {
	return desk.ViewRef{DraftID: val(draftID), BranchID: val(branchID), PlanNumber: val(planNumber)}
}

func fromViewRef(r api.ViewRef) desk.ViewRef {
	return desk.ViewRef{DraftID: val(r.DraftID), DraftVersion: val(r.DraftVersion), BranchID: val(r.BranchID), PlanNumber: val(r.PlanNumber)}
}

func toViewRef(r desk.ViewRef) api.ViewRef {
	return api.ViewRef{DraftID: opt(r.DraftID), DraftVersion: opt(r.DraftVersion), BranchID: opt(r.BranchID), PlanNumber: opt(r.PlanNumber)}
}

func fromWeekChange(c api.WeekChange) jobs.WeekChange {
	out := jobs.WeekChange{Kind: jobs.ChangeWord(c.Kind), VisitID: val(c.VisitID), JobID: val(c.JobID), CrewID: val(c.CrewID), PersonID: val(c.PersonID),
		PumpID: val(c.PumpID), Day: jobs.Day(val(c.Day)), FromDay: jobs.Day(val(c.FromDay)), ToDay: jobs.Day(val(c.ToDay)), ByDay: jobs.Day(val(c.ByDay)),
		StartAt: val(c.StartAt), AfterVisitID: val(c.AfterVisitID), First: val(c.First), Seconds: val(c.Seconds), JobAct: string(val(c.JobAct)),
		FromMinute: c.FromMinute, Note: val(c.Note)}
	if k := c.Closure; k != nil {
		out.Closure = &jobs.ClosureData{Kind: jobs.ClosureKind(k.Kind), SiteID: val(k.SiteID), Area: val(k.Area), FromAt: k.FromAt, ToAt: k.ToAt,
			StopsPumping: val(k.StopsPumping), Reason: out.Note}
	}
	if r := c.Reading; r != nil {
		out.Reading = &jobs.NewReading{Text: r.Text, Unit: r.Unit, At: val(r.At)}
	}
	return out
}

func toJobRef(j jobs.Job) api.JobRef {
	return api.JobRef{JobID: j.ID, JobNumber: j.Number, CustomerName: j.CustomerName, SiteName: j.SiteName}
}

func toMovedVisit(m jobs.MovedVisit) api.MovedVisit {
	return api.MovedVisit{VisitID: m.VisitID, Kind: api.VisitKindID(m.Kind), JobID: m.JobID, JobNumber: m.JobNumber, CustomerName: m.CustomerName,
		SiteName: m.SiteName, CrewIDBefore: opt(m.CrewIDBefore), CrewNameBefore: opt(m.CrewNameBefore), StartBeforeAt: opt(m.StartBefore),
		CrewID: opt(m.CrewID), CrewName: opt(m.CrewName), StartAt: opt(m.StartAt), EndAt: opt(m.EndAt), Says: m.Says}
}

func toLatePromise(l jobs.LateWindow) api.LatePromise {
	return api.LatePromise{VisitID: l.VisitID, Kind: api.VisitKindID(l.Kind), JobID: l.JobID, JobNumber: l.JobNumber, CustomerName: l.CustomerName,
		SiteName: l.SiteName, FromAt: l.FromAt, ToAt: l.ToAt, BySeconds: l.BySeconds, Says: l.Says}
}

// heads is a list of costs that is left out where there is none.
func heads(list []jobs.CostHead) *[]api.CostHead {
	out := mapped(list, toCostHead)
	return &out
}
