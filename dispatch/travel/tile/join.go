package tile

import "slices"

// longestJoin bounds joined lines, so that a tile needn't cut through a whole
// county's highway.
const longestJoin = 120

// joined puts lines of one kind and name together where they meet end to end.
// Those that go one way are joined only in their direction.
func joined(list []feature) []feature {
	type alike struct {
		class     class
		flags     uint8
		name, ref string
	}
	var order []alike
	groups := map[alike][]int{}
	for i, f := range list {
		k := alike{f.class, f.flags, f.name, f.ref}
		if groups[k] == nil {
			order = append(order, k)
		}
		groups[k] = append(groups[k], i)
	}
	var out []feature
	for _, k := range order {
		j := joiner{directed: k.flags&oneway != 0, ends: map[pt][]int{}}
		for n, i := range groups[k] {
			line := list[i].lines[0]
			j.lines = append(j.lines, line)
			j.ends[line[0]] = append(j.ends[line[0]], n)
			if last := line[len(line)-1]; last != line[0] {
				j.ends[last] = append(j.ends[last], n)
			}
		}
		j.used = make([]bool, len(j.lines))
		for n, i := range groups[k] {
			if !j.used[n] {
				f := list[i]
				f.lines = [][]pt{j.chain(n)}
				out = append(out, f)
			}
		}
	}
	return out
}

type joiner struct {
	directed bool
	lines    [][]pt
	ends     map[pt][]int
	used     []bool
}

// chain is the line with all that follows it and all that it follows.
func (j *joiner) chain(n int) []pt {
	j.used[n] = true
	line := append([]pt(nil), j.lines[n]...)
	for len(line) < longestJoin {
		next := j.at(line[len(line)-1], true)
		if next == nil {
			break
		}
		line = append(line, next[1:]...)
	}
	if len(line) >= longestJoin {
		return line
	}
	slices.Reverse(line)
	for len(line) < longestJoin {
		next := j.at(line[len(line)-1], false)
		if next == nil {
			break
		}
		line = append(line, next[1:]...)
	}
	slices.Reverse(line)
	return line
}

// at takes a line that begins at p; where direction counts, and not onward, one
// that ends there and is handed out backwards.
func (j *joiner) at(p pt, onward bool) []pt {
	for _, n := range j.ends[p] {
		line := j.lines[n]
		first, last := line[0], line[len(line)-1]
		if j.used[n] || first == last {
			continue
		}
		switch {
		case first == p && (onward || !j.directed):
			j.used[n] = true
			return line
		case last == p && (!onward || !j.directed):
			j.used[n] = true
			back := append([]pt(nil), line...)
			slices.Reverse(back)
			return back
		}
	}
	return nil
}
