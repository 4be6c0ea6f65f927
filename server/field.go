package server

import (
	"context"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /today. A tech sees the own crew's day; the office chooses.
func (h *handlers) ShowToday(ctx context.Context, r api.ShowTodayRequestObject) (api.ShowTodayResponseObject, error) {
	t, err := h.s.Desk.Today(ctx, h.s.call(ctx, "").Actor, jobs.Day(val(r.Params.Day)), val(r.Params.BranchID), val(r.Params.CrewID))
	if err != nil {
		return nil, err
	}
	out := api.ShowToday200JSONResponse{Day: string(t.Day), Zone: t.Zone, CrewID: t.Crew.ID, CrewName: t.Crew.Name, People: texts(t.People),
		Load: texts(t.Load), MorningPumps: t.Tour.MorningPumps, Stops: mapped(t.Stops, toTodayStop)}
	if t.Tour.ID != "" {
		out.DepartAt, out.ReturnAt = moment(t.Tour.DepartAt), moment(t.Tour.ReturnAt)
		if !t.Tour.LunchAt.IsZero() {
			out.LunchFrom, out.LunchTo = moment(t.Tour.LunchAt), moment(t.Tour.LunchAt.Add(time.Duration(t.Tour.LunchSeconds)*time.Second))
		}
	}
	if t.Crews != nil {
		crews := mapped(t.Crews, toCrew)
		out.Crews = &crews
	}
	return out, nil
}

// POST /field-operations. A tech reports on the own crew's visits.
func (h *handlers) RecordField(ctx context.Context, r api.RecordFieldRequestObject) (api.RecordFieldResponseObject, error) {
	list, err := h.s.Desk.RecordField(ctx, h.s.call(ctx, r.Params.IdempotencyKey), mapped(r.Body.Operations, fromOperation))
	if err != nil {
		return nil, err
	}
	return api.RecordField200JSONResponse{Items: mapped(list, func(f desk.FieldResult) api.FieldOutcome {
		return api.FieldOutcome{ID: f.ID, State: api.FieldOutcomeState(f.State), Says: opt(f.Says)}
	})}, nil
}

// GET /jobs/{id}/extra-works. A tech sees the own crew's jobs.
func (h *handlers) ListExtraWorks(ctx context.Context, r api.ListExtraWorksRequestObject) (api.ListExtraWorksResponseObject, error) {
	list, err := h.s.Desk.ExtraWorks(ctx, h.s.call(ctx, "").Actor, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ListExtraWorks200JSONResponse{Items: mapped(list, toExtraWork)}, nil
}

// POST /extra-works/{id}/answer. Office.
func (h *handlers) AnswerExtraWork(ctx context.Context, r api.AnswerExtraWorkRequestObject) (api.AnswerExtraWorkResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	_, err = h.s.Desk.AnswerExtraWork(ctx, h.s.call(ctx, r.Params.IdempotencyKey), r.ID, version, jobs.ExtraWorkState(r.Body.Answer))
	if err != nil {
		return nil, err
	}
	e, err := h.s.Desk.ExtraWork(ctx, r.ID)
	return api.AnswerExtraWork200JSONResponse{Body: toExtraWork(e), Headers: api.AnswerExtraWork200ResponseHeaders{ETag: etag(e.Version)}}, err
}

func fromOperation(o api.FieldOperation) jobs.Operation {
	return jobs.Operation{ID: o.ID, VisitID: o.VisitID, Kind: jobs.OperationKind(o.Kind), StepID: val(o.StepID), Text: val(o.Text), Value: o.Value,
		AmountCents: (*jobs.Cents)(o.AmountCents), PartID: val(o.PartID), SubjectID: val(o.SubjectID), Serial: val(o.Serial), Batch: val(o.Batch),
		Reason: val(o.Reason), Until: o.Until, At: o.At}
}

func toOperation(o jobs.Operation) api.FieldOperation {
	return api.FieldOperation{ID: o.ID, VisitID: o.VisitID, Kind: api.FieldOperationKind(o.Kind), StepID: opt(o.StepID), Text: opt(o.Text), Value: o.Value,
		AmountCents: (*int64)(o.AmountCents), PartID: opt(o.PartID), SubjectID: opt(o.SubjectID), Serial: opt(o.Serial), Batch: opt(o.Batch),
		Reason: opt(o.Reason), Until: o.Until, At: o.At}
}

func toExtraWork(e jobs.ExtraWork) api.ExtraWork {
	return api.ExtraWork{ID: e.ID, JobID: e.JobID, Name: e.Name, AmountCents: int64(e.AmountCents), AgreedBy: e.AgreedBy, AgreedAt: e.AgreedAt,
		State: api.ExtraWorkState(e.State), Version: e.Version}
}

func toTodayStop(s desk.TodayStop) api.TodayStop {
	out := api.TodayStop{VisitID: s.Visit.ID, JobID: s.Job.ID, JobNumber: s.Job.Number, Kind: api.VisitKindID(s.Visit.Kind), State: string(s.Visit.State),
		Place: s.Stop.Place, ArriveAt: s.Stop.ArriveAt, StartAt: s.Stop.StartAt, EndAt: s.Stop.EndAt, CustomerName: s.Job.CustomerName,
		SiteName: s.Site.Label(), Street: s.Site.Street, City: s.Site.City, LatE7: s.Site.LatE7, LonE7: s.Site.LonE7, GateCode: opt(s.Site.GateCode),
		GateNote: opt(clip(s.Site.GateNote)), Pets: opt(s.Site.Pets), Water: s.Water, Specs: mapped(s.Specs, toSpec), Parts: mapped(s.Parts, toJobPart),
		Steps: mapped(s.Steps, toFieldStep), Done: mapped(s.Done, toOperation), Cautions: texts(s.Cautions), Note: s.Job.Note,
		Contacts: mapped(s.Contacts, func(c jobs.Contact) api.ContactCard {
			return api.ContactCard{Role: string(c.Role), Name: c.Name, Phone: opt(c.Phone)}
		})}
	if s.Promise.ID != "" {
		out.PromiseFrom, out.PromiseTo = moment(s.Promise.FromAt), moment(s.Promise.ToAt)
	}
	if s.Drain != nil {
		out.LowLateAt, out.LimitAt = moment(s.Drain.LowLateAt), moment(s.Drain.LimitAt)
	}
	if len(s.Allowances) > 0 {
		list := mapped(s.Allowances, func(a jobs.Allowance) api.Allowance {
			return api.Allowance{Name: a.Name, AmountCents: int64(a.AmountCents)}
		})
		out.ExtraAllowances = &list
	}
	return out
}

func toFieldStep(s jobs.Step) api.FieldStep {
	return api.FieldStep{ID: s.ID, Place: int64(s.Place), Name: s.Name, Caution: opt(s.Caution), Gate: s.Gate, Needs: api.FieldStepNeeds(s.Needs),
		Unit: opt(s.Unit), LowLimit: s.LowLimit, HighLimit: s.HighLimit, Source: opt(s.Source)}
}

func toSpec(s desk.Spec) api.Spec {
	return api.Spec{Label: clip(s.Label), Value: clip(s.Value), Known: opt(s.Known), Warn: opt(clip(s.Warn))}
}

// clip cuts a text that is made up of others to what the contract allows.
func clip(s string) string {
	if r := []rune(s); len(r) > 300 {
		return string(r[:299]) + "…"
	}
	return s
}

// texts is a list that is never null.
func texts(list []string) []string { return mapped(list, func(s string) string { return s }) }
