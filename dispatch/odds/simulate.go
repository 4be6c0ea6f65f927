package odds

import (
	"fmt"
	"math"
	"sync"

	"ebbline/dispatch/week"
)

// Simulate lives through a plan of a valid week as often as was asked. An error says
// what of week, plan or ask is not right; a plan that passed the checker gives none.
func Simulate(w *week.Week, p *week.Plan, ask Ask) (*Odds, error) {
	ask, err := ask.filled()
	if err != nil {
		return nil, err
	}
	m, err := newModel(w, p, ask.Policy)
	if err != nil {
		return nil, err
	}
	t := newTally(m, ask.Runs)
	if ask.Cores == 1 {
		t.live(ask.Seed, 0, 1)
	} else {
		var all sync.WaitGroup
		for k := range ask.Cores {
			all.Go(func() { t.live(ask.Seed, k, ask.Cores) })
		}
		all.Wait()
	}
	return t.odds(ask), nil
}

func (a Ask) filled() (Ask, error) {
	if a.Runs == 0 {
		a.Runs = UsualRuns
	}
	if a.Want == 0 {
		a.Want = 900
	}
	if a.Cores == 0 {
		a.Cores = 1
	}
	a.Policy = a.Policy.filled()
	switch {
	case a.Runs < 1 || a.Runs > MostRuns:
		return a, fmt.Errorf("odds: runs: %d is not right; want 1 to %d", a.Runs, MostRuns)
	case a.Want < 1 || a.Want > 999:
		return a, fmt.Errorf("odds: want: %d is not right; want a chance of 1 to 999 permille", a.Want)
	case a.Cores < 1 || a.Cores > 1024:
		return a, fmt.Errorf("odds: cores: %d is not right; want 1 to 1024", a.Cores)
	case max(a.Policy.WaitSeconds, a.Policy.CallSeconds, a.Policy.GraceSeconds) > 86_400:
		return a, fmt.Errorf("odds: policy: %+v is not right; want each at most a day, 86400 seconds", a.Policy)
	}
	return a, nil
}

// tally is what is kept of each run. Runs write to their own rows, so it does not matter
// who lives them.
type tally struct {
	m       *model
	runs    int
	starts  []int32 // by run and visit; missed: it was not made
	backs   []int32 // by run and tour
	margins []int32 // by run and pool: seconds from low to when it was looked at
	failed  []int32 // by run
	calls   []int32
	pools   []int32 // numbers of the pools that are told of
	looked  []int32 // the visit at which each of them is looked at
}

// missed stands for an instant that did not come.
const missed = math.MaxInt32

func newTally(m *model, runs int) *tally {
	t := &tally{m: m, runs: runs, failed: make([]int32, runs), calls: make([]int32, runs),
		starts: make([]int32, runs*len(m.visits)), backs: make([]int32, runs*len(m.tours))}
	for i := range m.pools {
		p := &m.pools[i]
		if p.window != nil || p.arrival > 0 || len(p.late) == 0 {
			continue
		}
		if v := m.firstLow(int32(i)); v >= 0 && !m.visits[v].begun {
			t.pools, t.looked = append(t.pools, int32(i)), append(t.looked, v)
		}
	}
	t.margins = make([]int32, runs*len(t.pools))
	return t
}

// firstLow is the first planned visit that needs a pool low; -1: none.
func (m *model) firstLow(pool int32) int32 {
	best := int32(-1)
	for i := range m.visits {
		if v := &m.visits[i]; v.pool == pool && v.needs == needsLow && (best < 0 || v.chain < m.visits[best].chain) {
			best = int32(i)
		}
	}
	return best
}

// live lives through every step-th run from one on.
func (t *tally) live(seed int64, from, step int) {
	l := newLife(t.m)
	for run := from; run < t.runs; run += step {
		l.live(runKey(seed, run))
		starts := t.starts[run*len(l.visits):][:len(l.visits)]
		for i := range l.visits {
			if starts[i] = missed; l.visits[i].state == done {
				starts[i] = int32(l.visits[i].start)
			}
		}
		backs := t.backs[run*len(l.tours):][:len(l.tours)]
		for i := range l.tours {
			backs[i] = int32(l.tours[i].back)
		}
		margins := t.margins[run*len(t.pools):][:len(t.pools)]
		for k, p := range t.pools {
			at := l.visits[t.looked[k]].looked
			if at == 0 {
				at = t.m.visits[t.looked[k]].start
			}
			if margins[k] = missed; l.pools[p].low < never {
				margins[k] = int32(l.pools[p].low - at)
			}
		}
		t.failed[run], t.calls[run] = int32(l.failed), int32(l.calls)
	}
}
