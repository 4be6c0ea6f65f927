package server

import (
	"context"
	"strings"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// POST /enquiries. Office.
func (h *handlers) CreateEnquiry(ctx context.Context, r api.CreateEnquiryRequestObject) (api.CreateEnquiryResponseObject, error) {
	b := r.Body
	in := jobs.NewEnquiry{BranchID: b.BranchID, CustomerID: val(b.CustomerID), SiteID: val(b.SiteID), Job: jobs.JobData{
		Kind: jobs.JobKind(val(b.Job.Kind)), Value: (*jobs.Cents)(b.Job.ValueCents), DueDay: jobs.Day(val(b.Job.DueDay)),
		NotBeforeDay: jobs.Day(val(b.Job.NotBeforeDay)), CanComeEarly: val(b.Job.CanComeEarly), WayLow: jobs.WayLow(val(b.Job.WayLow)), Note: val(b.Job.Note)}}
	if b.Customer != nil {
		in.Customer = &jobs.CustomerData{Name: b.Customer.Name, Note: val(b.Customer.Note)}
		in.Contacts = mapped(val(b.Customer.Contacts), fromContact)
	}
	if b.Site != nil {
		site := fromSite(*b.Site)
		in.Site = &site
	}
	if b.Survey != nil {
		survey := fromSurvey(*b.Survey)
		in.Survey = &survey
	}
	call := h.s.call(ctx, r.Params.IdempotencyKey)
	out, err := h.s.Desk.CreateEnquiry(ctx, call, in)
	if err != nil {
		return nil, err
	}
	j, err := h.s.Desk.Job(ctx, call.Actor, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.CreateEnquiry201JSONResponse{Body: toJob(j), Headers: api.CreateEnquiry201ResponseHeaders{
		ETag: etag(j.Version), Location: place("jobs", j.ID)}}, nil
}

// GET /jobs. Office. state may list several, parted by commas.
func (h *handlers) ListJobs(ctx context.Context, r api.ListJobsRequestObject) (api.ListJobsResponseObject, error) {
	filter := desk.JobFilter{BranchID: val(r.Params.BranchID), CustomerID: val(r.Params.CustomerID), Query: val(r.Params.Q)}
	if states := val(r.Params.State); states != "" {
		var f jobs.Faults
		for _, word := range strings.Split(states, ",") {
			jobs.OneOf(&f, "state", jobs.State(word), jobs.States)
			filter.States = append(filter.States, jobs.State(word))
		}
		if err := f.Err(); err != nil {
			return nil, err
		}
	}
	list, err := h.s.Desk.Jobs(ctx, h.s.call(ctx, "").Actor, filter, page(r.Params.After, r.Params.Limit))
	if err != nil {
		return nil, err
	}
	return api.ListJobs200JSONResponse{Items: mapped(list.Items, toJob), Next: opt(list.Next)}, nil
}

// GET /jobs/{id}. Office.
func (h *handlers) ShowJob(ctx context.Context, r api.ShowJobRequestObject) (api.ShowJobResponseObject, error) {
	j, err := h.s.Desk.Job(ctx, h.s.call(ctx, "").Actor, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ShowJob200JSONResponse{Body: toJob(j), Headers: api.ShowJob200ResponseHeaders{ETag: etag(j.Version)}}, nil
}

// PATCH /jobs/{id}. Office.
func (h *handlers) ChangeJob(ctx context.Context, r api.ChangeJobRequestObject) (api.ChangeJobResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	b, call := r.Body, h.s.call(ctx, "")
	change := desk.JobChange{Value: (*jobs.Cents)(b.ValueCents), DueDay: (*jobs.Day)(b.DueDay), NotBeforeDay: (*jobs.Day)(b.NotBeforeDay),
		CanComeEarly: b.CanComeEarly, WayLow: (*jobs.WayLow)(b.WayLow), Note: b.Note}
	if _, err := h.s.Desk.ChangeJob(ctx, call, r.ID, version, change); err != nil {
		return nil, err
	}
	j, err := h.s.Desk.Job(ctx, call.Actor, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ChangeJob200JSONResponse{Body: toJob(j), Headers: api.ChangeJob200ResponseHeaders{ETag: etag(j.Version)}}, nil
}

// POST /jobs/{id}/acts. Office.
func (h *handlers) ActOnJob(ctx context.Context, r api.ActOnJobRequestObject) (api.ActOnJobResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	call := h.s.call(ctx, r.Params.IdempotencyKey)
	in := desk.JobAct{Act: jobs.Act(r.Body.Act), Note: val(r.Body.Note), Until: val(r.Body.Until)}
	if _, err := h.s.Desk.ActOnJob(ctx, call, r.ID, version, in); err != nil {
		return nil, err
	}
	j, err := h.s.Desk.Job(ctx, call.Actor, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ActOnJob200JSONResponse{Body: toJob(j), Headers: api.ActOnJob200ResponseHeaders{ETag: etag(j.Version)}}, nil
}

// POST /jobs/{id}/visits. Office.
func (h *handlers) AddVisit(ctx context.Context, r api.AddVisitRequestObject) (api.AddVisitResponseObject, error) {
	call := h.s.call(ctx, r.Params.IdempotencyKey)
	if _, err := h.s.Desk.AddVisit(ctx, call, r.ID, jobs.NewVisit{Kind: jobs.VisitKind(r.Body.Kind), Seconds: r.Body.Seconds}); err != nil {
		return nil, err
	}
	j, err := h.s.Desk.Job(ctx, call.Actor, r.ID)
	if err != nil {
		return nil, err
	}
	return api.AddVisit201JSONResponse{Body: toJob(j), Headers: api.AddVisit201ResponseHeaders{
		ETag: etag(j.Version), Location: place("jobs", j.ID)}}, nil
}

// PATCH /visits/{id}. Office.
func (h *handlers) ChangeVisit(ctx context.Context, r api.ChangeVisitRequestObject) (api.ChangeVisitResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	change := jobs.VisitChange{Seconds: r.Body.Seconds, PinDay: (*jobs.Day)(r.Body.PinDay), PinCrewID: r.Body.PinCrewID, Withdraw: val(r.Body.Withdraw)}
	if _, err := h.s.Desk.ChangeVisit(ctx, h.s.call(ctx, ""), r.ID, version, change); err != nil {
		return nil, err
	}
	v, err := h.s.Desk.Visit(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ChangeVisit200JSONResponse{Body: toVisit(v), Headers: api.ChangeVisit200ResponseHeaders{ETag: etag(v.Version)}}, nil
}

// GET /jobs/{id}/history. Office.
func (h *handlers) ListJobHistory(ctx context.Context, r api.ListJobHistoryRequestObject) (api.ListJobHistoryResponseObject, error) {
	list, err := h.s.Desk.JobHistory(ctx, r.ID, page(r.Params.After, r.Params.Limit))
	if err != nil {
		return nil, err
	}
	return api.ListJobHistory200JSONResponse{Items: mapped(list.Items, toAudit), Next: opt(list.Next)}, nil
}

func toAudit(e jobs.AuditEntry) api.AuditEntry {
	return api.AuditEntry{ID: e.ID, At: e.At, By: e.Actor.Name, Act: e.Act, Noun: e.Noun, NounID: e.NounID, Detail: e.Note}
}

func toJob(j desk.JobView) api.Job {
	return api.Job{
		ID: j.ID, BranchID: j.BranchID, Number: j.Number, CustomerID: j.CustomerID, SiteID: j.SiteID,
		CustomerName: j.CustomerName, SiteName: j.SiteName, Kind: api.JobKind(j.Kind), State: api.JobState(j.State),
		ValueCents: (*int64)(j.Value), DueDay: opt(string(j.DueDay)), NotBeforeDay: opt(string(j.NotBeforeDay)),
		CanComeEarly: j.CanComeEarly, WayLow: string(j.WayLow), Note: j.Note,
		Visits: mapped(j.Visits, func(v jobs.Visit) api.Visit {
			view := desk.VisitView{Visit: v}
			if told, ok := j.Told[v.ID]; ok {
				view.Told = &told
			}
			return toVisit(view)
		}),
		Acts:       mapped(j.Acts, func(a jobs.Act) string { return string(a) }),
		EstimateID: opt(j.EstimateID), QuoteID: opt(j.QuoteID), ConvertedAt: moment(j.ConvertedAt), CreatedAt: j.CreatedAt, Version: j.Version,
	}
}

func toVisit(v desk.VisitView) api.Visit {
	out := api.Visit{
		ID: v.ID, JobID: v.JobID, Place: v.Place, Kind: api.VisitKindID(v.Kind), State: api.VisitState(v.State), Seconds: v.Seconds,
		PinDay: opt(string(v.PinDay)), PinCrewID: opt(v.PinCrewID), Outcome: opt(v.Outcome), Version: v.Version,
	}
	if t := v.Told; t != nil {
		out.CrewID, out.CrewName = &t.CrewID, &t.CrewName
		out.StartAt, out.EndAt = unix(&t.StartS), unix(&t.EndS)
		out.PromiseFrom, out.PromiseTo = unix(t.From), unix(t.To)
	}
	return out
}

// moment leaves an instant out that has not come.
func moment(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}

func unix(s *int64) *time.Time {
	if s == nil {
		return nil
	}
	t := time.Unix(*s, 0).UTC()
	return &t
}
