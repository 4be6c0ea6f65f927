package estimate

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"ebbline/jobs"
)

// Reading is the water's distance below the tile line, in µm, at an instant, in
// seconds from wherever the caller counts.
type Reading struct{ At, Below int64 }

// Draining is a drain that runs, as it was estimated.
type Draining struct {
	Start   int64 // when it began, as the readings count time
	Started bool  // somebody said so; else it began at Start or later, and the first reading is what counts
	Level   int64 // µm below the tile line when it began, as surveyed
	Target  int64 // µm, the working level
	Drain   Quantiles
	Rest    Quantiles // what is pumped after this body, seconds of water hours
	Open    []Span    // water hours
}

// Doubt is a reading that does not fit the others, with the reason.
type Doubt struct {
	Index int // in the readings as given
	Why   string
}

// Refitted is what readings made of an estimate.
type Refitted struct {
	Known bool      // false: Says tells why
	Drain Quantiles // seconds of water hours from Start until all is low
	LowAt Quantiles // the instants
	// Rate is how fast the level falls, in µm an hour of pumping, with its 10 %
	// and 90 % quantiles.
	Rate Rate
	Used int // readings that count
	// Doubts are readings that were put aside. Contradict says that the readings
	// can't be told apart into good and bad: the estimate stands as it was.
	Doubts     []Doubt
	Contradict bool
	Says       string // for a person
}

// Rate has its low, middle and high value.
type Rate struct{ Low, Median, High int64 }

// How readings are taken to err; common practice, no source. A level read at a
// tape is good to about a quarter inch; of twenty one is a slip. The level in
// the survey may have changed by an inch. A pump keeps its rate to a twentieth:
// hoses shift, and the floor comes up.
const (
	readSD    = umPerInch / 4
	levelSD   = umPerInch
	slip      = 0.05
	slipRange = 10 * umPerFoot
	goesOnSD  = 0.05
	mostRead  = 12 // readings that are looked at: the first, and the latest ones
)

// Refit turns readings of a falling level into a new pumping time. What the
// estimate knew of the rate is the start (a log-normal, or with a chance of one
// in ten a much wider one: another pump, a kinked hose); each reading narrows
// it, by Bayes' rule, whichever up to two of them are slips. Only water hours
// count as pumping.
func Refit(d Draining, readings []Reading) Refitted {
	open := joined(d.Open)
	fall := float64(d.Target - d.Level)
	if fall <= 0 || d.Drain.Median <= 0 {
		return Refitted{Says: "the estimate has no pumping time that readings could change"}
	}
	taken := thinned(readings, d.Start)
	out := Refitted{}
	if len(taken) == 0 {
		return out.finish(d, open, d.Drain)
	}
	f := newFit(d, open, readings, taken)
	f.judge(&out, readings)
	if out.Contradict {
		return out.finish(d, open, d.Drain)
	}
	drain, rate := f.predict()
	out.Rate = rate
	drain = f.bounded(drain, out)
	return out.finish(d, open, drain)
}

// thinned are the indexes of the readings that are looked at, by time.
func thinned(readings []Reading, start int64) []int {
	var taken []int
	for i, r := range readings {
		if r.At >= start {
			taken = append(taken, i)
		}
	}
	sort.SliceStable(taken, func(a, b int) bool { return readings[taken[a]].At < readings[taken[b]].At })
	if len(taken) > mostRead {
		taken = append(taken[:1:1], taken[len(taken)-mostRead+1:]...)
	}
	return taken
}

// finish adds what is pumped after this body and turns water hours into
// instants.
func (r Refitted) finish(d Draining, open []Span, drain Quantiles) Refitted {
	r.Drain = Quantiles{Early: drain.Early + d.Rest.Early, Median: drain.Median + d.Rest.Median, Late: drain.Late + d.Rest.Late}
	for _, q := range []struct {
		need int64
		at   *int64
	}{{r.Drain.Early, &r.LowAt.Early}, {r.Drain.Median, &r.LowAt.Median}, {r.Drain.Late, &r.LowAt.Late}} {
		at, lack := done(q.need, d.Start, open)
		if lack > 0 {
			return Refitted{Doubts: r.Doubts, Contradict: r.Contradict, Rate: r.Rate, Used: r.Used, Says: "at this rate it is not low within the water hours looked at: " + duration(lack) + " are lacking"}
		}
		*q.at = at
	}
	r.Known = true
	if r.Says == "" {
		r.Says = fmt.Sprintf("%d of %s count", r.Used, plural(r.Used+len(r.Doubts), "reading"))
		if r.Used+len(r.Doubts) == 0 {
			r.Says = "no reading yet: as estimated"
		}
	}
	return r
}

// fit is the weighing of rates against readings. Times are seconds of water
// hours since the start, levels µm below the tile line, rates µm a second.
type fit struct {
	d          Draining
	at, below  []float64
	sd         []float64 // how far a good reading may be off
	index      []int     // in the caller's readings
	rates      []float64
	sets       [][]bool // which readings are good, each possible way
	weight     [][]float64
	mean, vari [][]float64 // of the level at the start, for each rate and set
}

func newFit(d Draining, open []Span, readings []Reading, taken []int) *fit {
	f := &fit{d: d, index: taken}
	for _, i := range taken {
		f.at = append(f.at, float64(passed(d.Start, readings[i].At, open)))
		f.below = append(f.below, float64(readings[i].Below))
		f.sd = append(f.sd, d.readingSD(readings[i].Below))
	}
	f.sets = goodSets(len(taken))
	// first over everything that a pump could do, then closely where it matters
	usual := float64(d.Target-d.Level) / float64(d.Drain.Median)
	f.weigh(math.Log(usual)-5, math.Log(usual)+4, 240)
	low, high := f.support()
	f.weigh(low, high, 160)
	return f
}

// readingSD is how far a good reading may be off, in µm: by the eye, and by what
// a pump's rate changed on the way down.
func (d Draining) readingSD(below int64) float64 {
	return math.Hypot(readSD, goesOnSD*float64(max(0, min(below, d.Target)-d.Level)))
}

// passed is how many open seconds lie between two instants.
func passed(from, to int64, open []Span) (s int64) {
	for _, o := range open {
		s += max(0, min(to, o.To)-max(from, o.From))
	}
	return s
}

// goodSets lists the ways in which at most two of n readings are slips; one of
// two can be, but which, two can't tell.
func goodSets(n int) [][]bool {
	var sets [][]bool
	add := func(bad ...int) {
		set := make([]bool, n)
		for i := range set {
			set[i] = !slices.Contains(bad, i)
		}
		sets = append(sets, set)
	}
	add()
	for i := range n {
		add(i)
		for j := range i {
			add(i, j)
		}
	}
	return sets
}

// weigh computes the weight of each rate with each set of good readings.
func (f *fit) weigh(low, high float64, steps int) {
	n := len(f.at)
	usual := float64(f.d.Target-f.d.Level) / float64(f.d.Drain.Median)
	sd := math.Max(.02, math.Log(float64(f.d.Drain.Late)/float64(max(f.d.Drain.Early, 1)))/2/normalQuantile(.9))
	f.rates = make([]float64, steps+1)
	f.weight, f.mean, f.vari = nil, nil, nil
	best := math.Inf(-1)
	for k := range f.rates {
		x := low + (high-low)*float64(k)/float64(steps)
		f.rates[k] = math.Exp(x)
		off := x - math.Log(usual)
		prior := math.Log(.9*math.Exp(-off*off/(2*sd*sd))/sd + .1*math.Exp(-off*off/2/1.5/1.5)/1.5)
		row, means, varis := make([]float64, len(f.sets)), make([]float64, len(f.sets)), make([]float64, len(f.sets))
		for s, set := range f.sets {
			sw, swx := 0.0, 0.0
			if f.d.Started {
				sw, swx = 1/(levelSD*levelSD), float64(f.d.Level)/(levelSD*levelSD)
			}
			logW, bad := prior, 0
			for i := range n {
				if !set[i] {
					bad++
					continue
				}
				sw += 1 / (f.sd[i] * f.sd[i])
				swx += (f.below[i] - f.rates[k]*f.at[i]) / (f.sd[i] * f.sd[i])
				logW += math.Log((1 - slip) / f.sd[i])
			}
			logW += float64(bad) * math.Log(slip/slipRange)
			if sw == 0 { // nothing says where it began
				sw, swx = 1/(slipRange*slipRange), float64(f.d.Level)/(slipRange*slipRange)
			}
			mean := swx / sw
			rest := 0.0
			for i := range n {
				if set[i] {
					e := (f.below[i] - f.rates[k]*f.at[i] - mean) / f.sd[i]
					rest += e * e
				}
			}
			if f.d.Started {
				e := (float64(f.d.Level) - mean) / levelSD
				rest += e * e
				logW -= math.Log(levelSD)
			} else {
				logW -= math.Log(slipRange)
			}
			row[s], means[s], varis[s] = logW-rest/2-math.Log(sw)/2, mean, 1/sw
			best = math.Max(best, row[s])
		}
		f.weight, f.mean, f.vari = append(f.weight, row), append(f.mean, means), append(f.vari, varis)
	}
	for _, row := range f.weight {
		for s := range row {
			row[s] = math.Exp(row[s] - best)
		}
	}
}

// support is the stretch of log rates that carries all but a sliver of the
// weight.
func (f *fit) support() (low, high float64) {
	total := 0.0
	sums := make([]float64, len(f.rates))
	for k, row := range f.weight {
		for _, w := range row {
			sums[k] += w
		}
		total += sums[k]
	}
	first, last, run := 0, len(sums)-1, 0.0
	for k, w := range sums {
		if run += w; run < total*1e-5 {
			first = k
		}
		if run > total*(1-1e-5) {
			last = k
			break
		}
	}
	return math.Log(f.rates[max(first-1, 0)]), math.Log(f.rates[min(last+1, len(sums)-1)])
}

// judge finds the readings that are more likely slips than not, and whether the
// rest hold together.
func (f *fit) judge(out *Refitted, readings []Reading) {
	n := len(f.at)
	total, bad := 0.0, make([]float64, n)
	for _, row := range f.weight {
		for s, w := range row {
			total += w
			for i, good := range f.sets[s] {
				if !good {
					bad[i] += w
				}
			}
		}
	}
	for i, w := range bad {
		if w > total/2 {
			r := readings[f.index[i]]
			out.Doubts = append(out.Doubts, Doubt{Index: f.index[i], Why: show(r.Below, UnitLength) + " below the tile line does not fit the other readings"})
		}
	}
	out.Used = n - len(out.Doubts)
	// a level that rises, among what is left, or readings of which most would
	// have to be slips
	highest, rises := math.Inf(-1), false
	for i := range n {
		if bad[i] > total/2 {
			continue
		}
		rises = rises || f.below[i] < highest-4*readSD
		highest = math.Max(highest, f.below[i])
	}
	split := n == 2 && bad[0]+bad[1] > total*.5 && math.Abs(f.below[1]-f.below[0]) > 4*readSD
	if rises || split || n > 1 && out.Used < 1 || n > 2 && (out.Used < 2 || f.unlikely()) {
		rises = rises || f.below[n-1] < f.below[0]-4*readSD
		out.Contradict, out.Used = true, 0
		out.Says = "the readings contradict each other: read the level again; until then as estimated"
		if rises {
			out.Says = "the readings say that the water rises: look whether pump and filler are as they should be, and read again; until then as estimated"
		}
	}
}

// unlikely says that even the best rate leaves the good readings far apart.
func (f *fit) unlikely() bool {
	best, at, set := 0.0, 0, 0
	for k, row := range f.weight {
		for s, w := range row {
			if w > best {
				best, at, set = w, k, s
			}
		}
	}
	rest, good := 0.0, 0
	for i, ok := range f.sets[set] {
		if ok {
			e := (f.below[i] - f.rates[at]*f.at[i] - f.mean[at][set]) / f.sd[i]
			rest, good = rest+e*e, good+1
		}
	}
	return good > 0 && rest > 16*float64(good) // four times the usual error, on the whole
}

// predict spreads the weights into the time until the target is reached.
func (f *fit) predict() (Quantiles, Rate) {
	type part struct{ at, weight float64 }
	var times, rates []part
	// three nodes stand for a normal spread (Gauss-Hermite: 1/6, 2/3, 1/6)
	nodes := []struct{ z, w float64 }{{-math.Sqrt(3), 1. / 6}, {0, 2. / 3}, {math.Sqrt(3), 1. / 6}}
	newest := len(f.at) - 1
	last := f.at[newest]
	for k, row := range f.weight {
		for s, w := range row {
			if w < 1e-7 {
				continue
			}
			rates = append(rates, part{f.rates[k], w})
			for _, level := range nodes {
				now := f.mean[k][s] + level.z*math.Sqrt(f.vari[k][s]) + f.rates[k]*last
				if f.sets[s][newest] { // what was just read counts more than the way there
					now = f.below[newest] + level.z*readSD
				}
				left := float64(f.d.Target) - now
				for _, on := range nodes {
					at := last + left/f.rates[k]
					if left > 0 {
						at = last + left/(f.rates[k]*math.Exp(on.z*goesOnSD))
					}
					times = append(times, part{math.Max(0, at), w * level.w * on.w})
				}
			}
		}
	}
	quantile := func(parts []part, p float64) float64 {
		sort.Slice(parts, func(a, b int) bool { return parts[a].at < parts[b].at })
		total := 0.0
		for _, x := range parts {
			total += x.weight
		}
		run := 0.0
		for _, x := range parts {
			if run += x.weight; run >= p*total {
				return x.at
			}
		}
		return parts[len(parts)-1].at
	}
	const most = 400 * 86_400 // beyond that no water hours are asked for
	at := func(p float64) int64 { return round(math.Min(quantile(times, p), most)) }
	hourly := func(p float64) int64 { return round(3600 * quantile(rates, p)) }
	return Quantiles{Early: at(.1), Median: at(.5), Late: at(.9)}, Rate{Low: hourly(.1), Median: hourly(.5), High: hourly(.9)}
}

// bounded keeps the times on the right side of what was read: low at the latest
// when a good reading says so, and not before the last one that says it is not.
func (f *fit) bounded(q Quantiles, out Refitted) Quantiles {
	doubted := func(i int) bool {
		return slices.ContainsFunc(out.Doubts, func(d Doubt) bool { return d.Index == f.index[i] })
	}
	for i := range f.at {
		t := round(f.at[i])
		switch {
		case doubted(i):
		case f.below[i] >= float64(f.d.Target):
			return Quantiles{Early: min(q.Early, t), Median: min(q.Median, t), Late: min(q.Late, t)}
		case f.below[i] < float64(f.d.Target)-readSD:
			q = Quantiles{Early: max(q.Early, t), Median: max(q.Median, t), Late: max(q.Late, t)}
		}
	}
	return q
}

// Main is the body of water whose readings stand for the job's: the first that
// is lowered, by others apart. False where there is none.
func (e Estimate) Main(bodyID string) (Water, bool) {
	for _, w := range e.Bodies {
		if w.Lowered && w.Way != jobs.LowByOthers && (bodyID == "" || bodyID == w.Body) {
			return w, true
		}
	}
	return Water{}, false
}

// Draining is a body's drain as estimated, with what is pumped after it. False
// while its pumping time is not known yet.
func (e Estimate) Draining(bodyID string) (Draining, bool) {
	w, ok := e.Main(bodyID)
	if !ok || !w.Drain.Known || !w.Working.Known || !w.Drop.Known || !e.Clock.Total.Known {
		return Draining{}, false
	}
	own, all := quantiles(w.Drain), e.Clock.Drain
	return Draining{
		Level: w.Working.Value - w.Drop.Value, Target: w.Working.Value, Drain: own,
		Rest: Quantiles{Early: max(0, all.Early-own.Early), Median: max(0, all.Median-own.Median), Late: max(0, all.Late-own.Late)},
	}, true
}
