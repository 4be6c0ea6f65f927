package dispatch_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// oddWeek is a week with something wrong or missing, and what must come of it: an error
// that names the field and says these words, or a plan that passes the checker.
type oddWeek struct {
	name  string
	spoil func(w *week.Week)
	wrong string
	plan  func(t *testing.T, w *week.Week, p *week.Plan)
}

// outWithReasons wants so many jobs left out (-1: all), each with a reason.
func outWithReasons(n int) func(*testing.T, *week.Week, *week.Plan) {
	return func(t *testing.T, w *week.Week, p *week.Plan) {
		if n < 0 && len(p.LeftOut) != len(w.Jobs) || n >= 0 && len(p.LeftOut) < n {
			t.Errorf("%d of %d jobs are left out", len(p.LeftOut), len(w.Jobs))
		}
		for _, l := range p.LeftOut {
			if len(l.Why) == 0 || l.Why[0] == "" {
				t.Errorf("%s is left out without a reason", l.Job)
			}
		}
	}
}

func pin(tour string, day int, start int64) *week.Pin {
	p := &week.Pin{Tour: tour}
	if day >= 0 {
		p.Day = &day
	}
	if start >= 0 {
		p.Start = &start
	}
	return p
}

// far makes the last place a long drive away.
func far(w *week.Week, seconds, metres int64) {
	last := len(w.Places) - 1
	for i := range last {
		w.Travel.Seconds[i][last], w.Travel.Seconds[last][i] = seconds, seconds
		w.Travel.Metres[i][last], w.Travel.Metres[last][i] = metres, metres
	}
}

func lastIsOut(t *testing.T, w *week.Week, p *week.Plan) {
	outWithReasons(1)(t, w, p)
	for _, l := range p.LeftOut {
		if l.Job == w.Jobs[len(w.Jobs)-1].ID {
			return
		}
	}
	t.Error("a job a day's drive away was planned")
}

var oddWeeks = []oddWeek{
	{"no crews", func(w *week.Week) { w.Tours, w.Crews = nil, nil }, "", outWithReasons(-1)},
	{"crews that are never in", func(w *week.Week) { w.Tours = nil }, "", outWithReasons(-1)},
	{"no jobs", func(w *week.Week) { w.Jobs, w.Promises = nil, nil }, "", func(t *testing.T, _ *week.Week, p *week.Plan) {
		if len(p.Tours) != 0 || p.Cost.Total != 0 {
			t.Errorf("%d tours, cost %d", len(p.Tours), p.Cost.Total)
		}
	}},
	{"nothing at all", func(w *week.Week) { w.Jobs, w.Promises, w.Tours, w.Crews = nil, nil, nil, nil }, "", nil},
	{"all places equal", func(w *week.Week) {
		for i := range w.Travel.Seconds {
			clear(w.Travel.Seconds[i])
			clear(w.Travel.Metres[i])
		}
	}, "", func(t *testing.T, _ *week.Week, p *week.Plan) {
		if p.Cost.Driving != 0 || len(p.Tours) == 0 {
			t.Errorf("driving costs %d, %d tours", p.Cost.Driving, len(p.Tours))
		}
	}},
	{"a place a day's drive away", func(w *week.Week) { far(w, 86_400, 1) }, "", lastIsOut},
	{"a place no road leads to", func(w *week.Week) { far(w, 1_000_000, 20_000_000) }, "", lastIsOut},
	{"a drive longer than any", func(w *week.Week) { far(w, 1<<60, 1) }, "travel.seconds[0][", nil},
	{"a drive before the time", func(w *week.Week) { far(w, -1, 1) }, "travel.seconds[0][", nil},
	{"a matrix that is not square", func(w *week.Week) { w.Travel.Seconds = w.Travel.Seconds[1:] }, "travel.seconds", nil},
	{"now is past the end", func(w *week.Week) { w.T0 = w.End }, "t0: ", nil},
	{"now is the last second", func(w *week.Week) { w.T0 = w.End - 1 }, "", outWithReasons(-1)},
	{"a day and a tour pinned that do not meet", func(w *week.Week) {
		w.Jobs[0].Visits[0].Pin = pin(w.Tours[0].ID, w.Tours[0].Day+1, -1)
	}, "jobs[0].visits[0].pin.day", nil},
	{"a start pinned outside of its day", func(w *week.Week) { w.Jobs[0].Visits[0].Pin = pin("", 0, 2*86400+9*3600) },
		"jobs[0].visits[0].pin.start", nil},
	{"two pinned to one crew at once", func(w *week.Week) {
		w.Jobs[0].Visits[0].Pin = pin(w.Tours[0].ID, -1, 10*3600)
		w.Jobs[1].Visits[0].Pin = pin(w.Tours[0].ID, -1, 10*3600+60)
	}, "jobs[1].visits[0].pin.start", nil},
	{"pins against the chain", func(w *week.Week) {
		j := chained(w)
		w.Jobs[j].Visits[0].Pin, w.Jobs[j].Visits[1].Pin = pin("", 2, -1), pin("", 0, -1)
	}, "to agree with jobs[", nil},
	{"all pinned to one day", func(w *week.Week) {
		for j := range w.Jobs {
			w.Jobs[j].Visits[0].Pin = pin("", 0, -1)
		}
	}, "", nil},
	{"all pinned to one crew and start", func(w *week.Week) {
		for j := range w.Jobs {
			w.Jobs[j].Visits[0].Pin = pin("", -1, 9*3600)
		}
	}, "", outWithReasons(len(weeks.Make(small).Jobs) - 2)},
	{"links in a circle", func(w *week.Week) {
		j := chained(w)
		v, lo, hi := w.Jobs[j].Visits, int64(3600), int64(1800)
		w.Jobs[j].Links = []week.Link{{From: v[0].ID, To: v[1].ID, Lo: &lo}, {From: v[0].ID, To: v[1].ID, Hi: &hi}}
	}, ".links", nil},
	{"a link to itself", func(w *week.Week) {
		v := w.Jobs[0].Visits[0].ID
		w.Jobs[0].Links = []week.Link{{From: v, To: v}}
	}, "jobs[0].links[0]", nil},
	{"a link backwards", func(w *week.Week) {
		j := chained(w)
		w.Jobs[j].Links = []week.Link{{From: w.Jobs[j].Visits[1].ID, To: w.Jobs[j].Visits[0].ID}}
	}, ".links[0]", nil},
	{"two jobs of one id", func(w *week.Week) { w.Jobs[1].ID = w.Jobs[0].ID }, "jobs[1].id", nil},
	{"two visits of one id", func(w *week.Week) { w.Jobs[1].Visits[0].ID = w.Jobs[0].Visits[0].ID }, "jobs[1].visits[0].id", nil},
	{"two tours of one id", func(w *week.Week) { w.Tours[1].ID = w.Tours[0].ID }, "tours[1].id", nil},
	{"two places of one id", func(w *week.Week) { w.Places[1].ID = w.Places[0].ID }, "places[1].id", nil},
	{"two crews of one id", func(w *week.Week) { w.Crews[1].ID = w.Crews[0].ID }, "crews[1].id", nil},
	{"two skills of one id", func(w *week.Week) { w.Skills[1].ID = w.Skills[0].ID }, "skills[1].id", nil},
	{"a job of everything, without an id", func(w *week.Week) { w.Jobs[0].ID = "" }, "jobs[0].id", nil},
	{"a visit at a place unknown", func(w *week.Week) { w.Jobs[0].Visits[0].Place = "nowhere" }, "jobs[0].visits[0].place", nil},
	{"no pumps", func(w *week.Week) {
		for h := range w.Homes {
			clear(w.Homes[h].Pumps)
		}
	}, "", nil},
	{"closed for ever", func(w *week.Week) {
		w.Closures = []week.Closure{{ID: "shut", All: true, From: -86400, To: w.End + 86400}}
	}, "", outWithReasons(-1)},
	{"nobody may be told", func(w *week.Week) {
		for j := range w.Jobs {
			if wt := w.Jobs[j].Water; wt != nil && wt.Customer != nil {
				wt.Customer.NoticeHours = []week.Span{{From: -86400, To: -1}}
			}
		}
	}, "", nil},
	{"more skills than can be planned", func(w *week.Week) {
		for n := range 70 {
			w.Skills = append(w.Skills, week.Name{ID: fmt.Sprint("skill", n)})
		}
	}, "week.skills", nil},
}

var small = weeks.Shape{Seed: 1, Crews: 2, Days: 3, Jobs: 10, Plain: true}

// chained is the number of a job whose second visit only follows its first.
func chained(w *week.Week) int {
	j := len(w.Jobs) - 1
	for len(w.Jobs[j].Visits) < 2 || len(w.Jobs[j].Links) > 0 || w.Jobs[j].Water != nil && w.Jobs[j].Water.Way == week.WayWindow {
		j--
	}
	return j
}

// Nothing to do, nobody to do it, contradictions, things named twice: a checked plan with
// reasons or an error that names the field, never a panic; the same past the deadline.
func TestOddWeeks(t *testing.T) {
	ended, end := context.WithCancel(context.Background())
	end()
	for _, odd := range oddWeeks {
		t.Run(odd.name, func(t *testing.T) {
			w := weeks.Make(small)
			odd.spoil(w)
			if odd.wrong != "" {
				_, err := dispatch.Solve(context.Background(), w, dispatch.Options{Rounds: 1})
				if err == nil || !strings.Contains(err.Error(), odd.wrong) {
					t.Fatalf("got %v, want an error at %s", err, odd.wrong)
				}
				return
			}
			solvedIn(ended, t, w, dispatch.Options{Rounds: 2})
			p := solved(t, w, dispatch.Options{Rounds: 2})
			if odd.plan != nil {
				odd.plan(t, w, p)
			}
		})
	}
}

// Any number of a good week replaced by another: an error that names fields, or a plan
// that passes the checker, or the statement that no plan keeps every rule.
func TestDamagedWeeks(t *testing.T) {
	seeds := uint64(240)
	if testing.Short() {
		seeds = 40
	}
	refused, planned, none := 0, 0, 0
	for seed := range seeds {
		r := rand.New(rand.NewPCG(seed, 3))
		w := weeks.Make(weeks.Shape{Seed: seed % 7, Crews: 2, Days: 3, Jobs: 8})
		if seed%2 == 0 {
			p := solved(t, w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 1})
			w = weeks.Later(w, p, r.Int64N(3*86400))
		}
		data, err := json.Marshal(w)
		if err != nil {
			t.Fatal(err)
		}
		var tree any
		d := json.NewDecoder(bytes.NewReader(data))
		d.UseNumber()
		if err := d.Decode(&tree); err != nil {
			t.Fatal(err)
		}
		var slots []func(json.Number)
		var olds []json.Number
		var paths []string
		numbers("", tree, func(path string, old json.Number, set func(json.Number)) {
			slots, olds, paths = append(slots, set), append(olds, old), append(paths, path)
		})
		said := ""
		for range 1 + r.IntN(2) {
			k := r.IntN(len(slots))
			old, _ := olds[k].Int64()
			x := []int64{0, 1, -1, old + 1, old - 1, old * 2, old * 3, old + 86400, old - 3600, 1 << 40, old / 2, 999_999}[r.IntN(12)]
			slots[k](json.Number(fmt.Sprint(x)))
			said += fmt.Sprintf("%s %d for %s; ", paths[k], x, olds[k])
		}
		if data, err = json.Marshal(tree); err != nil {
			t.Fatal(err)
		}
		damaged, err := week.DecodeWeek(bytes.NewReader(data))
		if err != nil {
			if !errors.As(err, new(week.FieldErrors)) {
				t.Errorf("seed %d (%s): %v", seed, said, err)
			}
			refused++
			continue
		}
		p, err := dispatch.Solve(context.Background(), damaged, dispatch.Options{Seed: 1, Strands: 1, Rounds: 1})
		var no *dispatch.RefusedError
		switch {
		case err == nil && p != nil:
			planned++
		case errors.As(err, &no):
			none++
			t.Logf("seed %d (%s): %v", seed, said, err)
		default:
			t.Errorf("seed %d (%s): %v", seed, said, err)
		}
	}
	t.Logf("%d refused, %d planned, of %d no plan keeps every rule", refused, planned, none)
	if refused < int(seeds)/10 || planned < int(seeds)/10 {
		t.Error("the damage tries too little")
	}
	if none*20 > planned {
		t.Errorf("of %d weeks no plan was found to keep every rule, of %d one was", none, planned)
	}
}

// numbers calls do for every number of a JSON tree.
func numbers(path string, tree any, do func(path string, old json.Number, set func(json.Number))) {
	switch x := tree.(type) {
	case map[string]any:
		for _, k := range keysOf(x) {
			if n, ok := x[k].(json.Number); ok {
				do(path+"."+k, n, func(y json.Number) { x[k] = y })
			} else {
				numbers(path+"."+k, x[k], do)
			}
		}
	case []any:
		for i := range x {
			at := fmt.Sprintf("%s[%d]", path, i)
			if n, ok := x[i].(json.Number); ok {
				do(at, n, func(y json.Number) { x[i] = y })
			} else {
				numbers(at, x[i], do)
			}
		}
	}
}

func keysOf(m map[string]any) []string {
	var keys []string
	for k := range m {
		switch k {
		case "travel", "low_late", "low_early", "covered", "low_limit": // so many that little else would be drawn
		default:
			keys = append(keys, k)
		}
	}
	for i := range keys { // a map's order is not the same twice
		for k := i; k > 0 && keys[k] < keys[k-1]; k-- {
			keys[k], keys[k-1] = keys[k-1], keys[k]
		}
	}
	return keys
}

// 10,000 jobs: a plan that passes the checker, whenever the time ends.
func TestTenThousandJobs(t *testing.T) {
	if os.Getenv("EBBLINE_LONG") == "" {
		t.Skip("takes gigabytes and half a minute: set EBBLINE_LONG")
	}
	w := weeks.Make(weeks.Shape{Seed: 1, Crews: 400, Days: 10, Jobs: 10_000})
	for _, s := range []time.Duration{time.Millisecond, 5 * time.Second, 20 * time.Second} {
		ctx, stop := context.WithTimeout(context.Background(), s)
		p := solvedIn(ctx, t, w, dispatch.Options{Seed: 1})
		stop()
		t.Logf("%v: %d of %d jobs left out", s, len(p.LeftOut), len(w.Jobs))
	}
}
