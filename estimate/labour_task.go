package estimate

import (
	"slices"
	"sort"

	"ebbline/jobs"
)

// tasks turns a rule into tasks with times and conditions: none when it does
// not apply, several when its lights differ.
func (c *calc) tasks(e Estimate, rule TaskRule, lack *num) []timedTask {
	base := Task{Key: rule.Key, Name: rule.Name, Best: rule.Best, Usual: rule.Usual, Worst: rule.Worst, Dry: rule.Dry}
	tug, ofLight := cutTug(rule.When)
	if !ofLight {
		if yes, _ := c.holds(e, rule.When); !yes {
			return nil
		}
	}
	switch rule.Each {
	case "zone":
		base.Times = max(len(e.Supply.Zones), c.ask.Zones)
	case "body":
		for _, w := range e.Bodies {
			if w.Lowered {
				base.Times++
			}
		}
		base.Times--
	case "light":
		return c.lightTasks(e, base, rule, tug, ofLight, lack)
	default:
		base.Times = 1
	}
	if base.Times <= 0 {
		return nil
	}
	return []timedTask{once(base)}
}

// lightTasks groups the lights that share the same conditions. How a pull turns
// out is shared by all cords of a conduit: they go all at once or not at all.
func (c *calc) lightTasks(e Estimate, base Task, rule TaskRule, tug string, ofLight bool, lack *num) []timedTask {
	n, _, missing := c.lights()
	if len(missing) > 0 {
		*lack = gather(*lack, unknown(missing...))
		return nil
	}
	if len(e.Cords) == 0 {
		if base.Times = n; n == 0 || ofLight && tug != tugUnknown {
			return nil
		}
		return []timedTask{once(base)}
	}
	var tasks []timedTask
	for i, cord := range e.Cords {
		times := 1
		if cord.Conduit != "" {
			if times = cordsIn(e.Cords, i); times == 0 {
				continue // counted with the conduit's first
			}
		}
		run, _ := c.survey.Subject(cord.Conduit)
		t := base
		t.Times = times
		part := int64(1000)
		for _, f := range c.set.Labour.Factors {
			if f.Task == t.Key && runHas(run, f.When) {
				part = part * f.Part / 1000
				if t.Why != "" {
					t.Why += "; "
				}
				t.Why += f.Why
			}
		}
		t.Best, t.Usual, t.Worst = t.Best*part/1000, t.Usual*part/1000, t.Worst*part/1000
		one := once(t)
		if ofLight {
			chance := c.pullChance(e, cord, tug)
			if chance == 0 {
				continue
			}
			if chance < 1000 {
				one = c.mixed(e, cord, rule, one, chance, part)
			}
		}
		tasks = addTask(tasks, one)
	}
	return tasks
}

// mixed weights a task by its chance. Its part of the mixture's variance is the
// variance within it and how far its mean lies from the mean of all, by the law
// of total variance; the latter is shared by all cords of the conduit.
func (c *calc) mixed(e Estimate, cord Cord, rule TaskRule, t timedTask, chance, part int64) timedTask {
	p, k := float64(chance)/1000, float64(t.Times)
	mean := 0.0
	for _, other := range c.set.Labour.Tasks {
		if tug, ok := cutTug(other.When); ok && other.Visit == rule.Visit && other.Key == rule.Key {
			m, _ := pert(float64(other.Best*part/1000), float64(other.Usual*part/1000), float64(other.Worst*part/1000))
			mean += float64(c.pullChance(e, cord, tug)) / 1000 * m
		}
	}
	apart := t.mean/k - mean
	t.Chance = chance
	t.mean, t.variance = p*t.mean, p*t.variance+p*k*k*apart*apart
	return t
}

// addTask adds a task to one with the same times and conditions. Where both are
// only likely, the chance of the joined one is their mean.
func addTask(tasks []timedTask, t timedTask) []timedTask {
	for i, have := range tasks {
		if have.Why == t.Why && have.Usual == t.Usual && have.Worst == t.Worst && (have.Chance > 0) == (t.Chance > 0) {
			all := int64(have.Times + t.Times)
			tasks[i].Chance = divide(have.Chance*int64(have.Times)+t.Chance*int64(t.Times), all)
			tasks[i].Times = int(all)
			tasks[i].mean += t.mean
			tasks[i].variance += t.variance
			return tasks
		}
	}
	return append(tasks, t)
}

// cordsIn counts the cords of the conduit of cord i; 0 when an earlier one is in
// it too.
func cordsIn(cords []Cord, i int) int {
	n := 0
	for j, other := range cords {
		if other.Conduit == cords[i].Conduit {
			if j < i {
				return 0
			}
			n++
		}
	}
	return n
}

// drivers names the three largest causes of a visit's uncertainty and, when it
// counts, the day's shared factor.
func (c *calc) drivers(v Visit) []Driver {
	day := int64(0)
	if v.Spread > 0 {
		day = c.set.Labour.DayFactor * c.set.Labour.DayFactor * 1000 / (v.Spread * v.Spread)
	}
	var list []Driver
next:
	for _, t := range v.Tasks {
		part := t.Part * (1000 - day) / 1000
		for i := range list {
			if list[i].Name == t.Name {
				list[i].Part += part
				continue next
			}
		}
		list = append(list, Driver{t.Name, part})
	}
	list = slices.DeleteFunc(list, func(d Driver) bool { return d.Part < 50 })
	if day >= 50 {
		list = append(list, Driver{"The day itself: weather, access", day})
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Part > list[j].Part })
	return list[:min(len(list), 3)]
}

func cutTug(when string) (tug string, ok bool) {
	const mark = "tug="
	if len(when) > len(mark) && when[:len(mark)] == mark {
		return when[len(mark):], true
	}
	return "", false
}

// tugOf groups tug results by what they mean for the pull.
func tugOf(run jobs.Subject) string {
	switch tug := run.Choice("tug"); tug {
	case "":
		return tugUnknown
	case jobs.TugBroken:
		return jobs.TugStuck
	default:
		return tug
	}
}

// pullChance is the chance, in thousandths, that a cord's pull turns out as the
// tug class says. A cord through several conduits moves as easily as the worst
// of them. Where a conduit's chances are not known, the tug test of the one at
// the light decides.
func (c *calc) pullChance(e Estimate, cord Cord, tug string) int64 {
	easy, possible, known := 1000.0, 1000.0, false
	for i := range e.Conduits {
		if !cord.Through(e.Conduits[i].Conduit) {
			continue
		}
		if pull, help, _, ok := e.Conduits[i].chances(); ok {
			easy, possible, known = easy*float64(pull)/1000, possible*float64(pull+help)/1000, true
		}
	}
	if !known {
		run, _ := c.survey.Subject(cord.Conduit)
		if tugOf(run) == tug {
			return 1000
		}
		return 0
	}
	switch tug {
	case jobs.TugMoves:
		return round(easy)
	case jobs.TugMovesHard:
		return round(possible) - round(easy)
	case jobs.TugStuck:
		return 1000 - round(possible)
	}
	return 0
}
