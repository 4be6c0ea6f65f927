package travel

import "slices"

// bans are the paths that may not be driven, each a sequence of directed edges,
// as an automaton that finds several patterns at once (Aho & Corasick 1975): its
// state after driving some edges is the longest end of them that begins a banned
// path. Crossings without bans keep the one state 0, so the graph that is made of
// both grows by one vertex for each begun path and no more, and stays exact:
// restrictions over several ways included.
type bans struct {
	net   *net
	child map[banStep]uint32
	// By state; state 0 is the empty path.
	last   []uint32 // directed edge that led to it
	whole  []bool   // the path is banned: never reached
	parent []uint32
	fail   []uint32 // longest proper end that is a state
}

type banStep struct{ state, edge uint32 }

func newBans(n *net) *bans {
	return &bans{net: n, child: map[banStep]uint32{}, last: []uint32{0}, whole: []bool{false}, parent: []uint32{0}}
}

// addAll adds what each restriction forbids.
func (b *bans) addAll(turns []turnRelation, edges map[int64][]uint32) (stats TurnStats) {
	var onlys []turnPath
	for i := range turns {
		t := &turns[i]
		if t.fate == turnKept {
			var paths []turnPath
			paths, t.fate = b.net.turnPaths(t, edges)
			if t.only {
				onlys = append(onlys, paths...)
			} else {
				for _, path := range paths {
					b.forbid(path)
				}
			}
		}
		stats.count(t.fate)
	}
	b.addOnlys(onlys)
	b.link()
	return stats
}

// addOnlys forbids every other way out. Two that say "only" of the same way in
// allow both ways out.
func (b *bans) addOnlys(paths []turnPath) {
	slices.SortFunc(paths, func(x, y turnPath) int { return slices.Compare(x, y) })
	for i := 0; i < len(paths); {
		in := paths[i][:len(paths[i])-1]
		var out []uint32
		for ; i < len(paths) && slices.Equal(paths[i][:len(paths[i])-1], in); i++ {
			out = append(out, paths[i][len(paths[i])-1])
		}
		for _, d := range b.net.leaving(b.net.head(in[len(in)-1])) {
			if !slices.Contains(out, d) {
				b.forbid(append(slices.Clone(in), d))
			}
		}
	}
}

func (b *bans) forbid(path turnPath) {
	state := uint32(0)
	for _, d := range path {
		next, ok := b.child[banStep{state, d}]
		if !ok {
			next = uint32(len(b.last))
			b.child[banStep{state, d}] = next
			b.last, b.whole, b.parent = append(b.last, d), append(b.whole, false), append(b.parent, state)
		}
		state = next
	}
	b.whole[state] = true
}

// link finds the fail states; a parent's number is always below its child's, but
// a fail state's need not be, so states go by depth.
func (b *bans) link() {
	b.fail = make([]uint32, len(b.last))
	depth := make([]int, len(b.last))
	order := make([]uint32, 0, len(b.last))
	for s := 1; s < len(b.last); s++ {
		depth[s] = depth[b.parent[s]] + 1
		order = append(order, uint32(s))
	}
	slices.SortStableFunc(order, func(x, y uint32) int { return depth[x] - depth[y] })
	for _, s := range order {
		for at := b.parent[s]; at != 0; {
			at = b.fail[at]
			if next, ok := b.child[banStep{at, b.last[s]}]; ok {
				b.fail[s] = next
				break
			}
		}
	}
}

// step is the state after driving a further edge; ok is false where some banned
// path would be whole.
func (b *bans) step(state, d uint32) (next uint32, ok bool) {
	for {
		if c, begun := b.child[banStep{state, d}]; begun {
			if b.whole[c] {
				return 0, false
			}
			if next == 0 {
				next = c
			}
		}
		if state == 0 {
			return next, true
		}
		state = b.fail[state]
	}
}
