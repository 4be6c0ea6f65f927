package check

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"ebbline/dispatch/week"
)

// The rules on instants stated once more, in another form: a plan of the weeks below
// fits exactly when every difference of two of its instants is at least a number. The
// numbers are worked out from the example weeks by hand, so this shares nothing with
// the checker but the plan.

// atLeast says: the instant named to is by seconds after the one named from, or more.
// An instant is a field of a stop ("c.drain start"), of a tour ("red0 return"), or of a
// told interval ("c latest"); "" is second 0.
type atLeast struct {
	to, from string
	by       int64
}

// between says that to lies in [lo, hi] after from.
func between(to, from string, lo, hi int64) []atLeast {
	return []atLeast{{to, from, lo}, {from, to, -hi}}
}

// instants names every instant of a plan.
func instants(p *week.Plan) map[string]int64 {
	m := map[string]int64{"": 0}
	for _, t := range p.Tours {
		m[t.Tour+" depart"], m[t.Tour+" head"], m[t.Tour+" return"] = t.Depart, t.HeadHome, t.Return
		if t.Lunch != nil {
			m[t.Tour+" lunch"] = t.Lunch.Start
		}
		for _, s := range t.Stops {
			m[s.Visit+" leave"], m[s.Visit+" arrive"], m[s.Visit+" start"], m[s.Visit+" end"] = s.Leave, s.Arrive, s.Start, s.End
		}
	}
	for _, t := range p.Told {
		m[t.Job+" earliest"], m[t.Job+" latest"] = t.Earliest, t.Latest
	}
	return m
}

func holds(p *week.Plan, list []atLeast) bool {
	m := instants(p)
	for _, a := range list {
		if m[a.to] < m[a.from]+a.by {
			return false
		}
	}
	return true
}

// oneStop is what binds a tour of one stop that takes so long, on a day, without lunch.
func oneStop(tour, visit string, d, seconds int64) []atLeast {
	var list []atLeast
	list = append(list, atLeast{tour + " depart", "", at(d, 7, 0)}, atLeast{visit + " leave", tour + " depart", 0})
	list = append(list, between(visit+" arrive", visit+" leave", 1200, 1200)...)
	list = append(list, atLeast{visit + " start", visit + " arrive", 0})
	list = append(list, between(visit+" end", visit+" start", seconds, seconds)...)
	list = append(list, atLeast{tour + " head", visit + " end", 0})
	list = append(list, between(tour+" return", tour+" head", 1200, 1200)...)
	list = append(list, atLeast{"", tour + " return", -at(d, 17, 30)})
	return append(list, between(tour+" return", tour+" depart", 0, 6*hour)...) // else lunch is due
}

// restated are the example weeks with their bounds.
var restated = []struct {
	name  string
	make  func() (*week.Week, *week.Plan)
	rules []atLeast
}{
	{"two surveys", twoSurveys, append(append([]atLeast{
		{"red0 depart", "", at(0, 7, 0)}, {"s.look leave", "red0 depart", 0}, {"s.look start", "s.look arrive", 0}, {"u.look leave", "s.look end", 0},
		{"u.look start", "u.look arrive", 0}, {"red0 head", "u.look end", 0}, {"", "red0 return", -at(0, 17, 30)}},
		append(append(between("s.look arrive", "s.look leave", 1200, 1200), between("u.look arrive", "u.look leave", 1200, 1200)...),
			append(between("s.look end", "s.look start", 3600, 3600), between("u.look end", "u.look start", 3600, 3600)...)...)...),
		append(between("red0 return", "red0 head", 1200, 1200), between("red0 return", "red0 depart", 0, 6*hour)...)...)},
	{"conversion", conversion, concat(
		oneStop("red0", "c.drain", 0, 1800), oneStop("red1", "c.convert", 1, 4*3600), oneStop("blue2", "c.light", 2, 1800),
		[]atLeast{{"c.convert start", "c.drain end", 36_000}, {"c.light start", "c.convert end", 43_200},
			// covered (end + 12 h) at most 48 h after it may be low (end + 8 h)
			{"c.drain end", "c.convert end", 43_200 - 28_800 - 172_800}})},
	{"customer", customer, concat(
		oneStop("red1", "c.convert", 1, 4*3600), oneStop("blue2", "c.light", 2, 1800),
		[]atLeast{{"c.convert start", "c latest", 15 * 3600}, {"c.light start", "c.convert end", 43_200}, {"c latest", "c earliest", 7200},
			{"c earliest", "", at(0, 15, 30)}, {"", "c latest", -at(0, 20, 0)}, {"c earliest", "c.convert end", 43_200 - 28_800 - 172_800}})},
	{"window", window, concat(
		oneStop("red1", "c.convert", 1, 4*3600), oneStop("blue1", "c.light", 1, 1800),
		[]atLeast{{"c.convert start", "", at(1, 8, 0)}, {"", "c.convert end", -at(1, 12, 0)}, {"c.light start", "", at(1, 12, 0)}, {"c.light start", "c.convert end", 0}})},
}

func concat(lists ...[]atLeast) []atLeast {
	var all []atLeast
	for _, l := range lists {
		all = append(all, l...)
	}
	return all
}

// agree compares the checker with the bounds.
func agree(t interface{ Fatalf(string, ...any) }, w *week.Week, p *week.Plan, rules []atLeast) {
	settle(w, p)
	r := Plan(w, p)
	if want := holds(p, rules); r.OK() != want {
		t.Fatalf("the checker says %v, the bounds say %v: %s", r.OK(), want, texts(r))
	}
}

// TestShiftByASecond moves every instant of every plan by a second either way, and every
// visit's work as a whole: the checker complains exactly when a bound is broken, and on
// each plan both happen.
func TestShiftByASecond(t *testing.T) {
	for _, e := range restated {
		t.Run(e.name, func(t *testing.T) {
			w, good := e.make()
			agree(t, w, good, e.rules)
			if !holds(good, e.rules) {
				t.Fatal("the good plan breaks a bound")
			}
			bad, fine := 0, 0
			for _, by := range []int64{-1, 1} {
				for n := range moves(good) {
					p := clone(good)
					moves(p)[n](by)
					agree(t, w, p, e.rules)
					if holds(p, e.rules) {
						fine++
					} else {
						bad++
					}
				}
			}
			if bad == 0 || fine == 0 {
				t.Errorf("%d moves are refused and %d let pass; the plan shows nothing", bad, fine)
			}
		})
	}
}

// moves are the things that can be moved in a plan: a stop's work, its drive, the drive
// home, a departure, a told instant, a whole tour, and single fields that must follow
// others.
func moves(p *week.Plan) []func(by int64) {
	var list []func(int64)
	for i := range p.Tours {
		t := &p.Tours[i]
		list = append(list, func(by int64) { t.Depart += by }, func(by int64) { t.HeadHome += by; t.Return += by },
			func(by int64) { t.Return += by }, func(by int64) {
				t.Depart, t.HeadHome, t.Return = t.Depart+by, t.HeadHome+by, t.Return+by
				for k := range t.Stops {
					s := &t.Stops[k]
					s.Leave, s.Arrive, s.Start, s.End = s.Leave+by, s.Arrive+by, s.Start+by, s.End+by
				}
			})
		for k := range t.Stops {
			s := &t.Stops[k]
			list = append(list, func(by int64) { s.Start += by; s.End += by }, func(by int64) { s.Leave += by; s.Arrive += by },
				func(by int64) { s.Start += by }, func(by int64) { s.End += by }, func(by int64) { s.Arrive += by })
		}
	}
	for i := range p.Told {
		list = append(list, func(by int64) { p.Told[i].Earliest += by }, func(by int64) { p.Told[i].Latest += by },
			func(by int64) { p.Told[i].Earliest += by; p.Told[i].Latest += by })
	}
	return list
}

// TestAnyMoves applies several moves of any size.
func TestAnyMoves(t *testing.T) {
	for _, e := range restated {
		t.Run(e.name, func(t *testing.T) {
			w, good := e.make()
			rapid.Check(t, func(t *rapid.T) {
				p := clone(good)
				list := moves(p)
				for range rapid.IntRange(1, 4).Draw(t, "moves") {
					// Mostly small, so that both sides of the bounds are met.
					by := int64(math.Pow(2, rapid.Float64Range(0, 15).Draw(t, "size")))
					if rapid.Bool().Draw(t, "back") {
						by = -by
					}
					list[rapid.IntRange(0, len(list)-1).Draw(t, "which")](by)
				}
				agree(t, w, p, e.rules)
			})
		})
	}
}
