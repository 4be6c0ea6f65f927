package desk

import (
	"fmt"
	"strings"
	"time"

	"ebbline/estimate"
	"ebbline/jobs"
)

// Spec is a prefilled figure with how it is known.
type Spec struct {
	Label string
	Value string
	Known string // how: read, told, looked up; empty where that does not apply
	Warn  string
}

// specsOf lists what a crew must know at a pool, from the kept estimate, the
// survey and what was handed out of its water. No prices.
func specsOf(e *estimate.Estimate, s jobs.Survey, drain *jobs.Drain, zone *time.Location) []Spec {
	var list []Spec
	if e != nil {
		for _, c := range e.Cords {
			list = append(list, cordSpec(c))
		}
		list = append(list, supplySpecs(e.Supply)...)
	} else {
		list = append(list, Spec{Label: "Light-and-cord lengths", Value: estimate.NotKnown, Warn: "no estimate was kept for this job"})
	}
	list = append(list, circuitSpecs(s)...)
	return append(list, waterSpecs(e, drain, zone)...)
}

func cordSpec(c estimate.Cord) Spec {
	sp := figureSpec("Light-and-cord, "+c.Name, c.Order)
	if c.Order.Known {
		sp.Value += " set, run " + c.Run.Text
	}
	sp.Known = weakest(c.Run.Inputs)
	if c.Zone > 0 {
		sp.Value += fmt.Sprintf(", zone %d", c.Zone)
	}
	return sp
}

func figureSpec(label string, f estimate.Figure) Spec {
	sp := Spec{Label: label, Value: f.Text}
	if !f.Known {
		sp.Value = estimate.NotKnown
		if len(f.Missing) > 0 {
			sp.Warn = "find out first: " + f.Missing[0].Text
		}
	}
	return sp
}

// weakest is how the least certain of the inputs is known, where the survey
// says so of any.
func weakest(in []estimate.Input) string {
	found := ""
	for _, i := range in {
		switch i.Known {
		case "":
		case jobs.KnownRead:
			if found == "" {
				found = string(i.Known)
			}
		default:
			found = string(i.Known)
		}
	}
	return found
}

func supplySpecs(s estimate.Supply) []Spec {
	if s.Name == "" {
		return []Spec{{Label: "Supply", Value: estimate.NotKnown}}
	}
	list := []Spec{{Label: "Supply", Value: s.Name}, figureSpec("Tap", s.Tap)}
	for _, z := range s.Zones {
		list = append(list, Spec{Label: fmt.Sprintf("Zone %d", z.Number), Value: lights(z.Lights)})
	}
	return list
}

// circuitSpecs are where the power comes from and how it goes off.
func circuitSpecs(s jobs.Survey) []Spec {
	var list []Spec
	for _, sub := range s.OfKind(jobs.SubjectSupply) {
		for _, name := range []string{"breaker_place", "circuit_breaker", "circuit_voltage", "protection", "switched"} {
			spec, ok := jobs.FieldOf(jobs.SubjectSupply, name)
			if !ok {
				continue
			}
			v, known := sub.Value(name)
			if !known {
				list = append(list, Spec{Label: spec.Label, Value: estimate.NotKnown, Warn: "find it before anything is opened"})
				continue
			}
			list = append(list, Spec{Label: spec.Label, Value: strings.ReplaceAll(spec.Show(v), "_", " "), Known: string(v.Known)})
		}
	}
	return list
}

func waterSpecs(e *estimate.Estimate, drain *jobs.Drain, zone *time.Location) []Spec {
	var list []Spec
	if e != nil {
		for _, w := range e.Bodies {
			if !w.Lowered {
				continue
			}
			sp := figureSpec("Planned low level, "+w.Name, w.Working)
			if w.Working.Known {
				sp.Value = jobs.FeetInches(w.Working.Value) + " below the tile line"
			}
			sp.Known = weakest(w.Working.Inputs)
			list = append(list, sp)
		}
	}
	if drain == nil {
		return list
	}
	for _, at := range []struct {
		label string
		at    time.Time
	}{{"Low by, surely", drain.LowLateAt}, {"Must be covered by", drain.LimitAt}} {
		if !at.at.IsZero() {
			list = append(list, Spec{Label: at.label, Value: at.at.In(zone).Format("Mon Jan 2, 3:04 pm")})
		}
	}
	return list
}

// lowLevel is the planned low level of a job's main body, in micrometres below
// the tile line; false: not known.
func lowLevel(e *estimate.Estimate) (int64, bool) {
	if e == nil {
		return 0, false
	}
	for _, w := range e.Bodies {
		if w.Lowered && w.Working.Known {
			return w.Working.Value, true
		}
	}
	return 0, false
}

// cautionsOf are the dangers of a job, with the line that every sheet carries.
func cautionsOf(e *estimate.Estimate) []string {
	list := []string{estimate.Safety}
	if e != nil {
		for _, c := range e.Cautions {
			list = append(list, strings.TrimSuffix(c.Text, ".")+": "+c.Why)
		}
	}
	return list
}
