package bound

import (
	"context"
	"math"
	"sync"

	"ebbline/dispatch/week"
)

const perCent = week.MoneyUnit

// dual holds the prices and the best bound so far, in units.
type dual struct {
	m       *model
	cores   int
	prices  []int64 // by node, then for a pump by day
	nights  []int64 // what a pump costs from the first day to each
	best    int64
	centre  []float64 // the prices of the best bound
	pricers []*pricer
	value   []int64 // by tour class
	found   [][]route
	master  *master
	log     func(string, ...any) // nil: nothing is said
}

func newDual(m *model, cores int) *dual {
	n := len(m.nodes) + len(m.stock)
	d := &dual{m: m, cores: cores, nights: make([]int64, len(m.stock)), prices: make([]int64, n), centre: make([]float64, n),
		value: make([]int64, len(m.tours)), found: make([][]route, len(m.tours))}
	for range cores {
		d.pricers = append(d.pricers, &pricer{m: m})
	}
	return d
}

// plain sets each price to the straight pay for the work at its cheapest: no route can
// earn anything by it, so the jobs alone make a bound.
func (d *dual) plain() int64 {
	for n := range d.m.nodes {
		v := &d.m.visits[d.m.nodes[n].visit]
		d.prices[n] = v.pay * v.seconds
		d.centre[n] = float64(d.prices[n])
	}
	d.best = d.jobs()
	return d.best
}

// finer carries prices and routes on to a model with more nodes; false if ctx ends.
func (d *dual) finer(ctx context.Context, m *model) (*dual, bool) {
	f := newDual(m, d.cores)
	f.log = d.log
	for n := range m.nodes {
		f.centre[n] = d.centre[d.m.near(m.nodes[n].visit, m.nodes[n].day, m.nodes[n].starts[0].lo)]
		f.prices[n] = int64(math.Round(f.centre[n]))
	}
	for k := range m.stock {
		f.centre[len(m.nodes)+k] = d.centre[len(d.m.nodes)+k]
		f.prices[len(m.nodes)+k] = int64(math.Round(f.centre[len(m.nodes)+k]))
	}
	tours, ok := f.tours(ctx)
	f.best = f.jobs() + tours
	if d.master != nil {
		f.master = newMaster(f)
		f.master.carry(d.master)
	}
	return f, ok
}

// near is the node of a visit on a day that holds an instant, or the last before it.
func (m *model) near(visit, day int32, x int64) int32 {
	best := int32(-1)
	for _, n := range m.visits[visit].nodes {
		if y := &m.nodes[n]; y.day == day && (best < 0 || y.starts[0].lo <= x) {
			best = n
		}
	}
	return best
}

// jobs adds up the cheapest choice of every job, less what the pumps in stock cost.
func (d *dual) jobs() int64 {
	sum, pumps := int64(0), len(d.m.nodes)
	for k, have := range d.m.stock {
		sum -= have * d.prices[pumps+k]
		if d.nights[k] = d.prices[pumps+k]; k > 0 {
			d.nights[k] += d.nights[k-1]
		}
	}
	for j := range d.m.jobs {
		jb := &d.m.jobs[j]
		best := jb.out
		for k, cost := range jb.cost {
			cost += d.nights[jb.stands[k][1]] - d.nights[jb.stands[k][0]]
			for _, n := range jb.nodes[k*jb.width : (k+1)*jb.width] {
				if n >= 0 {
					cost += d.prices[n]
				}
			}
			best = min(best, cost)
		}
		sum += best
	}
	return sum
}

// tours adds up the cheapest route of every crew-day, and keeps the routes found; false
// if ctx ends before all are priced.
func (d *dual) tours(ctx context.Context) (int64, bool) {
	var wg sync.WaitGroup
	for c, p := range d.pricers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for t := c; t < len(d.m.tours) && ctx.Err() == nil; t += d.cores {
				pump := d.prices[len(d.m.nodes)+int(d.m.tours[t].day)]
				d.value[t] = p.price(ctx, &d.m.tours[t], d.prices, pump)
				d.found[t] = append(d.found[t][:0], p.found...)
			}
		}()
	}
	wg.Wait()
	sum := int64(0)
	for t := range d.m.tours {
		sum += d.m.tours[t].many * d.value[t]
	}
	return sum, ctx.Err() == nil
}

// enough is the share of the first bound that is no promise any more; so many of
// these, patience, end a level.
const (
	enough   = 0.002
	patience = 2
)

// climb improves prices step by step, and returns the number of steps, as long as these
// promise much.
func (d *dual) climb(ctx context.Context, steps int) int {
	if d.master == nil {
		d.master = newMaster(d)
	}
	ms, small := d.master, 0
	for step := range steps {
		model, settled := ms.solve(ctx, d.centre)
		promise := model - float64(d.best)/perCent
		for i := range d.prices {
			d.prices[i] = int64(math.Round(ms.prices[i] * perCent))
		}
		tours, ok := d.tours(ctx)
		if !ok {
			return step
		}
		bound := d.jobs() + tours
		gain := float64(bound-d.best) / perCent
		ms.learn(d.found)
		if d.log != nil {
			d.log("step %d model %.0f bound %d best %d step size %.4g", step, model, bound/perCent, d.best/perCent, ms.size)
		}
		if bound > d.best {
			d.best = bound
			for i := range d.centre {
				d.centre[i] = float64(d.prices[i])
			}
		}
		switch {
		case gain > 0.5*promise:
			ms.size *= 2
		case gain > 0.1*promise:
		case gain < -promise:
			ms.size /= 2
		case gain < 0:
			ms.size /= 1.2
		}
		switch {
		case promise >= enough*ms.span:
			small = 0
		case small == patience:
			return step + 1
		case settled: // the steps may be short, not the way
			small++
			ms.size *= 4
		default: // shorter steps are solved more exactly
			small++
			ms.size /= 2
		}
	}
	return steps
}
