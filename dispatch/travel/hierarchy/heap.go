package hierarchy

// entry is a node in a heap.
type entry struct {
	key  Weight
	node uint32
}

// heap is a binary heap of entries, the least key first, equal keys by node so
// that the order of leaving does not depend on that of coming.
type heap []entry

func less(a, b entry) bool { return a.key < b.key || a.key == b.key && a.node < b.node }

func (h *heap) push(e entry) {
	s := append(*h, e)
	i := len(s) - 1
	for i > 0 {
		up := (i - 1) / 2
		if !less(e, s[up]) {
			break
		}
		s[i] = s[up]
		i = up
	}
	s[i] = e
	*h = s
}

func (h *heap) pop() entry {
	s := *h
	top, last := s[0], s[len(s)-1]
	s = s[:len(s)-1]
	*h = s
	if len(s) == 0 {
		return top
	}
	i := 0
	for {
		down := 2*i + 1
		if down >= len(s) {
			break
		}
		if down+1 < len(s) && less(s[down+1], s[down]) {
			down++
		}
		if !less(s[down], last) {
			break
		}
		s[i] = s[down]
		i = down
	}
	s[i] = last
	return top
}

// ranks is a heap of nodes, the least first.
type ranks []uint32

func (h *ranks) push(v uint32) {
	s := append(*h, v)
	i := len(s) - 1
	for i > 0 {
		up := (i - 1) / 2
		if v >= s[up] {
			break
		}
		s[i] = s[up]
		i = up
	}
	s[i] = v
	*h = s
}

func (h *ranks) pop() uint32 {
	s := *h
	top, last := s[0], s[len(s)-1]
	s = s[:len(s)-1]
	*h = s
	if len(s) == 0 {
		return top
	}
	i := 0
	for {
		down := 2*i + 1
		if down >= len(s) {
			break
		}
		if down+1 < len(s) && s[down+1] < s[down] {
			down++
		}
		if s[down] >= last {
			break
		}
		s[i] = s[down]
		i = down
	}
	s[i] = last
	return top
}
