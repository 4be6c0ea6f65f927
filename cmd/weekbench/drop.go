package main

import "ebbline/dispatch/week"

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
	{"pumps in stock", func(w *week.Week) {
		for h := range w.Homes {
			for d := range w.Homes[h].Pumps {
				w.Homes[h].Pumps[d] = 10_000
			}
		}
	}},
	{"berths", func(w *week.Week) {
		eachTour(w, func(t *week.Tour) { t.Berths = 1_000 })
	}},
	{"room on trucks", func(w *week.Week) {
		eachTour(w, func(t *week.Tour) { t.Room = 0 })
	}},
	{"lunch", func(w *week.Week) {
		eachTour(w, func(t *week.Tour) { t.Lunch = nil })
	}},
	{"end of overtime", func(w *week.Week) {
		eachTour(w, func(t *week.Tour) { t.OvertimeTo = max(t.OvertimeTo, w.DayStart(t.Day+1)) })
	}},
	{"pay of overtime", func(w *week.Week) {
		eachTour(w, func(t *week.Tour) { t.OvertimePerHour = t.PayPerHour })
	}},
	{"closures", func(w *week.Week) { w.Closures = nil }},
	{"hours of customers", func(w *week.Week) {
		eachVisit(w, func(_ *week.Job, v *week.Visit) { v.Allowed, v.EndInside = nil, false })
	}},
	{"end inside the hours", func(w *week.Week) {
		eachVisit(w, func(_ *week.Job, v *week.Visit) { v.EndInside = false })
	}},
	{"not before", func(w *week.Week) { eachJob(w, func(j *week.Job) { j.NotBefore = nil }) }},
	{"not after", func(w *week.Week) { eachJob(w, func(j *week.Job) { j.NotAfter = nil }) }},
	{"together", func(w *week.Week) {
		eachLink(w, func(_ *week.Job, l *week.Link) {
			if !l.FromEnd && l.Lo != nil && l.Hi != nil && *l.Lo == *l.Hi { // one after the other will do
				l.Hi = nil
			}
		})
	}},
	{"longest gaps", func(w *week.Week) {
		eachLink(w, func(j *week.Job, l *week.Link) {
			if l.FromEnd && !owable(j, l.To) {
				l.Hi = nil
			}
		})
	}},
	{"commission limit", func(w *week.Week) {
		eachLink(w, func(j *week.Job, l *week.Link) {
			if owable(j, l.To) {
				l.Hi = nil
			}
		})
	}},
	{"surely low", func(w *week.Week) {
		eachWater(w, func(wt *week.Water) { wt.LowLate = atOnce(wt.LowLate) })
	}},
	{"covered", func(w *week.Week) {
		eachVisit(w, func(_ *week.Job, v *week.Visit) {
			if v.Water == week.NeedCovered {
				v.Water = week.NeedNothing
			}
		})
	}},
	{"low limit", func(w *week.Week) {
		eachWater(w, func(wt *week.Water) {
			for i := range wt.LowLimit {
				wt.LowLimit[i].Y += 60 * 86400
			}
		})
	}},
	{"window of the season", func(w *week.Week) {
		eachWater(w, func(wt *week.Water) {
			if wt.Window != nil {
				*wt.Window = week.Span{From: 0, To: w.End}
			}
		})
	}},
	{"water hours on arrival", func(w *week.Week) {
		w.WaterHours = []week.Span{{From: -86400, To: w.End + 86400}}
		for c := range w.Closures {
			w.Closures[c].StopsPumping = false
		}
	}},
	{"notice and told interval", func(w *week.Week) {
		eachWater(w, func(wt *week.Water) {
			if c := wt.Customer; c != nil {
				c.Lead, c.Width, c.Sent = 0, 1, nil
				c.Hours = []week.Span{{From: 0, To: w.End}}
				c.NoticeHours = []week.Span{{From: 0, To: w.End}}
			}
		})
	}},
	{"pins", func(w *week.Week) {
		eachVisit(w, func(_ *week.Job, v *week.Visit) { v.Pin = nil })
	}},
	{"frozen order", func(w *week.Week) {
		eachTour(w, func(t *week.Tour) { t.Frozen = nil })
	}},
	{"crews told anew", func(w *week.Week) { w.Rates.ToldAnewCents = 0 }},
	{"promises", func(w *week.Week) { w.Promises = nil }},
	{"speeds by period", func(w *week.Week) {
		for i := range w.Travel.Periods {
			w.Travel.Periods[i].Permille = max(1000, w.Travel.Periods[i].Permille)
		}
	}},
	{"low beyond the free hours", func(w *week.Week) { w.Rates.LowCents = 0 }},
	{"owed commissions", func(w *week.Week) { w.Rates.OwedCents = 0 }},
	{"waiting", func(w *week.Week) { w.Rates.WaitingPermille = 0 }},
	{"late", func(w *week.Week) { w.Rates.LateCents = 0 }},
	{"left out", func(w *week.Week) { w.Rates.LeftOutPermille = 0 }},
}

func eachVisit(w *week.Week, do func(j *week.Job, v *week.Visit)) {
	for j := range w.Jobs {
		for n := range w.Jobs[j].Visits {
			do(&w.Jobs[j], &w.Jobs[j].Visits[n])
		}
	}
}

func eachTour(w *week.Week, do func(*week.Tour)) {
	for t := range w.Tours {
		do(&w.Tours[t])
	}
}

func eachJob(w *week.Week, do func(*week.Job)) {
	for j := range w.Jobs {
		do(&w.Jobs[j])
	}
}

func eachWater(w *week.Week, do func(*week.Water)) {
	for j := range w.Jobs {
		if wt := w.Jobs[j].Water; wt != nil {
			do(wt)
		}
	}
}

func eachLink(w *week.Week, do func(*week.Job, *week.Link)) {
	for j := range w.Jobs {
		for l := range w.Jobs[j].Links {
			do(&w.Jobs[j], &w.Jobs[j].Links[l])
		}
	}
}

// owable reports whether a visit may be owed, as a commission is.
func owable(j *week.Job, visit string) bool {
	for n := range j.Visits {
		if j.Visits[n].ID == visit {
			return j.Visits[n].MayOwe
		}
	}
	return false
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
