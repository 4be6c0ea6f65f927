package kernel

import "slices"

// maps say who is near whom; they are drawn once for all strands.
type maps struct {
	near [][]int32 // per client: those that may well stand next to it
	by   [][]int32 // per client: all clients, itself too, nearest first
}

const width = 40 // clients that may well stand next to one

func newMaps(p *Problem) *maps { return &maps{near: nearest(p, width), by: byDrive(p)} }

// byDrive lists for every client all of them by distance.
func byDrive(p *Problem) [][]int32 {
	n := p.Places()
	by := make([][]int32, n)
	for i := 1; i < n; i++ {
		by[i] = sorted(n, func(j int) int64 { return int64(p.Dist[i*n+j]) })
	}
	return by
}

// nearest lists for every client the clients that may well stand next to it: by
// drive, a fifth of the waiting and the lateness between them (Vidal et al. 2013).
// Who is near to one has that one near too.
func nearest(p *Problem, width int) [][]int32 {
	n := p.Places()
	apart := make([]int64, n*n)
	for i := 1; i < n; i++ {
		for j := 1; j < n; j++ {
			drive := int64(p.Time[i*n+j] + p.Service[i])
			wait := max(int64(p.Early[j])-drive-int64(p.Late[i]), 0)
			warp := max(int64(p.Early[i])+drive-int64(p.Late[j]), 0)
			apart[i*n+j] = 5*int64(p.Dist[i*n+j]) + wait + 5*warp
		}
	}
	near, both := make([][]int32, n), make([][]int32, n)
	for i := 1; i < n; i++ {
		list := sorted(n, func(j int) int64 { return min(apart[i*n+j], apart[j*n+i]) })
		self := slices.Index(list, int32(i))
		list = slices.Delete(list, self, self+1)
		near[i] = list[:min(width, len(list))]
		both[i] = slices.Clone(near[i])
	}
	for i := 1; i < n; i++ {
		for _, j := range near[i] {
			if !slices.Contains(near[j], int32(i)) {
				both[j] = append(both[j], int32(i))
			}
		}
	}
	return both
}

// sorted lists all clients by a key of 0 or more, below 2 to the 43rd; of equal ones
// the lower number comes first.
func sorted(places int, key func(int) int64) []int32 {
	const low = 1<<20 - 1
	packed := make([]int64, places-1)
	for i := range packed {
		packed[i] = key(i+1)<<20 | int64(i+1)
	}
	slices.Sort(packed)
	list := make([]int32, len(packed))
	for i, v := range packed {
		list[i] = int32(v & low)
	}
	return list
}
