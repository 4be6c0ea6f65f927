package bound

import (
	"context"
	"math"
)

// master looks for better prices among the routes known so far: it maximises the bound
// that those alone would give, less the square of how far prices move from the best ones
// (the proximal bundle method, Lemaréchal 1975, with one bundle for each crew-day; see
// Frangioni 2002). Jobs are in it as they are. It solves the dual of that: shares of the
// choices of each job and of the routes of each crew-day, such that prices are the best
// ones plus size times what jobs use more than routes make, each node by its weight.
// Money is in cents.
type master struct {
	d      *dual
	size   float64
	span   float64 // the bound at first: small is measured by it
	centre []float64
	prices []float64
	excess []float64 // used less made, by node, then pumps needed less in stock by day
	weight []float64
	nights []float64
	blocks []block // jobs, then tour classes
	// change is what a shift from one choice to another changes, at the nodes touched.
	change  []float64
	touched []int32
}

// route of a tour class in the master: its nodes, rising or not, their starts, and cost.
type route struct {
	nodes  []int32
	starts []int64
	load   int64
	cost   float64 // cents, without prices
	idle   int     // how many solutions have passed it over
}

// block is one job or tour class: the shares of its choices. Choice 0 is leaving the job
// out, or staying at home.
type block struct {
	share  []float64
	active []int32
	routes []route // of a tour class, from choice 1 on
}

func newMaster(d *dual) *master {
	n := len(d.prices)
	ms := &master{d: d, size: 1, span: math.Max(1, float64(d.best)/perCent), centre: make([]float64, n), prices: make([]float64, n), excess: make([]float64, n), weight: make([]float64, n), change: make([]float64, n), nights: make([]float64, len(d.m.stock))}
	for i := range d.m.nodes {
		h := float64(d.m.visits[d.m.nodes[i].visit].seconds)/3600 + 0.25
		ms.weight[i] = 2000 * h
	}
	for k := range d.m.stock {
		ms.weight[len(d.m.nodes)+k] = 500
		ms.excess[len(d.m.nodes)+k] = -float64(d.m.stock[k])
	}
	ms.blocks = make([]block, len(d.m.jobs)+len(d.m.tours))
	for j := range d.m.jobs {
		ms.blocks[j].share = make([]float64, 1+len(d.m.jobs[j].cost))
		ms.blocks[j].share[0] = 1
		ms.blocks[j].active = []int32{0}
	}
	for t := range d.m.tours {
		b := &ms.blocks[len(d.m.jobs)+t]
		b.share = []float64{float64(d.m.tours[t].many)}
		b.active = []int32{0}
	}
	return ms
}

// carry takes over the routes of a coarser model.
func (ms *master) carry(from *master) {
	ms.size, ms.span = math.Max(1, from.size/4), from.span
	m := ms.d.m
	for t := range m.tours {
		b := &ms.blocks[len(m.jobs)+t]
		for _, r := range from.blocks[len(from.d.m.jobs)+t].routes {
			x := route{starts: r.starts, load: r.load, cost: r.cost}
			for i, n := range r.nodes {
				y := &from.d.m.nodes[n]
				x.nodes = append(x.nodes, m.near(y.visit, y.day, r.starts[i]))
			}
			b.routes = append(b.routes, x)
			b.share = append(b.share, 0)
		}
	}
}

// learn adds routes.
func (ms *master) learn(found [][]route) {
	for t := range found {
		b := &ms.blocks[len(ms.d.m.jobs)+t]
		for _, r := range found[t] {
			b.routes = append(b.routes, route{nodes: append([]int32(nil), r.nodes...), starts: append([]int64(nil), r.starts...), load: r.load, cost: r.cost})
			b.share = append(b.share, 0)
		}
		ms.forget(b)
	}
}

// forget drops routes that have long been no use, if there are many.
func (ms *master) forget(b *block) {
	if len(b.routes) < poolMost {
		return
	}
	kept, at := b.routes[:0], 1
	for i := range b.routes {
		r := b.routes[i]
		if b.share[i+1] == 0 && r.idle > 12 {
			continue
		}
		b.share[at] = b.share[i+1]
		at++
		kept = append(kept, r)
	}
	b.routes, b.share = kept, b.share[:at]
	b.active = b.active[:0]
	for i, s := range b.share {
		if s > 0 {
			b.active = append(b.active, int32(i))
		}
	}
}

// poolMost is how many routes a tour class keeps before it forgets some.
const poolMost = 300

// sweepsMost is how often a solution goes through all jobs and crew-days.
const sweepsMost = 200

// solve finds the prices and returns the bound that the known routes would give at them;
// settled: better prices would hardly give more.
func (ms *master) solve(ctx context.Context, centre []float64) (bound float64, settled bool) {
	for i := range centre {
		ms.centre[i] = centre[i] / perCent
		ms.set(i)
	}
	gap := 0.0
	for sweep := 0; sweep < sweepsMost && !settled && ctx.Err() == nil; sweep++ {
		gap = 0
		for b := range ms.blocks {
			gap += ms.improve(b)
		}
		settled = gap < settle*ms.span
	}
	pumps := len(ms.d.m.nodes)
	for k, have := range ms.d.m.stock {
		bound -= float64(have) * ms.prices[pumps+k]
	}
	for b := range ms.blocks {
		_, least, _ := ms.best(b)
		bound += least * ms.mass(b)
	}
	return bound, settled
}

// settle is the share of the first bound that may be left when a solution is good enough.
const settle = 0.0005

func (ms *master) mass(b int) float64 {
	if t := b - len(ms.d.m.jobs); t >= 0 {
		return float64(ms.d.m.tours[t].many)
	}
	return 1
}

// set brings a price up to date with its excess.
func (ms *master) set(i int) {
	p := ms.centre[i] + ms.size*ms.weight[i]*ms.excess[i]
	if k := i - len(ms.d.m.nodes); k >= 0 {
		p = math.Max(0, p)
		ms.prices[i] = p
		for ; k < len(ms.nights); k++ {
			if ms.nights[k] = ms.prices[len(ms.d.m.nodes)+k]; k > 0 {
				ms.nights[k] += ms.nights[k-1]
			}
		}
		return
	}
	ms.prices[i] = p
}

// cost of a choice of a block at the present prices.
func (ms *master) cost(b int, choice int32) float64 {
	m := ms.d.m
	if t := b - len(m.jobs); t >= 0 {
		if choice == 0 {
			return 0
		}
		r := &ms.blocks[b].routes[choice-1]
		sum := r.cost + float64(r.load)*ms.prices[len(m.nodes)+int(m.tours[t].day)]
		for _, n := range r.nodes {
			sum -= ms.prices[n]
		}
		return sum
	}
	jb := &m.jobs[b]
	if choice == 0 {
		return float64(jb.out) / perCent
	}
	k := int(choice - 1)
	sum := float64(jb.cost[k])/perCent + ms.nights[jb.stands[k][1]] - ms.nights[jb.stands[k][0]]
	for _, n := range jb.nodes[k*jb.width : (k+1)*jb.width] {
		if n >= 0 {
			sum += ms.prices[n]
		}
	}
	return sum
}

// best choice of a block and what it costs; worst is what the dearest in use costs.
func (ms *master) best(b int) (choice int32, least float64, gap float64) {
	bl := &ms.blocks[b]
	least = math.Inf(1)
	for k := range bl.share {
		if c := ms.cost(b, int32(k)); c < least {
			choice, least = int32(k), c
		}
	}
	for _, k := range bl.active {
		gap += bl.share[k] * (ms.cost(b, k) - least)
	}
	return choice, least, gap
}

// improve moves shares of a block to its best choice; it returns by how much its choices
// in use cost more than that.
func (ms *master) improve(b int) float64 {
	choice, _, gap := ms.best(b)
	bl := &ms.blocks[b]
	if t := b - len(ms.d.m.jobs); t >= 0 {
		for i := range bl.routes {
			bl.routes[i].idle++
		}
		if choice > 0 {
			bl.routes[choice-1].idle = 0
		}
	}
	if bl.share[choice] == 0 {
		bl.active = append(bl.active, choice)
	}
	for range 2 {
		for _, k := range bl.active {
			if k == choice || bl.share[k] == 0 {
				continue
			}
			over := ms.cost(b, k) - ms.cost(b, choice)
			if over <= 1e-9 {
				continue
			}
			ms.shift(b, k, choice, over)
		}
	}
	keep := bl.active[:0]
	for _, k := range bl.active {
		if bl.share[k] > 0 {
			keep = append(keep, k)
		}
	}
	bl.active = keep
	return gap
}

// shift moves as much of a share as pays.
func (ms *master) shift(b int, from, to int32, over float64) {
	bl := &ms.blocks[b]
	ms.use(b, from, -1)
	ms.use(b, to, 1)
	curve := 0.0
	for _, i := range ms.touched {
		x := ms.change[i]
		curve += x * x * ms.weight[i] * ms.size
	}
	by := bl.share[from]
	if curve > 0 {
		by = math.Min(by, over/curve)
	}
	bl.share[from] -= by
	bl.share[to] += by
	for _, i := range ms.touched {
		ms.excess[i] += by * ms.change[i]
		ms.change[i] = 0
		ms.set(int(i))
	}
	ms.touched = ms.touched[:0]
}

// use notes what a choice of a block uses, times sign, in change.
func (ms *master) use(b int, choice int32, sign float64) {
	if choice == 0 {
		return
	}
	m := ms.d.m
	if t := b - len(m.jobs); t >= 0 {
		r := &ms.blocks[b].routes[choice-1]
		for _, n := range r.nodes {
			ms.note(n, -sign)
		}
		ms.note(int32(len(m.nodes))+m.tours[t].day, sign*float64(r.load))
		return
	}
	jb, k := &m.jobs[b], int(choice-1)
	for _, n := range jb.nodes[k*jb.width : (k+1)*jb.width] {
		if n >= 0 {
			ms.note(n, sign)
		}
	}
	for d := jb.stands[k][0] + 1; d <= jb.stands[k][1]; d++ {
		ms.note(int32(len(m.nodes))+int32(d), sign)
	}
}

func (ms *master) note(i int32, by float64) {
	if ms.change[i] == 0 {
		ms.touched = append(ms.touched, i)
	}
	ms.change[i] += by
}
