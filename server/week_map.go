package server

import (
	"context"

	"ebbline/dispatch/desk"
	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /week-map. Office; a tech gets the own crew's days of what was handed out.
func (h *handlers) ShowWeekMap(ctx context.Context, r api.ShowWeekMapRequestObject) (api.ShowWeekMapResponseObject, error) {
	m, err := h.s.Desk.WeekMap(ctx, h.s.call(ctx, "").Actor, desk.WeekMapAsk{DraftID: val(r.Params.DraftID), BranchID: val(r.Params.BranchID),
		FirstDay: jobs.Day(val(r.Params.FirstDay)), Days: val(r.Params.Days)})
	if err != nil {
		return nil, err
	}
	out := api.ShowWeekMap200JSONResponse{BranchID: m.BranchID, Places: mapped(m.Places, toMapPlace), Days: mapped(m.Days, toMapDay)}
	if m.TileSet != nil {
		set := toTileSet(*m.TileSet)
		out.TileSet = &set
	} else {
		out.WithoutRoads = opt(desk.WithoutRoads)
	}
	return out, nil
}

func toMapPlace(p desk.MapPlace) api.MapPlace {
	kind := api.MapPlaceKindSite
	if p.Home {
		kind = api.MapPlaceKindHome
	}
	return api.MapPlace{ID: p.ID, Kind: kind, Name: p.Name, Street: p.Street, LatE7: p.LatE7, LonE7: p.LonE7, Precision: string(p.Precision),
		Says: p.Says, Straight: p.Straight, OffRoadMetres: p.OffRoad, JobIds: mapped(p.JobIDs, func(s string) string { return s })}
}

func toMapDay(d desk.MapDay) api.MapDay {
	return api.MapDay{CrewID: d.CrewID, Day: string(d.Day), Legs: mapped(d.Legs, func(l desk.MapLeg) api.MapLeg {
		return api.MapLeg{FromID: l.FromID, ToID: l.ToID, Straight: l.Straight, Steps: l.Steps}
	})}
}
