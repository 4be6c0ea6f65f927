package dispatch_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
)

// upsets are things that happen to a week, drawn by a seed.
func upsets(r *rand.Rand, w *week.Week, p *week.Plan) []dispatch.Change {
	var list []dispatch.Change
	var ahead []string // tours that are not over
	for i := range w.Tours {
		if b := w.Tours[i].Begun; b == nil || b.Returned == nil {
			ahead = append(ahead, w.Tours[i].ID)
		}
	}
	var open []string // jobs that have not begun
	for j := range w.Jobs {
		if !w.Jobs[j].Begun {
			open = append(open, w.Jobs[j].ID)
		}
	}
	switch r.IntN(5) {
	case 0:
		a, b := r.IntN(len(ahead)), r.IntN(len(ahead))
		list = append(list, dispatch.Change{Kind: dispatch.ChangeCrewOut, Tours: []string{ahead[a]}})
		if a != b {
			list = append(list, dispatch.Change{Kind: dispatch.ChangeCrewOut, Tours: []string{ahead[b]}})
		}
	case 1:
		from := w.T0 + int64(r.IntN(20))*3600
		list = append(list, dispatch.Change{Kind: dispatch.ChangeClosed, Closure: &week.Closure{Label: "storm", All: true, From: from, To: from + 5*3600}})
	case 2:
		list = append(list, dispatch.Change{Kind: dispatch.ChangeJobOut, Job: open[r.IntN(len(open))]})
	case 3:
		list = append(list, dispatch.Change{Kind: dispatch.ChangePumps, Home: w.Homes[0].ID, Less: 1, From: 1})
	default:
		var visits []*week.Visit
		for j := range w.Jobs {
			for n := range w.Jobs[j].Visits {
				visits = append(visits, &w.Jobs[j].Visits[n])
			}
		}
		begun := map[string]bool{}
		for i := range w.Tours {
			if b := w.Tours[i].Begun; b != nil {
				for _, s := range b.Stops {
					begun[s.Visit] = true
				}
			}
		}
		for n := 0; n < 40 && len(list) < 2; n++ {
			if v := visits[r.IntN(len(visits))]; !begun[v.ID] {
				list = append(list, dispatch.Change{Kind: dispatch.ChangeLonger, Visit: v.ID, Seconds: v.Seconds + int64(1+r.IntN(3))*3600})
			}
		}
	}
	return list
}

// Whatever happens, the mended plan passes the checker, repeats what began as it was, says
// who is out, who is in and who is late, and tells everybody what an independent comparison
// of the two plans finds. The first answer is one, too, and asking again gives the same.
func TestMend(t *testing.T) {
	moved, out := 0, 0
	for seed := range uint64(12) {
		w, p := laterWeek(t, seed, 86400+8*3600+int64(seed)*2500)
		r := rand.New(rand.NewPCG(seed, 5))
		ask := dispatch.MendAsk{Week: w, Before: p, Changes: upsets(r, w, p), Early: []string{w.Jobs[r.IntN(len(w.Jobs))].ID, "no-such-job"},
			Options: dispatch.Options{Seed: 3, Strands: 2, Rounds: 2, NoReasons: true}}
		given, err := json.Marshal(w)
		if err != nil {
			t.Fatal(err)
		}
		var first *dispatch.Mended
		ask.First = func(m *dispatch.Mended) { first = m }
		m, err := dispatch.Mend(context.Background(), ask)
		if err != nil {
			t.Errorf("seed %d, %+v: %v", seed, ask.Changes, err)
			continue
		}
		if after, _ := json.Marshal(w); !bytes.Equal(given, after) {
			t.Errorf("seed %d: the week that was given is another now", seed)
		}
		if first == nil || first.CostAfter.Total < m.CostAfter.Total || m.CostAfter.Total > m.CostStood.Total {
			t.Errorf("seed %d: stood at %d, first %+v, then %d", seed, m.CostStood.Total, first, m.CostAfter.Total)
			continue
		}
		for _, x := range []*dispatch.Mended{first, m} {
			if rep := check.Plan(x.Week, x.Plan); !rep.OK() || rep.Cost != x.CostAfter {
				t.Errorf("seed %d: %+v", seed, rep.Broken)
			}
			keepsBegun(t, w, x)
			said := fmt.Sprint(asTold(x.Told))
			if want := fmt.Sprint(compared(t, w, p, x.Plan)); said != want {
				t.Errorf("seed %d: told\n%s\nand compared anew\n%s", seed, said, want)
			}
			moved += len(x.Told)
			out += len(x.Out)
			saysWho(t, w, p, x)
		}
		again, err := dispatch.Mend(context.Background(), ask)
		if err != nil {
			t.Fatal(err)
		}
		if a, b := plain(t, m.Plan), plain(t, again.Plan); !bytes.Equal(a, b) {
			t.Errorf("seed %d: asked again it is another plan", seed)
		}
	}
	if moved < 50 || out == 0 {
		t.Errorf("the upsets try too little: %d told, %d out", moved, out)
	}
}

// keepsBegun wants every begun stop where and when it was.
func keepsBegun(t *testing.T, w *week.Week, m *dispatch.Mended) {
	t.Helper()
	for i := range w.Tours {
		b := w.Tours[i].Begun
		if b == nil || len(b.Stops) == 0 {
			continue
		}
		found := false
		for _, pt := range m.Plan.Tours {
			if pt.Tour != w.Tours[i].ID {
				continue
			}
			found = true
			for k, s := range b.Stops {
				if x := pt.Stops[k]; x.Visit != s.Visit || x.Start != s.Start || x.Arrive != s.Arrive {
					t.Errorf("%s had begun with %+v and has %+v", pt.Tour, s, x)
				}
			}
		}
		if !found {
			t.Errorf("%s had begun and is gone", w.Tours[i].ID)
		}
	}
}

// saysWho compares the lists of jobs and promises with the plans, by plain reading.
func saysWho(t *testing.T, w *week.Week, p *week.Plan, m *dispatch.Mended) {
	t.Helper()
	left := func(p *week.Plan) map[string]bool {
		x := map[string]bool{}
		for _, l := range p.LeftOut {
			x[l.Job] = true
		}
		return x
	}
	was, is, starts := left(p), left(m.Plan), map[string]int64{}
	for _, pt := range m.Plan.Tours {
		for _, s := range pt.Stops {
			starts[s.Visit] = s.Start
		}
	}
	out, in, late := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, id := range m.Out {
		out[id] = true
	}
	for _, id := range m.In {
		in[id] = true
	}
	for _, l := range m.Late {
		late[l.Promise] = true
	}
	for j := range m.Week.Jobs {
		id := m.Week.Jobs[j].ID
		if is[id] && !was[id] && !out[id] || is[id] && in[id] || was[id] && !is[id] && !in[id] {
			t.Errorf("%s: left out %v, then %v; said to be out %v, in %v", id, was[id], is[id], out[id], in[id])
		}
	}
	for _, pr := range m.Week.Promises {
		x, ok := starts[pr.Visit]
		if kept := ok && pr.From <= x && x <= pr.To; kept == late[pr.ID] {
			t.Errorf("%s: kept %v, said to be late %v", pr.ID, kept, late[pr.ID])
		}
	}
}

// The standby list is tried for gaps: with it the first answer is no dearer than without,
// and who is said to come sooner does.
func TestMendTriesTheStandbyList(t *testing.T) {
	taken := 0
	for seed := range uint64(6) {
		w, p := laterWeek(t, seed, 86400+4*3600)
		w.Promises = nil
		gone, early := "", []string{}
		for _, pt := range p.Tours { // a customer of today says no; all others can come early
			for _, s := range pt.Stops {
				for j := range w.Jobs {
					job := &w.Jobs[j]
					if id := job.ID; job.Visits[0].ID == s.Visit && !job.Begun && s.Start > w.T0 {
						if gone == "" && s.Start < 2*86400 {
							gone = id
						} else {
							early = append(early, id)
						}
					}
				}
			}
		}
		ask := dispatch.MendAsk{Week: w, Before: p, Changes: []dispatch.Change{{Kind: dispatch.ChangeJobOut, Job: gone}},
			Options: dispatch.Options{Rounds: -1, NoReasons: true}}
		without, err := dispatch.Mend(context.Background(), ask)
		if err != nil {
			t.Fatal(err)
		}
		ask.Early = early
		with, err := dispatch.Mend(context.Background(), ask)
		if err != nil {
			t.Fatal(err)
		}
		if with.CostAfter.Total > without.CostAfter.Total+100 { // times are polished from elsewhere
			t.Errorf("seed %d: %d with the standby list, %d without", seed, with.CostAfter.Total, without.CostAfter.Total)
		}
		last := func(p *week.Plan, id string) (x int64) {
			for _, pt := range p.Tours {
				for _, s := range pt.Stops {
					for j := range w.Jobs {
						for _, v := range w.Jobs[j].Visits {
							if w.Jobs[j].ID == id && v.ID == s.Visit && !v.MayOwe {
								x = max(x, s.Start)
							}
						}
					}
				}
			}
			return x
		}
		for _, id := range with.Standby {
			if a, b := last(p, id), last(with.Plan, id); a > 0 && b >= a {
				t.Errorf("seed %d: %s is said to come sooner and comes at %d instead of %d", seed, id, b, a)
			}
		}
		taken += len(with.Standby)
	}
	if taken == 0 {
		t.Error("nobody on the standby list was taken")
	}
}
