package kernel

import (
	"slices"
	"testing"
)

// scattered is a random problem in which windows, service and load all bind.
// uneven makes the way back another than the way out.
func scattered(seed uint64, stops, vehicles int, uneven bool) *Problem {
	d := newDice(seed)
	n := stops + 1
	p := &Problem{Capacity: 60, Vehicles: vehicles}
	for i := range n {
		p.X, p.Y = append(p.X, float64(d.below(1000))), append(p.Y, float64(d.below(1000)))
		early := int32(d.below(3000))
		p.Early, p.Late = append(p.Early, early), append(p.Late, early+100+int32(d.below(1500)))
		p.Service, p.Demand = append(p.Service, int32(d.below(120))), append(p.Demand, int32(1+d.below(12)))
		if i == 0 {
			p.Early[0], p.Late[0], p.Service[0], p.Demand[0] = 0, 6000, 0, 0
		}
	}
	for i := range n {
		for j := range n {
			dx, dy := p.X[i]-p.X[j], p.Y[i]-p.Y[j]
			way := int32(max(dx, -dx) + max(dy, -dy))
			if uneven && i != j {
				way += int32(d.below(60))
			}
			p.Dist = append(p.Dist, way)
			p.Time = append(p.Time, way/2+int32(d.below(1+i%3)))
		}
	}
	for i := range n { // everybody can be served by a vehicle of one's own
		p.Late[i] = max(p.Late[i], p.Time[i])
	}
	return p
}

// byHand prices routes by walking them, with none of the search's segments.
func byHand(p *Problem, list [][]int32, late, over int64) (dist, cost int64) {
	n := p.Places()
	for _, line := range list {
		now, last, load, warp := p.Early[0], int32(0), int32(0), int32(0)
		visit := func(s int32, service int32) {
			now += p.Time[int(last)*n+int(s)]
			dist += int64(p.Dist[int(last)*n+int(s)])
			now = max(now, p.Early[s])
			if now > p.Late[s] {
				warp += now - p.Late[s]
				now = p.Late[s]
			}
			now += service
			last = s
		}
		// the least warp leaves as late as it can't hurt: leaving at once is as good,
		// since waiting costs nothing and a jump back lands at the window's end
		for _, s := range line {
			visit(s, p.Service[s])
			load += p.Demand[s]
		}
		if len(line) > 0 {
			visit(0, 0)
		}
		cost += int64(warp)*late + int64(max(load-p.Capacity, 0))*over
	}
	return dist, cost + dist
}

// TestMovesByHand makes moves at random and compares every cost that follows
// from segments with one walked by hand. A move is made only when it lowers the
// cost, so each must.
func TestMovesByHand(t *testing.T) {
	problems := 30
	if testing.Short() {
		problems = 6
	}
	kinds := map[string]int{}
	for seed := range uint64(problems) {
		p := scattered(seed, 40, 12, seed%2 == 1)
		d := newDice(seed + 99)
		c := newClimber(p, nearest(p, 20), d)
		for range 40 {
			c.late, c.over = int64(d.below(20)), int64(d.below(50))
			c.take((&strand{p: p, dice: d}).random())
			last := c.cost()
			for range 600 {
				u, v, b := int32(1+d.below(40)), int32(1+d.below(40)), int32(d.below(12))
				if u == v {
					continue
				}
				name, made := c.move(d, u, v, b)
				got := c.cost()
				_, want := byHand(p, c.give(nil), c.late, c.over)
				if got != want {
					t.Fatalf("seed %d: %s of %d beside %d: %d by segments, %d by hand", seed, name, u, v, got, want)
				}
				if made != (got < last) {
					t.Fatalf("seed %d: %s of %d beside %d: made %v, cost %d before, %d after", seed, name, u, v, made, last, got)
				}
				if made {
					kinds[name]++
				}
				last = got
			}
			whole(t, p, c.give(nil))
		}
	}
	for _, name := range []string{"relocate", "turned", "swap", "tails", "startTails", "turnBack", "split", "swapBest"} {
		if kinds[name] < 20 {
			t.Errorf("%s was made %d times only", name, kinds[name])
		}
	}
}

// move tries one move of a random kind.
func (c *climber) move(d *dice, u, v, b int32) (string, bool) {
	switch d.below(8) {
	case 0:
		return "relocate", c.relocate(u, v, c.in[v], 1+d.below(3), false)
	case 1:
		return "turned", c.relocate(u, v, c.in[v], 2, true)
	case 2:
		return "swap", c.swap(u, v, 1+d.below(3), 1+d.below(3))
	case 3:
		return "tails", c.in[u] != c.in[v] && c.tails(u, v)
	case 4:
		return "startTails", c.in[u] != c.in[v] && c.startTails(u, v)
	case 5:
		return "turnBack", c.in[u] == c.in[v] && c.at[u] < c.at[v] && c.turnBack(u, v, c.in[u])
	case 6:
		return "split", c.list[b].first == 0 && c.prev[u] != 0 && c.split(u, b)
	}
	a := c.in[u]
	return "swapBest", a != b && c.list[b].first != 0 && c.swapBest(a, b)
}

// whole says that every stop is served once.
func whole(t *testing.T, p *Problem, list [][]int32) {
	t.Helper()
	var all []int32
	for _, line := range list {
		all = append(all, line...)
	}
	slices.Sort(all)
	for i, s := range all {
		if int(s) != i+1 {
			t.Fatalf("place %d stands where %d was asked", s, i+1)
		}
	}
	if len(all) != p.Places()-1 {
		t.Fatalf("%d stops served of %d", len(all), p.Places()-1)
	}
}

// TestFiltersMissNothing compares the quick filters of a focus with trying every
// move outright: where a pass ends, no move of the same kinds may be left.
func TestFiltersMissNothing(t *testing.T) {
	for seed := range uint64(20) {
		p := scattered(seed+500, 30, 10, seed%2 == 0)
		d := newDice(seed)
		c := newClimber(p, nearest(p, 29), d)
		c.late, c.over = 5, 20
		c.take((&strand{p: p, dice: d}).random())
		c.climb(false)
		at := c.cost()
		for u := int32(1); u <= 30; u++ {
			for _, v := range c.near[u] {
				b := c.in[v]
				if c.relocate(u, v, b, 1, false) || c.relocate(u, v, b, 2, false) || c.relocate(u, v, b, 2, true) ||
					c.swap(u, v, 1, 1) || c.swap(u, v, 2, 1) || c.swap(u, v, 2, 2) || b != c.in[u] && c.tails(u, v) {
					t.Fatalf("seed %d: a move of %d beside %d is left, from %d to %d", seed, u, v, at, c.cost())
				}
			}
		}
	}
}

// exhaust is the least distance over all ways, for tiny problems.
func exhaust(p *Problem) int64 {
	n := p.Places()
	best := int64(1) << 60
	var lines [][]int32
	var place func(i int32)
	place = func(i int32) {
		if int(i) == n {
			for _, l := range lines {
				load := int32(0)
				for _, s := range l {
					load += p.Demand[s]
				}
				if load > p.Capacity {
					return
				}
			}
			total := int64(0)
			for _, l := range lines {
				d := shortest(p, l)
				if d < 0 {
					return
				}
				total += d
			}
			best = min(best, total)
			return
		}
		for k := range lines {
			lines[k] = append(lines[k], i)
			place(i + 1)
			lines[k] = lines[k][:len(lines[k])-1]
		}
		if len(lines) < p.Vehicles {
			lines = append(lines, []int32{i})
			place(i + 1)
			lines = lines[:len(lines)-1]
		}
	}
	place(1)
	return best
}

// shortest is the least distance to serve a set with one vehicle; -1: none.
func shortest(p *Problem, set []int32) int64 {
	best := int64(-1)
	n := p.Places()
	var walk func(last, now int32, dist int64, left []int32)
	walk = func(last, now int32, dist int64, left []int32) {
		if len(left) == 0 {
			if now+p.Time[int(last)*n] <= p.Late[0] {
				if d := dist + int64(p.Dist[int(last)*n]); best < 0 || d < best {
					best = d
				}
			}
			return
		}
		for i, s := range left {
			at := max(now+p.Time[int(last)*n+int(s)], p.Early[s])
			if at > p.Late[s] {
				continue
			}
			rest := append(slices.Clone(left[:i]), left[i+1:]...)
			walk(s, at+p.Service[s], dist+int64(p.Dist[int(last)*n+int(s)]), rest)
		}
	}
	walk(0, p.Early[0], 0, set)
	return best
}

// TestExhaustive compares with the least over all ways.
func TestExhaustive(t *testing.T) {
	solvable := 0
	for seed := range uint64(60) {
		p := scattered(seed+1000, 7, 4, seed%2 == 1)
		want := exhaust(p)
		got, err := Solve(p, Options{Seed: seed, Strands: 2, Rounds: 10})
		switch {
		case err != nil:
			t.Fatal(err)
		case want == 1<<60:
			if got.Routes != nil {
				t.Errorf("seed %d: routes where none keep every rule", seed)
			}
		case got.Routes == nil || got.Dist != want:
			t.Errorf("seed %d: %d found, %d is the least", seed, got.Dist, want)
		default:
			solvable++
		}
	}
	if solvable < 20 {
		t.Errorf("only %d of the problems can be solved at all", solvable)
	}
}

// TestSameBytes: seed, strands and rounds make the answer, not the cores.
func TestSameBytes(t *testing.T) {
	p := scattered(7, 60, 40, false)
	o := Options{Seed: 3, Strands: 3, Rounds: 4, Cores: 1}
	one, err := Solve(p, o)
	if err != nil {
		t.Fatal(err)
	}
	o.Cores = 2
	two, err := Solve(p, o)
	if err != nil {
		t.Fatal(err)
	}
	if one.Dist != two.Dist || !slices.EqualFunc(one.Routes, two.Routes, slices.Equal) {
		t.Errorf("%d on one core, %d on two", one.Dist, two.Dist)
	}
	dist, cost := byHand(p, one.Routes, 1, 1)
	if one.Dist != dist || cost != dist {
		t.Errorf("distance %d, by hand %d; broken rules cost %d", one.Dist, dist, cost-dist)
	}
	whole(t, p, one.Routes)
}

// TestFewest finds the fewest routes where the load alone says how few there can be.
func TestFewest(t *testing.T) {
	p := scattered(11, 24, 24, false)
	for i := range p.Early {
		p.Early[i], p.Late[i], p.Service[i] = 0, 100_000, 0
		p.Demand[i] = 10
	}
	p.Demand[0] = 0
	got, err := Solve(p, Options{Seed: 1, Strands: 1, Rounds: 1, Fewest: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Routes) != 4 { // 24 × 10 in loads of 60
		t.Errorf("%d routes, 4 asked", len(got.Routes))
	}
	whole(t, p, got.Routes)
}

func TestCheckNamesTheFault(t *testing.T) {
	p := scattered(1, 5, 2, false)
	p.Late[3] = p.Early[3] - 1
	if _, err := Solve(p, Options{Rounds: 1}); err == nil {
		t.Error("an empty window passed")
	}
}
