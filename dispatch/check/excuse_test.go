package check

import (
	"testing"

	"ebbline/dispatch/week"
)

// TestWhoMayBreak: a listed break is excused where its job, its visit's tour or its tour
// holds something begun, pinned or frozen, and nowhere else.
func TestWhoMayBreak(t *testing.T) {
	late := func(w *week.Week) { // neither of the two looks lies in its job's hours
		for j := range w.Jobs {
			w.Jobs[j].NotBefore = ptr(at(0, 12, 0))
		}
	}
	short := func(w *week.Week) {
		w.Tours[0].Lunch, w.Tours[0].ShiftTo, w.Tours[0].OvertimeTo = nil, at(0, 9, 0), at(0, 10, 0)
	}
	visits := []week.RuleBreak{{Rule: week.BreakAvailability, Visit: "s.look"}, {Rule: week.BreakAvailability, Visit: "u.look"}}
	tour := []week.RuleBreak{{Rule: week.BreakAvailability, Tour: "red0"}}
	for _, c := range []struct {
		name  string
		spoil func(w *week.Week)
		hold  func(w *week.Week)
		list  []week.RuleBreak
		want  []string
	}{
		{"visits, nothing held", late, func(*week.Week) {}, visits, []string{RuleNotBefore, RuleRuleBreaks}},
		{"visits, one job begun, its tour not", late, func(w *week.Week) { w.Jobs[0].Begun = true }, visits, []string{RuleNotBefore, RuleRuleBreaks}},
		{"visits, both jobs begun", late, func(w *week.Week) { w.Jobs[0].Begun, w.Jobs[1].Begun = true, true }, visits, nil},
		{"visits, one of them pinned: so is the tour", late, func(w *week.Week) { w.Jobs[0].Visits[0].Pin = &week.Pin{Tour: "red0"} }, visits, nil},
		{"visits, one of them frozen: so is the tour", late, func(w *week.Week) { w.Tours[0].Frozen = []string{"s.look"} }, visits, nil},
		{"visits, another tour frozen", late, func(w *week.Week) {
			addSurvey(w, "x", "ash", hour)
			w.Tours[1].Frozen = []string{"x.look"}
		}, visits, []string{RuleNotBefore, RuleRuleBreaks}},
		{"visits, another job pinned", late, func(w *week.Week) {
			addSurvey(w, "x", "ash", hour).Visits[0].Pin = &week.Pin{Tour: "blue0"}
		}, visits, []string{RuleNotBefore, RuleRuleBreaks}},
		{"tour, nothing held", short, func(*week.Week) {}, tour, []string{RuleShift, RuleRuleBreaks}},
		{"tour, a job on it begun", short, func(w *week.Week) { w.Jobs[0].Begun = true }, tour, []string{RuleShift, RuleRuleBreaks}},
		{"tour, its second stop pinned", short, func(w *week.Week) { w.Jobs[1].Visits[0].Pin = &week.Pin{Tour: "red0"} }, tour, nil},
		{"tour, frozen", short, func(w *week.Week) { w.Tours[0].Frozen = []string{"s.look"} }, tour, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, p := twoSurveys()
			c.spoil(w)
			c.hold(w)
			if len(w.Jobs) > 2 {
				p.LeftOut = []week.LeftOut{{Job: "x"}}
			}
			p.RuleBreaks = c.list
			if c.want == nil {
				wantOK(t, w, p)
				return
			}
			wantBroken(t, w, p, c.want...)
		})
	}
}

// TestFrozenVisitExcuses: of a job that only a frozen visit holds, what is broken
// elsewhere is excused too.
func TestFrozenVisitExcuses(t *testing.T) {
	w, p := conversion()
	w.Jobs[0].Water.LowLimit = later(hour * 30)
	p.RuleBreaks = []week.RuleBreak{{Rule: week.BreakLowLimit, Job: "c"}}
	wantBroken(t, w, p, RuleLowLimit, RuleRuleBreaks)
	w.Tours[0].Frozen = []string{"c.drain"}
	wantOK(t, w, p)
	w.Tours[0].Frozen, w.Jobs[0].Visits[1].Pin = nil, &week.Pin{Day: ptr(1)}
	wantOK(t, w, p)
}

// TestVersion: a plan of another version is refused.
func TestVersion(t *testing.T) {
	w, p := survey()
	wantOK(t, w, p)
	p.Version++
	if r := Plan(w, p); len(r.Broken) != 1 || r.Broken[0].Rule != RuleForm {
		t.Errorf("a plan of version %d: %s", p.Version, texts(r))
	}
}

// TestHowFarBeyond: what is said to be beyond a limit is how far it is.
func TestHowFarBeyond(t *testing.T) {
	for _, c := range []struct {
		name  string
		make  func() (*week.Week, *week.Plan)
		spoil func(w *week.Week, p *week.Plan)
		by    int64
	}{
		{"chain", func() (*week.Week, *week.Plan) {
			w, p := conversion()
			w.Jobs[0].Visits[2].Water = week.NeedNothing
			return w, p
		}, func(w *week.Week, p *week.Plan) {
			p.Tours = p.Tours[:2]
			addTour(w, p, "blue1", 0, nil, go1{"c.light", at(1, 12, 0) - 7})
		}, 7},
		{"not before", survey, func(w *week.Week, p *week.Plan) { w.Jobs[0].NotBefore = ptr(at(0, 9, 0) + 7) }, 7},
		{"not after", survey, func(w *week.Week, p *week.Plan) { w.Jobs[0].NotAfter = ptr(at(0, 10, 0) - 7) }, 7},
		{"drive", twoSurveys, func(w *week.Week, p *week.Plan) { stopOf(p, "u.look").Arrive -= 7 }, 7},
		{"work", twoSurveys, func(w *week.Week, p *week.Plan) { shift(p, "u.look", -7) }, 7},
		{"people", survey, func(w *week.Week, p *week.Plan) { w.Jobs[0].Visits[0].People = 5 }, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, p := c.make()
			wantOK(t, w, p)
			c.spoil(w, p)
			settle(w, p)
			if r := Plan(w, p); len(r.Broken) == 0 || r.Broken[0].By != c.by {
				t.Errorf("want %d beyond: %s, %+v", c.by, texts(r), r.Broken)
			}
		})
	}
}
