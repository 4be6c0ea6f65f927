package main

import (
	"slices"

	"ebbline/dispatch/week"
)

// family is a family of rules, and how a week is without it.
type family struct {
	name string
	drop func(w *week.Week)
}

// families of rules whose data can be taken out of a week such that every plan of it
// stays one. (Of what a plan must respect, only a place in time and space is left over:
// that a crew is at one place at a time is what makes it a week.)
var families = []family{
	{"skills", func(w *week.Week) {
		eachVisit(w, func(_ *week.Job, v *week.Visit) { v.Skills = nil })
	}},
	{"people", func(w *week.Week) {
		eachVisit(w, func(_ *week.Job, v *week.Visit) { v.People = 1 })
	}},
	{"pumps", func(w *week.Week) {
		for h := range w.Homes {
			for d := range w.Homes[h].Pumps {
				w.Homes[h].Pumps[d] = 10_000
			}
		}
		for t := range w.Tours {
			w.Tours[t].Berths = 1_000
		}
	}},
	{"lunch", func(w *week.Week) {
		for t := range w.Tours {
			w.Tours[t].Lunch = nil
		}
	}},
	{"overtime end", func(w *week.Week) {
		for t := range w.Tours {
			x := &w.Tours[t]
			x.OvertimeTo = max(x.OvertimeTo, w.DayStart(x.Day+1))
		}
	}},
	{"closures", func(w *week.Week) { w.Closures = nil }},
	{"customers' hours", func(w *week.Week) {
		eachVisit(w, func(_ *week.Job, v *week.Visit) { v.Allowed, v.EndInside = nil, false })
	}},
	{"not before, not after", func(w *week.Week) {
		for j := range w.Jobs {
			w.Jobs[j].NotBefore, w.Jobs[j].NotAfter = nil, nil
		}
	}},
	{"links", func(w *week.Week) {
		for j := range w.Jobs {
			loosen(&w.Jobs[j])
		}
	}},
	{"surely low", func(w *week.Week) {
		for j := range w.Jobs {
			if wt := w.Jobs[j].Water; wt != nil {
				wt.LowLate = atOnce(wt.LowLate)
			}
		}
	}},
	{"covered", func(w *week.Week) {
		eachVisit(w, func(_ *week.Job, v *week.Visit) {
			if v.Water == week.NeedCovered {
				v.Water = week.NeedNothing
			}
		})
	}},
	{"low limit", func(w *week.Week) {
		for j := range w.Jobs {
			if wt := w.Jobs[j].Water; wt != nil && len(wt.LowLimit) > 0 {
				for i := range wt.LowLimit {
					wt.LowLimit[i].Y += 60 * 86400
				}
			}
		}
	}},
	{"window of the season", func(w *week.Week) {
		for j := range w.Jobs {
			if wt := w.Jobs[j].Water; wt != nil && wt.Window != nil {
				*wt.Window = week.Span{From: 0, To: w.End}
			}
		}
	}},
	{"water hours on arrival", func(w *week.Week) {
		w.WaterHours = []week.Span{{From: -86400, To: w.End + 86400}}
		for c := range w.Closures {
			w.Closures[c].StopsPumping = false
		}
	}},
	{"customers' notice", func(w *week.Week) {
		for j := range w.Jobs {
			if wt := w.Jobs[j].Water; wt != nil && wt.Customer != nil {
				wt.Customer.Lead, wt.Customer.Width = 0, 1
				wt.Customer.Hours = []week.Span{{From: 0, To: w.End}}
				wt.Customer.NoticeHours = []week.Span{{From: 0, To: w.End}}
			}
		}
	}},
	{"pins", func(w *week.Week) {
		eachVisit(w, func(_ *week.Job, v *week.Visit) { v.Pin = nil })
	}},
	{"promises", func(w *week.Week) { w.Promises = nil }},
	{"speeds by period", func(w *week.Week) {
		for i := range w.Travel.Periods {
			w.Travel.Periods[i].Permille = max(1000, w.Travel.Periods[i].Permille)
		}
	}},
	{"low beyond the free hours", func(w *week.Week) { w.Rates.LowCents = 0 }},
	{"waiting and lateness", func(w *week.Week) { w.Rates.WaitingPermille, w.Rates.LateCents = 0, 0 }},
}

func eachVisit(w *week.Week, do func(j *week.Job, v *week.Visit)) {
	for j := range w.Jobs {
		for n := range w.Jobs[j].Visits {
			do(&w.Jobs[j], &w.Jobs[j].Visits[n])
		}
	}
}

// loosen opens links at their upper side; two crews at once may come one after the
// other as well.
func loosen(j *week.Job) {
	j.Links = slices.Clone(j.Links)
	for l := range j.Links {
		lo := int64(0)
		j.Links[l].Hi, j.Links[l].Lo = nil, &lo
	}
}

// atOnce is a table of water that is low as soon as draining begins, in any order of
// the instants a table allows.
func atOnce(t week.Table) week.Table {
	if len(t) == 0 {
		return t
	}
	a, b := t[0].X, t[len(t)-1].X
	return week.Table{{X: a, Y: a}, {X: b, Y: b}}
}
