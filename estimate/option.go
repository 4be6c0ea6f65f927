package estimate

import (
	"fmt"
	"strconv"
	"strings"

	"ebbline/jobs"
)

// Option is one way to do the job, beside the others.
type Option struct {
	Key     string `json:"key"` // asked, zones-2, light-…, later-…
	Name    string `json:"name"`
	Ask     Ask    `json:"ask"`   // make the estimate with it to take this option
	Price   Figure `json:"price"` // with tax, of what is done now
	Deposit Figure `json:"deposit"`
	Time    Figure `json:"time"`    // crew time planned, of what is done now
	Saved   Figure `json:"saved"`   // power saved in a year
	Payback Figure `json:"payback"` // months
	// Of an option that leaves lights for later: what those will cost as a job
	// of its own at today's rates, and both together.
	Later    *Figure `json:"later,omitempty"`
	Together *Figure `json:"together,omitempty"`
	// Says are the differences from the first option in words.
	Says []string `json:"says"`
}

// MaxOptions bounds what is set side by side.
const MaxOptions = 10

// Options sets side by side what can be asked: first what was asked, then the
// other number of zones, every other light of the catalogue, and each body of
// water left for later where several have lights.
func Options(survey jobs.Survey, set Settings, ask Ask) []Option {
	o := options{survey: survey, set: set}
	o.first = Make(survey, set, ask)
	first := o.option("asked", "As asked", o.first)
	first.Says = []string{o.describe(o.first)}
	o.list = []Option{first}
	ask = o.first.Ask
	if o.first.Supply.Lights > 1 {
		other := ask
		other.Zones = 3 - ask.Zones
		o.add(fmt.Sprintf("zones-%d", other.Zones), plural(other.Zones, "zone"), other)
	}
	for _, light := range set.Catalogue.Lights {
		if light.Key == o.first.Supply.Light {
			continue
		}
		other := ask
		other.Light = light.Key
		o.add("light-"+light.Key, light.Name, other)
	}
	if lit := litBodies(survey); len(lit) > 1 && len(ask.Later) == 0 {
		for _, body := range lit {
			other := ask
			other.Later = []string{body.ID}
			o.later("later-"+body.ID, body, lit, other)
		}
	}
	return o.list
}

type options struct {
	survey jobs.Survey
	set    Settings
	first  Estimate
	list   []Option
}

func (o *options) describe(e Estimate) string {
	name := "light not in the catalogue"
	if light, ok := o.set.Catalogue.light(e.Ask.Light); ok {
		name = light.Name
	}
	return plural(e.Supply.Lights, "light") + ", " + name + ", " + plural(max(len(e.Supply.Zones), 1), "zone")
}

func (o *options) option(key, name string, e Estimate) Option {
	out := Option{Key: key, Name: name, Ask: e.Ask, Price: e.Price.Total, Deposit: e.Price.Deposit, Saved: e.Energy.Money, Payback: e.Energy.Payback, Says: []string{}}
	n := num{}
	for _, v := range e.Visits {
		if v.Needed {
			n.miss = appendMiss(n.miss, v.Plan.Missing...)
		}
	}
	if seconds, ok := e.PlanSeconds(); ok {
		n = fixed(float64(seconds))
	}
	out.Time = figure("option.time", "Crew time planned", "", UnitSeconds, n)
	out.Time.Formula = "means and variances of the visits add up; their planning quantile"
	return out
}

func (o *options) add(key, name string, ask Ask) {
	if len(o.list) >= MaxOptions {
		return
	}
	e := Make(o.survey, o.set, ask)
	out := o.option(key, name, e)
	out.Says = o.differences(out, e)
	o.list = append(o.list, out)
}

// later leaves a body's lights for a job of its own.
func (o *options) later(key string, body jobs.Subject, lit []jobs.Subject, ask Ask) {
	if len(o.list) >= MaxOptions {
		return
	}
	e := Make(o.survey, o.set, ask)
	out := o.option(key, body.Label()+" later", e)
	rest := ask
	rest.Later, rest.Zones = nil, 1
	for _, other := range lit {
		if other.ID != body.ID {
			rest.Later = append(rest.Later, other.ID)
		}
	}
	then := Make(o.survey, o.set, rest)
	second := then.Price.Total
	second.Key, second.Name = "option.later", "The rest later, at today's rates"
	n := gather(num{ok: out.Price.Known, miss: out.Price.Missing}, num{ok: second.Known, miss: second.Missing})
	both := money("option.together", "Both together", n, jobs.Cents(out.Price.Value+second.Value), "price now + price later")
	out.Later, out.Together = &second, &both
	out.Says = o.differences(out, e)
	if both.Known && o.first.Price.Total.Known {
		out.Says = append(out.Says, fmt.Sprintf("%s now and %s later: %s than all at once, since lowering, trips and permit come twice",
			out.Price.Text, second.Text, more(both.Value-o.first.Price.Total.Value, UnitMoney, "more", "less")))
	}
	if e.Supply.Part != "" && o.first.Supply.Part != "" && e.Supply.Part != o.first.Supply.Part {
		out.Says = append(out.Says, "for all lights the supply would be "+o.first.Supply.Name+": taking it now keeps it from being changed later")
	}
	o.list = append(o.list, out)
}

// differences tells in words what sets an option apart from the first.
func (o *options) differences(out Option, e Estimate) []string {
	says := []string{}
	a, b := o.first, e
	switch {
	case !out.Price.Known && a.Price.Total.Known:
		says = append(says, "its price is "+NotKnown)
	case out.Price.Known && a.Price.Total.Known:
		says = append(says, more(out.Price.Value-a.Price.Total.Value, UnitMoney, "more", "less"))
	}
	before, ok := a.PlanSeconds()
	if after, known := e.PlanSeconds(); ok && known && (after-before >= 300 || before-after >= 300) {
		says = append(says, more(after-before, UnitSeconds, "more crew time", "less crew time"))
	}
	if x, y := len(a.Supply.Zones), len(b.Supply.Zones); x != y && x > 0 && y > 0 {
		if y > x {
			says = append(says, "two groups of lights, switched and coloured apart")
		} else {
			says = append(says, "all lights switched and coloured together")
		}
	}
	if a.Supply.Part != b.Supply.Part && a.Supply.Part != "" && b.Supply.Part != "" {
		says = append(says, b.Supply.Name+" instead of "+a.Supply.Name)
	}
	if x, y := a.Supply.Power, b.Supply.Power; x.Known && y.Known && x.Value != y.Value {
		says = append(says, y.Text+" of light instead of "+x.Text)
	}
	if x, y := a.Supply.Least, b.Supply.Least; x.Known && y.Known && (x.Value-y.Value > 99 || y.Value-x.Value > 99) {
		says = append(says, y.Text+" at the farthest light instead of "+x.Text)
	}
	return append(says, o.checks(a, b)...)
}

// checks names the checks that come out otherwise.
func (o *options) checks(a, b Estimate) []string {
	was := map[string]string{}
	for _, c := range a.Checks {
		was[c.Key+"\x00"+c.About] = c.Result
	}
	says := []string{}
	for _, c := range b.Checks {
		before, ok := was[c.Key+"\x00"+c.About]
		switch {
		case c.Result == Short && before != Short:
			says = append(says, strings.ToLower(c.Name)+" falls short: "+c.Text)
		case ok && c.Result == Holds && before == Short:
			says = append(says, strings.ToLower(c.Name)+" holds, unlike as asked")
		}
	}
	return says
}

func more(v int64, unit Unit, up, down string) string {
	switch {
	case v == 0:
		return "no difference"
	case v < 0:
		return show(-v, unit) + " " + down
	}
	return show(v, unit) + " " + up
}

// litBodies are the bodies of water that have lights.
func litBodies(s jobs.Survey) []jobs.Subject {
	var list []jobs.Subject
	for _, body := range s.OfKind(jobs.SubjectBody) {
		n, _ := body.Base("lights")
		if n > 0 || len(s.On(body.ID, jobs.SubjectPosition)) > 0 {
			list = append(list, body)
		}
	}
	return list
}

// without is the survey of what is done now: the bodies named keep their water
// but no lights, of the positions named their body has fewer, and conduits that
// served only those go.
func without(s jobs.Survey, later []string) jobs.Survey {
	gone := map[string]bool{}
	for _, id := range later {
		gone[id] = true
	}
	out := s
	out.Subjects = nil
	left := map[string]bool{}
	for _, sub := range s.Subjects {
		if sub.Kind == jobs.SubjectPosition && !gone[sub.Of] && !gone[sub.ID] {
			left[sub.ID] = true
		}
	}
	for _, sub := range s.Subjects {
		switch sub.Kind {
		case jobs.SubjectPosition:
			if !left[sub.ID] {
				continue
			}
		case jobs.SubjectConduit:
			serves, stays := 0, false
			for _, end := range sub.Ends {
				if e, _ := s.Subject(end); e.Kind == jobs.SubjectPosition {
					serves++
					stays = stays || left[end]
				}
			}
			if serves > 0 && !stays {
				continue
			}
		case jobs.SubjectBody:
			said, told := sub.Base("lights")
			n := said
			for _, pos := range s.On(sub.ID, jobs.SubjectPosition) {
				if !left[pos.ID] {
					n--
				}
			}
			if n = max(n, 0); gone[sub.ID] {
				n = 0
			}
			if gone[sub.ID] || told && n != said {
				values := make(map[string]jobs.Value, len(sub.Values))
				for k, v := range sub.Values {
					values[k] = v
				}
				values["lights"] = jobs.Value{Text: strconv.FormatInt(n, 10), Base: n, Known: jobs.KnownTold, Note: "converted later"}
				sub.Values = values
			}
		}
		out.Subjects = append(out.Subjects, sub)
	}
	return out
}
