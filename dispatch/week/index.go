package week

// Index finds the parts of a valid week by id. It is read-only and holds
// positions in the week's own slices.
type Index struct {
	Place map[string]int // row and column of Travel
	Home  map[string]int
	Tour  map[string]int
	Job   map[string]int
	Visit map[string]VisitAt
}

// VisitAt is a visit's job and its number in the chain.
type VisitAt struct{ Job, Number int }

// NewIndex indexes w.
func NewIndex(w *Week) *Index {
	x := &Index{
		Place: make(map[string]int, len(w.Places)),
		Home:  make(map[string]int, len(w.Homes)),
		Tour:  make(map[string]int, len(w.Tours)),
		Job:   make(map[string]int, len(w.Jobs)),
		Visit: make(map[string]VisitAt, 3*len(w.Jobs)),
	}
	for i := range w.Places {
		x.Place[w.Places[i].ID] = i
	}
	for i := range w.Homes {
		x.Home[w.Homes[i].ID] = i
	}
	for i := range w.Tours {
		x.Tour[w.Tours[i].ID] = i
	}
	for j := range w.Jobs {
		x.Job[w.Jobs[j].ID] = j
		for n := range w.Jobs[j].Visits {
			x.Visit[w.Jobs[j].Visits[n].ID] = VisitAt{j, n}
		}
	}
	return x
}

// DayStart is the second at which day d begins; d == len(w.Days) gives w.End.
func (w *Week) DayStart(d int) int64 {
	if d == len(w.Days) {
		return w.End
	}
	return w.Days[d].Start
}
