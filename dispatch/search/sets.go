package search

import "sort"

// span is a closed interval of whole seconds.
type span struct{ lo, hi int64 }

// starts is a set of instants as sorted, disjoint, non-adjacent closed spans.
type starts []span

const (
	never  = int64(1) << 60 // later than any instant of a week
	always = -never         // earlier than any instant of a week
)

// next returns the least member at or after x, or never.
func (s starts) next(x int64) int64 {
	if len(s) <= 4 {
		for i := range s {
			if x <= s[i].hi {
				return max(x, s[i].lo)
			}
		}
		return never
	}
	i, j := 0, len(s)
	for i < j {
		m := int(uint(i+j) >> 1)
		if s[m].hi < x {
			i = m + 1
		} else {
			j = m
		}
	}
	if i == len(s) {
		return never
	}
	return max(x, s[i].lo)
}

// prev returns the greatest member at or before x, or always.
func (s starts) prev(x int64) int64 {
	for i := len(s) - 1; i >= 0; i-- {
		if x >= s[i].lo {
			return min(x, s[i].hi)
		}
	}
	return always
}

// has reports whether x is a member.
func (s starts) has(x int64) bool { return s.next(x) == x }

// normal sorts the spans, drops the empty ones and joins those that touch.
func normal(s starts) starts {
	out := make(starts, 0, len(s))
	for _, p := range s {
		if p.lo <= p.hi {
			out = append(out, p)
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].lo < out[j].lo })
	n := 0
	for _, p := range out {
		if n > 0 && p.lo <= out[n-1].hi+1 {
			out[n-1].hi = max(out[n-1].hi, p.hi)
			continue
		}
		out[n] = p
		n++
	}
	return out[:n]
}

// meet returns what two sets have in common.
func meet(a, b starts) starts {
	var out starts
	for i, j := 0, 0; i < len(a) && j < len(b); {
		lo, hi := max(a[i].lo, b[j].lo), min(a[i].hi, b[j].hi)
		if lo <= hi {
			out = append(out, span{lo, hi})
		}
		if a[i].hi < b[j].hi {
			i++
		} else {
			j++
		}
	}
	return out
}

// without removes the closed span [lo, hi] from the set.
func (s starts) without(lo, hi int64) starts {
	if lo > hi {
		return s
	}
	out := make(starts, 0, len(s)+1)
	for _, p := range s {
		if p.hi < lo || p.lo > hi {
			out = append(out, p)
			continue
		}
		if p.lo < lo {
			out = append(out, span{p.lo, lo - 1})
		}
		if p.hi > hi {
			out = append(out, span{hi + 1, p.hi})
		}
	}
	return out
}
