package estimate

import (
	"slices"
	"sort"
)

// exactLights is up to how many lights a split is proved to be the best one.
const exactLights = 20

// balance shares loads among two zones that already carry something, so that
// the larger zone carries as little as can be. True puts a load into zone 2.
// Exact up to [exactLights] loads and for any number of equal ones; beyond that
// the largest load always goes to the emptier zone. The same loads always give
// the same split: of equally good ones, the earlier loads stay in zone 1.
func balance(loads []int64, carried [2]int64) []bool {
	second := make([]bool, len(loads))
	if len(loads) == 0 {
		return second
	}
	switch {
	case slices.Min(loads) == slices.Max(loads):
		balanceEqual(second, loads[0], carried)
	case len(loads) <= exactLights:
		balanceExact(second, loads, carried)
	default:
		balanceGreedy(second, loads, carried)
	}
	return second
}

// balanceEqual moves the last k of the equal loads to zone 2.
func balanceEqual(second []bool, each int64, carried [2]int64) {
	best, count := int64(-1), 0
	for k := 0; k <= len(second); k++ {
		largest := max(carried[0]+int64(len(second)-k)*each, carried[1]+int64(k)*each)
		if best < 0 || largest < best {
			best, count = largest, k
		}
	}
	for i := len(second) - count; i < len(second); i++ {
		second[i] = true
	}
}

// half is a subset of one half of the loads with its sum.
type half struct {
	sum int64
	set uint32
}

// subsets are all subsets of some loads by rising sum; of equal sums, only the
// one that takes the fewest early loads.
func subsets(loads []int64) []half {
	list := make([]half, 1, 1<<len(loads))
	for i, load := range loads {
		for _, h := range list[:1<<i] {
			list = append(list, half{h.sum + load, h.set | 1<<(31-i)})
		}
	}
	slices.SortFunc(list, func(a, b half) int {
		switch {
		case a.sum != b.sum && a.sum < b.sum, a.sum == b.sum && a.set < b.set:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	return slices.CompactFunc(list, func(a, b half) bool { return a.sum == b.sum })
}

// balanceExact meets in the middle: for each subset of the first half, the best
// subset of the second is found walking the other way.
func balanceExact(second []bool, loads []int64, carried [2]int64) {
	mid := len(loads) / 2
	left, right := subsets(loads[:mid]), subsets(loads[mid:])
	total := carried[0]
	for _, load := range loads {
		total += load
	}
	largest := func(a, b half) int64 { return max(total-a.sum-b.sum, carried[1]+a.sum+b.sum) }
	best, at := int64(-1), [2]half{}
	try := func(a, b half) {
		v := largest(a, b)
		if best < 0 || v < best || v == best && (a.set < at[0].set || a.set == at[0].set && b.set < at[1].set) {
			best, at = v, [2]half{a, b}
		}
	}
	j := len(right) - 1
	for _, a := range left {
		for j > 0 && carried[1]+a.sum+right[j].sum > total-a.sum-right[j].sum {
			if j < len(right)-1 {
				try(a, right[j+1])
			}
			try(a, right[j])
			j--
		}
		try(a, right[j])
		if j < len(right)-1 {
			try(a, right[j+1])
		}
	}
	for i := range loads {
		set, bit := at[0].set, i
		if i >= mid {
			set, bit = at[1].set, i-mid
		}
		second[i] = set&(1<<(31-bit)) != 0
	}
}

func balanceGreedy(second []bool, loads []int64, carried [2]int64) {
	order := make([]int, len(loads))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return loads[order[a]] > loads[order[b]] })
	for _, i := range order {
		zone := 0
		if carried[1] < carried[0] {
			zone = 1
		}
		carried[zone] += loads[i]
		second[i] = zone == 1
	}
}
