package town

// The freeway: two carriageways over the arterials, with ramps at some of them.
// Beyond the town it goes on as a road with both directions on it.
const (
	freewayName  = "Basin Freeway"
	freewayHalf  = 1_500 // cm between its middle and a carriageway
	rampSide     = 9_000 // where ramps meet the arterial, from the freeway's middle
	rampRun      = 50_000
	freewayEnd   = 5*mileCM + 60_000
	freewayBegin = -freewayEnd
)

var interchanges = []int{1, 4, 6, 8} // by column

func (b *builder) layFreeway() {
	y := int64(gridSouth + freewayRow*mileCM)
	limit := tag{"maxspeed", "65 mph"}
	oneWay := tag{"oneway", "yes"}
	// Vertices of a carriageway: where ramps leave and join, and both ends.
	var xs []int64
	for _, c := range interchanges {
		x := b.corners[freewayRow][c].x
		xs = append(xs, x-rampRun, x+rampRun)
	}
	ahead, back := []point{{freewayBegin, y}}, []point{{freewayEnd, y}}
	for i := range xs {
		ahead = append(ahead, point{xs[i], y - freewayHalf})
		back = append(back, point{xs[len(xs)-1-i], y + freewayHalf})
	}
	ahead, back = append(ahead, point{freewayEnd, y}), append(back, point{freewayBegin, y})
	for _, line := range [][]point{ahead, back} {
		b.streets = append(b.streets, &street{name: freewayName, class: "motorway", line: line, over: true, bridged: true,
			tags: []tag{limit, oneWay, {"lanes", "2"}, {"layer", "1"}, {"ref", "X 4"}}})
	}
	for _, out := range [][]point{between(point{freewayBegin, y}, point{freewayBegin - mileCM, y - 30_000}, 6), between(point{freewayEnd, y}, point{freewayEnd + mileCM, y + 20_000}, 6)} {
		b.streets = append(b.streets, &street{name: "Basin Road", class: "trunk", line: out, over: true, tags: []tag{{"maxspeed", "55 mph"}, {"ref", "X 4"}}})
	}
	for _, c := range interchanges {
		x := b.corners[freewayRow][c].x
		south, north := b.onArterial(c, y-rampSide), b.onArterial(c, y+rampSide)
		for _, line := range [][]point{
			{{x - rampRun, y - freewayHalf}, {x - rampRun/2, y - rampSide*2/3}, south},
			{south, {x + rampRun/2, y - rampSide*2/3}, {x + rampRun, y - freewayHalf}},
			{{x + rampRun, y + freewayHalf}, {x + rampRun/2, y + rampSide*2/3}, north},
			{north, {x - rampRun/2, y + rampSide*2/3}, {x - rampRun, y + freewayHalf}},
		} {
			b.streets = append(b.streets, &street{class: "motorway_link", line: line, tags: []tag{oneWay, {"maxspeed", "35 mph"}}})
		}
	}
}

// onArterial is where an arterial passes a height next to the freeway.
func (b *builder) onArterial(col int, y int64) point {
	i := freewayRow
	if y < b.corners[i][col].y {
		i--
	}
	p, q := b.corners[i][col], b.corners[i+1][col]
	return point{p.x + (q.x-p.x)*(y-p.y)/(q.y-p.y), y}
}
