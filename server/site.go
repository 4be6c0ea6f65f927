package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /sites. Office.
func (h *handlers) ListSites(ctx context.Context, r api.ListSitesRequestObject) (api.ListSitesResponseObject, error) {
	list, err := h.s.Desk.Sites(ctx, desk.SiteFilter{BranchID: val(r.Params.BranchID), CustomerID: val(r.Params.CustomerID), Query: val(r.Params.Q)},
		page(r.Params.After, r.Params.Limit))
	if err != nil {
		return nil, err
	}
	return api.ListSites200JSONResponse{Items: mapped(list.Items, toSite), Next: opt(list.Next)}, nil
}

// POST /sites. Office.
func (h *handlers) CreateSite(ctx context.Context, r api.CreateSiteRequestObject) (api.CreateSiteResponseObject, error) {
	b := r.Body
	in := jobs.NewSite{CustomerID: b.CustomerID, SiteData: fromSite(api.SiteBody{
		Name: b.Name, Street: b.Street, City: b.City, Region: b.Region, Postcode: b.Postcode, Zone: b.Zone, LatE7: b.LatE7, LonE7: b.LonE7,
		Precision: (*api.SiteBodyPrecision)(b.Precision), GateCode: b.GateCode, GateNote: b.GateNote, Pets: b.Pets, VendorPass: b.VendorPass,
		WorkFromMinute: b.WorkFromMinute, WorkToMinute: b.WorkToMinute})}
	out, err := h.s.Desk.CreateSite(ctx, h.s.call(ctx, r.Params.IdempotencyKey), in)
	if err != nil {
		return nil, err
	}
	s, err := h.s.Desk.Site(ctx, out.NounID)
	if err != nil {
		return nil, err
	}
	return api.CreateSite201JSONResponse{Body: toSite(s), Headers: api.CreateSite201ResponseHeaders{
		ETag: etag(s.Version), Location: place("sites", s.ID)}}, nil
}

// GET /sites/{id}. Office.
func (h *handlers) ShowSite(ctx context.Context, r api.ShowSiteRequestObject) (api.ShowSiteResponseObject, error) {
	s, err := h.s.Desk.Site(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ShowSite200JSONResponse{Body: toSite(s), Headers: api.ShowSite200ResponseHeaders{ETag: etag(s.Version)}}, nil
}

// PUT /sites/{id}. Office.
func (h *handlers) ChangeSite(ctx context.Context, r api.ChangeSiteRequestObject) (api.ChangeSiteResponseObject, error) {
	version, err := ifMatch(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if _, err := h.s.Desk.ChangeSite(ctx, h.s.call(ctx, ""), r.ID, version, fromSite(*r.Body)); err != nil {
		return nil, err
	}
	s, err := h.s.Desk.Site(ctx, r.ID)
	if err != nil {
		return nil, err
	}
	return api.ChangeSite200JSONResponse{Body: toSite(s), Headers: api.ChangeSite200ResponseHeaders{ETag: etag(s.Version)}}, nil
}

func fromSite(b api.SiteBody) jobs.SiteData {
	return jobs.SiteData{
		Name: b.Name, Street: b.Street, City: b.City, Region: b.Region, Postcode: b.Postcode, Zone: val(b.Zone),
		LatE7: b.LatE7, LonE7: b.LonE7, Precision: jobs.Precision(val(b.Precision)), GateCode: val(b.GateCode), GateNote: val(b.GateNote),
		Pets: val(b.Pets), VendorPass: val(b.VendorPass), WorkFrom: b.WorkFromMinute, WorkTo: b.WorkToMinute,
	}
}

func toSite(s jobs.Site) api.Site {
	return api.Site{
		ID: s.ID, BranchID: s.BranchID, CustomerID: s.CustomerID, Name: s.Name, Street: s.Street, City: s.City, Region: s.Region,
		Postcode: s.Postcode, Zone: opt(s.Zone), LatE7: s.LatE7, LonE7: s.LonE7, Precision: opt(api.SitePrecision(s.Precision)),
		GateCode: opt(s.GateCode), GateNote: opt(s.GateNote), Pets: opt(s.Pets), VendorPass: opt(s.VendorPass),
		WorkFromMinute: s.WorkFrom, WorkToMinute: s.WorkTo, SurveyVersion: s.SurveyVersion, CreatedAt: s.CreatedAt, Version: s.Version,
	}
}
