package estimate

import (
	"math"

	"ebbline/jobs"
)

// Task is a task of a visit with how often and how long.
type Task struct {
	Key   string `json:"key"`
	Name  string `json:"name"`
	Times int    `json:"times"`
	Best  int64  `json:"best"` // seconds for once, conditions counted in
	Usual int64  `json:"usual"`
	Worst int64  `json:"worst"`
	Mean  int64  `json:"mean"` // of all times together, its chance counted in
	Part  int64  `json:"part"` // thousandths of the visit's variance: what drives the spread
	Why   string `json:"why,omitempty"`
	Dry   bool   `json:"dry,omitempty"`
	// Chance, in thousandths and on average over its times, that it turns out to
	// be this task rather than one of the others with the same key; 0: it is done
	// for certain.
	Chance int64 `json:"chance,omitempty"`
}

// Driver is something that makes a visit's time uncertain, with its part of the
// whole uncertainty in thousandths.
type Driver struct {
	Name string `json:"name"`
	Part int64  `json:"part"`
}

// timedTask is a task with mean and variance of all its times together.
type timedTask struct {
	Task
	mean, variance float64
}

// once takes a task with its times as independent of each other.
func once(t Task) timedTask {
	mean, variance := pert(float64(t.Best), float64(t.Usual), float64(t.Worst))
	return timedTask{t, mean * float64(t.Times), variance * float64(t.Times)}
}

// Visit is one kind of visit: who goes, what is done, how long.
type Visit struct {
	Kind   string   `json:"kind"`
	Name   string   `json:"name"`
	Needed bool     `json:"needed"` // part of this conversion's chain
	Why    string   `json:"why,omitempty"`
	Water  string   `json:"water"`
	People int      `json:"people"`
	Skills []string `json:"skills,omitempty"`
	Tasks  []Task   `json:"tasks"`
	Mean   Figure   `json:"mean"`
	Median Figure   `json:"median"`
	Plan   Figure   `json:"plan"`     // the planning quantile: what the week plans with
	Dry    int64    `json:"dry"`      // seconds at its start that need no low water
	Spread int64    `json:"spread"`   // log standard deviation in thousandths, the day's share included
	Low    int64    `json:"lowering"` // seconds of lowering inside Plan, on arrival only
	Again  int64    `json:"again"`    // seconds to set up again when it is done in parts
	// Drivers are what makes the time uncertain, the largest first.
	Drivers []Driver `json:"drivers,omitempty"`
}

// Chance is the chance, in thousandths, that the visit's own work is done within
// the given seconds; false while its time is not known. Lowering on arrival
// counts at its late value.
func (v Visit) Chance(within int64) (int64, bool) {
	if !v.Median.Known {
		return 0, false
	}
	l := lognormal{Median: float64(v.Median.Value), S: float64(v.Spread) / 1000}
	return round(1000 * l.below(float64(within-v.Low))), true
}

// Parts splits the planned time into the fewest equal parts of at most the
// given seconds, each after the first with the time to set up again. None while
// the time is not known, or when even that does not fit.
func (v Visit) Parts(most int64) []int64 {
	if !v.Plan.Known || v.Plan.Value <= 0 {
		return nil
	}
	for n := int64(1); n <= 12; n++ {
		each := (v.Plan.Value + (n-1)*v.Again + n - 1) / n
		if each > most {
			continue
		}
		parts := make([]int64, n)
		for i := range parts {
			parts[i] = each
		}
		return parts
	}
	return nil
}

// Visit gives a kind of visit; false when the settings have no such kind.
func (e Estimate) Visit(kind string) (Visit, bool) {
	for _, v := range e.Visits {
		if v.Kind == kind {
			return v, true
		}
	}
	return Visit{}, false
}

// visits computes every kind of visit of the settings, needed or not.
func (c *calc) visits(e Estimate) []Visit {
	var visits []Visit
	for _, rule := range c.set.Labour.Visits {
		visits = append(visits, c.visit(e, rule))
	}
	return visits
}

func (c *calc) visit(e Estimate, rule VisitRule) Visit {
	v := Visit{Kind: rule.Kind, Name: rule.Name, Water: rule.Water, People: rule.People, Skills: rule.Skills, Again: c.set.Labour.Again}
	v.Needed, v.Why = c.holds(e, rule.When)
	lack := num{ok: true}
	var mean, variance, dryMean, dryVar float64
	var parts []float64
	for _, task := range c.set.Labour.Tasks {
		if task.Visit != rule.Kind {
			continue
		}
		for _, t := range c.tasks(e, task, &lack) {
			t.Mean = round(t.mean)
			mean, variance = mean+t.mean, variance+t.variance
			if t.Dry {
				dryMean, dryVar = dryMean+t.mean, dryVar+t.variance
			}
			v.Tasks = append(v.Tasks, t.Task)
			parts = append(parts, t.variance)
		}
	}
	if lack.ok && mean <= 0 {
		lack = unknown(Miss{Text: "Tasks for a " + rule.Name + " visit in the settings"})
	}
	times := lack
	if lack.ok {
		for i := range v.Tasks {
			if variance > 0 {
				v.Tasks[i].Part = round(1000 * parts[i] / variance)
			}
		}
		learned := 1.0
		if part, ok := c.set.Labour.Learned[rule.Kind]; ok && part > 0 {
			learned = float64(part) / 1000
		}
		times = c.distribution(&v, mean*learned, math.Sqrt(variance)*learned)
		if dryMean > 0 {
			v.Dry = round(c.shape(dryMean*learned, math.Sqrt(dryVar)*learned).quantile(c.quantile()))
		}
		v.Drivers = c.drivers(v)
	}
	c.timesOf(&v, e, times, mean)
	return v
}

// distribution fits the sum of the tasks and the day's shared factor.
func (c *calc) distribution(v *Visit, mean, sd float64) num {
	l := c.shape(mean, sd)
	v.Spread = round(l.S * 1000)
	n := fixed(l.Median)
	n.lo, n.hi = l.quantile(.1), l.quantile(.9)
	for _, t := range v.Tasks {
		text := plural(t.Times, "time") + ": " + duration(t.Best) + " / " + duration(t.Usual) + " / " + duration(t.Worst)
		if t.Chance > 0 {
			text += ", chance " + show(t.Chance, UnitMille)
		}
		n.in = append(n.in, Input{Name: t.Name, Text: text})
	}
	return n
}

func (c *calc) shape(mean, sd float64) lognormal {
	l := fromMeanSD(mean, sd)
	l.S = math.Hypot(l.S, float64(c.set.Labour.DayFactor)/1000)
	return l
}

func (c *calc) quantile() float64 { return float64(c.set.Labour.Quantile) / 1000 }

// timesOf fills in mean, median and planning quantile.
func (c *calc) timesOf(v *Visit, e Estimate, n num, mean float64) {
	key := "visit." + v.Kind
	v.Median = figure(key+".median", v.Name+": median", "", UnitSeconds, n)
	v.Median.Formula = "mean (best + 4 usual + worst)/6 and variance ((worst − best)/6)² of the tasks add up; a log-normal of that mean and variance, widened by the day's factor"
	v.Median.Source = "programme evaluation and review technique, any management-science text; times: common practice, no source, learned from what was done"
	average, plan := n, n
	if n.ok {
		l := lognormal{Median: n.v, S: float64(v.Spread) / 1000}
		average = fixed(mean, v.Median.input())
		if part, ok := c.set.Labour.Learned[v.Kind]; ok && part > 0 {
			average.v, average.lo, average.hi = mean*float64(part)/1000, mean*float64(part)/1000, mean*float64(part)/1000
		}
		q := l.quantile(c.quantile())
		plan = fixed(q, v.Median.input())
		plan.lo, plan.hi = n.lo, max(n.hi, q)
	}
	if v.Kind == "convert" && e.Clock.InsideConversion() {
		late := num{ok: e.Clock.Total.Known, miss: e.Clock.Total.Missing, v: float64(e.Clock.Drain.Late)}
		late.lo, late.hi = late.v, late.v
		late.in = []Input{{Name: "Lowering on arrival, late value", Text: duration(e.Clock.Drain.Late)}}
		plan = sum(plan, late)
		v.Low = e.Clock.Drain.Late
	}
	v.Mean = figure(key+".mean", v.Name+": mean", "", UnitSeconds, average)
	v.Mean.Formula = "sum of the tasks' means"
	v.Plan = figure(key+".plan", v.Name+": time planned", "", UnitSeconds, plan)
	v.Plan.Formula = "the " + tenth(float64(c.set.Labour.Quantile)/10) + " % quantile of the same log-normal"
	v.Plan.Source = v.Median.Source
}

// runHas says whether a condition of a conduit is known to hold.
func runHas(run jobs.Subject, when string) bool {
	switch when {
	case "tee":
		return run.Yes("tee") || run.Yes("shared")
	case "long":
		length, ok := run.Base("length")
		return ok && length > 100*umPerFoot
	case "bends":
		bends, ok := run.Base("bend_total")
		return ok && bends > 270_000
	}
	return false
}

// holds says whether a condition of the job holds, and why.
func (c *calc) holds(e Estimate, when string) (bool, string) {
	switch when {
	case "":
		return true, ""
	case "soil":
		site, _ := c.first(jobs.SubjectSite)
		return site.Yes("soil_opened"), "soil will be opened"
	case "circuit":
		place, _ := c.first(jobs.SubjectSupply)
		if place.Choice("protection") == "none" {
			return true, "no ground-fault protection on the circuit"
		}
		return c.circuitShort(e), "the circuit can't carry the supply"
	case "drain":
		way := e.Clock.Way
		return way == jobs.LowByCrewPump || way == jobs.LowByOutlet, "a crew starts the drain"
	case "our_pump":
		way := e.Clock.Way
		return way == "" || way == jobs.LowByCrewPump || way == jobs.LowOnArrival, "our pump lowers the water"
	case "neutraliser":
		d, ok := c.place()
		return !ok || !d.No("neutraliser"), "the water may have to be freed of chlorine"
	case "open_up":
		for _, conduit := range e.Conduits {
			if _, _, open, ok := conduit.chances(); ok && open >= 100 && served(e, conduit.Conduit) {
				return true, "a conduit may have to be opened up"
			}
		}
	case "permit":
		return !c.ask.NoPermit, "a permit is taken to be needed until the authority says otherwise"
	}
	return false, ""
}
