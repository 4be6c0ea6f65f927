package tile

// Sample lists, by zoom, tiles that hold something, to look at or to measure:
// all of a zoom while there are up to most of them, else evenly chosen ones.
func (m *Map) Sample(most int) map[int][][2]int {
	out := map[int][][2]int{}
	for z := range MaxZoom + 1 {
		i := 0
		for m.levels[i].top < z {
			i++
		}
		l := &m.levels[i]
		shift := l.top - z + extentBits
		seen := map[[2]int]bool{}
		var list [][2]int
		for n, b := range l.tree[0] {
			if from(l.items[n].class, l.items[n].flags) > z {
				continue
			}
			if at := [2]int{int(b.low.x >> shift), int(b.low.y >> shift)}; !seen[at] {
				seen[at] = true
				list = append(list, at)
			}
		}
		if len(list) > most {
			for k := range most {
				list[k] = list[k*len(list)/most]
			}
			list = list[:most]
		}
		out[z] = list
	}
	return out
}
