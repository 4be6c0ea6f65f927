package kernel

// window are some routes of a member side by side, round the depot.
type window struct {
	routes     [][]int32
	from, size int
	in         []bool // per stop: served by one of them
}

func (w *window) set(routes [][]int32, from, size int) {
	w.routes, w.from, w.size = routes, from, size
	clear(w.in)
	for i := range size {
		w.mark(w.at(i), true)
	}
}

// at is the route i behind the window's first; those behind its last stand outside.
func (w *window) at(i int) []int32 { return w.routes[(w.from+i+len(w.routes))%len(w.routes)] }

func (w *window) mark(stops []int32, in bool) {
	for _, s := range stops {
		w.in[s] = in
	}
}

// count is how many of the stops stand in the window.
func (w *window) count(stops []int32) int {
	n := 0
	for _, s := range stops {
		if w.in[s] {
			n++
		}
	}
	return n
}

// step tells which routes the window would gain and lose, moved by -1 or by 1.
func (w *window) step(by int) (gained, lost []int32) {
	if by < 0 {
		return w.at(-1), w.at(w.size - 1)
	}
	return w.at(w.size), w.at(0)
}

func (w *window) move(by int) {
	gained, lost := w.step(by)
	w.mark(lost, false)
	w.mark(gained, true)
	w.from = (w.from + by + len(w.routes)) % len(w.routes)
}
