package hierarchy

// Seeds are where places touch the graph: place i by the seeds from Start[i] to
// Start[i+1], each a node and the weight between it and the place.
type Seeds struct {
	Start  []uint32 // one more than places
	Node   []uint32
	Weight []Weight
}

// Add puts in a seed of the place that is being added.
func (s *Seeds) Add(node uint32, w Weight) {
	s.Node, s.Weight = append(s.Node, node), append(s.Weight, w)
}

// End closes the place that is being added.
func (s *Seeds) End() {
	if len(s.Start) == 0 {
		s.Start = append(s.Start, 0)
	}
	s.Start = append(s.Start, uint32(len(s.Node)))
}

// Len is how many places there are.
func (s *Seeds) Len() int { return max(0, len(s.Start)-1) }
