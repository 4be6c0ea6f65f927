package check

import "ebbline/dispatch/week"

var visitExamples = []example{
	{"skills and people", func() (*week.Week, *week.Plan) {
		w, p := survey()
		w.Jobs[0].Visits[0].Skills, w.Jobs[0].Visits[0].People = []string{"licensed"}, 2
		return w, p
	}, []broken{
		{"a crew without the skill", func(w *week.Week, p *week.Plan) { p.Tours[0].Tour = "blue0" }, []string{RuleSkills}},
		{"one person more", func(w *week.Week, p *week.Plan) { w.Jobs[0].Visits[0].People++ }, []string{RulePeople}},
	}},
	{"allowed starts", func() (*week.Week, *week.Plan) {
		w, p := survey()
		w.Jobs[0].Visits[0].Allowed = []week.Span{{From: at(0, 8, 0), To: at(0, 9, 0)}, {From: at(0, 12, 0), To: at(0, 13, 0)}}
		planTour(p, "red0").HeadHome += hour
		planTour(p, "red0").Return += hour
		return w, p
	}, []broken{
		{"a second too late", func(w *week.Week, p *week.Plan) { shift(p, "s.look", 1) }, []string{RuleAllowed}},
		{"too early for the second span", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Visits[0].Allowed[0].To -= minute
			w.Jobs[0].Visits[0].Allowed[1].From = at(0, 9, 0) + 1
		}, []string{RuleAllowed}},
	}},
	{"allowed ends", func() (*week.Week, *week.Plan) {
		w, p := survey()
		w.Jobs[0].Visits[0].Allowed, w.Jobs[0].Visits[0].EndInside = []week.Span{{From: at(0, 8, 0), To: at(0, 10, 0)}}, true
		return w, p
	}, []broken{{"ends a second too late", func(w *week.Week, p *week.Plan) { w.Jobs[0].Visits[0].Allowed[0].To-- }, []string{RuleAllowed}}}},
	{"not before, not after", func() (*week.Week, *week.Plan) {
		w, p := survey()
		w.Jobs[0].NotBefore, w.Jobs[0].NotAfter = ptr(at(0, 9, 0)), ptr(at(0, 10, 0))
		return w, p
	}, []broken{
		{"before", func(w *week.Week, p *week.Plan) { *w.Jobs[0].NotBefore++ }, []string{RuleNotBefore}},
		{"after", func(w *week.Week, p *week.Plan) { *w.Jobs[0].NotAfter-- }, []string{RuleNotAfter}},
	}},
	{"closures", func() (*week.Week, *week.Plan) {
		w, p := survey() // 9:00 to 10:00 at ash, in the north
		w.Closures = []week.Closure{
			{ID: "before", Place: "ash", From: at(0, 6, 0), To: at(0, 9, 0)},
			{ID: "after", Area: "north", From: at(0, 10, 0), To: at(0, 12, 0)},
			{ID: "storm", All: true, From: at(1, 0, 0), To: at(2, 0, 0)},
			{ID: "elsewhere", Place: "birch", From: at(0, 6, 0), To: at(0, 18, 0)},
			{ID: "road", Place: "depot", From: at(0, 6, 0), To: at(0, 18, 0)}, // driving from there is allowed
		}
		return w, p
	}, []broken{
		{"place", func(w *week.Week, p *week.Plan) { w.Closures[0].To++ }, []string{RuleClosure}},
		{"area", func(w *week.Week, p *week.Plan) { w.Closures[1].From-- }, []string{RuleClosure}},
		{"everything", func(w *week.Week, p *week.Plan) { w.Closures[2].From = at(0, 10, 0) - 1 }, []string{RuleClosure}},
		{"inside the visit", func(w *week.Week, p *week.Plan) {
			w.Closures[2].From, w.Closures[2].To = at(0, 9, 30), at(0, 9, 30)+1
		}, []string{RuleClosure}},
	}},
	{"pins", func() (*week.Week, *week.Plan) {
		w, p := twoSurveys()
		w.Jobs[0].Visits[0].Pin = &week.Pin{Tour: "red0", Day: ptr(0), Start: ptr(at(0, 9, 0))}
		w.Jobs[1].Visits[0].Pin = &week.Pin{Day: ptr(0)}
		w.Tours[0].Frozen = []string{"s.look", "u.look"}
		return w, p
	}, []broken{
		{"start", func(w *week.Week, p *week.Plan) { *w.Jobs[0].Visits[0].Pin.Start-- }, []string{RulePin}},
		{"tour", func(w *week.Week, p *week.Plan) { w.Jobs[0].Visits[0].Pin.Tour = "blue0" }, []string{RulePin}},
		{"day", func(w *week.Week, p *week.Plan) { *w.Jobs[1].Visits[0].Pin.Day = 1 }, []string{RulePin}},
		{"order", func(w *week.Week, p *week.Plan) { w.Tours[0].Frozen = []string{"u.look"} }, []string{RulePin}},
		{"order on another tour", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Frozen = nil
			p.Tours[0].Tour = "blue0"
			w.Jobs[0].Visits[0].Pin.Tour = "blue0"
			w.Tours[1].Frozen = []string{"u.look", "s.look"}
		}, []string{RulePin}},
	}},
}

// roomExamples: 30 and 12 litres on a truck of 42.
var roomExamples = []example{{"room on the truck", func() (*week.Week, *week.Plan) {
	w, p := twoSurveys()
	w.Tours[0].Room, w.Jobs[0].Visits[0].Room, w.Jobs[1].Visits[0].Room = 42, 30, 12
	return w, p
}, []broken{
	{"a litre more material", func(w *week.Week, p *week.Plan) { w.Jobs[1].Visits[0].Room++ }, []string{RuleRoom}},
	{"a litre less room", func(w *week.Week, p *week.Plan) { w.Tours[0].Room-- }, []string{RuleRoom}},
	{"room that is not looked at", func(w *week.Week, p *week.Plan) { w.Tours[0].Room = 0 }, nil},
}}}

var jobExamples = []example{
	{"placed as a whole", conversion, []broken{
		{"the drain only", func(w *week.Week, p *week.Plan) { p.Tours = p.Tours[:1] }, []string{RulePlaced, RulePumpOut}},
		{"left out, and not", func(w *week.Week, p *week.Plan) { p.LeftOut = []week.LeftOut{{Job: "c"}} }, []string{RulePlaced}},
		{"owed, and not", func(w *week.Week, p *week.Plan) { p.Owed = []week.Owed{{Visit: "c.light"}} }, []string{RulePlaced}},
		{"nothing of it", func(w *week.Week, p *week.Plan) { p.Tours = nil }, []string{RulePlaced}},
		{"has begun", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Begun, p.Tours, p.LeftOut = true, nil, []week.LeftOut{{Job: "c"}}
		}, []string{RulePlaced}},
	}},
	{"chain", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		j := addSurvey(w, "s", "ash", hour)
		j.Visits = append(j.Visits, visit("s.dig", "ash", hour))
		t := addTour(w, p, "red0", 0, nil, go1{"s.look", at(0, 8, 0)})
		t.HeadHome, t.Return = t.HeadHome+hour, t.Return+hour
		addTour(w, p, "blue0", 0, nil, go1{"s.dig", at(0, 9, 0)})
		return w, p
	}, []broken{
		{"starts before the end", func(w *week.Week, p *week.Plan) { shift(p, "s.look", 1) }, []string{RuleChain}},
		{"a link replaces it", func(w *week.Week, p *week.Plan) {
			shift(p, "s.look", 1)
			w.Jobs[0].Links = []week.Link{{From: "s.look", To: "s.dig", Lo: ptr(int64(0))}}
		}, nil},
		{"a link with a third does not replace it", func(w *week.Week, p *week.Plan) {
			j := &w.Jobs[0]
			j.Visits = append(j.Visits, visit("s.close", "ash", hour))
			j.Links = []week.Link{{From: "s.look", To: "s.close", Lo: ptr(int64(0))}}
			addTour(w, p, "red1", 0, nil, go1{"s.close", at(1, 9, 0)})
			shift(p, "s.look", 1)
		}, []string{RuleChain}},
		{"nor does one of the later", func(w *week.Week, p *week.Plan) {
			j := &w.Jobs[0]
			j.Visits = append(j.Visits, visit("s.close", "ash", hour))
			j.Links = []week.Link{{From: "s.dig", To: "s.close", Lo: ptr(int64(0))}}
			addTour(w, p, "red1", 0, nil, go1{"s.close", at(1, 9, 0)})
			shift(p, "s.look", 1)
		}, []string{RuleChain}},
		{"after an owed one", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Begun, p.Tours, p.Owed = true, p.Tours[1:], []week.Owed{{Visit: "s.look"}}
		}, []string{RuleChain}},
	}},
	{"links", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		j := addSurvey(w, "s", "ash", hour)
		j.Visits = append(j.Visits, visit("s.mate", "ash", 2*hour), visit("s.close", "ash", hour))
		j.Links = []week.Link{
			{From: "s.look", To: "s.mate", Lo: ptr(int64(0)), Hi: ptr(int64(0))}, // two crews at once
			{From: "s.look", FromEnd: true, To: "s.close", Lo: ptr(hour), Hi: ptr(26 * hour)},
			{From: "s.mate", To: "s.close", Lo: ptr(26 * hour)},
		}
		for _, crew := range []string{"red0", "blue0"} {
			visit := map[string]string{"red0": "s.look", "blue0": "s.mate"}[crew]
			t := addTour(w, p, crew, 0, nil, go1{visit, at(0, 8, 0)})
			t.HeadHome, t.Return = t.HeadHome+minute, t.Return+minute
		}
		addTour(w, p, "red1", 0, nil, go1{"s.close", at(1, 11, 0)})
		p.Tours[2].Depart -= minute
		p.Tours[2].Stops[0].Leave -= minute
		p.Tours[2].Stops[0].Arrive -= minute
		return w, p
	}, []broken{
		{"not together", func(w *week.Week, p *week.Plan) { shift(p, "s.mate", 1) }, []string{RuleLink}},
		{"not together, the other way", func(w *week.Week, p *week.Plan) {
			shift(p, "s.look", 1)
		}, []string{RuleLink}},
		{"past hi", func(w *week.Week, p *week.Plan) {
			p.Tours[2].HeadHome, p.Tours[2].Return = p.Tours[2].HeadHome+1, p.Tours[2].Return+1
			shift(p, "s.close", 1)
		}, []string{RuleLink}},
		{"before lo", func(w *week.Week, p *week.Plan) { *w.Jobs[0].Links[2].Lo += hour + 1 }, []string{RuleLink}},
		{"lo holds sharp", func(w *week.Week, p *week.Plan) { *w.Jobs[0].Links[2].Lo += hour }, nil},
	}},
	{"owed", func() (*week.Week, *week.Plan) {
		w, p := conversion()
		w.Jobs[0].Links = []week.Link{{From: "c.convert", FromEnd: true, To: "c.light", Lo: ptr(int64(0)), Hi: ptr(4*day - at(1, 12, 0))}}
		p.Tours = p.Tours[:2]
		p.Owed = []week.Owed{{Visit: "c.light", Latest: ptr(4 * day)}}
		return w, p
	}, []broken{
		{"its latest start is too early", func(w *week.Week, p *week.Plan) {
			*w.Jobs[0].Links[0].Hi--
			*p.Owed[0].Latest--
		}, []string{RuleOwed}},
		{"not_after ends it", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].NotAfter, p.Owed[0].Latest = ptr(4*day+30*minute-1), ptr(4*day-1)
		}, []string{RuleOwed}},
		{"owed twice", func(w *week.Week, p *week.Plan) { p.Owed = append(p.Owed, p.Owed[0]) }, []string{RuleForm}},
		{"latest start misstated", func(w *week.Week, p *week.Plan) { *p.Owed[0].Latest++ }, []string{RuleStated}},
		{"open latest start misstated", func(w *week.Week, p *week.Plan) { w.Jobs[0].Links = nil }, []string{RuleStated}},
		{"bounded from the start of the conversion", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Links[0] = week.Link{From: "c.convert", To: "c.light", Hi: ptr(4*day - at(1, 8, 0))}
		}, nil},
		{"bounded by nothing but a link of another visit", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Links = []week.Link{{From: "c.drain", FromEnd: true, To: "c.convert", Lo: ptr(int64(0)), Hi: ptr(2 * day)},
				{From: "c.convert", To: "c.light", Lo: ptr(int64(0))}}
			p.Owed[0].Latest = nil
		}, nil},
		{"the least of two bounds", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Links = append(w.Jobs[0].Links, week.Link{From: "c.drain", To: "c.light", Hi: ptr(20 * day)})
			w.Jobs[0].NotAfter = ptr(4*day + hour)
		}, nil},
		{"may not be owed", func(w *week.Week, p *week.Plan) { w.Jobs[0].Visits[2].MayOwe = false }, []string{RuleOwed}},
		{"its job is left out", func(w *week.Week, p *week.Plan) {
			p.Tours, p.LeftOut = nil, []week.LeftOut{{Job: "c"}}
		}, []string{RuleOwed}},
		{"pinned", func(w *week.Week, p *week.Plan) { w.Jobs[0].Visits[2].Pin = &week.Pin{Day: ptr(2)} }, []string{RulePin}},
		{"commission past its limit", func(w *week.Week, p *week.Plan) {
			p.Owed = nil
			addTour(w, p, "blue2", 0, nil, go1{"c.light", at(2, 9, 0)})
			*w.Jobs[0].Links[0].Hi = at(2, 9, 0) - at(1, 12, 0) - 1
		}, []string{RuleLink}},
	}},
}

var formExamples = []example{
	{"form", conversion, []broken{
		{"unknown tour", func(w *week.Week, p *week.Plan) {
			p.Tours = append(p.Tours, week.PlanTour{Tour: "x", Stops: p.Tours[0].Stops})
		}, []string{RuleForm}},
		{"tour twice", func(w *week.Week, p *week.Plan) { p.Tours = append(p.Tours, p.Tours[0]) }, []string{RuleForm}},
		{"empty tour", func(w *week.Week, p *week.Plan) { p.Tours = append(p.Tours, week.PlanTour{Tour: "blue0"}) }, []string{RuleForm}},
		{"visit twice", func(w *week.Week, p *week.Plan) { p.Tours[0].Stops = append(p.Tours[0].Stops, p.Tours[0].Stops[0]) }, []string{RuleForm}},
		{"unknown visit", func(w *week.Week, p *week.Plan) { p.Tours[0].Stops = append(p.Tours[0].Stops, week.Stop{Visit: "x"}) }, []string{RuleForm}},
		{"unknown job left out", func(w *week.Week, p *week.Plan) { p.LeftOut = []week.LeftOut{{Job: "x"}} }, []string{RuleForm}},
		{"unknown visit owed", func(w *week.Week, p *week.Plan) { p.Owed = []week.Owed{{Visit: "x"}} }, []string{RuleForm}},
		{"unknown job told", func(w *week.Week, p *week.Plan) { p.Told = []week.Told{{Job: "x"}} }, []string{RuleForm}},
		{"a break that does not happen", func(w *week.Week, p *week.Plan) {
			p.RuleBreaks = []week.RuleBreak{{Rule: week.BreakLowLimit, Job: "c"}}
		}, []string{RuleRuleBreaks}},
		{"left out twice", func(w *week.Week, p *week.Plan) {
			p.Tours, p.LeftOut = nil, []week.LeftOut{{Job: "c"}, {Job: "c"}}
		}, []string{RuleForm}},
		{"told twice", func(w *week.Week, p *week.Plan) {
			p.Told = []week.Told{{Job: "c", Latest: 7200}, {Job: "c", Latest: 7200}}
		}, []string{RuleForm, RuleTold}},
		{"a break at a tour unknown", func(w *week.Week, p *week.Plan) {
			p.RuleBreaks = []week.RuleBreak{{Rule: week.BreakAvailability, Tour: "x"}}
		}, []string{RuleForm, RuleRuleBreaks}},
		{"a break at a visit unknown", func(w *week.Week, p *week.Plan) {
			p.RuleBreaks = []week.RuleBreak{{Rule: week.BreakPin, Visit: "x"}}
		}, []string{RuleForm, RuleRuleBreaks}},
		{"a break at nothing known", func(w *week.Week, p *week.Plan) {
			p.RuleBreaks = []week.RuleBreak{{Rule: week.BreakLowLimit, Job: "x"}}
		}, []string{RuleForm, RuleRuleBreaks}},
	}},
	{"stated", func() (*week.Week, *week.Plan) {
		w, p := conversion()
		stopOf(p, "c.drain").PumpsAfter, stopOf(p, "c.convert").PumpsAfter = ptr(0), ptr(1)
		p.Water = []week.PlanWater{{Job: "c", MayBeLow: ptr(at(0, 16, 30)), SurelyLow: ptr(at(0, 18, 30)), FillFrom: ptr(at(1, 12, 0)),
			CoveredBy: ptr(at(2, 0, 0)), Limit: ptr(at(2, 16, 30))}}
		return w, p
	}, []broken{
		{"pumps after", func(w *week.Week, p *week.Plan) { *stopOf(p, "c.convert").PumpsAfter = 0 }, []string{RuleStated}},
		{"may be low", func(w *week.Week, p *week.Plan) { *p.Water[0].MayBeLow++ }, []string{RuleStated}},
		{"surely low", func(w *week.Week, p *week.Plan) { *p.Water[0].SurelyLow++ }, []string{RuleStated}},
		{"fill from", func(w *week.Week, p *week.Plan) { *p.Water[0].FillFrom++ }, []string{RuleStated}},
		{"covered by", func(w *week.Week, p *week.Plan) { *p.Water[0].CoveredBy++ }, []string{RuleStated}},
		{"limit", func(w *week.Week, p *week.Plan) { *p.Water[0].Limit++ }, []string{RuleStated}},
	}},
}
