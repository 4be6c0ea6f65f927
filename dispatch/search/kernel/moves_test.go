package kernel

import (
	"slices"
	"testing"
)

// change is a move written on plain lists of stops, one a route: it shares nothing
// with the moves of the search. It gives nil where there is no such move.
type change struct {
	name  string
	route int32 // whose price the move sets its gain against
	lists func(lists [][]int32) [][]int32
	try   func() bool
}

// part is a list from one place to before another, copied.
func part(list []int32, from, to int) []int32 { return slices.Clone(list[from:to]) }

func turned(list []int32) []int32 {
	out := slices.Clone(list)
	slices.Reverse(out)
	return out
}

// changes are the kinds of moves with u and v, which stand in the given lists.
func (c *climber) changes(d *dice, u, v int32, empty int32) change {
	a, b := c.in[u], c.in[v]
	at := func(lists [][]int32, s int32) int { return slices.Index(lists[c.in[s]], s) }
	switch count, other, turn := 1+d.below(3), 1+d.below(3), d.below(2) == 1; d.below(9) {
	case 0: // also to the start of v's route
		behind := v
		if d.below(4) == 0 {
			behind = 0
		}
		return change{"relocate", a, func(l [][]int32) [][]int32 {
			from := at(l, u)
			if from+count > len(l[a]) {
				return nil
			}
			moved := part(l[a], from, from+count)
			if slices.Contains(moved, behind) {
				return nil
			}
			stood := int32(0)
			if from > 0 {
				stood = l[a][from-1]
			}
			if a == b && behind == stood && !turn {
				return nil
			}
			if turn {
				slices.Reverse(moved)
			}
			l[a] = slices.Concat(l[a][:from], l[a][from+count:])
			to := 0
			if behind != 0 {
				to = slices.Index(l[b], behind) + 1
			}
			l[b] = slices.Insert(l[b], to, moved...)
			return l
		}, func() bool { return c.relocate(u, behind, b, count, turn) }}
	case 1:
		return change{"swap", a, func(l [][]int32) [][]int32 {
			i, j := at(l, u), at(l, v)
			if i+count > len(l[a]) || j+other > len(l[b]) {
				return nil
			}
			first, second := part(l[a], i, i+count), part(l[b], j, j+other)
			if a != b {
				l[a] = slices.Concat(l[a][:i], second, l[a][i+count:])
				l[b] = slices.Concat(l[b][:j], first, l[b][j+other:])
				return l
			}
			if j < i {
				i, j, first, second = j, i, second, first
			}
			if j < i+len(first) {
				return nil
			}
			l[a] = slices.Concat(l[a][:i], second, l[a][i+len(first):j], first, l[a][j+len(second):])
			return l
		}, func() bool { return c.swap(u, v, count, other) }}
	case 2:
		return change{"tails", a, func(l [][]int32) [][]int32 {
			if a == b {
				return nil
			}
			i, j := at(l, u)+1, at(l, v)
			l[a], l[b] = slices.Concat(l[a][:i], l[b][j:]), slices.Concat(l[b][:j], l[a][i:])
			return l
		}, func() bool { return a != b && c.tails(u, v) }}
	case 3:
		return change{"startTails", a, func(l [][]int32) [][]int32 {
			j := at(l, v)
			if a == b || at(l, u) != 0 || j == 0 {
				return nil
			}
			l[a], l[b] = part(l[b], j, len(l[b])), slices.Concat(l[b][:j], l[a])
			return l
		}, func() bool { return a != b && c.startTails(u, v) }}
	case 4: // behind u, or from the start of the route
		return change{"turnBack", a, func(l [][]int32) [][]int32 {
			i, j := at(l, u)+1, at(l, v)
			if turn {
				i = 0
			}
			if a != b || j <= i {
				return nil
			}
			l[a] = slices.Concat(l[a][:i], turned(l[a][i:j+1]), l[a][j+1:])
			return l
		}, func() bool {
			if turn {
				return a == b && c.turnBack(0, v, a)
			}
			return a == b && c.at[u] < c.at[v] && c.turnBack(u, v, a)
		}}
	case 5:
		return change{"split", a, func(l [][]int32) [][]int32 {
			i := at(l, u)
			if i == 0 || empty < 0 {
				return nil
			}
			l[empty], l[a] = part(l[a], i, len(l[a])), part(l[a], 0, i)
			return l
		}, func() bool { return empty >= 0 && c.prev[u] != 0 && c.split(u, empty) }}
	case 6:
		return change{"open", a, func(l [][]int32) [][]int32 {
			i := at(l, u)
			if empty < 0 || i+count > len(l[a]) {
				return nil
			}
			l[empty], l[a] = part(l[a], i, i+count), slices.Concat(l[a][:i], l[a][i+count:])
			return l
		}, func() bool { return empty >= 0 && c.relocate(u, 0, empty, count, false) }}
	default: // two stops to any places in each other's route
		pick := func(k, gone int32) int32 {
			if i := d.below(int(c.list[k].size) + 1); i > 0 {
				s := c.list[k].first
				for range i - 1 {
					s = c.next[s]
				}
				if s != gone {
					return s
				}
			}
			return 0
		}
		pu, pv := pick(b, v), pick(a, u)
		put := func(list []int32, gone, s, behind int32) []int32 {
			i := slices.Index(list, gone)
			list = slices.Delete(slices.Clone(list), i, i+1)
			return slices.Insert(list, slices.Index(list, behind)+1, s) // behind nobody: -1, the start
		}
		return change{"swapTo", a, func(l [][]int32) [][]int32 {
			if a == b {
				return nil
			}
			l[a], l[b] = put(l[a], u, v, pv), put(l[b], v, u, pu)
			return l
		}, func() bool { return a != b && c.swapTo(u, v, pu, pv, a, b) }}
	}
}

// lists are the routes of a climber by their numbers, empty ones too.
func (c *climber) lists() [][]int32 {
	out := make([][]int32, len(c.list))
	for k := range c.list {
		for s := c.list[k].first; s != 0; s = c.next[s] {
			out[k] = append(out[k], s)
		}
	}
	return out
}

// TestMovesByHand holds the price of every move against routes that were changed on
// plain lists and walked by hand. A move is made if it gains anything; with what it
// would gain put upon the price of its route it must stay undone, with one unit
// more it must be made, and stops must stand as in the lists. So prices are equal to
// the unit, of moves that lower the cost and of those that raise it.
func TestMovesByHand(t *testing.T) {
	made := map[string]int{}
	for seed := range uint64(scale(10, 250)) {
		const stops, vehicles = 40, 12
		p := scattered(seed, stops, vehicles, seed%2 == 1)
		d := newDice(seed + 99)
		c := newClimber(p, nearest(p, 20), d, never)
		for range 10 {
			c.late, c.over = int64(d.below(20)), int64(d.below(50))
			c.take((&strand{p: p, dice: d}).random())
			for range 400 {
				u, v := int32(1+d.below(stops)), int32(1+d.below(stops))
				if u == v {
					continue
				}
				empty := slices.IndexFunc(c.list, func(r route) bool { return r.first == 0 })
				move := c.changes(d, u, v, int32(empty))
				was := c.lists()
				_, before := byHand(p, was, c.late, c.over)
				want := move.lists(c.lists())
				if want == nil { // no gain can make it
					c.list[move.route].price += 1 << 40
					if move.try() || !slices.EqualFunc(was, c.lists(), slices.Equal) {
						t.Fatalf("seed %d: %s of %d and %d in %v was made", seed, move.name, u, v, was)
					}
					c.list[move.route].price -= 1 << 40
					continue
				}
				_, after := byHand(p, want, c.late, c.over)
				c.list[move.route].price += after - before
				if move.try() {
					t.Fatalf("seed %d: %s of %d and %d in %v costs %d at least by hand, less by segments", seed, move.name, u, v, was, after-before)
				}
				c.list[move.route].price++
				if !move.try() {
					t.Fatalf("seed %d: %s of %d and %d in %v costs %d by hand, more by segments", seed, move.name, u, v, was, after-before)
				}
				for k := range c.list { // where nothing changed the price stands as the test left it
					c.refresh(int32(k))
				}
				if got := c.lists(); !slices.EqualFunc(got, want, slices.Equal) {
					t.Fatalf("seed %d: %s of %d and %d in %v gives %v, by hand %v", seed, move.name, u, v, was, got, want)
				}
				if c.cost() != after {
					t.Fatalf("seed %d: %s: cost %d, by hand %d", seed, move.name, c.cost(), after)
				}
				made[move.name]++
			}
		}
	}
	total := 0
	for _, name := range []string{"relocate", "swap", "tails", "startTails", "turnBack", "split", "open", "swapTo"} {
		total += made[name]
		if made[name] < 20 {
			t.Errorf("%s was made %d times only", name, made[name])
		}
	}
	t.Logf("%d moves: %v", total, made)
}

// TestSwapBestByHand makes whole searches for a swap without place: what they say
// they lower, they must lower by hand.
func TestSwapBestByHand(t *testing.T) {
	swapped := 0
	for seed := range uint64(scale(20, 20)) {
		p := scattered(seed+300, 40, 12, seed%2 == 1)
		d := newDice(seed)
		c := newClimber(p, nearest(p, 20), d, never)
		c.late, c.over = int64(d.below(20)), int64(d.below(50))
		c.take((&strand{p: p, dice: d}).random())
		for range 300 {
			a, b := int32(d.below(12)), int32(d.below(12))
			if a == b || c.list[a].first == 0 || c.list[b].first == 0 {
				continue
			}
			_, before := byHand(p, c.lists(), c.late, c.over)
			done := c.swapBest(a, b)
			_, after := byHand(p, c.lists(), c.late, c.over)
			if done != (after < before) || c.cost() != after {
				t.Fatalf("seed %d: routes %d and %d: done %v, %d before, %d after, %d by segments", seed, a, b, done, before, after, c.cost())
			}
			if done {
				swapped++
			}
		}
		whole(t, p, c.give(nil))
	}
	if swapped < 100 {
		t.Errorf("only %d swaps", swapped)
	}
}

// TestFiltersMissNothing compares the quick filters of a focus with trying every
// move outright: where a pass ends, no move of the same kinds may be left.
func TestFiltersMissNothing(t *testing.T) {
	for seed := range uint64(20) {
		p := scattered(seed+500, 30, 10, seed%2 == 0)
		d := newDice(seed)
		c := newClimber(p, nearest(p, 29), d, never)
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
