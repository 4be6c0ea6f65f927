package tile

import "math"

// box holds what it touches; an empty one is nothing.
type box struct{ low, high pt }

var nothing = box{pt{math.MaxInt32, math.MaxInt32}, pt{math.MinInt32, math.MinInt32}}

func (b box) with(p pt) box {
	return box{pt{min(b.low.x, p.x), min(b.low.y, p.y)}, pt{max(b.high.x, p.x), max(b.high.y, p.y)}}
}

func (b box) meets(c box) bool {
	return b.low.x <= c.high.x && c.low.x <= b.high.x && b.low.y <= c.high.y && c.low.y <= b.high.y
}

// fan is how many children a node of the tree has.
const fan = 16

// tree finds features by their boxes. Its lowest row are the features', in the
// order of the file, which is by neighbourhood; each box of a row above holds
// fan boxes of the row below.
type tree [][]box

func grow(boxes []box) tree {
	t := tree{boxes}
	for row := boxes; len(row) > fan; {
		var above []box
		for i := 0; i < len(row); i += fan {
			b := nothing
			for _, c := range row[i:min(i+fan, len(row))] {
				b = b.with(c.low).with(c.high)
			}
			above = append(above, b)
		}
		t = append(t, above)
		row = above
	}
	return t
}

// find calls found with each feature whose box meets b, in their order.
func (t tree) find(b box, found func(i int)) {
	t.in(len(t)-1, 0, len(t[len(t)-1]), b, found)
}

func (t tree) in(row, from, to int, b box, found func(i int)) {
	for i := from; i < to; i++ {
		if !t[row][i].meets(b) {
			continue
		}
		if row == 0 {
			found(i)
		} else {
			t.in(row-1, i*fan, min((i+1)*fan, len(t[row-1])), b, found)
		}
	}
}
