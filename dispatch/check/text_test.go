package check

import (
	"slices"
	"testing"

	"ebbline/dispatch/week"
)

// TestSays has the whole of what is said of a broken rule, sentence included.
func TestSays(t *testing.T) {
	for _, c := range []struct {
		make  func() (*week.Week, *week.Plan)
		spoil func(w *week.Week, p *week.Plan)
		want  Broken
	}{
		{twoSurveys, func(w *week.Week, p *week.Plan) { stopOf(p, "u.look").Arrive -= 5 },
			Broken{Rule: RuleDrive, Tour: "red0", Visit: "u.look", At: at(0, 10, 20) - 5, By: 5, Unit: "seconds",
				Text: "red0 leaves Ash for Birch at Mon 10:00 and is there at Mon 10:20; the plan says Mon 10:19:55."}},
		{twoSurveys, func(w *week.Week, p *week.Plan) { shift(p, "u.look", -60) },
			Broken{Rule: RuleWork, Tour: "red0", Visit: "u.look", At: at(0, 10, 19), By: 60, Unit: "seconds",
				Text: "red0 starts u.look Mon 10:19, before it arrives (Mon 10:20)."}},
		{twoSurveys, func(w *week.Week, p *week.Plan) { stopOf(p, "u.look").End -= 7 },
			Broken{Rule: RuleWork, Tour: "red0", Visit: "u.look", At: at(0, 11, 20) - 7, By: 7, Unit: "seconds",
				Text: "red0 starts u.look at Mon 10:20 and ends it at Mon 11:20; the plan says Mon 11:19:53."}},
		{twoSurveys, func(w *week.Week, p *week.Plan) { p.Tours[0].Return -= 60 },
			Broken{Rule: RuleDrive, Tour: "red0", At: at(0, 11, 39), By: 60, Unit: "seconds",
				Text: "red0 heads home at Mon 11:20 and is there at Mon 11:40; the plan says Mon 11:39."}},
		{twoSurveys, func(w *week.Week, p *week.Plan) { w.Tours[0].ShiftFrom = at(0, 8, 45) },
			Broken{Rule: RuleShift, Break: week.BreakAvailability, Tour: "red0", At: at(0, 8, 40), By: 300, Unit: "seconds",
				Text: "red0 departs Mon 08:40, 5 min before its shift begins."}},
		{twoSurveys, func(w *week.Week, p *week.Plan) { w.Tours[0].OvertimeTo = at(0, 10, 35) },
			Broken{Rule: RuleShift, Break: week.BreakAvailability, Tour: "red0", At: at(0, 11, 40), By: 3900, Unit: "seconds",
				Text: "red0 returns Mon 11:40, 1 h 5 min after the last overtime."}},
		{twoSurveys, func(w *week.Week, p *week.Plan) { w.Tours[0].Lunch.DueAfter = 2 * hour },
			Broken{Rule: RuleLunch, Tour: "red0", At: at(0, 11, 40), By: hour, Unit: "seconds",
				Text: "red0: it is out for 3 h without lunch; lunch is due after 2 h."}},
		{survey, func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Visits[0].Skills, w.Tours[0].Skills = []string{"licensed"}, nil
		},
			Broken{Rule: RuleSkills, Tour: "red0", Visit: "s.look", At: at(0, 9, 0),
				Text: "s.look needs a licensed person, which red0 does not have."}},
		{survey, func(w *week.Week, p *week.Plan) { w.Jobs[0].Visits[0].People = 5 },
			Broken{Rule: RulePeople, Tour: "red0", Visit: "s.look", At: at(0, 9, 0), By: 3, Unit: "people",
				Text: "s.look needs 5 people; red0 has 2."}},
		{survey, func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Visits[0].Allowed = []week.Span{{From: at(0, 9, 10), To: at(0, 10, 0)}}
		},
			Broken{Rule: RuleAllowed, Break: week.BreakAvailability, Tour: "red0", Visit: "s.look", At: at(0, 9, 0), By: 600, Unit: "seconds",
				Text: "s.look starts Mon 09:00, outside of its allowed hours."}},
		{survey, func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Visits[0].Allowed, w.Jobs[0].Visits[0].EndInside = []week.Span{{From: 0, To: at(0, 9, 50)}}, true
		}, Broken{Rule: RuleAllowed, Break: week.BreakAvailability, Tour: "red0", Visit: "s.look", At: at(0, 10, 0), By: 600, Unit: "seconds",
			Text: "s.look ends Mon 10:00, 10 min after its allowed hours (Mon 09:50)."}},
		{survey, func(w *week.Week, p *week.Plan) { w.Jobs[0].NotBefore = ptr(at(1, 0, 0)) },
			Broken{Rule: RuleNotBefore, Break: week.BreakAvailability, Tour: "red0", Visit: "s.look", Job: "s", At: at(0, 9, 0), By: 15 * hour, Unit: "seconds",
				Text: "s.look starts Mon 09:00; its job may not begin before Tue 00:00."}},
		{survey, func(w *week.Week, p *week.Plan) { w.Jobs[0].NotAfter = ptr(at(0, 9, 59)) },
			Broken{Rule: RuleNotAfter, Break: week.BreakAvailability, Tour: "red0", Visit: "s.look", Job: "s", At: at(0, 10, 0), By: 60, Unit: "seconds",
				Text: "s.look ends Mon 10:00; its job must be over by Mon 09:59."}},
		{survey, func(w *week.Week, p *week.Plan) {
			w.Closures = []week.Closure{{ID: "k", Label: "storm", All: true, From: at(0, 9, 30), To: at(0, 20, 0)}}
		}, Broken{Rule: RuleClosure, Break: week.BreakAvailability, Tour: "red0", Visit: "s.look", At: at(0, 9, 0), By: 1800, Unit: "seconds",
			Text: "s.look and the closure storm (Mon 09:30 to Mon 20:00) overlap by 30 min."}},
		{survey, func(w *week.Week, p *week.Plan) { w.Jobs[0].Visits[0].Pin = &week.Pin{Start: ptr(at(0, 9, 15))} },
			Broken{Rule: RulePin, Break: week.BreakPin, Tour: "red0", Visit: "s.look", At: at(0, 9, 0), By: 900, Unit: "seconds",
				Text: "s.look is pinned to start Mon 09:15, and the plan starts it Mon 09:00."}},
		{conversion, func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowLate = later(24 * hour) },
			Broken{Rule: RuleLow, Tour: "red1", Visit: "c.convert", Job: "c", At: at(1, 8, 0), By: 1800, Unit: "seconds",
				Text: "c.convert starts Tue 08:00; the pool is surely low at Tue 08:30."}},
		{conversion, func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowLimit = later(30 * hour) },
			Broken{Rule: RuleLowLimit, Break: week.BreakLowLimit, Job: "c", At: at(2, 0, 0), By: 5400, Unit: "seconds",
				Text: "c may be low from Mon 16:30 and must be covered by Tue 22:30; the plan has it covered Wed 00:00, 1 h 30 min too late."}},
		{conversion, func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Covered = later(22 * hour) },
			Broken{Rule: RuleCovered, Tour: "blue2", Visit: "c.light", Job: "c", At: at(2, 9, 0), By: hour, Unit: "seconds",
				Text: "c.light starts Wed 09:00; the lights are under water again at Wed 10:00."}},
		{conversion, func(w *week.Week, p *week.Plan) { w.Homes[0].Pumps[0] = 0 },
			Broken{Rule: RuleStock, At: 0, By: 1, Unit: "pumps",
				Text: "On 2026-03-09 the crews of yard load 1 pumps; of its 0 only 0 are there."}},
		{twoSurveys, func(w *week.Week, p *week.Plan) {
			w.Tours[0].Room, w.Jobs[0].Visits[0].Room, w.Jobs[1].Visits[0].Room = 40, 30, 12
		}, Broken{Rule: RuleRoom, Tour: "red0", Visit: "u.look", By: 2, Unit: "litres", Text: "The truck of red0 takes 40 litres of material; its visits need 42."}},
		{conversion, func(w *week.Week, p *week.Plan) { w.Tours[0].Berths, p.Tours[0].Load = 5, 3 },
			Broken{Rule: RuleLoad, Tour: "red0", By: 2, Unit: "pumps", Text: "red0 loads 3 pumps; its stops need 1."}},
		{conversion, func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Links = []week.Link{{From: "c.convert", FromEnd: true, To: "c.light", Hi: ptr(20 * hour)}}
		}, Broken{Rule: RuleLink, Break: week.BreakCommission, Tour: "blue2", Visit: "c.light", Job: "c", At: at(2, 9, 0), By: hour, Unit: "seconds",
			Text: "c.light starts 21 h after the end of c.convert; at most 20 h is allowed."}},
		{conversion, func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Links = []week.Link{{From: "c.drain", To: "c.convert", Lo: ptr(25 * hour)}}
		}, Broken{Rule: RuleLink, Tour: "red1", Visit: "c.convert", Job: "c", At: at(1, 8, 0), By: hour, Unit: "seconds",
			Text: "c.convert starts 24 h after the start of c.drain; at least 25 h is wanted."}},
		{customer, func(w *week.Week, p *week.Plan) { p.Told[0].Earliest -= 60 },
			Broken{Rule: RuleTold, Job: "c", At: at(0, 15, 29), By: 60, Unit: "seconds",
				Text: "c: the told interval begins Mon 15:29; a notice can be sent Mon 07:30, and the customer needs 8 h."}},
		{customer, func(w *week.Week, p *week.Plan) { p.Told[0].Latest -= 60 },
			Broken{Rule: RuleTold, Job: "c", At: at(0, 15, 30), By: 60, Unit: "seconds",
				Text: "c: the told interval is 1 h 59 min wide; at least 2 h is wanted."}},
		{survey, func(w *week.Week, p *week.Plan) { p.Cost.Driving += 3; p.Cost.Total += 3 },
			Broken{Rule: RuleCost, By: 3, Unit: "cents", Text: "The plan says that driving costs 1803 cents; it adds up to 1800."}},
	} {
		t.Run(c.want.Rule+" "+c.want.Visit, func(t *testing.T) {
			w, p := c.make()
			settle(w, p)
			c.spoil(w, p)
			if got := Plan(w, p).Broken; !slices.Contains(got, c.want) {
				t.Errorf("nothing says\n%+v in\n%+v", c.want, got)
			}
		})
	}
}
