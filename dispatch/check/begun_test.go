package check

import (
	"testing"

	"ebbline/dispatch/week"
)

// begunWeek is Monday 9:30: the red crew is at ash until 10:00 and goes on to birch.
func begunWeek() (*week.Week, *week.Plan) {
	w, p := twoSurveys()
	w.T0 = at(0, 9, 30)
	w.Jobs[0].Begun = true
	t := &w.Tours[0]
	t.Begun = &week.Begun{Depart: at(0, 8, 40), Place: "ash", FreeAt: at(0, 10, 0),
		Stops: []week.Stop{{Visit: "s.look", Leave: at(0, 8, 40), Arrive: at(0, 9, 0), Start: at(0, 9, 0), End: at(0, 10, 0)}}}
	return w, p
}

func TestBegun(t *testing.T) {
	w, p := begunWeek()
	wantOK(t, w, p)
	for _, b := range []broken{
		{"another start", func(w *week.Week, p *week.Plan) { stopOf(p, "s.look").Start++ }, []string{RuleBegun}},
		{"another end", func(w *week.Week, p *week.Plan) { stopOf(p, "s.look").End-- }, []string{RuleBegun}},
		{"another departure", func(w *week.Week, p *week.Plan) { p.Tours[0].Depart-- }, []string{RuleBegun}},
		{"another load", func(w *week.Week, p *week.Plan) { p.Tours[0].Load++ }, []string{RuleBegun}},
		{"not listed", func(w *week.Week, p *week.Plan) { p.Tours = nil }, []string{RuleBegun, RulePlaced}},
		{"cut short", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Begun.Stops = append(w.Tours[0].Begun.Stops, p.Tours[0].Stops[1], week.Stop{Visit: "x"})
		}, []string{RuleBegun}},
		{"moved to another crew", func(w *week.Week, p *week.Plan) { p.Tours[0].Tour = "blue0" }, []string{RuleBegun, RuleBeforeNow}},
		{"leaves before it is free", func(w *week.Week, p *week.Plan) { w.Tours[0].Begun.FreeAt++ }, []string{RuleDrive}},
		{"stands elsewhere", func(w *week.Week, p *week.Plan) { w.Tours[0].Begun.Place = "birch" }, []string{RuleDrive}},
		{"returned already", func(w *week.Week, p *week.Plan) { w.Tours[0].Begun.Returned = ptr(p.Tours[0].Return) }, []string{RuleBegun}},
		{"lunch was taken", func(w *week.Week, p *week.Plan) { w.Tours[0].Begun.LunchStart = ptr(at(0, 9, 0)) }, []string{RuleBegun}},
		{"lunch before it is free", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Lunch.From = 0
			p.Tours[0].Lunch = &week.LunchTaken{Start: at(0, 9, 40)}
		}, []string{RuleLunch}},
		{"lunch as it is free", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Lunch.From, w.Tours[0].Lunch.Seconds = 0, 10*minute
			p.Tours[0].Lunch = &week.LunchTaken{Start: at(0, 10, 0)}
			s := stopOf(p, "u.look")
			s.Leave, s.Arrive, s.Start, s.End = s.Leave+600, s.Arrive+600, s.Start+600, s.End+600
			p.Tours[0].HeadHome, p.Tours[0].Return = p.Tours[0].HeadHome+600, p.Tours[0].Return+600
		}, nil},
		{"lunch inside what has begun", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Lunch.From, w.Tours[0].Lunch.Seconds = 0, minute
			w.Jobs[0].Visits[0].Interruptible = true
			p.Tours[0].Lunch = &week.LunchTaken{Start: at(0, 9, 40), Inside: "s.look"}
		}, []string{RuleLunch}},
		{"what has begun was loaded as well", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Room, w.Jobs[0].Visits[0].Room, w.Jobs[1].Visits[0].Room = 41, 30, 12
		}, []string{RuleRoom}},
		{"and fits with what is to come", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Room, w.Jobs[0].Visits[0].Room, w.Jobs[1].Visits[0].Room = 42, 30, 12
		}, nil},
		// No rule is tested on what has happened.
		{"the prefix is late, unskilled, closed and was started before now", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Visits[0].Skills, w.Jobs[0].Visits[0].People, w.Tours[0].Skills = []string{"licensed"}, 9, nil
			w.Jobs[0].Visits[0].Allowed = []week.Span{{From: 0, To: 1}}
			w.Jobs[0].NotBefore = ptr(at(1, 0, 0))
			w.Closures = []week.Closure{{ID: "k", Place: "ash", From: 0, To: at(1, 0, 0)}}
			w.Tours[0].ShiftFrom = at(0, 9, 0)
		}, nil},
	} {
		t.Run(b.name, func(t *testing.T) {
			w, p := clone(w), clone(p)
			b.spoil(w, p)
			wantBroken(t, w, p, b.want...)
		})
	}
}

// TestLinkFromBegun: a link is no rule any more between two visits that have begun, and
// is one as long as either has not.
func TestLinkFromBegun(t *testing.T) {
	w, p := begunWeek()
	j := &w.Jobs[0]
	j.Visits = append(j.Visits, visit("s.close", "ash", hour))
	j.Links = []week.Link{{From: "s.look", To: "s.close", Lo: ptr(4 * hour)}}
	addTour(w, p, "blue0", 0, nil, go1{"s.close", at(0, 13, 0)})
	wantOK(t, w, p)
	*j.Links[0].Lo++
	wantBroken(t, w, p, RuleLink)
	blue := planTour(p, "blue0")
	w.T0, w.Tours[0].Begun.FreeAt = at(0, 13, 30), at(0, 13, 30)
	w.Tours[0].Begun.Stops = planTour(p, "red0").Stops
	w.Jobs[1].Begun = true
	w.Tours[0].Begun.Returned, w.Tours[0].Begun.Place = ptr(planTour(p, "red0").Return), "depot"
	w.Tours[1].Begun = &week.Begun{Depart: blue.Depart, Stops: blue.Stops, Place: "ash", FreeAt: at(0, 14, 0)}
	wantOK(t, w, p)
}

// TestReturned: a tour that is over is repeated as it was, lunch inside a visit and a
// late return included, and no rule is tested on it.
func TestReturned(t *testing.T) {
	w, p := newWeek(), &week.Plan{}
	j := addSurvey(w, "s", "ash", 9*hour)
	j.Begun = true
	w.T0 = at(0, 20, 0)
	stop := week.Stop{Visit: "s.look", Leave: at(0, 6, 40), Arrive: at(0, 7, 5), Start: at(0, 7, 5), End: at(0, 18, 0)}
	w.Tours[0].Begun = &week.Begun{Depart: at(0, 6, 30), Stops: []week.Stop{stop}, Place: "depot", FreeAt: at(0, 18, 30),
		LunchStart: ptr(at(0, 10, 0)), LunchInside: "s.look", Returned: ptr(at(0, 18, 30))}
	p.Tours = []week.PlanTour{{Tour: "red0", Depart: at(0, 6, 30), Stops: []week.Stop{stop}, HeadHome: at(0, 18, 0), Return: at(0, 18, 30),
		Lunch: &week.LunchTaken{Start: at(0, 10, 0), Inside: "s.look"}}}
	w.HandedOut = &week.HandedOut{} // and yet the crew is told nothing: it is home
	wantOK(t, w, p)
	// 6:30 to 15:30 less lunch: 8.5 h = 765.00; 3 h over = 405.00.
	if want := (week.Cost{Driving: 1800, PaidTime: 76_500, Overtime: 40_500, Total: 118_800}); p.Cost != want {
		t.Errorf("cost %+v, want %+v", p.Cost, want)
	}
	for _, b := range []broken{
		{"another return", func(w *week.Week, p *week.Plan) { p.Tours[0].Return++ }, []string{RuleBegun}},
		{"lunch at another time", func(w *week.Week, p *week.Plan) { p.Tours[0].Lunch.Start++ }, []string{RuleBegun}},
		{"lunch elsewhere", func(w *week.Week, p *week.Plan) { p.Tours[0].Lunch.Inside = "" }, []string{RuleBegun}},
		{"without lunch", func(w *week.Week, p *week.Plan) { p.Tours[0].Lunch = nil }, []string{RuleBegun}},
		{"one more stop", func(w *week.Week, p *week.Plan) {
			addSurvey(w, "u", "ash", hour)
			p.Tours[0].Stops = append(p.Tours[0].Stops, week.Stop{Visit: "u.look", Leave: at(0, 20, 0), Arrive: at(0, 20, 20), Start: at(0, 20, 20), End: at(0, 21, 20)})
		}, []string{RuleBegun}},
		{"each time of the stop", func(w *week.Week, p *week.Plan) { p.Tours[0].Stops[0].Leave-- }, []string{RuleBegun}},
		{"arrival", func(w *week.Week, p *week.Plan) { p.Tours[0].Stops[0].Arrive-- }, []string{RuleBegun}},
		{"visit", func(w *week.Week, p *week.Plan) {
			addSurvey(w, "u", "ash", hour)
			p.Tours[0].Stops[0].Visit, p.LeftOut = "u.look", []week.LeftOut{{Job: "s"}}
		}, []string{RuleBegun, RulePlaced}},
	} {
		t.Run(b.name, func(t *testing.T) {
			w, p := clone(w), clone(p)
			b.spoil(w, p)
			wantBroken(t, w, p, b.want...)
		})
	}
}

// TestBegunCost: what happened is paid for as it was; a crew is told nothing anew about
// what it has begun; overtime already run is added.
func TestBegunCost(t *testing.T) {
	w, p := begunWeek()
	w.Tours[0].Begun.OvertimeRun = 40 * minute // 90.00
	w.HandedOut = &week.HandedOut{Tours: []week.HandedTour{{Tour: "red0", Stops: []week.HandedStop{
		{Visit: "s.look", Start: at(0, 7, 20)}, {Visit: "u.look", Start: at(0, 10, 20)}}}}}
	wantOK(t, w, p)
	// 45 km; 8:40 to 11:40 = 3 h.
	want := week.Cost{Driving: 2700, PaidTime: 27_000, Overtime: 9000, Total: 38_700}
	if p.Cost != want {
		t.Errorf("cost %+v, want %+v", p.Cost, want)
	}
	// It broke down at cedar after ash: 5 km there and 15 on to birch.
	w.Tours[0].Begun.Place = "cedar"
	w.Travel.Metres[1][3], w.Travel.Metres[3][2] = 5_000, 15_000
	wantOK(t, w, p)
	if p.Cost.Driving != 3000 {
		t.Errorf("driving by way of cedar costs %d, want 3000", p.Cost.Driving)
	}
	// Its next stop is told anew when it moves by more than is let pass.
	w.HandedOut.Tours[0].Stops[1].Start += 901
	wantOK(t, w, p)
	if p.Cost.ToldAnew != 2000 {
		t.Errorf("telling anew costs %d, want 2000", p.Cost.ToldAnew)
	}
	// Nothing is left to do, and it goes home from cedar.
	w.Travel.Metres[3][0] = 1_000
	p.Tours[0].Stops = p.Tours[0].Stops[:1]
	p.Tours[0].HeadHome, p.Tours[0].Return = at(0, 10, 0), at(0, 10, 20)
	p.LeftOut = []week.LeftOut{{Job: "u"}}
	wantOK(t, w, p)
	if p.Cost.Driving != 1260 {
		t.Errorf("driving home by way of cedar costs %d, want 1260", p.Cost.Driving)
	}
}

// TestBreaks: the four kinds may be broken where something begun or pinned leaves no
// way; then the plan lists them, they are priced once, and nothing else is excused.
func TestBreaks(t *testing.T) {
	for _, c := range []struct {
		name string
		make func() (*week.Week, *week.Plan)
		rule string
		list week.RuleBreak
		want int64 // cents
	}{
		{"availability of a tour", func() (*week.Week, *week.Plan) {
			w, p := begunWeek()
			w.Tours[0].ShiftTo, w.Tours[0].OvertimeTo = at(0, 11, 0), at(0, 11, 30)
			w.Tours[0].OvertimePerHour, w.Tours[0].PayPerHour = 0, 0
			return w, p
		}, RuleShift, week.RuleBreak{Rule: week.BreakAvailability, Tour: "red0"}, 60_000},
		{"availability of a visit, twice over", func() (*week.Week, *week.Plan) {
			w, p := survey()
			w.Jobs[0].Visits[0].Pin = &week.Pin{Start: ptr(at(0, 9, 0))}
			w.Jobs[0].Visits[0].Allowed = []week.Span{{From: at(0, 12, 0), To: at(0, 13, 0)}}
			w.Jobs[0].NotBefore = ptr(at(0, 10, 0))
			return w, p
		}, RuleAllowed, week.RuleBreak{Rule: week.BreakAvailability, Visit: "s.look"}, 60_000},
		{"low limit", func() (*week.Week, *week.Plan) {
			w, p := conversion()
			w.Jobs[0].Begun = true
			w.Jobs[0].Water.LowLimit = later(hour * 30)
			return w, p
		}, RuleLowLimit, week.RuleBreak{Rule: week.BreakLowLimit, Job: "c"}, 100_000},
		{"commission limit", func() (*week.Week, *week.Plan) {
			w, p := conversion()
			w.Jobs[0].Begun = true
			w.Jobs[0].Links = []week.Link{{From: "c.convert", FromEnd: true, To: "c.light", Lo: ptr(int64(0)), Hi: ptr(20 * hour)}}
			return w, p
		}, RuleLink, week.RuleBreak{Rule: week.BreakCommission, Visit: "c.light"}, 40_000},
		{"pin", func() (*week.Week, *week.Plan) {
			w, p := survey()
			w.Jobs[0].Visits[0].Pin = &week.Pin{Tour: "blue0"}
			return w, p
		}, RulePin, week.RuleBreak{Rule: week.BreakPin, Visit: "s.look"}, 50_000},
		{"frozen order", func() (*week.Week, *week.Plan) {
			w, p := twoSurveys()
			w.Tours[0].Frozen = []string{"u.look"}
			return w, p
		}, RulePin, week.RuleBreak{Rule: week.BreakPin, Tour: "red0"}, 50_000},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, p := c.make()
			settle(w, p)
			r := Plan(w, p)
			if len(r.Broken) == 0 || r.Broken[0].Rule != c.rule {
				t.Fatalf("without the list: %s", texts(r))
			}
			before := r.Cost.Total
			p.RuleBreaks = []week.RuleBreak{c.list}
			wantOK(t, w, p)
			if p.Cost.RuleBreaks != c.want || p.Cost.Total != before+c.want {
				t.Errorf("rule breaks cost %d of %d, want %d more than %d", p.Cost.RuleBreaks, p.Cost.Total, c.want, before)
			}
			if r := Plan(w, p); len(r.Excused) == 0 || r.Excused[0].Rule != c.rule {
				t.Errorf("the break is not reported: %s", texts(r))
			}
			p.RuleBreaks = append(p.RuleBreaks, c.list)
			wantBroken(t, w, p, RuleRuleBreaks)
		})
	}
}

// TestOwedConversion: a job that has begun may owe what has not; it is then priced as
// left out too, and its pump may stay out; a pool that may be low must be able to wait.
func TestOwedConversion(t *testing.T) {
	w, p := conversion()
	w.Jobs[0].Begun = true
	w.Jobs[0].Water.LowLimit = later(4*day - at(0, 16, 30))
	p.Tours = p.Tours[:1]
	p.Owed = []week.Owed{{Visit: "c.convert"}, {Visit: "c.light"}}
	wantOK(t, w, p)
	// Left out 120.00 + 2 days late 100.00; low from 16:30 Monday to the end of Thursday: 79.5 h - 36 h = 44 started hours.
	want := week.Cost{Driving: 1800, PaidTime: 10_500, LeftOut: 22_000, Owed: 3000, Low: 17_600, Total: 54_900}
	if p.Cost != want {
		t.Errorf("cost %+v, want %+v", p.Cost, want)
	}
	w.Jobs[0].Water.LowLimit = later(4*day - at(0, 16, 30) - 1)
	wantBroken(t, w, p, RuleLowLimit)
	p.RuleBreaks = []week.RuleBreak{{Rule: week.BreakLowLimit, Job: "c"}}
	wantOK(t, w, p)
}

// TestFactsAreNotTested: a limit between two things that have happened is no rule of
// this plan any more.
func TestFactsAreNotTested(t *testing.T) {
	w, p := newWeek(), &week.Plan{}
	j := addConversion(w, "c", "ash")
	j.Visits = j.Visits[2:]
	j.Begun = true
	j.Water.DrainVisit, j.Water.DrainedAt, j.Water.FillFrom = "", ptr(-4*day), ptr(-2*hour)
	addTour(w, p, "blue0", 0, nil, go1{"c.light", at(0, 10, 0)})
	wantOK(t, w, p)
	shift(p, "c.light", -1)
	wantBroken(t, w, p, RuleCovered, RuleWork)
}
