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
	loads   []int64 // by tour class
	best    int64
	centre  []float64
	use     []float64 // by node: used by jobs less made by routes, at the present prices
	pricers []*pricer
	value   []int64   // by tour class
	routes  [][]int32 // by tour class
	debug   func(int, int64, float64)
}

func newDual(m *model, cores int) *dual {
	n := len(m.nodes) + len(m.stock)
	d := &dual{m: m, cores: cores, nights: make([]int64, len(m.stock)), loads: make([]int64, len(m.tours)), prices: make([]int64, n), centre: make([]float64, n), use: make([]float64, n),
		value: make([]int64, len(m.tours)), routes: make([][]int32, len(m.tours))}
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

// finer carries the prices on to a model with more nodes.
func (d *dual) finer(m *model) *dual {
	f := newDual(m, d.cores)
	f.debug = d.debug
	for v := range m.visits {
		old := d.m.visits[v].nodes
		for _, n := range m.visits[v].nodes {
			x := &m.nodes[n]
			for _, o := range old {
				if y := &d.m.nodes[o]; y.day == x.day && y.starts[0].lo <= x.starts[0].lo {
					f.centre[n] = d.centre[o]
				}
			}
			f.prices[n] = int64(math.Round(f.centre[n]))
		}
	}
	for k := range m.stock {
		f.centre[len(m.nodes)+k] = d.centre[len(d.m.nodes)+k]
		f.prices[len(m.nodes)+k] = int64(math.Round(f.centre[len(m.nodes)+k]))
	}
	f.best = f.jobs() + f.tours()
	return f
}

// jobs adds up the cheapest choice of every job, less what the pumps in stock cost.
func (d *dual) jobs() int64 {
	clear(d.use)
	sum, pumps := int64(0), len(d.m.nodes)
	for k, have := range d.m.stock {
		sum -= have * d.prices[pumps+k]
		d.use[pumps+k] -= float64(have)
		if d.nights[k] = d.prices[pumps+k]; k > 0 {
			d.nights[k] += d.nights[k-1]
		}
	}
	for j := range d.m.jobs {
		jb := &d.m.jobs[j]
		best, which := jb.out, -1
		for k, cost := range jb.cost {
			cost += d.nights[jb.stands[k][1]] - d.nights[jb.stands[k][0]]
			for _, n := range jb.nodes[k*jb.width : (k+1)*jb.width] {
				if n >= 0 {
					cost += d.prices[n]
				}
			}
			if cost < best {
				best, which = cost, k
			}
		}
		sum += best
		if which < 0 {
			continue
		}
		for _, n := range jb.nodes[which*jb.width : (which+1)*jb.width] {
			if n >= 0 {
				d.use[n]++
			}
		}
		for k := jb.stands[which][0] + 1; k <= jb.stands[which][1]; k++ {
			d.use[pumps+int(k)]++
		}
	}
	return sum
}

// tours adds up the cheapest route of every crew-day.
func (d *dual) tours() int64 {
	var wg sync.WaitGroup
	for c, p := range d.pricers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for t := c; t < len(d.m.tours); t += d.cores {
				pump := d.prices[len(d.m.nodes)+int(d.m.tours[t].day)]
				value, nodes := p.price(&d.m.tours[t], d.prices, pump)
				d.value[t], d.routes[t], d.loads[t] = value, append(d.routes[t][:0], nodes...), p.load(nodes)
			}
		}()
	}
	wg.Wait()
	sum := int64(0)
	for t := range d.m.tours {
		many := d.m.tours[t].many
		sum += many * d.value[t]
		for _, n := range d.routes[t] {
			d.use[n] -= float64(many)
		}
		d.use[len(d.m.nodes)+int(d.m.tours[t].day)] += float64(many * d.loads[t])
	}
	return sum
}

// climb improves prices step by step and returns the number of steps. known is the
// cost of a known plan in units, 0 for none.
func (d *dual) climb(ctx context.Context, steps int, known int64) int {
	if known <= 0 {
		for j := range d.m.jobs {
			known += d.m.jobs[j].out
		}
	}
	n := len(d.m.nodes)
	direction := make([]float64, n)
	size, mix, lean := 0.1, 1.0, 0
	for step := range steps {
		if ctx.Err() != nil {
			return step
		}
		if step > 0 {
			norm := 0.0
			for i := range direction {
				norm += direction[i] * direction[i]
			}
			if norm < 1e-9 {
				return step
			}
			by := size * math.Max(float64(known-d.best), 1e-3*float64(known)) / norm
			for i := range direction {
				d.prices[i] = int64(math.Round(d.centre[i] + by*direction[i]))
				if i >= len(d.m.nodes) {
					d.prices[i] = max(0, d.prices[i])
				}
			}
		}
		bound := d.jobs() + d.tours()
		if step == 0 {
			mix = 1
		} else {
			mix = 0.1
		}
		if d.debug != nil {
			d.debug(step, bound, size)
		}
		along := 0.0
		for i := range direction {
			along += direction[i] * d.use[i]
			direction[i] = mix*d.use[i] + (1-mix)*direction[i]
		}
		if bound > d.best {
			d.best = bound
			for i := range d.centre {
				d.centre[i] = float64(d.prices[i])
			}
			lean = 0
			if along > 0 {
				size = math.Min(1.5, size*1.1)
			}
		} else if lean++; lean >= 8 {
			size, lean = math.Max(1e-4, size*0.66), 0
		}
	}
	return steps
}
