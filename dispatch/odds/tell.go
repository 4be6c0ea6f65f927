package odds

import (
	"cmp"
	"math"
	"slices"

	"ebbline/dispatch/week"
)

// odds puts together what the runs came to.
func (t *tally) odds(ask Ask) *Odds {
	m := t.m
	o := &Odds{Runs: t.runs, Seed: ask.Seed, Policy: ask.Policy, Promises: []Promise{}, Pools: []Pool{}, Tours: []Tour{}, Visits: []Visit{}, NotKnown: m.notKnown()}
	column := make([]int32, t.runs)
	take := func(rows []int32, width, at int) []int32 {
		for run := range column {
			column[run] = rows[run*width+at]
		}
		return column
	}
	known := m.known()
	of := map[string]int{}
	for i := range m.visits {
		v := &m.visits[i]
		of[v.id] = i
		if v.begun {
			continue
		}
		list := take(t.starts, len(m.visits), i)
		missing := 0
		for _, s := range list {
			if s == missed {
				missing++
			}
		}
		o.Visits = append(o.Visits, Visit{Visit: v.id, Start: times(list, t.runs-missing), Failed: share(missing, t.runs, known[i])})
	}
	for _, p := range promisesByID(m.w) {
		i, ok := of[p.Visit]
		if !ok {
			o.Promises = append(o.Promises, Promise{Promise: p.ID, Visit: p.Visit, Kept: Share{Known: true}})
			continue
		}
		o.Promises = append(o.Promises, promise(&p, take(t.starts, len(m.visits), i), ask.Want, known[i], m.visits[i].begun))
	}
	for k, i := range t.pools {
		o.Pools = append(o.Pools, poolOdds(m.pools[i].job, m.visits[t.looked[k]].id, take(t.margins, len(t.pools), k), ask.Want, m.pools[i].drain.known()))
	}
	total := make([]int64, t.runs)
	over := make([]int64, t.runs)
	for i := range m.tours {
		list := take(t.backs, len(m.tours), i)
		for run, back := range list {
			over[run] = max(0, int64(back)-m.tours[i].shiftTo)
			total[run] += over[run]
		}
		o.Tours = append(o.Tours, Tour{Tour: m.tours[i].id, Overtime: mean(over), Return: times(list, t.runs)})
	}
	o.Overtime = mean(total)
	o.Failed, o.Calls = mean(t.failed), mean(t.calls)
	return o
}

func promisesByID(w *week.Week) []week.Promise {
	list := slices.Clone(w.Promises)
	slices.SortFunc(list, func(a, b week.Promise) int { return cmp.Compare(a.ID, b.ID) })
	return list
}

// promise counts how often a start lies inside its window. The list is reordered.
func promise(p *week.Promise, starts []int32, want int64, known, fact bool) Promise {
	out := Promise{Promise: p.ID, Visit: p.Visit}
	kept, early := 0, 0
	for _, s := range starts {
		switch at := int64(s); {
		case s == missed:
		case at < p.From:
			early++
		case at <= p.To:
			kept++
		}
	}
	if out.Kept = share(kept, len(starts), known); fact {
		out.Kept = Share{Permille: int64(1000 * kept / len(starts)), Known: true}
	}
	// the want-quantile of the starts that are not too early
	for i, s := range starts {
		if int64(s) < p.From {
			starts[i] = missed
		}
	}
	if s := ranked(starts, rank(want, len(starts))); s != missed {
		out.Short, out.Reachable = int64(s)-p.To, true
	}
	return out
}

func poolOdds(job, visit string, margins []int32, want int64, known bool) Pool {
	low := 0
	for _, d := range margins {
		if d <= 0 {
			low++
		}
	}
	out := Pool{Job: job, Visit: visit, Low: share(low, len(margins), known)}
	if s := ranked(margins, rank(want, len(margins))); s != missed {
		out.Short, out.Reachable = int64(s), true
	}
	return out
}

// times are the quantiles of the first n of a list once it is in order.
func times(list []int32, n int) Times {
	if n == 0 {
		return Times{}
	}
	// The middle one parts the list into what the others are found in.
	low, mid, high := rank(100, n), rank(500, n), rank(900, n)
	t := Times{P50: int64(ranked(list, mid))}
	t.P10 = int64(ranked(list[:mid+1], low))
	if t.P90 = t.P50; high > mid {
		t.P90 = int64(ranked(list[mid+1:], high-mid-1))
	}
	return t
}

// rank is the place of a quantile in an ordered list of n: the least at which the share
// is reached.
func rank(permille int64, n int) int { return int((permille*int64(n)+999)/1000) - 1 }

// ranked is the value at a place of the list if it were in order (Hoare's selection).
func ranked(list []int32, k int) int32 {
	for lo, hi := 0, len(list)-1; lo < hi; {
		pivot, i, j := list[(lo+hi)/2], lo, hi
		for i <= j {
			for list[i] < pivot {
				i++
			}
			for list[j] > pivot {
				j--
			}
			if i <= j {
				list[i], list[j] = list[j], list[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return list[k]
		}
	}
	return list[k]
}

// share is k of n with its error; see [Share].
func share(k, n int, known bool) Share {
	s := Share{Permille: int64(math.Round(1000 * float64(k) / float64(n))), Known: known}
	if s.Permille == 1000 && k < n {
		s.Permille = 999
	}
	if s.Permille == 0 && k > 0 {
		s.Permille = 1
	}
	p := float64(k+2) / float64(n+4)
	s.ErrorPermille = int64(math.Ceil(1000 * math.Sqrt(p*(1-p)/float64(n+4))))
	return s
}

// mean is the average with its standard error.
func mean[N int32 | int64](list []N) Mean {
	sum := 0.0
	for _, x := range list {
		sum += float64(x)
	}
	n := float64(len(list))
	avg, sq := sum/n, 0.0
	for _, x := range list {
		sq += (float64(x) - avg) * (float64(x) - avg)
	}
	m := Mean{Milli: int64(math.Round(1000 * avg))}
	if n > 1 {
		m.ErrorMilli = int64(math.Ceil(1000 * math.Sqrt(sq/(n-1)/n)))
	}
	return m
}
