package check

import (
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
	"strings"
	"testing"

	"ebbline/dispatch/week"
)

// broken is one way to spoil a good plan, and the rules that it breaks.
type broken struct {
	name  string
	spoil func(w *week.Week, p *week.Plan)
	want  []string
}

// example is a good plan and what spoils it.
type example struct {
	name  string
	make  func() (*week.Week, *week.Plan)
	spoil []broken
}

// TestRules has one hand-made week per rule: the good plan passes, and one second past
// the limit, one pump too many or one stop moved is caught by name and by nothing else.
func TestRules(t *testing.T) {
	var all []example
	for _, group := range [][]example{tourExamples, lunchExamples, visitExamples, roomExamples, jobExamples, waterExamples, toldExamples, pumpExamples, formExamples, edgeExamples} {
		all = append(all, group...)
	}
	tested := map[string]bool{RuleCost: true, RuleBegun: true} // these have tests of their own
	for _, e := range all {
		t.Run(e.name, func(t *testing.T) {
			w, p := e.make()
			wantOK(t, w, p)
			for _, b := range e.spoil {
				t.Run(b.name, func(t *testing.T) {
					w, p := clone(w), clone(p)
					b.spoil(w, p)
					wantBroken(t, w, p, b.want...)
					for _, r := range b.want {
						tested[r] = true
					}
				})
			}
		})
	}
	named := ruleNames(t)
	if len(named) < 30 {
		t.Fatalf("only %d names of rules are found in report.go", len(named))
	}
	for _, rule := range named {
		if !tested[rule] {
			t.Errorf("no example breaks the rule %q", rule)
		}
	}
}

// ruleNames are the values of all constants in report.go that name a rule.
func ruleNames(t *testing.T) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "report.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, d := range file.Decls {
		constants, ok := d.(*ast.GenDecl)
		if !ok || constants.Tok != token.CONST {
			continue
		}
		for _, s := range constants.Specs {
			v := s.(*ast.ValueSpec)
			value, err := strconv.Unquote(v.Values[0].(*ast.BasicLit).Value)
			if err != nil || !strings.HasPrefix(v.Names[0].Name, "Rule") {
				t.Fatalf("report.go: %s is not a Rule with a text", v.Names[0])
			}
			names = append(names, value)
		}
	}
	return names
}

// survey is a week with one look at ash, 1 h, at 9:00 on Monday by the red crew.
func survey() (*week.Week, *week.Plan) {
	w, p := newWeek(), &week.Plan{}
	addSurvey(w, "s", "ash", hour)
	addTour(w, p, "red0", 0, nil, go1{"s.look", at(0, 9, 0)})
	return w, p
}

// twoSurveys has two looks on one tour, at 9:00 and 10:20 with no time to spare.
func twoSurveys() (*week.Week, *week.Plan) {
	w, p := newWeek(), &week.Plan{}
	addSurvey(w, "s", "ash", hour)
	addSurvey(w, "u", "birch", hour)
	addTour(w, p, "red0", 0, nil, go1{"s.look", at(0, 9, 0)}, go1{"u.look", at(0, 10, 20)})
	return w, p
}

// conversion drains Monday 8:00, converts Tuesday 8:00 with lunch inside, and lights up
// Wednesday 9:00.
func conversion() (*week.Week, *week.Plan) {
	w, p := newWeek(), &week.Plan{}
	addConversion(w, "c", "ash")
	addTour(w, p, "red0", 1, nil, go1{"c.drain", at(0, 8, 0)})
	addTour(w, p, "red1", 0, nil, go1{"c.convert", at(1, 8, 0)})
	addTour(w, p, "blue2", 0, nil, go1{"c.light", at(2, 9, 0)})
	return w, p
}

var tourExamples = []example{
	{"drive and work", twoSurveys, []broken{
		{"arrives too soon", func(w *week.Week, p *week.Plan) { stopOf(p, "u.look").Arrive-- }, []string{RuleDrive}},
		{"leaves too soon", func(w *week.Week, p *week.Plan) { s := stopOf(p, "u.look"); s.Leave--; s.Arrive-- }, []string{RuleDrive}},
		{"leaves before departing", func(w *week.Week, p *week.Plan) { s := stopOf(p, "s.look"); s.Leave--; s.Arrive-- }, []string{RuleDrive}},
		{"starts before arriving", func(w *week.Week, p *week.Plan) { shift(p, "u.look", -1) }, []string{RuleWork}},
		{"first stop a second later", func(w *week.Week, p *week.Plan) { shift(p, "s.look", 1) }, []string{RuleDrive}},
		{"stops a second early", func(w *week.Week, p *week.Plan) { stopOf(p, "s.look").End-- }, []string{RuleWork}},
		{"only the start moved", func(w *week.Week, p *week.Plan) { stopOf(p, "s.look").Start++ }, []string{RuleWork}},
		{"stops swapped", func(w *week.Week, p *week.Plan) {
			s := p.Tours[0].Stops
			s[0].Visit, s[1].Visit = s[1].Visit, s[0].Visit
		}, nil}, // the same seconds and roads: still a good plan
		{"one stop on another tour too", func(w *week.Week, p *week.Plan) {
			addTour(w, p, "blue0", 0, nil, go1{"s.look", at(0, 9, 0)})
		}, []string{RuleForm}},
		{"heads home too soon", func(w *week.Week, p *week.Plan) { p.Tours[0].HeadHome--; p.Tours[0].Return-- }, []string{RuleDrive}},
		{"is home too soon", func(w *week.Week, p *week.Plan) { p.Tours[0].Return-- }, []string{RuleDrive}},
	}},
	{"one stop moved to another tour", twoSurveys, []broken{
		{"moved as it is", func(w *week.Week, p *week.Plan) {
			moved := p.Tours[0].Stops[1]
			p.Tours[0].Stops = p.Tours[0].Stops[:1]
			p.Tours = append(p.Tours, week.PlanTour{Tour: "blue0", Depart: moved.Leave, Stops: []week.Stop{moved}, HeadHome: moved.End, Return: moved.End + 20*minute})
		}, nil}, // the first tour idles at the place, the second leaves the depot in time: both hold
		{"moved to a tour of another day", func(w *week.Week, p *week.Plan) {
			moved := p.Tours[0].Stops[1]
			p.Tours[0].Stops = p.Tours[0].Stops[:1]
			p.Tours = append(p.Tours, week.PlanTour{Tour: "blue1", Depart: moved.Leave, Stops: []week.Stop{moved}, HeadHome: moved.End, Return: moved.End + 20*minute})
		}, []string{RuleShift}},
	}},
	{"now", func() (*week.Week, *week.Plan) {
		w, p := survey()
		w.T0 = at(0, 8, 40)
		return w, p
	}, []broken{{"a second later", func(w *week.Week, p *week.Plan) { w.T0++ }, []string{RuleBeforeNow}}}},
	{"horizon", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		addSurvey(w, "s", "ash", hour)
		for i := range w.Tours {
			w.Tours[i].OvertimeTo = w.Tours[i].ShiftFrom + 20*hour
		}
		addTour(w, p, "red2", 0, nil, go1{"s.look", at(2, 23, 0)})
		return w, p
	}, []broken{{"a second later", func(w *week.Week, p *week.Plan) {
		w.End-- // the last day is a second shorter
	}, []string{RuleHorizon}}}},
	{"shift", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		addSurvey(w, "s", "ash", hour)
		addSurvey(w, "u", "ash", hour)
		addTour(w, p, "red0", 0, nil, go1{"s.look", at(0, 7, 20)})
		addTour(w, p, "blue0", 0, nil, go1{"u.look", at(0, 16, 10)})
		return w, p
	}, []broken{
		{"departs a second early", func(w *week.Week, p *week.Plan) { planTour(p, "red0").Depart-- }, []string{RuleShift}},
		{"returns a second late", func(w *week.Week, p *week.Plan) {
			t := planTour(p, "blue0")
			t.HeadHome, t.Return = t.HeadHome+1, t.Return+1
		}, []string{RuleShift}},
	}},
	{"a crew on two days", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		addSurvey(w, "s", "ash", hour)
		addSurvey(w, "u", "ash", hour)
		w.Tours[0].OvertimeTo = at(1, 8, 0)
		addTour(w, p, "red0", 0, nil, go1{"s.look", at(1, 5, 40)})
		addTour(w, p, "red1", 0, nil, go1{"u.look", at(1, 7, 20)})
		return w, p
	}, []broken{{"a second of overlap", func(w *week.Week, p *week.Plan) { t := planTour(p, "red0"); t.HeadHome++; t.Return++ }, []string{RuleCrew}}}},
}

var lunchExamples = []example{
	{"lunch is due after 6 h", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		addSurvey(w, "s", "ash", 5*hour+20*minute) // out for 6 h sharp
		addTour(w, p, "red0", 0, nil, go1{"s.look", at(0, 8, 0)})
		return w, p
	}, []broken{
		{"out a second longer", func(w *week.Week, p *week.Plan) { planTour(p, "red0").Depart-- }, []string{RuleLunch}},
		{"lunch without a rule", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Lunch, p.Tours[0].Lunch = nil, &week.LunchTaken{Start: at(0, 11, 0)}
		}, []string{RuleLunch}},
	}},
	{"lunch between visits, after the drive", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		addSurvey(w, "s", "ash", 3*hour)
		addSurvey(w, "u", "birch", 3*hour)
		addTour(w, p, "red0", 0, &week.LunchTaken{Start: at(0, 11, 20)}, go1{"s.look", at(0, 8, 0)}, go1{"u.look", at(0, 11, 50)})
		return w, p
	}, []broken{
		{"a second into the drive", func(w *week.Week, p *week.Plan) { p.Tours[0].Lunch.Start-- }, []string{RuleLunch}},
		{"a second into the visit", func(w *week.Week, p *week.Plan) { p.Tours[0].Lunch.Start++ }, []string{RuleLunch}},
		{"before its window", func(w *week.Week, p *week.Plan) { w.Tours[0].Lunch.From = at(0, 11, 20) + 1 }, []string{RuleLunch}},
		{"after its window", func(w *week.Week, p *week.Plan) { w.Tours[0].Lunch.To = at(0, 11, 20) - 1 }, []string{RuleLunch}},
		{"before now", func(w *week.Week, p *week.Plan) {
			w.T0 = at(0, 7, 40)
			p.Tours[0].Lunch.Start = w.T0 - 1
		}, []string{RuleBeforeNow, RuleLunch}},
		{"inside a visit of nobody", func(w *week.Week, p *week.Plan) { p.Tours[0].Lunch.Inside = "x" }, []string{RuleLunch}},
	}},
	{"lunch between visits, before the drive", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		addSurvey(w, "s", "ash", 3*hour)
		addSurvey(w, "u", "birch", 3*hour)
		addTour(w, p, "red0", 0, &week.LunchTaken{Start: at(0, 11, 0)}, go1{"s.look", at(0, 8, 0)}, go1{"u.look", at(0, 11, 50)})
		s := stopOf(p, "u.look")
		s.Leave, s.Arrive = at(0, 11, 30), at(0, 11, 50)
		return w, p
	}, []broken{
		{"a second into the drive", func(w *week.Week, p *week.Plan) { p.Tours[0].Lunch.Start++ }, []string{RuleLunch}},
		{"a second into the visit", func(w *week.Week, p *week.Plan) { w.Tours[0].Lunch.From--; p.Tours[0].Lunch.Start-- }, []string{RuleLunch}},
	}},
	{"lunch inside a visit", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		addSurvey(w, "s", "ash", 6*hour).Visits[0].Interruptible = true
		addTour(w, p, "red0", 0, &week.LunchTaken{Start: at(0, 11, 0), Inside: "s.look"}, go1{"s.look", at(0, 8, 0)})
		return w, p
	}, []broken{
		{"its end does not move", func(w *week.Week, p *week.Plan) {
			s, t := stopOf(p, "s.look"), &p.Tours[0]
			s.End, t.HeadHome, t.Return = s.End-30*minute, t.HeadHome-30*minute, t.Return-30*minute
		}, []string{RuleWork}},
		{"begins with the visit", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Lunch.From, p.Tours[0].Lunch.Start = at(0, 7, 0), at(0, 8, 0)
		}, nil},
		{"ends with the visit", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Lunch.To, p.Tours[0].Lunch.Start = at(0, 15, 0), at(0, 14, 0)
		}, nil},
		{"not interruptible", func(w *week.Week, p *week.Plan) { w.Jobs[0].Visits[0].Interruptible = false }, []string{RuleLunch}},
		{"begins before the visit", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Lunch.From, p.Tours[0].Lunch.Start = at(0, 7, 0), at(0, 8, 0)-1
		}, []string{RuleLunch}},
		{"ends after the visit", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Lunch.To, p.Tours[0].Lunch.Start = at(0, 15, 0), at(0, 14, 0)+1
			p.Tours[0].HeadHome, p.Tours[0].Return = at(0, 15, 0), at(0, 15, 20)
		}, []string{RuleLunch}},
	}},
	{"lunch before heading home", func() (*week.Week, *week.Plan) {
		w, p := newWeek(), &week.Plan{}
		addSurvey(w, "s", "ash", 4*hour)
		t := addTour(w, p, "red0", 0, &week.LunchTaken{Start: at(0, 12, 0)}, go1{"s.look", at(0, 8, 0)})
		t.HeadHome, t.Return = at(0, 14, 0), at(0, 14, 20)
		return w, p
	}, []broken{
		{"begins as it departs", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Lunch.From, p.Tours[0].Lunch.Start = 0, at(0, 7, 10)
			p.Tours[0].Depart = at(0, 7, 10)
		}, nil},
		{"begins now", func(w *week.Week, p *week.Plan) {
			w.T0 = at(0, 7, 10)
			w.Tours[0].Lunch.From, p.Tours[0].Lunch.Start = 0, at(0, 7, 10)
			p.Tours[0].Depart = at(0, 7, 10)
		}, nil},
		{"a second into the drive home", func(w *week.Week, p *week.Plan) {
			p.Tours[0].HeadHome = at(0, 12, 30) - 1
			p.Tours[0].Return = at(0, 12, 50) - 1
		}, []string{RuleLunch}},
		{"after returning", func(w *week.Week, p *week.Plan) {
			p.Tours[0].HeadHome, p.Tours[0].Return = at(0, 12, 0), at(0, 12, 20)
			p.Tours[0].Lunch.Start = at(0, 12, 20)
		}, []string{RuleLunch}},
		{"before departing", func(w *week.Week, p *week.Plan) {
			w.Tours[0].Lunch.From, p.Tours[0].Lunch.Start = at(0, 7, 0), at(0, 7, 10)-1
		}, []string{RuleLunch}},
	}},
}
