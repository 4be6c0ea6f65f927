package town

// The grid: a mile between arterials, as desert towns are laid out.
const (
	mileCM     = 160_000
	gridCols   = 11 // lines from west to east
	gridRows   = 7  // lines from south to north
	gridWest   = -5 * mileCM
	gridSouth  = -3 * mileCM
	freewayRow = 4 // the freeway takes the place of this arterial
)

// cell is a square of the grid between four arterials, by its south-west corner.
type cell struct {
	col, row int
	quarter  string
}

// builtCells have houses; downtown has its own.
var builtCells = []cell{
	{0, 2, "west"}, {1, 2, "west"}, {0, 3, "west"}, {1, 3, "west"}, {2, 3, "west"},
	{4, 0, "south"}, {5, 0, "south"}, {4, 1, "south"}, {5, 1, "south"}, {3, 0, "south"},
	{5, 4, "north"}, {6, 4, "north"}, {5, 5, "north"}, {6, 5, "north"},
	{8, 1, "east"}, {9, 1, "east"}, {8, 2, "east"}, {9, 2, "east"}, {8, 3, "east"},
}

// downtown is the old middle: small blocks, one-way streets.
var downtown = []cell{{4, 2, "middle"}, {5, 2, "middle"}, {4, 3, "middle"}, {5, 3, "middle"}}

// Arterials that cross water on a bridge, by their number: few.
var (
	bridgedNorthSouth = map[int]bool{4: true, 6: true}
	bridgedEastWest   = map[int]bool{3: true, 5: true}
)

func (b *builder) layGrid() {
	for r := range gridRows {
		row := make([]point, gridCols)
		for c := range gridCols {
			row[c] = point{gridWest + int64(c)*mileCM + b.jitter(7_000), gridSouth + int64(r)*mileCM + b.jitter(7_000)}
			if r == freewayRow {
				row[c].y = gridSouth + int64(r)*mileCM
			}
		}
		b.corners = append(b.corners, row)
	}
	near := func(col, row int) bool { // a cell that is built, or its neighbour in the middle
		for _, list := range [][]cell{builtCells, downtown} {
			for _, c := range list {
				if c.col == col && c.row == row {
					return true
				}
			}
		}
		return false
	}
	for c := range gridCols {
		var line []point
		for r := range gridRows {
			line = append(line, b.corners[r][c])
		}
		class := "secondary"
		if c == 4 || c == 8 {
			class = "primary"
		}
		b.arterial(northSouth[c], class, line, bridgedNorthSouth[c], func(i int) bool { return near(c-1, i) || near(c, i) || i >= 1 && i <= 4 && c%2 == 0 })
	}
	for r := range gridRows {
		if r == freewayRow {
			continue
		}
		class := "secondary"
		if r == 3 {
			class = "primary"
		}
		b.arterial(eastWest[r], class, b.corners[r], bridgedEastWest[r], func(i int) bool { return near(i, r) || near(i, r-1) || r >= 2 && r <= 5 })
	}
}

// arterial draws a line of the grid where it is kept: between corners i and i+1.
func (b *builder) arterial(name, class string, corners []point, bridged bool, keep func(i int) bool) {
	limit := map[string]string{"primary": "45 mph", "secondary": "40 mph"}[class]
	var line []point
	end := func() {
		if len(line) > 1 {
			b.streets = append(b.streets, &street{name: name, class: class, line: line, bridged: bridged, tags: []tag{{"maxspeed", limit}, {"lanes", "4"}}})
		}
		line = nil
	}
	for i := 0; i+1 < len(corners); i++ {
		if !keep(i) {
			end()
			continue
		}
		if line == nil {
			line = append(line, corners[i])
		}
		line = append(line, between(corners[i], corners[i+1], 12)[1:]...)
	}
	end()
}

// between lays points from a to c in n equal steps, both ends with them.
func between(a, c point, n int64) []point {
	out := make([]point, 0, n+1)
	for k := range n + 1 {
		out = append(out, point{(a.x*(n-k) + c.x*k) / n, (a.y*(n-k) + c.y*k) / n})
	}
	return out
}

// at is a place in a cell, in thousandths from its west and south side.
func (b *builder) at(c cell, u, v int64) point {
	sw, se := b.corners[c.row][c.col], b.corners[c.row][c.col+1]
	nw, ne := b.corners[c.row+1][c.col], b.corners[c.row+1][c.col+1]
	mix := func(sw, se, nw, ne int64) int64 {
		south, north := sw*(1000-u)+se*u, nw*(1000-u)+ne*u
		return (south*(1000-v) + north*v) / 1_000_000
	}
	return point{mix(sw.x, se.x, nw.x, ne.x), mix(sw.y, se.y, nw.y, ne.y)}
}
