package odds

import "math/rand/v2"

// stream gives the random numbers of one named thing in one run. It is set anew before
// each draw, so that what is drawn for a thing hangs on nothing but seed, run and name.
type stream struct {
	state uint64
	norm  *rand.Rand
}

func newStream() *stream {
	s := &stream{}
	s.norm = rand.New(s)
	return s
}

// Uint64 is the next number of the splitmix64 sequence (Steele, Lea and Flood 2014).
func (s *stream) Uint64() uint64 {
	s.state += 0x9e3779b97f4a7c15
	return mix(s.state)
}

func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// normal is a standard normal number of a thing in a run.
func (s *stream) normal(run, thing uint64) float64 {
	s.state = mix(run ^ thing)
	return s.norm.NormFloat64()
}

// within is a whole number of 0 to n of a thing in a run, each as likely.
func (s *stream) within(run, thing uint64, n int64) int64 {
	s.state = mix(run ^ thing)
	return s.norm.Int64N(n + 1)
}

// runKey names a run of a seed.
func runKey(seed int64, run int) uint64 { return mix(mix(uint64(seed)) + uint64(run)) }

// thing names what something is drawn for: FNV-1a of its sort and id.
func thing(sort byte, id string) uint64 {
	h := uint64(0xcbf29ce484222325)
	h = (h ^ uint64(sort)) * 0x100000001b3
	for i := range len(id) {
		h = (h ^ uint64(id[i])) * 0x100000001b3
	}
	return mix(h)
}

// Sorts of things that something is drawn for.
const (
	sortWork    = 'w' // a visit's work
	sortDrive   = 'd' // the drive to a visit
	sortReturn  = 'r' // the drive at a tour's end
	sortDrain   = 'l' // a job's pumping
	sortFill    = 'f' // a job's refill
	sortStart   = 's' // when its customer starts the drain
	sortDayWork = 'W' // what a day shares, by its date
	sortDayWay  = 'T'
	sortDayPool = 'L'
)
