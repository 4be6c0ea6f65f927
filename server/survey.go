package server

import (
	"context"
	"slices"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /survey-fields. Anyone signed in.
func (h *handlers) ListSurveyFields(context.Context, api.ListSurveyFieldsRequestObject) (api.ListSurveyFieldsResponseObject, error) {
	return api.ListSurveyFields200JSONResponse{Items: mapped(jobs.Fields(), toField)}, nil
}

// GET /sites/{id}/survey. Office; a tech for sites on the own crew's days.
func (h *handlers) ShowSurvey(ctx context.Context, r api.ShowSurveyRequestObject) (api.ShowSurveyResponseObject, error) {
	s, err := h.s.Desk.Survey(ctx, h.s.call(ctx, "").Actor, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ShowSurvey200JSONResponse{Body: toSiteSurvey(s), Headers: api.ShowSurvey200ResponseHeaders{ETag: etag(s.Site.SurveyVersion)}}, nil
}

// PUT /sites/{id}/survey. Office; a tech for sites on the own crew's days.
func (h *handlers) ChangeSurvey(ctx context.Context, r api.ChangeSurveyRequestObject) (api.ChangeSurveyResponseObject, error) {
	version, err := ifMatchNew(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	call := h.s.call(ctx, "")
	if _, err := h.s.Desk.ChangeSurvey(ctx, call, r.ID, version, fromSurvey(*r.Body)); err != nil {
		return nil, err
	}
	s, err := h.s.Desk.Survey(ctx, call.Actor, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ChangeSurvey200JSONResponse{Body: toSiteSurvey(s), Headers: api.ChangeSurvey200ResponseHeaders{ETag: etag(s.Site.SurveyVersion)}}, nil
}

func toField(f jobs.FieldSpec) api.FieldSpec {
	out := api.FieldSpec{Subject: string(f.Subject), Name: f.Name, Label: f.Label, Quantity: string(f.Quantity),
		Hint: opt(f.Hint), Group: opt(string(f.Need))}
	if len(f.Choices) > 0 {
		out.Choices = &f.Choices
	}
	if units := jobs.UnitNames(f.Quantity); len(units) > 0 && f.Unit != "" {
		// The unit that forms offer first stands first.
		units = append([]string{f.Unit}, slices.DeleteFunc(slices.Clone(units), func(u string) bool { return u == f.Unit })...)
		out.Units = &units
	}
	if f.Min != 0 || f.Max != 0 {
		out.Min, out.Max = &f.Min, &f.Max
	}
	return out
}

func fromSurvey(b api.Survey) jobs.Survey {
	s := jobs.Survey{Version: int(b.Version), Zone: val(b.Zone)}
	for _, sub := range b.Subjects {
		to := jobs.Subject{ID: sub.ID, Kind: jobs.SubjectKind(sub.Kind), Name: sub.Name, Of: val(sub.Of), Ends: val(sub.Ends), Values: map[string]jobs.Value{}}
		for name, v := range sub.Values {
			to.Values[name] = jobs.Value{Text: v.Text, Unit: val(v.Unit), Base: val(v.Base), Known: jobs.Known(v.Known), At: val(v.At), By: val(v.By), Note: val(v.Note)}
		}
		s.Subjects = append(s.Subjects, to)
	}
	return s
}

func toSurvey(s jobs.Survey) api.Survey {
	return api.Survey{Version: int64(s.Version), Zone: opt(s.Zone), Subjects: mapped(s.Subjects, func(sub jobs.Subject) api.SurveySubject {
		to := api.SurveySubject{ID: sub.ID, Kind: api.SurveySubjectKind(sub.Kind), Name: sub.Name, Of: opt(sub.Of), Values: map[string]api.SurveyValue{}}
		if len(sub.Ends) > 0 {
			to.Ends = &sub.Ends
		}
		for name, v := range sub.Values {
			value := api.SurveyValue{Text: v.Text, Unit: opt(v.Unit), Known: api.SurveyValueKnown(v.Known), At: opt(v.At), By: opt(v.By), Note: opt(v.Note)}
			if spec, ok := jobs.FieldOf(sub.Kind, name); ok && v.Known != jobs.KnownNot && (spec.Quantity.Measured() || spec.Quantity == jobs.QuantityBool) {
				value.Base = &v.Base // zero is a value
			}
			to.Values[name] = value
		}
		return to
	})}
}

func toMissing(l jobs.Lack) api.MissingFact {
	return api.MissingFact{SubjectID: opt(l.SubjectID), Subject: l.Subject, Field: l.Field, Label: l.Label, Why: l.Why}
}

func toSiteSurvey(s desk.SiteSurvey) api.SiteSurvey {
	return api.SiteSurvey{SiteID: s.Site.ID, Survey: toSurvey(s.Survey), Missing: mapped(s.Lacks, toMissing), Version: s.Site.SurveyVersion}
}
