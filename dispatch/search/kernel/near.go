package kernel

import "slices"

// nearest lists for every client the clients that may well stand next to it:
// by drive, waiting and lateness between them (Vidal et al. 2013).
func nearest(p *Problem, width int) [][]int32 {
	n := p.Places()
	rank := make([]float64, n*n)
	for i := 1; i < n; i++ {
		for j := 1; j < n; j++ {
			if i == j {
				continue
			}
			drive := p.Time[i*n+j] + p.Service[i]
			wait := max(p.Early[j]-drive-p.Late[i], 0)
			warp := max(p.Early[i]+drive-p.Late[j], 0)
			rank[i*n+j] = float64(p.Dist[i*n+j]) + .2*float64(wait) + float64(warp)
		}
	}
	near := make([][]int32, n)
	for i := 1; i < n; i++ {
		list := make([]int32, 0, n)
		for j := 1; j < n; j++ {
			if i != j {
				list = append(list, int32(j))
			}
		}
		key := func(j int32) float64 { return min(rank[i*n+int(j)], rank[int(j)*n+i]) }
		slices.SortStableFunc(list, func(a, b int32) int {
			switch x, y := key(a), key(b); {
			case x < y:
				return -1
			case x > y:
				return 1
			}
			return 0
		})
		near[i] = list[:min(width, len(list))]
	}
	full := make([][]int32, n) // both ways: who is near to me has me near
	for i := 1; i < n; i++ {
		full[i] = append(full[i], near[i]...)
		for _, j := range near[i] {
			if !slices.Contains(near[j], int32(i)) {
				full[j] = append(full[j], int32(i))
			}
		}
	}
	return full
}
