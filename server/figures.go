package server

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"time"

	"ebbline/jobs"
	"ebbline/server/api"
)

// GET /figures. Office.
func (h *handlers) ShowFigures(ctx context.Context, r api.ShowFiguresRequestObject) (api.ShowFiguresResponseObject, error) {
	f, err := h.s.Desk.Figures(ctx, r.Params.BranchID, jobs.Day(val(r.Params.From)), jobs.Day(val(r.Params.To)))
	if err != nil {
		return nil, err
	}
	zone, err := h.s.Desk.Zone(ctx, r.Params.BranchID)
	if err != nil {
		return nil, err
	}
	crews := slices.DeleteFunc(slices.Clone(f.Crews), func(t jobs.Tally) bool { return t.Key == "" }) // nobody's crew
	out := api.ShowFigures200JSONResponse{From: string(f.From), To: string(f.To), Says: texts(f.Says), Weeks: mapped(f.Weeks, toFigureWeek),
		Crews: mapped(crews, toFigureCrew), Kinds: mapped(f.Kinds, toFigureKind), PromisesKept: f.Kept, PromisesMade: f.Promised,
		Pipeline: mapped(f.Pipeline, func(s jobs.StateFigure) api.FigureState {
			return api.FigureState{State: s.State, Jobs: s.Jobs, ValueCents: int64(s.Value)}
		}),
		Wasted: mapped(slices.Sorted(maps.Keys(f.Wasted)), func(why string) api.FigureReason {
			return api.FigureReason{Reason: why, Visits: f.Wasted[why]}
		}),
		Jobs: mapped(f.Jobs, func(j jobs.JobFigure) api.FigureJob { return toFigureJob(j, zone) })}
	return out, nil
}

func toFigureWeek(t jobs.Tally) api.FigureWeek {
	year, week := jobs.Day(t.Key).ISOWeek()
	return api.FigureWeek{Monday: t.Key, IsoWeek: fmt.Sprintf("%d-W%02d", year, week), Conversions: t.Conversions, Lights: t.Lights,
		ValueCents: int64(t.Value), PlannedSeconds: t.Planned, ActualSeconds: t.Actual, Kept: t.Kept, Promised: t.Promised}
}

func toFigureCrew(t jobs.Tally) api.FigureCrew {
	return api.FigureCrew{CrewID: t.Key, CrewName: t.Name, Conversions: t.Conversions, Visits: t.Visits, PlannedSeconds: t.Planned,
		ActualSeconds: t.Actual, Kept: t.Kept, Promised: t.Promised}
}

func toFigureKind(k jobs.KindFigure) api.FigureKind {
	out := api.FigureKind{Kind: k.Kind, Visits: k.Visits, MedianSeconds: k.Median, ActualSeconds: k.Actual,
		CorrectionPermille: int64(math.Round(1000 * k.Correction))}
	if k.Spread != nil {
		n := int64(math.Round(1000 * *k.Spread))
		out.SpreadPermille = &n
	}
	return out
}

func toFigureJob(j jobs.JobFigure, zone *time.Location) api.FigureJob {
	return api.FigureJob{JobID: j.JobID, Number: j.Number, CustomerName: j.CustomerName, SiteName: j.SiteName,
		ConvertedDay: string(jobs.DayOf(j.ConvertedAt, zone)), Lights: j.Lights, ValueCents: int64(j.ValueCents), PlannedSeconds: j.Planned, ActualSeconds: j.Actual}
}
