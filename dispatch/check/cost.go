package check

import (
	"fmt"

	"ebbline/dispatch/week"
)

const (
	perCent     = week.MoneyUnit        // units in a cent
	perSecond   = week.MoneyUnit / 3600 // units in a second at a cent per hour
	perMetre    = week.MoneyUnit / 1000 // units in a metre at a cent per kilometre
	perThousand = week.MoneyUnit / 1000 // units in a thousandth of a cent of value
	wholeDay    = int64(24 * 60 * 60)   // seconds
	startedHour = int64(60*60 - 1)      // rounds seconds up to hours
	halfCent    = week.MoneyUnit / 2
)

// cost adds up the heads in exact units and rounds each to the cent once.
func (c *checker) cost() week.Cost {
	var h struct{ driving, paid, overtime, waiting, late, out, promises, anew, low, owed, breaks int64 }
	r := &c.w.Rates
	for _, t := range c.tours {
		h.driving += c.metresOf(t) * t.CostPerKm * perMetre
		straight, over := c.hours(t)
		h.paid += straight * t.PayPerHour * perSecond
		h.overtime += over * t.OvertimePerHour * perSecond
	}
	for i := range c.w.Jobs {
		j := &c.w.Jobs[i]
		at, whole, has := c.conversion(j)
		switch {
		case c.out[j.ID] || (has && !whole):
			h.out += j.Value * r.LeftOutPermille * perThousand
			h.out += max(0, int64(c.w.NextWorkday.Day-j.DueDay)) * r.LateCents * perCent
		case has:
			h.waiting += j.Value * r.WaitingPermille * perThousand * (max(0, at-c.w.T0) / wholeDay)
			h.late += max(0, c.dayOf(at)-int64(j.DueDay)) * r.LateCents * perCent
		}
		h.promises += c.movedTold(j) * r.PromiseCents * perCent
		if n := c.lowSeconds(j) - r.LowFreeSeconds; n > 0 {
			h.low += (n + startedHour) / 3600 * r.LowCents * perCent
		}
		for n := range j.Visits {
			if c.owed[j.Visits[n].ID] != nil && !c.out[j.ID] {
				h.owed += r.OwedCents * perCent
			}
		}
	}
	worst := int64(0)
	for _, p := range c.w.Promises {
		s, ok := c.planned(p.Visit)
		if !ok || s.Start < p.From || s.Start > p.To {
			h.promises += r.PromiseCents * perCent
		}
		if ok && s.Start > p.To {
			h.promises += (s.Start - p.To) * r.PromiseLateCents * perSecond
			worst = max(worst, s.Start-p.To)
		}
	}
	h.promises += worst * r.PromiseWorstCents * perSecond
	h.anew = c.toldAnew() * r.ToldAnewCents * perCent
	for b := range c.excused {
		h.breaks += c.breakRate(b.Rule) * perCent
	}
	out := week.Cost{Driving: cents(h.driving), PaidTime: cents(h.paid), Overtime: cents(h.overtime), Waiting: cents(h.waiting),
		Late: cents(h.late), LeftOut: cents(h.out), Promises: cents(h.promises), ToldAnew: cents(h.anew), Low: cents(h.low),
		Owed: cents(h.owed), RuleBreaks: cents(h.breaks)}
	out.Total = out.Driving + out.PaidTime + out.Overtime + out.Waiting + out.Late + out.LeftOut + out.Promises + out.ToldAnew +
		out.Low + out.Owed + out.RuleBreaks
	return out
}

// cents rounds units half up; heads are never negative.
func cents(units int64) int64 { return (units + halfCent) / perCent }

func (c *checker) breakRate(kind string) int64 {
	switch kind {
	case week.BreakLowLimit:
		return c.w.Rates.BreakLowLimitCents
	case week.BreakCommission:
		return c.w.Rates.BreakCommissionCents
	case week.BreakPin:
		return c.w.Rates.BreakPinCents
	}
	return c.w.Rates.BreakAvailabilityCents
}

// metresOf is a tour's road: start place, its stops (and where a begun tour stands
// after its prefix), end place.
func (c *checker) metresOf(t tour) int64 {
	places := []string{t.Start}
	for k := range t.plan.Stops {
		if t.Begun != nil && k == t.past {
			places = append(places, t.Begun.Place)
		}
		places = append(places, c.stops[t.plan.Stops[k].Visit].visit.Place)
	}
	if t.Begun != nil && t.past == len(t.plan.Stops) {
		places = append(places, t.Begun.Place)
	}
	places = append(places, t.End)
	sum := int64(0)
	for i := 1; i < len(places); i++ {
		sum += c.metres(places[i-1], places[i])
	}
	return sum
}

// hours splits a tour's paid seconds at the end of its shift; unpaid lunch is taken
// off where it lies.
func (c *checker) hours(t tour) (straight, over int64) {
	from, to := t.plan.Depart, t.plan.Return
	straight = max(0, min(to, t.ShiftTo)-from)
	over = max(0, to-max(from, t.ShiftTo))
	if l := t.plan.Lunch; l != nil && t.Lunch != nil && !t.Lunch.Paid {
		a, b := max(l.Start, from), min(l.Start+t.Lunch.Seconds, to)
		straight -= max(0, min(b, t.ShiftTo)-a)
		over -= max(0, b-max(a, t.ShiftTo))
	}
	if t.Begun != nil {
		over += t.Begun.OvertimeRun
	}
	return straight, over
}

// toldAnew counts the tours whose crew has to be told something new.
func (c *checker) toldAnew() int64 {
	if c.w.HandedOut == nil {
		return 0
	}
	handed := map[string][]week.HandedStop{}
	for _, t := range c.w.HandedOut.Tours {
		handed[t.Tour] = t.Stops
	}
	n := int64(0)
	for i := range c.w.Tours {
		if t := &c.w.Tours[i]; (t.Begun == nil || t.Begun.Returned == nil) && c.differs(t, handed[t.ID]) {
			n++
		}
	}
	return n
}

// differs says whether a tour's stops that have not begun are others than handed out,
// or any of their starts moved by more than is let pass.
func (c *checker) differs(t *week.Tour, handed []week.HandedStop) bool {
	begun := map[string]bool{}
	for k := 0; t.Begun != nil && k < len(t.Begun.Stops); k++ {
		begun[t.Begun.Stops[k].Visit] = true
	}
	var before []week.HandedStop
	for _, s := range handed {
		if !begun[s.Visit] {
			before = append(before, s)
		}
	}
	var now []week.Stop
	for _, p := range c.tours {
		for k := 0; p.ID == t.ID && k < len(p.plan.Stops); k++ {
			if !begun[p.plan.Stops[k].Visit] {
				now = append(now, p.plan.Stops[k])
			}
		}
	}
	if len(before) != len(now) {
		return true
	}
	for k := range now {
		moved := now[k].Start - before[k].Start
		if now[k].Visit != before[k].Visit || max(moved, -moved) > c.w.Rates.ToldAnewSeconds {
			return true
		}
	}
	return false
}

// claims compares the plan's heads with the cost as added up here.
func (c *checker) claims(cost week.Cost) {
	got, want := heads(c.p.Cost), heads(cost)
	for i := range want {
		if got[i].cents != want[i].cents {
			c.note(Broken{Rule: RuleCost, By: got[i].cents - want[i].cents, Unit: "cents",
				Text: fmt.Sprintf("The plan says that %s costs %d cents; it adds up to %d.", want[i].name, got[i].cents, want[i].cents)})
		}
	}
}

type head struct {
	name  string
	cents int64
}

func heads(k week.Cost) []head {
	return []head{{"driving", k.Driving}, {"paid time", k.PaidTime}, {"overtime", k.Overtime}, {"waiting", k.Waiting}, {"being late", k.Late},
		{"leaving out", k.LeftOut}, {"promises", k.Promises}, {"telling crews anew", k.ToldAnew}, {"lying low", k.Low}, {"what is owed", k.Owed},
		{"breaking rules", k.RuleBreaks}, {"the total", k.Total}}
}
