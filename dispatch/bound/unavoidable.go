package bound

import (
	"context"

	"ebbline/dispatch/week"
)

// Unavoidable is [Result.Unavoidable] alone, in cents, without looking for a bound.
func Unavoidable(w *week.Week) (int64, error) {
	if err := notBegun(w); err != nil {
		return 0, err
	}
	ctx := context.Background()
	return cents(newDual(compile(ctx, w, newRoad(ctx, &w.Travel), 1), 1).plain()), nil
}

func notBegun(w *week.Week) error {
	for i := range w.Tours {
		if w.Tours[i].Begun != nil {
			return ErrBegun
		}
	}
	for i := range w.Jobs {
		if j := &w.Jobs[i]; j.Begun || j.Water != nil && (j.Water.DrainedAt != nil || j.Water.FillFrom != nil || j.Water.PumpOnSite != "") {
			return ErrBegun
		}
	}
	return nil
}
