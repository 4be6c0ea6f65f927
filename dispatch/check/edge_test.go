package check

import (
	"testing"

	"ebbline/dispatch/week"
)

// atDepot looks at something in the depot itself at second 0, which is now.
func atDepot() (*week.Week, *week.Plan) {
	w, p := newWeek(), &week.Plan{}
	addSurvey(w, "s", "depot", hour)
	w.Tours[0].ShiftFrom = 0
	addTour(w, p, "red0", 0, nil, go1{"s.look", 0})
	return w, p
}

var edgeExamples = []example{
	{"all at second 0", atDepot, []broken{
		{"now is a second later", func(w *week.Week, p *week.Plan) { w.T0++ }, []string{RuleBeforeNow}},
		{"all a second sooner", func(w *week.Week, p *week.Plan) {
			w.T0, w.Tours[0].ShiftFrom = -1, -1
			t, s := &p.Tours[0], stopOf(p, "s.look")
			t.Depart, s.Leave, s.Arrive = -1, -1, -1
			shift(p, "s.look", -1)
		}, []string{RuleHorizon}},
		{"departed before now, and waits", func(w *week.Week, p *week.Plan) { p.Tours[0].Depart, w.Tours[0].ShiftFrom = -1, -1 }, []string{RuleBeforeNow}},
	}},
	{"lunch at its last instant, until it returns", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		addSurvey(w, "s", "depot", 4*hour)
		t := addTour(w, p, "red0", 0, &week.LunchTaken{Start: at(0, 13, 0)}, go1{"s.look", at(0, 9, 0)})
		t.HeadHome, t.Return = at(0, 13, 30), at(0, 13, 30)
		return w, p
	}, []broken{
		{"a second less", func(w *week.Week, p *week.Plan) { p.Tours[0].HeadHome--; p.Tours[0].Return-- }, []string{RuleLunch}},
		{"its window is a second shorter", func(w *week.Week, p *week.Plan) { w.Tours[0].Lunch.To-- }, []string{RuleLunch}},
	}},
	{"frozen order", func() (*week.Week, *week.Plan) {
		w, p := twoSurveys()
		w.Tours[0].Frozen = []string{"s.look", "u.look"}
		return w, p
	}, []broken{
		{"longer than the tour", func(w *week.Week, p *week.Plan) {
			addSurvey(w, "x", "cedar", hour)
			w.Tours[0].Frozen = append(w.Tours[0].Frozen, "x.look")
			addTour(w, p, "blue0", 0, nil, go1{"x.look", at(0, 9, 0)})
		}, []string{RulePin}},
		{"but for a job that is left out", func(w *week.Week, p *week.Plan) {
			addSurvey(w, "x", "cedar", hour)
			w.Tours[0].Frozen = []string{"s.look", "x.look", "u.look"}
			p.LeftOut = []week.LeftOut{{Job: "x"}}
		}, nil},
	}},
	{"tables", func() (*week.Week, *week.Plan) { // draining begins Monday 8:30, filling Tuesday 12:00
		w, p := conversion()
		wt := w.Jobs[0].Water
		wt.LowLate = week.Table{{X: 0, Y: 10 * hour}, {X: at(0, 8, 30), Y: at(0, 18, 30)}}
		wt.LowEarly = week.Table{{X: 0, Y: 8 * hour}, {X: at(0, 8, 30), Y: at(0, 16, 30)}}
		wt.LowLimit = week.Table{{X: 0, Y: 48 * hour}, {X: at(0, 16, 30), Y: at(2, 16, 30)}}
		wt.Covered = week.Table{{X: 0, Y: 12 * hour}, {X: at(1, 12, 0), Y: at(2, 0, 0)}}
		return w, p
	}, []broken{
		{"low_late ends too soon", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowLate[1].X-- }, []string{RuleLow}},
		{"low_early ends too soon", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowEarly[1].X-- }, []string{RuleLowLimit}},
		{"low_limit ends too soon", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.LowLimit[1].X-- }, []string{RuleLowLimit}},
		{"covered ends too soon", func(w *week.Week, p *week.Plan) { w.Jobs[0].Water.Covered[1].X-- }, []string{RuleCovered, RuleLowLimit}},
		{"covered ends too soon, and nobody waits for it", func(w *week.Week, p *week.Plan) {
			w.Jobs[0].Water.Covered[1].X--
			w.Jobs[0].Visits[2].Water = week.NeedNothing
		}, []string{RuleLowLimit}},
	}},
}

// TestTellsBeforeNow: a told interval that begins before now is said to, even where a
// notice could have been sent in time.
func TestTellsBeforeNow(t *testing.T) {
	c := &checker{w: &week.Week{T0: 1000, Days: []week.Day{{Date: "2026-03-09"}}, End: day}}
	for _, x := range []struct {
		earliest int64
		want     int
	}{{1000, 0}, {999, 1}} {
		said := 0
		c.noticed(&week.Customer{NoticeHours: []week.Span{{From: 0, To: 5000}}, Lead: -1}, &week.Told{Earliest: x.earliest},
			func(at, by int64, text string, args ...any) { said++ })
		if said != x.want {
			t.Errorf("an interval from %d on is complained of %d times, want %d", x.earliest, said, x.want)
		}
	}
}

// TestFreeAtHolds: lunch of a begun tour waits until the crew is free, even if its stop has ended.
func TestFreeAtHolds(t *testing.T) {
	w, p := begunWeek()
	w.Tours[0].Begun.FreeAt = at(0, 10, 10)
	w.Tours[0].Lunch = &week.Lunch{Seconds: 5 * minute, From: at(0, 8, 0), To: at(0, 12, 0), DueAfter: 6 * hour}
	s := stopOf(p, "u.look")
	s.Leave, s.Arrive, s.Start, s.End = s.Leave+900, s.Arrive+900, s.Start+900, s.End+900
	p.Tours[0].HeadHome, p.Tours[0].Return = p.Tours[0].HeadHome+900, p.Tours[0].Return+900
	p.Tours[0].Lunch = &week.LunchTaken{Start: at(0, 10, 10)}
	wantOK(t, w, p)
	p.Tours[0].Lunch.Start--
	wantBroken(t, w, p, RuleLunch)
}
