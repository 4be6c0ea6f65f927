package main

import (
	"context"
	"fmt"
	"strings"

	"ebbline/cmd/internal/budget"
	"ebbline/dispatch"
	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// actsMend measures mending after a crew falls out, and why 20 jobs are left out.
func (b *bench) actsMend(on *actsOn, r *acts) error {
	if err := b.actsWhy(on, r); err != nil {
		return err
	}
	ask := b.upset(on)
	var first, cost [2]float64
	var late [2]int
	for i, seconds := range []float64{5, 60} {
		m, ms, err := b.mend(ask, seconds)
		if err != nil {
			return err
		}
		first[i], cost[i], late[i] = ms, float64(m.CostAfter.Total)/100, len(m.Late)
		on.say("mend, %g s: first answer after %.0f ms, cost %.2f (stood at %.2f), %d promises not kept, %d told, %d rounds, out %d, in %d", seconds, ms, cost[i],
			float64(m.CostStood.Total)/100, late[i], len(m.Told), m.Plan.Rounds, len(m.Out), len(m.In))
	}
	gap := (cost[0]/cost[1] - 1) * 100
	on.say("mend: %.2f%% dearer after 5 s than after 60 s, %d promises against %d", gap, late[0], late[1])
	r.Mend, r.Gap = &first[0], &gap
	return nil
}

// upset is the plan at ten on its second morning: every second customer who is still to
// be visited was promised the hours around the planned start, and one crew falls out for
// two days.
func (b *bench) upset(on *actsOn) dispatch.MendAsk {
	w := weeks.Later(on.w, on.p, 86400+10*3600)
	begun := map[string]bool{}
	for i := range w.Tours {
		if g := w.Tours[i].Begun; g != nil {
			for _, s := range g.Stops {
				begun[s.Visit] = true
			}
		}
	}
	n := 0
	for _, pt := range on.p.Tours {
		for _, s := range pt.Stops {
			if n++; n%2 == 0 && !begun[s.Visit] {
				w.Promises = append(w.Promises, week.Promise{ID: "told-" + s.Visit, Visit: s.Visit, From: s.Start - 3600, To: s.Start + 3600})
			}
		}
	}
	var out []string
	crew := w.Crews[min(7, len(w.Crews)-1)].ID
	for i := range w.Tours {
		if t := &w.Tours[i]; t.Crew == crew && (t.Day == 1 || t.Day == 2) && (t.Begun == nil || t.Begun.Returned == nil) {
			out = append(out, t.ID)
		}
	}
	on.say("mend: %s out, %d promises", strings.Join(out, ", "), len(w.Promises))
	return dispatch.MendAsk{Week: w, Before: on.p, Changes: []dispatch.Change{{Kind: dispatch.ChangeCrewOut, Tours: out}}}
}

// mend mends for so many seconds and gives the milliseconds to the first answer too.
func (b *bench) mend(ask dispatch.MendAsk, seconds float64) (*dispatch.Mended, float64, error) {
	ctx, cancel := b.budget(context.Background(), seconds)
	defer cancel()
	watch, first := b.watch(), 0.0
	ask.First = func(*dispatch.Mended) {
		if first = watch.Wall(); b.cpu {
			first = watch.CPU() // one core does it
		}
	}
	ask.Options = dispatch.Options{Seed: b.run, Strands: b.strands, Cores: b.cores, NoReasons: true}
	m, err := dispatch.Mend(ctx, ask)
	if err != nil {
		return nil, 0, fmt.Errorf("mend: %w", err)
	}
	return m, first * 1000, nil
}

// actsWhy measures the reasons of up to 20 jobs that are left out.
func (b *bench) actsWhy(on *actsOn, r *acts) error {
	var ids []string
	for _, l := range on.p.LeftOut[:min(20, len(on.p.LeftOut))] {
		ids = append(ids, l.Job)
	}
	if len(ids) == 0 {
		on.say("why: no job is left out")
		return nil
	}
	watch := budget.Start()
	why := search.Why(context.Background(), on.w, on.p, ids...)
	wall, cpu := watch.Wall()*1000, watch.CPU()*1000
	sets := map[int]int{}
	for _, id := range ids {
		fits, ok := why[id]
		if !ok {
			return fmt.Errorf("why: %s was not looked into", id)
		}
		for _, f := range fits {
			sets[len(f.Facts)]++
		}
	}
	on.say("why: %d jobs, wall %.0f ms, processor %.0f ms; reasons by their number of facts %v", len(ids), wall, cpu, sets)
	if len(ids) == 20 {
		if r.Why = &wall; b.cpu {
			r.Why = &cpu
		}
	}
	return nil
}
