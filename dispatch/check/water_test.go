package check

import (
	"testing"

	"ebbline/dispatch/week"
)

// arrival drains on arrival: convert at ash Monday 12:00 for 6 h of which 5 pump, with
// a pump on the truck.
func arrival() (*week.Week, *week.Plan) {
	w, p := newWeek(), &week.Plan{}
	for i := range w.Tours {
		w.Tours[i].Lunch, w.Tours[i].OvertimeTo = nil, w.Tours[i].ShiftFrom+16*hour
	}
	j := addConversion(w, "c", "ash")
	j.Visits = j.Visits[1:]
	j.Visits[0].Seconds, j.Visits[0].CollectsPump = 6*hour, false
	j.Water = &week.Water{Way: week.WayArrival, ArrivalSeconds: 5 * hour, LowEarly: later(2 * hour), Covered: later(12 * hour), LowLimit: later(48 * hour)}
	addTour(w, p, "red0", 1, nil, go1{"c.convert", at(0, 14, 0)})
	addTour(w, p, "blue2", 0, nil, go1{"c.light", at(2, 9, 0)})
	return w, p
}

// window is low from Tuesday 6:00 to 12:00 by others.
func window() (*week.Week, *week.Plan) {
	w, p := newWeek(), &week.Plan{}
	j := addConversion(w, "c", "ash")
	j.Visits = j.Visits[1:]
	j.Visits[0].CollectsPump = false
	j.Water = &week.Water{Way: week.WayWindow, Window: &week.Span{From: at(1, 8, 0), To: at(1, 12, 0)}}
	addTour(w, p, "red1", 0, nil, go1{"c.convert", at(1, 8, 0)})
	addTour(w, p, "blue1", 0, nil, go1{"c.light", at(1, 12, 0)})
	return w, p
}

// with adjusts the water of the conversion example.
func with(adjust func(*week.Water)) func() (*week.Week, *week.Plan) {
	return func() (*week.Week, *week.Plan) {
		w, p := conversion()
		adjust(w.Jobs[0].Water)
		return w, p
	}
}

var waterExamples = []example{
	// The drain ends 8:30, so 23 h 30 min later is 8:00, when the conversion starts.
	{"low", with(func(w *week.Water) { w.LowLate = later(23*hour + 30*minute) }), []broken{
		{"a second late", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowLate = later(23*hour + 30*minute + 1) }, []string{RuleLow}},
		{"outside of the table", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Water.LowLate = week.Table{{X: at(0, 8, 30) + 1, Y: at(0, 18, 0)}, {X: at(1, 0, 0), Y: at(1, 7, 0)}}
		}, []string{RuleLow}},
		{"before the table", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Water.LowLate = week.Table{{X: at(0, 0, 0), Y: at(0, 10, 0)}, {X: at(0, 8, 30) - 1, Y: at(0, 18, 30)}}
		}, []string{RuleLow}},
	}},
	{"by the pool's own outlet", func() (*week.Week, *week.Plan) {
		w, p := conversion()
		j := &w.Jobs[0]
		j.Visits[0].DropsPump, j.Visits[1].CollectsPump, j.Water.Way = false, false, week.WayOutlet
		j.Water.LowLate = later(23*hour + 30*minute)
		p.Tours[0].Load = 0
		return w, p
	}, []broken{{"a second late", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowLate = later(23*hour + 30*minute + 1) }, []string{RuleLow}}}},
	// Converted at 12:00 Tuesday; lit 9:00 Wednesday, 21 h later.
	{"covered", with(func(w *week.Water) { w.Covered = later(21 * hour) }), []broken{
		{"a second late", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Covered = later(21*hour + 1) }, []string{RuleCovered}},
	}},
	{"covered after two crews worked at once", func() (*week.Week, *week.Plan) {
		w, p := conversion()
		j := &w.Jobs[0]
		mate := visit("c.mate", "ash", 5*hour)
		mate.Water = week.NeedLow
		j.Visits = []week.Visit{j.Visits[0], j.Visits[1], mate, j.Visits[2]}
		j.Links = []week.Link{{From: "c.convert", To: "c.mate", Lo: ptr(int64(0)), Hi: ptr(int64(0))}}
		j.Water.Covered = later(20 * hour) // from 13:00, when the longer of the two ends
		addTour(w, p, "blue1", 0, nil, go1{"c.mate", at(1, 8, 0)})
		return w, p
	}, []broken{{"a second late", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Covered = later(20*hour + 1) }, []string{RuleCovered}}}},
	// May be low 16:30 Monday, covered 0:00 Wednesday: 31 h 30 min.
	{"low limit", with(func(w *week.Water) { w.LowLimit = later(31*hour + 30*minute) }), []broken{
		{"a second over", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowLimit = later(31*hour + 30*minute - 1) }, []string{RuleLowLimit}},
		{"listed, but nothing begun or pinned", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Water.LowLimit = later(31*hour + 30*minute - 1)
			p.RuleBreaks = []week.RuleBreak{{Rule: week.BreakLowLimit, Job: "c"}}
		}, []string{RuleLowLimit, RuleRuleBreaks}},
	}},
	{"on arrival", arrival, []broken{
		{"past water hours", func(w *week.Week, p *week.Plan) { w.WaterHours[0].To-- }, []string{RuleArrival}},
		{"before water hours", func(w *week.Week, p *week.Plan) { w.WaterHours[0].From = at(0, 14, 0) + 1 }, []string{RuleArrival}},
		{"a closure that stops pumping", func(w *week.Week, p *week.Plan) {
			w.Closures = []week.Closure{{ID: "storm", All: true, StopsPumping: true, From: at(0, 18, 0), To: at(0, 19, 0)}}
		}, []string{RuleArrival, RuleClosure}},
		{"water hours sharp", func(w *week.Week, p *week.Plan) { w.WaterHours[0].From = at(0, 14, 0) }, nil},
		{"closures that stop pumping elsewhere, or later", func(w *week.Week, p *week.Plan) {
			w.Closures = []week.Closure{{ID: "a", Place: "birch", StopsPumping: true, From: at(0, 0, 0), To: at(1, 0, 0)},
				{ID: "b", Place: "ash", StopsPumping: true, From: at(1, 0, 0), To: at(2, 0, 0)}}
		}, nil},
		{"no pump on the truck", func(w *week.Week, p *week.Plan) { p.Tours[0].Load = 0 }, []string{RuleLoad, RuleTruck}},
		{"no berth", func(w *week.Week, p *week.Plan) { w.Tours[0].Berths = 0 }, []string{RuleTruck}},
		{"low limit", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowLimit = later(16*hour - 1) }, []string{RuleLowLimit}},
		{"low limit sharp", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowLimit = later(16 * hour) }, nil},
	}},
	{"on arrival, in two parts beside each other", func() (*week.Week, *week.Plan) {
		w, p := arrival()
		j := &w.Jobs[0]
		mate := visit("c.mate", "ash", hour)
		mate.Water = week.NeedLow
		j.Visits = []week.Visit{j.Visits[0], mate, j.Visits[1]}
		j.Links = []week.Link{{From: "c.convert", To: "c.mate", Lo: ptr(int64(0))}}
		addTour(w, p, "blue0", 0, nil, go1{"c.mate", at(0, 20, 0)})
		return w, p
	}, []broken{{"a second before the pool is drained and worked on", func(w *week.Week, p *week.Plan) {
		s, t := stopOf(p, "c.mate"), planTour(p, "blue0")
		s.Leave, s.Arrive, s.Start, s.End = s.Leave-1, s.Arrive-1, s.Start-1, s.End-1
		t.Depart, t.HeadHome, t.Return = t.Depart-1, t.HeadHome-1, t.Return-1
	}, []string{RuleLow}}}},
	{"drained, and nothing needs it low", func() (*week.Week, *week.Plan) {
		w, p := conversion()
		j := &w.Jobs[0]
		j.Visits[0].DropsPump, j.Water.Way, j.Water.LowLimit = false, week.WayOutlet, later(1)
		j.Visits = j.Visits[:1]
		p.Tours, p.Tours[0].Load = p.Tours[:1], 0
		return w, p
	}, nil},
	{"window", window, []broken{
		{"opens late", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Window.From++ }, []string{RuleLow}},
		{"shuts early", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Window.To-- }, []string{RuleLow}},
		{"shuts after the lights", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Window.To++ }, []string{RuleCovered}},
		{"its own refill", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Covered = later(1) }, []string{RuleCovered}},
	}},
}

var toldExamples = []example{{"told", customer, []broken{
	{"nothing is told", func(w *week.Week, p *week.Plan) { p.Told = nil }, []string{RuleTold, RuleLow}},
	{"starts before the lead", func(w *week.Week, p *week.Plan) { p.Told[0].Earliest-- }, []string{RuleTold}},
	{"now moves on", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Customer.NoticeHours[0].From++ }, []string{RuleTold}},
	{"no notice hour left", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Customer.NoticeHours = nil }, []string{RuleTold}},
	{"too narrow", func(w *week.Week, p *week.Plan) { p.Told[0].Latest-- }, []string{RuleTold}},
	{"ends after the hours", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Customer.Hours[0].To = at(0, 17, 30) - 1 }, []string{RuleTold}},
	{"starts before the hours", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Customer.Hours[0].From = at(0, 15, 30) + 1 }, []string{RuleTold}},
	{"low too late for the latest", func(w *week.Week, p *week.Plan) { p.Told[0].Latest++ }, []string{RuleLow}},
	{"low limit from the earliest", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowLimit = later(25*hour - 1) }, []string{RuleLowLimit}},
	{"low limit sharp", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowLimit = later(25 * hour) }, nil},
	{"hours and lead sharp", func(w *week.Week, p *week.Plan) {
		w.Jobs[0].Water.Customer.Hours[0] = week.Span{From: at(0, 15, 30), To: at(0, 17, 30)}
	}, nil},
	{"the last second of a notice hour is now, and no lead is wanted", func(w *week.Week, p *week.Plan) {
		w.T0 = at(0, 15, 30)
		w.Jobs[0].Water.Customer.Lead, w.Jobs[0].Water.Customer.NoticeHours = 0, []week.Span{{From: 0, To: at(0, 15, 30)}, {From: at(1, 7, 0), To: at(1, 8, 0)}}
	}, nil},
	{"a second after the last notice hour of the day", func(w *week.Week, p *week.Plan) {
		w.T0 = at(0, 15, 30)
		w.Jobs[0].Water.Customer.Lead, w.Jobs[0].Water.Customer.NoticeHours = 0, []week.Span{{From: 0, To: at(0, 15, 30) - 1}, {From: at(1, 7, 0), To: at(1, 8, 0)}}
	}, []string{RuleTold}},
	{"told to a job that is left out", func(w *week.Week, p *week.Plan) {
		p.Tours, p.LeftOut = nil, []week.LeftOut{{Job: "c"}}
	}, []string{RuleTold}},
	{"sent already, and kept though late and narrow", func(w *week.Week, p *week.Plan) {
		p.Told[0] = week.Told{Job: "c", Earliest: at(0, 15, 30) - 1, Latest: at(0, 16, 0)}
		w.Jobs[0].Water.Customer.Sent = &week.Interval{Earliest: at(0, 15, 30) - 1, Latest: at(0, 16, 0)}
	}, nil},
	{"sent already, and changed by too little lead", func(w *week.Week, p *week.Plan) {
		w.Jobs[0].Water.Customer.Sent = &week.Interval{Earliest: at(0, 15, 30), Latest: at(0, 17, 30)}
		p.Told[0].Earliest--
	}, []string{RuleTold}},
	{"before now", func(w *week.Week, p *week.Plan) {
		w.Jobs[0].Water.Customer.Lead = 0
		w.Jobs[0].Water.Customer.NoticeHours = []week.Span{{From: at(0, 5, 0), To: at(2, 0, 0)}}
		p.Told[0].Earliest = w.T0 - 1
		w.Jobs[0].Water.Customer.Hours[0].From = 0
	}, []string{RuleTold}},
}}}

// customer is told Monday 15:30 to 17:30; the notice can go out at 7:30 and 8 h of lead
// are wanted; low 15 h after the latest, at 8:30 Tuesday.
func customer() (*week.Week, *week.Plan) {
	w, p := newWeek(), &week.Plan{}
	j := addConversion(w, "c", "ash")
	j.Visits = j.Visits[1:]
	j.Visits[0].CollectsPump = false
	j.Water.Way, j.Water.DrainVisit, j.Water.LowLate = week.WayCustomer, "", later(15*hour)
	j.Water.Customer = &week.Customer{Hours: []week.Span{{From: at(0, 12, 0), To: at(0, 20, 0)}}, Lead: 8 * hour, Width: 2 * hour,
		NoticeHours: []week.Span{{From: at(0, 7, 30), To: at(0, 20, 0)}}}
	w.T0 = at(0, 6, 0)
	addTour(w, p, "red1", 0, nil, go1{"c.convert", at(1, 8, 30)})
	addTour(w, p, "blue2", 0, nil, go1{"c.light", at(2, 9, 0)})
	// Covered 0:30 Wednesday, 12 h after 12:30; may be low 23:30 Monday, 8 h after 15:30.
	p.Told = []week.Told{{Job: "c", Earliest: at(0, 15, 30), Latest: at(0, 17, 30)}}
	return w, p
}

var pumpExamples = []example{
	{"load", conversion, []broken{
		{"one pump too many", func(w *week.Week, p *week.Plan) { w.Tours[0].Berths = 2; p.Tours[0].Load++ }, []string{RuleLoad}},
		{"one berth too few", func(w *week.Week, p *week.Plan) { w.Tours[0].Berths = 0 }, []string{RuleTruck}},
		{"one pump too few", func(w *week.Week, p *week.Plan) { p.Tours[0].Load-- }, []string{RuleLoad, RuleTruck}},
		{"one loaded for nothing", func(w *week.Week, p *week.Plan) { p.Tours[2].Load++ }, []string{RuleLoad}},
		{"no home", func(w *week.Week, p *week.Plan) { w.Tours[0].Home, w.Tours[2].Home = "", "" }, []string{RuleLoad}},
		{"no home and no pump", func(w *week.Week, p *week.Plan) { w.Tours[5].Home, w.Tours[5].Berths = "", 0 }, nil},
		{"another home collects", func(w *week.Week, p *week.Plan) { w.Tours[2].Home = "annex" }, []string{RuleCollect}},
		{"no berth to collect it", func(w *week.Week, p *week.Plan) { w.Tours[2].Berths = 0 }, []string{RuleTruck}},
	}},
	{"collected before it is dropped", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		j := addConversion(w, "c", "ash")
		j.Visits = append(j.Visits[:1], visit("c.look", "ash", hour), j.Visits[1], j.Visits[2])
		j.Visits[1].CollectsPump, j.Visits[2].CollectsPump = true, false
		j.Links = []week.Link{{From: "c.drain", To: "c.look", Lo: ptr(int64(0))}}
		t := addTour(w, p, "red0", 1, nil, go1{"c.drain", at(0, 8, 0)})
		t.HeadHome, t.Return = t.HeadHome+minute, t.Return+minute
		addTour(w, p, "blue0", 0, nil, go1{"c.look", at(0, 8, 30)})
		addTour(w, p, "red1", 0, nil, go1{"c.convert", at(1, 8, 0)})
		addTour(w, p, "blue2", 0, nil, go1{"c.light", at(2, 9, 0)})
		return w, p
	}, []broken{{"a second", func(w *week.Week, p *week.Plan) { shift(p, "c.drain", 1) }, []string{RuleCollect}}}},
	// Two pools drained on Monday, one pump each; a third on Tuesday while both stand out
	// until the crews come: with three pumps it goes, with two it does not.
	{"stock", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		w.Homes[0].Pumps = []int{2, 3, 3}
		for _, id := range []string{"a", "b", "c"} {
			addConversion(w, id, map[string]string{"a": "ash", "b": "birch", "c": "cedar"}[id])
		}
		addTour(w, p, "red0", 1, nil, go1{"a.drain", at(0, 8, 0)})
		addTour(w, p, "blue0", 1, nil, go1{"b.drain", at(0, 8, 0)})
		addTour(w, p, "red1", 0, nil, go1{"a.convert", at(1, 8, 0)})
		addTour(w, p, "blue1", 1, nil, go1{"c.drain", at(1, 7, 20)}, go1{"b.convert", at(1, 8, 10)})
		addTour(w, p, "red2", 0, nil, go1{"c.convert", at(2, 8, 0)})
		addTour(w, p, "blue2", 0, nil, go1{"a.light", at(2, 9, 0)}, go1{"b.light", at(2, 10, 0)})
		p.Owed = []week.Owed{{Visit: "c.light"}}
		return w, p
	}, []broken{
		{"one pump too few on Monday", func(w *week.Week, p *week.Plan) { w.Homes[0].Pumps[0]-- }, []string{RuleStock}},
		{"one pump too few on Tuesday", func(w *week.Week, p *week.Plan) { w.Homes[0].Pumps[1]-- }, []string{RuleStock}},
		{"one pump stands elsewhere", func(w *week.Week, p *week.Plan) {
			j := addConversion(w, "d", "cedar")
			j.Visits = j.Visits[1:2]
			j.Begun, j.Water.DrainVisit, j.Water.DrainedAt, j.Water.PumpOnSite = true, "", ptr(int64(0)), "yard"
			j.Water.LowLimit = later(20 * day)
			p.Owed = append(p.Owed, week.Owed{Visit: "d.convert"})
		}, []string{RuleStock}},
		{"that pump is of another home", func(w *week.Week, p *week.Plan) {
			j := addConversion(w, "d", "cedar")
			j.Visits = j.Visits[1:2]
			j.Begun, j.Water.DrainVisit, j.Water.DrainedAt, j.Water.PumpOnSite = true, "", ptr(int64(0)), "annex"
			j.Water.LowLimit = later(20 * day)
			p.Owed = append(p.Owed, week.Owed{Visit: "d.convert"})
		}, nil},
		{"one more truck berth used on the way", func(w *week.Week, p *week.Plan) {
			// Collecting first and dropping then needs a second berth and no load.
			for i := range p.Tours {
				if p.Tours[i].Tour == "blue1" {
					p.Tours[i].Load = 0
				}
			}
		}, []string{RuleLoad, RuleTruck}},
	}},
}

// TestPumpStandsOverDay has the pump of a job that began before the horizon, with its
// water drained then: the conversion may come at once and must collect the pump.
func TestPumpStandsOverDay(t *testing.T) {
	w, p := conversion()
	j := &w.Jobs[0]
	j.Visits = j.Visits[1:]
	j.Begun, j.Water.DrainVisit, j.Water.DrainedAt, j.Water.PumpOnSite = true, "", ptr(-15*hour-30*minute), "yard"
	j.Water.LowLate = later(23*hour + 30*minute)
	p.Tours = nil
	addTour(w, p, "red0", 0, nil, go1{"c.convert", at(0, 8, 0)})
	addTour(w, p, "blue2", 0, nil, go1{"c.light", at(2, 9, 0)})
	wantOK(t, w, p)
	j.Water.LowLate = later(23*hour + 30*minute + 1)
	wantBroken(t, w, p, RuleLow)
	// Drained 8:30 Sunday, low maybe 16:30, covered 0:00 Tuesday, 31 h 30 min later. That
	// draining is a fact excuses nothing that is still to be decided.
	j.Water.LowLate, j.Water.LowLimit = later(10*hour), later(31*hour+30*minute)
	wantOK(t, w, p)
	j.Water.LowLimit = later(31*hour + 30*minute - 1)
	wantBroken(t, w, p, RuleLowLimit)
	j.Water.LowLimit = later(60 * hour)
	w.Tours[0].Home = "annex"
	wantBroken(t, w, p, RuleCollect)
}

// TestTwoParts has a conversion in two visits, of which the second is still to come: the
// pool stays low until the later of the two, whichever has begun or is owed.
func TestTwoParts(t *testing.T) {
	parts := func() (*week.Week, *week.Plan) {
		w, p := conversion()
		j := &w.Jobs[0]
		second := visit("c.second", "ash", hour)
		second.Water = week.NeedLow
		j.Begun = true
		j.Visits = []week.Visit{j.Visits[0], j.Visits[1], second}
		p.Tours = p.Tours[:2]
		return w, p
	}
	w, p := parts()
	// Covered 12 h after 10:00 Wednesday; low maybe from 16:30 Monday: 53 h 30 min.
	addTour(w, p, "blue2", 0, nil, go1{"c.second", at(2, 9, 0)})
	w.Jobs[0].Water.LowLimit = later(53*hour + 30*minute)
	wantOK(t, w, p)
	w.Jobs[0].Water.LowLimit = later(53*hour + 30*minute - 1)
	wantBroken(t, w, p, RuleLowLimit)

	// The drain and the first part have happened; the second has not.
	w.T0 = at(1, 13, 0)
	for i, id := range []string{"red0", "red1"} {
		pt := planTour(p, id)
		w.Tours[2*i].Begun = &week.Begun{Depart: pt.Depart, Load: pt.Load, Stops: pt.Stops, Place: "depot", FreeAt: pt.Return, Returned: ptr(pt.Return)}
	}
	wantBroken(t, w, p, RuleLowLimit)
	w.Jobs[0].Water.LowLimit = later(53*hour + 30*minute)
	wantOK(t, w, p)

	// It is owed: low until the working day after the horizon has ended, 79 h 30 min.
	w, p = parts()
	p.Owed = []week.Owed{{Visit: "c.second"}}
	w.Jobs[0].Water.LowLimit = later(79*hour + 30*minute)
	wantOK(t, w, p)
	if p.Cost.Low != 44*400 { // 79.5 h less 36
		t.Errorf("low costs %d, want %d", p.Cost.Low, 44*400)
	}
	w.Jobs[0].Water.LowLimit = later(79*hour + 30*minute - 1)
	wantBroken(t, w, p, RuleLowLimit)
	w.Jobs[0].Water.LowLimit = later(90 * hour)
	light := visit("c.light", "ash", hour)
	light.Water = week.NeedCovered
	w.Jobs[0].Visits = append(w.Jobs[0].Visits, light)
	w.Jobs[0].Links = []week.Link{{From: "c.second", To: "c.light", Lo: ptr(int64(0))}}
	addTour(w, p, "blue2", 0, nil, go1{"c.light", at(2, 9, 0)})
	wantBroken(t, w, p, RuleCovered)
}

// TestToldNothing: while the conversion of a begun job is owed, nothing is told.
func TestToldNothing(t *testing.T) {
	w, p := customer()
	w.Jobs[0].Begun = true
	p.Tours, p.Told, p.Owed = nil, nil, []week.Owed{{Visit: "c.convert"}, {Visit: "c.light"}}
	wantOK(t, w, p)
	p.Told = []week.Told{{Job: "c", Earliest: at(0, 15, 30), Latest: at(0, 17, 30)}}
	w.Jobs[0].Water.LowLimit = later(20 * day)
	wantBroken(t, w, p, RuleTold)
}
