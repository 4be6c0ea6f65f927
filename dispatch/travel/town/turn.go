package town

// turn is forbidden, or the only one allowed, from one node over another to a
// third.
type turn struct {
	kind          string // no_left_turn, ...
	from, via, to int
}

// pickTurns chooses crossings of arterials where a turn is forbidden.
func (b *builder) pickTurns() []turn {
	arms := map[int][]int{} // neighbours by node, arterials only
	var crossings []int
	for _, s := range b.streets {
		if s.class != "primary" && s.class != "secondary" {
			continue
		}
		for _, piece := range s.pieces {
			for i, n := range piece {
				if i > 0 {
					arms[n] = append(arms[n], piece[i-1])
				}
				if i+1 < len(piece) {
					arms[n] = append(arms[n], piece[i+1])
				}
			}
		}
	}
	for n := range b.net.at {
		if len(arms[n]) == 4 {
			crossings = append(crossings, n)
		}
	}
	b.rng.Shuffle(len(crossings), func(i, k int) { crossings[i], crossings[k] = crossings[k], crossings[i] })
	var out []turn
	for i, via := range crossings[:min(10, len(crossings))] {
		from := arms[via][b.rng.IntN(4)]
		left, ahead := b.leftOf(from, via, arms[via])
		switch {
		case i < 6:
			out = append(out, turn{"no_left_turn", from, via, left})
		case i < 8:
			out = append(out, turn{"only_straight_on", from, via, ahead})
		default:
			out = append(out, turn{"no_u_turn", from, via, from})
		}
	}
	return out
}

// leftOf sorts the ways on from a crossing of four: by the angle to the way in.
func (b *builder) leftOf(from, via int, arms []int) (left, ahead int) {
	f, v := b.net.at[from], b.net.at[via]
	inX, inY := v.x-f.x, v.y-f.y
	bestLeft, bestAhead := int64(0), int64(0)
	left, ahead = from, from
	for _, a := range arms {
		if a == from {
			continue
		}
		outX, outY := b.net.at[a].x-v.x, b.net.at[a].y-v.y
		if cross := inX*outY - inY*outX; cross > bestLeft {
			left, bestLeft = a, cross
		}
		if dot := inX*outX + inY*outY; dot > bestAhead {
			ahead, bestAhead = a, dot
		}
	}
	return left, ahead
}

// writeTurns writes the relations: the ways between the three nodes are there,
// because ways are parted at the middle one.
func (b *builder) writeTurns(turns []turn) {
	t := b.town
	find := func(via, other int) int64 {
		for _, w := range t.ways {
			n := len(w.refs)
			if w.refs[0] == int64(via+1) && w.refs[1] == int64(other+1) || w.refs[n-1] == int64(via+1) && w.refs[n-2] == int64(other+1) {
				return w.id
			}
		}
		return 0
	}
	for _, x := range turns {
		from, to := find(x.via, x.from), find(x.via, x.to)
		if from == 0 || to == 0 {
			continue
		}
		t.relations = append(t.relations, relation{id: int64(len(t.relations) + 1), tags: []tag{{"restriction", x.kind}, {"type", "restriction"}},
			members: []member{{"way", from, "from"}, {"node", int64(x.via + 1), "via"}, {"way", to, "to"}}})
	}
}
