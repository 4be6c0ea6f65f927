package town

import (
	"math"
	"slices"
)

// block is a quarter of a cell, between its collectors and two arterials, in
// thousandths of the cell. The collector's side comes first: from 500 outward.
type block struct {
	cell
	uIn, uOut int64
	vIn, vOut int64
}

// layCell draws a built cell: two collectors that cross in its middle, in some
// cells at a roundabout, and four blocks of streets.
func (b *builder) layCell(c cell) {
	bottom, top := int64(0), int64(1000)
	if c.row == freewayRow {
		bottom = 110 // no street meets the freeway
	}
	if c.row+1 == freewayRow {
		top = 890
	}
	wiggle, phase := b.jitter(22), b.rng.Float64()*2*math.Pi
	curve := func(t int64) int64 { // nothing at both ends and in the middle
		return int64(math.Round(float64(wiggle) * math.Sin(4*math.Pi*float64(t)/1000) * math.Cos(phase)))
	}
	var across, along []point
	for t := int64(0); t <= 1000; t += 50 {
		across = append(across, b.at(c, t, 500+curve(t)))
		if t >= bottom-49 && t <= top+49 {
			along = append(along, b.at(c, 500+curve(t), min(max(t, bottom), top)))
		}
	}
	if b.rng.IntN(3) == 0 {
		b.roundabout(c, &across, &along)
	} else {
		b.collector(c, across)
		b.collector(c, along)
	}
	shapes := []func(block){b.layRows, b.layDeadEnds, b.layTurn, b.layDeadEnds}
	b.rng.Shuffle(len(shapes), func(i, k int) { shapes[i], shapes[k] = shapes[k], shapes[i] })
	i := 0
	for _, u := range []int64{0, 1000} {
		for _, v := range []int64{bottom, top} {
			shapes[i](block{c, 500, u, 500, v})
			i++
		}
	}
}

func (b *builder) collector(c cell, line []point) {
	name, _ := b.names.next(c.quarter, "through")
	b.streets = append(b.streets, &street{name: name, class: "tertiary", line: line, houses: true, postcode: quarters[c.quarter].postcode,
		tags: []tag{{"maxspeed", "30 mph"}}})
}

// roundabout joins two collectors by a circle around the middle of the cell.
func (b *builder) roundabout(c cell, across, along *[]point) {
	mid := b.at(c, 500, 500)
	const radius = 2_200
	type arm struct {
		at    point
		angle float64
	}
	var arms []arm
	reach := func(to point) point {
		angle := math.Atan2(float64(to.y-mid.y), float64(to.x-mid.x))
		s, cos := math.Sincos(angle)
		at := point{mid.x + whole(radius*cos), mid.y + whole(radius*s)}
		arms = append(arms, arm{at, angle})
		return at
	}
	for _, line := range []*[]point{across, along} {
		i := slices.Index(*line, mid)
		if i < 1 || i+1 >= len(*line) {
			b.collector(c, *line)
			continue
		}
		name, _ := b.names.next(c.quarter, "through")
		for _, half := range [][]point{append(slices.Clone((*line)[:i]), reach((*line)[i-1])), append([]point{reach((*line)[i+1])}, (*line)[i+1:]...)} {
			b.streets = append(b.streets, &street{name: name, class: "tertiary", line: half, houses: true, postcode: quarters[c.quarter].postcode,
				tags: []tag{{"maxspeed", "30 mph"}}})
		}
	}
	for k := range 8 { // between the arms, where there is room
		angle := 2*math.Pi*float64(k)/8 + 0.39 - math.Pi
		if !slices.ContainsFunc(arms, func(a arm) bool { return math.Abs(a.angle-angle) < 0.2 }) {
			s, cos := math.Sincos(angle)
			arms = append(arms, arm{point{mid.x + whole(radius*cos), mid.y + whole(radius*s)}, angle})
		}
	}
	slices.SortFunc(arms, func(x, y arm) int {
		if x.angle < y.angle {
			return -1
		}
		return 1
	})
	var ring []point
	for _, a := range arms {
		ring = append(ring, a.at)
	}
	b.streets = append(b.streets, &street{class: "tertiary", line: append(ring, ring[0]), tags: []tag{{"junction", "roundabout"}, {"maxspeed", "20 mph"}}})
}

// lane draws a street of houses through places of a cell.
func (b *builder) lane(c cell, shape, class string, trimHead, trimTail bool, places ...[2]int64) *street {
	var line []point
	for i, p := range places {
		at := b.at(c, p[0], p[1])
		if i == 0 {
			line = append(line, at)
			continue
		}
		last := line[len(line)-1]
		steps := max(int64(math.Hypot(float64(at.x-last.x), float64(at.y-last.y)))/7_000, 1)
		line = append(line, between(last, at, steps)[1:]...)
	}
	name, _ := b.names.next(c.quarter, shape)
	s := &street{name: name, class: class, line: line, trimHead: trimHead, trimTail: trimTail, houses: true, postcode: quarters[c.quarter].postcode}
	if class == "residential" {
		s.tags = []tag{{"maxspeed", "25 mph"}}
	}
	b.streets = append(b.streets, s)
	return s
}

// mixed is the place at k of n from the inner to the outer side.
func mixed(in, out, k, n int64) int64 { return in + (out-in)*k/n }

// sign is where outward is.
func sign(in, out int64) int64 {
	if out < in {
		return -1
	}
	return 1
}

// layRows draws rows of houses and a street across them that reaches the
// arterial.
func (b *builder) layRows(k block) {
	past := k.uIn - 60*sign(k.uIn, k.uOut) // past the collector, cut there
	for row := int64(1); row <= 3; row++ {
		v := mixed(k.vIn, k.vOut, row, 4)
		b.lane(k.cell, "through", "residential", true, false, [2]int64{past, v}, [2]int64{mixed(k.uIn, k.uOut, 17, 20), v + b.jitter(9)})
	}
	u := mixed(k.uIn, k.uOut, 11, 20)
	outer := k.vOut
	if outer != 0 && outer != 1000 {
		outer = mixed(k.vIn, k.vOut, 19, 20)
	}
	b.lane(k.cell, "through", "residential", true, false, [2]int64{u, k.vIn - 60*sign(k.vIn, k.vOut)}, [2]int64{u + b.jitter(8), outer})
}

// layDeadEnds draws a spine from the collector with short courts at its sides.
// In some quarters one of them is private.
func (b *builder) layDeadEnds(k block) {
	v := mixed(k.vIn, k.vOut, 10, 20)
	past := k.uIn - 60*sign(k.uIn, k.uOut)
	b.lane(k.cell, "dead", "residential", true, false, [2]int64{past, v}, [2]int64{mixed(k.uIn, k.uOut, 10, 20), v + b.jitter(12)},
		[2]int64{mixed(k.uIn, k.uOut, 18, 20), v + b.jitter(25)})
	for i := int64(1); i <= 4; i++ {
		u := mixed(k.uIn, k.uOut, 3+i*3, 20) + b.jitter(8)
		side := 1 - 2*(i%2)
		from, to := v-60*side, v+(130+b.jitter(25))*side
		q := quarters[k.quarter]
		s := b.lane(k.cell, "dead", "residential", true, false, [2]int64{u, from}, [2]int64{u + b.jitter(10), to})
		if i == 4 && q.gated != "" && !b.names.used[q.gated] {
			b.names.used[q.gated] = true
			s.name, s.class, s.tags = q.gated, "service", []tag{{"access", "private"}, {"service", "driveway"}}
		}
	}
}

// layTurn draws a street from one collector round to the other, and one inside.
func (b *builder) layTurn(k block) {
	pastU, pastV := k.uIn-60*sign(k.uIn, k.uOut), k.vIn-60*sign(k.vIn, k.vOut)
	farU, farV := mixed(k.uIn, k.uOut, 15, 20), mixed(k.vIn, k.vOut, 15, 20)
	cutU, cutV := mixed(k.uIn, k.uOut, 13, 20), mixed(k.vIn, k.vOut, 13, 20)
	b.lane(k.cell, "loop", "residential", true, true, [2]int64{pastU, farV}, [2]int64{cutU, farV}, [2]int64{farU, cutV}, [2]int64{farU, pastV})
	midU, midV := mixed(k.uIn, k.uOut, 8, 20), mixed(k.vIn, k.vOut, 8, 20)
	b.lane(k.cell, "loop", "living_street", true, true, [2]int64{pastU, midV}, [2]int64{midU, midV}, [2]int64{midU, pastV})
	outU := k.uOut // a way out to the arterial
	b.lane(k.cell, "through", "residential", true, false, [2]int64{mixed(k.uIn, k.uOut, 13, 20), mixed(k.vIn, k.vOut, 10, 20)}, [2]int64{outU, mixed(k.vIn, k.vOut, 10, 20)})
}
