package week

// Travel holds given driving times and distances. Row is from, column is to, in
// the order of Week.Places; both matrices are square and need not be symmetric.
type Travel struct {
	// Seconds of driving at the usual speed.
	Seconds [][]int64 `json:"seconds"`
	// Metres of road.
	Metres [][]int64 `json:"metres"`
	// Periods change the speed from an instant on; before the first it is 1000.
	// A drive of s seconds that leaves at d arrives at the least whole second t at
	// which the permilles of the seconds d, d+1, ... t-1 add up to s*1000 or more.
	// So who leaves later never arrives earlier.
	Periods []Period `json:"periods,omitempty"`
	// Roads names the road data that the drives are by, for people; empty: all are
	// straight lines made longer.
	Roads string `json:"roads,omitempty"`
}

// Period is a step of the speed.
type Period struct {
	From int64 `json:"from"`
	// Permille of the usual speed that holds from then on, 1 to 10,000; 500 means
	// that a drive takes twice as long.
	Permille int64 `json:"permille"`
}
