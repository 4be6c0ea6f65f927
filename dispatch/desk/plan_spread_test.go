package desk_test

import (
	"math"
	"testing"

	"ebbline/dispatch/odds"
	"ebbline/dispatch/week"
	"ebbline/estimate"
	"ebbline/jobs"
)

// z8 and z9 are the standard normal quantiles of 0.8 and 0.9 (Abramowitz and Stegun,
// Handbook of Mathematical Functions, 1964, table 26.5).
const z8, z9 = .841621, 1.281552

// What a week says of how its lengths spread is what the estimates say, and its planning
// quantiles are quantiles of the same log-normals; the odds of a plan can be had of it.
func TestWeekSpreadsAsItsEstimates(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("crew_pump", "customer")
		d := h.plannedIn("2026-03-03", 2)
		w, p := h.files(d)
		if u := w.Uncertainty; u == nil || u.PlannedPermille != 800 || u.LatePermille != 900 || u.EarlyPermille != 100 || u.WorkDayLogSD != 80 || u.DriveLogSD == nil {
			t.Fatalf("uncertainty %+v", w.Uncertainty)
		}
		if len(w.Jobs) != len(y.jobs) {
			t.Fatalf("%d jobs in the week", len(w.Jobs))
		}
		for i := range w.Jobs {
			spreadsAs(t, &w.Jobs[i], h.keptEstimate(w.Jobs[i].ID))
		}
		o, err := odds.Simulate(w, p, odds.Ask{Seed: 1, Runs: 100})
		h.must(err)
		if o.NotKnown.Visits != 0 || o.NotKnown.VisitsOf == 0 || o.NotKnown.Drains != 0 || o.NotKnown.Travel {
			t.Errorf("not known %+v", o.NotKnown)
		}
	})
}

func spreadsAs(t *testing.T, j *week.Job, e estimate.Estimate) {
	t.Helper()
	for _, v := range j.Visits {
		of, ok := e.Visit(v.Kind)
		if !ok || v.MedianSeconds != of.Median.Value || v.LogSD != of.Spread || v.LogSD == 0 {
			t.Errorf("%s: median %d and %d thousandths, estimated %d and %d", v.Kind, v.MedianSeconds, v.LogSD, of.Median.Value, of.Spread)
		}
		own := float64(v.Seconds)
		if q := float64(v.MedianSeconds) * math.Exp(z8*float64(v.LogSD)/1000); math.Abs(q-own) > .001*own+1 {
			t.Errorf("%s: planned %.0f s, its 80 %% quantile is %.0f", v.Kind, own, q)
		}
	}
	wt, c := j.Water, e.Clock
	for _, x := range []struct {
		name       string
		median, sd int64
		of         estimate.Quantiles
	}{{"drain", wt.DrainMedian, wt.DrainLogSD, c.Drain}, {"fill", wt.FillMedian, wt.FillLogSD, c.Cover}} {
		if x.median != x.of.Median || x.sd == 0 {
			t.Errorf("%s: median %d, log-sd %d; estimated %+v", x.name, x.median, x.sd, x.of)
		}
		if q := float64(x.median) * math.Exp(z9*float64(x.sd)/1000); math.Abs(q-float64(x.of.Late)) > .002*float64(x.of.Late) {
			t.Errorf("%s: 90 %% quantile %.0f, estimated %d", x.name, q, x.of.Late)
		}
	}
}

// Work in parts with lowering on arrival: the parts together take the estimated work.
func TestSpreadOfWorkInParts(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("on_arrival")
		d := h.plannedIn("2026-03-03", 1)
		w, _ := h.files(d)
		of, _ := h.keptEstimate(y.jobs[0]).Visit("convert")
		sum, parts := int64(0), int64(0)
		for _, v := range w.Jobs[0].Visits {
			if v.Kind == "convert" {
				sum, parts = sum+v.MedianSeconds, parts+1
			}
		}
		if again := (parts - 1) * of.Again; parts < 2 || sum < of.Median.Value-parts || sum > of.Median.Value+again+parts {
			t.Errorf("%d parts with medians of %d s together, estimated %d and %d to set up again", parts, sum, of.Median.Value, of.Again)
		}
	})
}

// A length that somebody set keeps the estimate's spread and its
// relation of median to planned length; what has no estimate is not known yet.
func TestSpreadOfSetAndPartedWork(t *testing.T) {
	eachOffice(t, func(h *hands) {
		y := h.yard("customer")
		var convert jobs.Visit
		j, err := h.Job(ctx, h.office().Actor, y.jobs[0])
		h.must(err)
		for _, v := range j.Visits {
			if v.Kind == jobs.VisitConvert {
				convert = v
			}
		}
		of, _ := h.keptEstimate(j.ID).Visit("convert")
		_, err = h.ChangeVisit(ctx, h.office(), convert.ID, convert.Version, jobs.VisitChange{Seconds: ptr(int64(9000))})
		h.must(err)
		call := h.firstCall()
		call.Customer.Name, call.Site.Street = "Without an estimate", "77 Ocotillo Ln"
		call.Site.LatE7, call.Site.LonE7 = ptr(int64(334_500_000)), ptr(int64(-1_120_700_000))
		h.made(h.CreateEnquiry(ctx, h.office(), call))
		d := h.plannedIn("2026-03-03", 1)
		w, _ := h.files(d)
		seen := 0
		for i := range w.Jobs {
			for _, v := range w.Jobs[i].Visits {
				switch {
				case v.ID == convert.ID:
					seen++
					want := 9000 * float64(of.Median.Value) / float64(of.Plan.Value)
					if v.Seconds != 9000 || v.LogSD != of.Spread || math.Abs(float64(v.MedianSeconds)-want) > 1 {
						t.Errorf("set to 9,000 s: %+v, want a median of %.0f", v, want)
					}
				case v.Kind == "survey":
					seen++
					if v.MedianSeconds != 0 || v.LogSD != 0 {
						t.Errorf("a survey before any estimate: %+v", v)
					}
				}
			}
		}
		if seen != 2 {
			t.Errorf("%d of the two visits are in the week", seen)
		}
	})
}
