package search

import (
	"context"
	"fmt"
	"sync"

	"ebbline/dispatch/week"
)

// Options of a run. The result depends on the week, Seed, Strands, Rounds and Start only.
type Options struct {
	Seed    int64
	Strands int // logical searches; 0: 4
	Rounds  int // rounds of all strands; 0: until ctx ends; negative: construction only
	Cores   int // how many strands run at once; 0: all
	// Start is a plan of the week to search from; nil: what was handed out.
	Start *week.Plan
	// Loose takes of Start what still fits into the week; see [loadLoose].
	Loose bool
	// Early are jobs that are first tried sooner than they lie, by their ids.
	Early []string
	// Stood, if given, hears what the plan that the search starts from costs; First gets
	// the first plan that is whole, before the search for cheaper ones begins.
	Stood func(week.Cost)
	First func(*week.Plan)
}

// Progress is the best plan's cost so far.
type Progress struct {
	Round      int // finished rounds; 0: construction
	Rounds     int // of so many; 0: open
	CostCents  int64
	Cost       week.Cost // by heads
	Placed     int       // jobs in the plan
	LeftOut    int
	Iterations int64
	Undecided  int64
}

// roundIters is the number of iterations of a strand in one round: fewer for large
// weeks, so that a run that is stopped does not lose much.
func (m *model) roundIters() int {
	return max(40, min(100, 200_000/max(1, len(m.jobs))))
}

// firstCycle is how many rounds the first cooling takes; each later one takes twice as
// many.
const firstCycle = 8

// Run searches until the rounds are done or ctx ends, and returns the cheapest plan
// found (without reasons for what is left out). Past ctx's end only what must be in the
// plan is put in, so a plan comes soon after; it may leave out much. report may be nil; it
// is called between rounds, in order.
func Run(ctx context.Context, w *week.Week, o Options, report func(Progress)) (*week.Plan, error) {
	if len(w.Skills) > 64 {
		return nil, fmt.Errorf("week.skills: %d skills; 64 or fewer can be planned", len(w.Skills))
	}
	if o.Strands <= 0 {
		o.Strands = 4
	}
	m := compile(w)
	first, err := m.start(o.Start, o.Loose)
	if err != nil {
		return nil, err
	}
	if o.Stood != nil {
		o.Stood(first.heads())
	}
	r := &run{m: m, o: o, report: report, best: first}
	construct(ctx, first, newInserter(nil, 12, 6), m.byHardness, func() { r.tell(0) })
	first.rebuild()
	first.early(m.jobsOf(o.Early))
	r.tell(0)
	if o.First != nil {
		o.First(r.written(first.clone()))
	}
	if len(m.jobs) > 0 && len(m.tours) > 0 && o.Rounds >= 0 && ctx.Err() == nil {
		r.best = first.clone()
		if !r.plain(ctx, first) {
			r.search(ctx, first)
		}
	}
	return r.written(r.best), nil
}

// written is the plan of a state, with a last try for what is left out and its times
// polished.
func (r *run) written(st *state) *week.Plan {
	finish(st)
	st.polish()
	st.roundTold()
	p := st.plan()
	st.limits(p)
	p.Seed, p.Strands, p.Rounds, p.Undecided = r.o.Seed, r.o.Strands, r.done, r.undecided
	return p
}

// finish tries with much patience to put in what is still left out: so many tries that
// they are over soon, and always the same number, so that a run can be replayed.
func finish(st *state) {
	wide := newInserter(nil, 48, 48)
	wide.perDay = 4
	tries := max(2, min(200, 1000/max(1, len(st.m.tours))))
	for _, j := range append([]int32(nil), st.absent...) {
		if tries--; tries < 0 {
			return
		}
		if wide.insert(st, j) {
			st.rebuild()
		}
	}
}

type run struct {
	m         *model
	o         Options
	report    func(Progress)
	strands   []*strand
	best      *state
	done      int
	iters     int64
	undecided int64
}

// search runs rounds; between two rounds the strands exchange in their order: one
// that is far behind goes on from the best.
func (r *run) search(ctx context.Context, first *state) {
	for i := range r.o.Strands {
		r.strands = append(r.strands, newStrand(first.clone(), uint64(r.o.Seed), i))
	}
	for n := 0; (r.o.Rounds <= 0 || n < r.o.Rounds) && ctx.Err() == nil; n++ {
		from, to := r.cooling(n)
		if !r.round(ctx, from, to) {
			return // unfinished: dropped
		}
		r.done = n + 1
		r.exchange()
		r.tell(n + 1)
	}
}

// cooling is the fraction of cooling at the begin and end of round n, in ever longer
// cycles. How many rounds there will be does not count: a run that was stopped after n
// rounds is replayed by asking for n.
func (r *run) cooling(n int) (from, to float64) {
	length := firstCycle
	for ; n >= length; length *= 2 {
		n -= length
	}
	return float64(n) / float64(length), float64(n+1) / float64(length)
}

// round runs every strand once, on as many cores as there are.
func (r *run) round(ctx context.Context, from, to float64) bool {
	ok := make([]bool, len(r.strands))
	var wg sync.WaitGroup
	gate := make(chan struct{}, max(1, r.cores()))
	for i, s := range r.strands {
		wg.Add(1)
		go func() {
			defer wg.Done()
			gate <- struct{}{}
			ok[i] = s.round(ctx, r.m.roundIters(), from, to)
			<-gate
		}()
	}
	wg.Wait()
	for _, x := range ok {
		if !x {
			return false
		}
	}
	return true
}

func (r *run) cores() int {
	if r.o.Cores > 0 {
		return r.o.Cores
	}
	return len(r.strands)
}

func (r *run) exchange() {
	r.iters, r.undecided = 0, 0
	for _, s := range r.strands {
		if s.best.total < r.best.total {
			r.best.copyFrom(s.best)
		}
		r.iters += s.iters
		r.undecided += s.cur.undecided
	}
	if from, _ := r.cooling(r.done); from > 0 { // in the middle of a cooling each goes its own way
		return
	}
	for i, s := range r.strands {
		if i > 0 && s.best.total > r.best.total {
			s.cur.copyFrom(r.best)
			s.best.copyFrom(r.best)
		}
	}
}

func (r *run) tell(n int) {
	if r.report == nil {
		return
	}
	placed := 0
	for j := range r.m.jobs {
		if r.best.in[j] {
			placed++
		}
	}
	cost := r.best.heads()
	r.report(Progress{Round: n, Rounds: r.o.Rounds, CostCents: cost.Total, Cost: cost, Placed: placed,
		LeftOut: len(r.m.jobs) - placed, Iterations: r.iters, Undecided: r.undecided})
}
