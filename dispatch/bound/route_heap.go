package bound

// push and pop keep a heap of labels, the least bound on top.
func (p *pricer) push(l label) {
	p.labels = append(p.labels, l)
	i := len(p.heap)
	p.heap = append(p.heap, int32(len(p.labels)-1))
	for i > 0 && p.labels[p.heap[i]].bound < p.labels[p.heap[(i-1)/2]].bound {
		p.heap[i], p.heap[(i-1)/2] = p.heap[(i-1)/2], p.heap[i]
		i = (i - 1) / 2
	}
}

func (p *pricer) pop() int32 {
	top, n := p.heap[0], len(p.heap)-1
	p.heap[0] = p.heap[n]
	p.heap = p.heap[:n]
	for i := 0; ; {
		c := 2*i + 1
		if c >= n {
			return top
		}
		if c+1 < n && p.labels[p.heap[c+1]].bound < p.labels[p.heap[c]].bound {
			c++
		}
		if p.labels[p.heap[c]].bound >= p.labels[p.heap[i]].bound {
			return top
		}
		p.heap[i], p.heap[c] = p.heap[c], p.heap[i]
		i = c
	}
}
