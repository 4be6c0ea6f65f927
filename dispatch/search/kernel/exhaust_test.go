package kernel

import (
	"slices"
	"testing"
)

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
