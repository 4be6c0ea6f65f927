package estimate

import (
	"math"
	"slices"
)

// Figures lists every figure of the estimate in the order of the sheet.
func (e Estimate) Figures() []Figure {
	list := make([]Figure, 0, 16*len(e.Bodies)+4*len(e.Cords)+64)
	for _, w := range e.Bodies {
		list = append(list, w.Area)
		if w.Lowered {
			list = append(list, w.figures()...)
		}
	}
	c := e.Clock
	list = append(list, c.Total, c.Covers, c.Fills, c.Low, c.Waits)
	for _, cord := range e.Cords {
		list = append(list, cord.Run, cord.Slack, cord.Needed, cord.Order, cord.Volts)
	}
	for _, fit := range e.Fits {
		list = append(list, fit.Width, fit.Length, fit.Lens)
	}
	for _, conduit := range e.Conduits {
		list = append(list, conduit.Figures()...)
	}
	s := e.Supply
	list = append(list, s.Power, s.Loading, s.Tap, s.Least, s.Most, s.Amps, s.Primary)
	for _, o := range s.Outputs {
		list = append(list, o.Loading, o.Tap, o.Least, o.Most, o.Amps)
	}
	for _, v := range e.Visits {
		if v.Needed {
			list = append(list, v.Mean, v.Median, v.Plan)
		}
	}
	list = append(list, e.Materials.Cost)
	p := e.Price
	list = append(list, p.Cost, p.Net, p.Tax, p.Total, p.Deposit)
	en := e.Energy
	list = append(list, en.Before, en.After, en.Lit, en.Saved, en.Money, en.Lamps, en.Year, en.Payback)
	// an estimate kept by an earlier program lacks the figures that came since
	return slices.DeleteFunc(list, func(f Figure) bool { return f.Key == "" })
}

// PlanSeconds is the planning quantile of all needed visits' times together,
// MedianSeconds their median. Means and variances add up, not quantiles; the
// week plans with each visit's own figure. False while a visit's time is not
// known yet.
func (e Estimate) PlanSeconds() (int64, bool) { return e.total(float64(e.PlanQuantile) / 1000) }

// MedianSeconds: see PlanSeconds.
func (e Estimate) MedianSeconds() (int64, bool) { return e.total(.5) }

func (e Estimate) total(p float64) (int64, bool) {
	var mean, variance, lowering float64
	for _, v := range e.Visits {
		if !v.Needed || v.Kind == "survey" {
			continue
		}
		if !v.Plan.Known {
			return 0, false
		}
		m, s := float64(v.Mean.Value), float64(v.Spread)/1000
		mean += m
		variance += m * m * math.Expm1(s*s)
		lowering += float64(v.Low)
	}
	if mean <= 0 {
		return 0, false
	}
	return round(fromMeanSD(mean, math.Sqrt(variance)).quantile(p) + lowering), true
}
