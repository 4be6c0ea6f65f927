package estimate

import (
	"fmt"
	"strings"

	"ebbline/jobs"
)

// Cord is the light-and-cord set of one position. Cords come fixed to the light
// and may not be spliced under water or in a conduit: one too short means a new
// order.
type Cord struct {
	Position   string     `json:"position"`
	Name       string     `json:"name"`
	Body       string     `json:"body"`
	Conduit    string     `json:"conduit,omitempty"` // at the position
	Chain      []string   `json:"chain,omitempty"`   // all conduits to the supply, from the position on, where there are several
	Light      string     `json:"light,omitempty"`   // its key in the catalogue
	Zone       int        `json:"zone"`
	Run        Figure     `json:"run"`
	Slack      Figure     `json:"slack"` // left at the wall
	Needed     Figure     `json:"needed"`
	Order      Figure     `json:"order"`                // factory length
	Alternates []int64    `json:"alternates,omitempty"` // µm: shorter sets that may do once the run is measured
	Cost       jobs.Cents `json:"cost"`                 // of the set in Order; 0 while that is not known
	Volts      Figure     `json:"volts"`                // at the light

	needed num
}

// Through says whether the cord runs through a conduit.
func (c Cord) Through(conduit string) bool {
	if c.Conduit == conduit {
		return true
	}
	for _, id := range c.Chain {
		if id == conduit {
			return true
		}
	}
	return false
}

// cord computes one position's cord.
func (c *calc) cord(pos jobs.Subject) Cord {
	cord := Cord{Position: pos.ID, Name: pos.Label(), Body: pos.Of, Zone: 1}
	if c.lit {
		cord.Light = c.light.Key
	}
	run, margin := c.run(pos, &cord)
	cord.Run = figure("cord.run", "Run along the conduit", pos.ID, UnitLength, run)
	cord.Run.Margin = margin
	if len(cord.Chain) > 0 {
		cord.Run.Formula = "the lengths of the conduits from the light to the supply, added up"
	}
	slack := c.slack(pos, &cord)
	s := c.set.Cord
	supply := fixed(float64(s.Supply))
	if place, ok := c.first(jobs.SubjectSupply); ok {
		if extra := c.read(place, "cord_fixed"); extra.ok {
			supply = sum(supply, extra)
		}
	}
	needed := sum(run.then(cord.Run).times(1+float64(s.Spare)/1000), slack.then(cord.Slack), supply)
	cord.Needed = figure("cord.needed", "Cord needed", pos.ID, UnitLength, needed)
	cord.Needed.Formula = "run + " + tenth(float64(s.Spare)/10) + " % + what stays at the wall + " + show(s.Supply, UnitLength) + " at the supply, and what the supply place asks beyond"
	cord.Needed.Source = "common practice, no source"
	cord.Needed.Margin = "one cord from light to supply: no splice under water or in the conduit"
	cord.needed = needed.then(cord.Needed)
	c.order(&cord, run)
	return cord
}

// slack is the cord that stays at the wall: the usual foot, or as much as lets
// the light be lifted to the deck, whichever is more.
func (c *calc) slack(pos jobs.Subject, cord *Cord) num {
	s := c.set.Cord
	reach := sum(c.read(pos, "depth"), fixed(float64(s.DeckAboveTile)), fixed(float64(s.OnDeck)))
	slack := greatest(fixed(float64(s.Wall)), reach)
	cord.Slack = figure("cord.slack", "Cord left at the wall", pos.ID, UnitLength, slack)
	cord.Slack.Formula = "the longer of " + show(s.Wall, UnitLength) + " and the way up to the deck: depth + " + show(s.DeckAboveTile, UnitLength) + " from the tile line to the deck + " + show(s.OnDeck, UnitLength) + " on it"
	cord.Slack.Source = "common practice, no source; the way to the deck " + c.set.Supply.Edition + ", 680.23(B)(6)"
	return slack
}

// run is the length of the conduits that join the position to the supply.
func (c *calc) run(pos jobs.Subject, cord *Cord) (num, string) {
	at := c.survey.ConduitsAt(pos.ID)
	if len(at) == 0 {
		return unknown(Miss{Subject: pos.ID, Text: pos.Label() + ": which conduit serves it"}), ""
	}
	chain := c.chain(at)
	if chain == nil {
		cord.Conduit = at[0].ID
		return unknown(Miss{Subject: at[0].ID, Text: at[0].Label() + ": whether it ends at the supply place"}), ""
	}
	cord.Conduit = chain[0].ID
	var margins []string
	lengths := make([]num, len(chain))
	for i, conduit := range chain {
		if len(chain) > 1 {
			cord.Chain = append(cord.Chain, conduit.ID)
		}
		var drawn bool
		if lengths[i], drawn = c.along(conduit); drawn {
			margins = append(margins, conduit.Label()+" is taken from the drawing, as if told; what goes down and up again is not in it")
		}
		if n, _ := c.ends(conduit); n > 1 {
			margins = append(margins, "shared by "+plural(n, "light")+": the whole length is taken for each, the safe side")
		} else if i > 0 {
			margins = append(margins, conduit.Label()+" is a trunk that others join: its whole length is taken, the safe side")
		}
	}
	return sum(lengths...), strings.Join(margins, "; ")
}

// chain is the way from a position's conduits to the supply with the fewest
// conduits, in the survey's order where several are as short; nil where none
// leads there. A conduit goes on into another where one has the other as an end.
func (c *calc) chain(at []jobs.Subject) []jobs.Subject {
	var all []jobs.Subject
	var before map[string]string
	queue := at
	for i := 0; i < len(queue); i++ {
		run := queue[i]
		if _, supplied := c.ends(run); supplied {
			chain := []jobs.Subject{run}
			for id, ok := before[run.ID]; ok && id != ""; id, ok = before[id] {
				sub, _ := c.survey.Subject(id)
				chain = append([]jobs.Subject{sub}, chain...)
			}
			return chain
		}
		if before == nil {
			all, before = c.survey.OfKind(jobs.SubjectConduit), map[string]string{}
			for _, first := range at {
				before[first.ID] = ""
			}
			queue = append([]jobs.Subject{}, at...)
		}
		for _, next := range all {
			if _, seen := before[next.ID]; !seen && (hasEnd(run, next.ID) || hasEnd(next, run.ID)) {
				before[next.ID] = run.ID
				queue = append(queue, next)
			}
		}
	}
	return nil
}

func hasEnd(run jobs.Subject, id string) bool {
	for _, end := range run.Ends {
		if end == id {
			return true
		}
	}
	return false
}

// ends counts the light positions of a conduit and says whether it reaches the
// supply.
func (c *calc) ends(run jobs.Subject) (positions int, supplied bool) {
	for _, id := range run.Ends {
		end, _ := c.survey.Subject(id)
		switch end.Kind {
		case jobs.SubjectPosition:
			positions++
		case jobs.SubjectSupply:
			supplied = true
		}
	}
	return positions, supplied
}

// order picks the shortest factory length that is surely long enough. Shorter
// ones that may do are named while the run is only told or read: what somebody
// measured is not measured again to save a few feet.
func (c *calc) order(cord *Cord, run num) {
	pick := unknown(Miss{Text: "A light from the catalogue"})
	loose := false
	for _, in := range run.in {
		loose = loose || in.Known == jobs.KnownTold || in.Known == jobs.KnownRead
	}
	if c.lit {
		pick = gather(cord.needed)
	}
	if pick.ok {
		most, longest := round(cord.needed.hi), int64(0)
		pick = num{}
		for _, set := range c.light.Sets {
			longest = max(longest, set.Length)
			if set.Length >= most {
				pick = fixed(float64(set.Length), cord.Needed.input())
				cord.Cost = set.Cost
				break
			}
			if loose && set.Length >= round(cord.needed.lo) {
				cord.Alternates = append(cord.Alternates, set.Length)
			}
		}
		if !pick.ok {
			pick = unknown(Miss{Subject: cord.Position, Text: fmt.Sprintf("%s: up to %s of cord is needed and the catalogue's longest set has %s: a longer set, or a nearer supply place", cord.Name, show(most, UnitLength), show(longest, UnitLength))})
		}
	}
	cord.Order = figure("cord.order", "Factory length to order", cord.Position, UnitLength, pick)
	cord.Order.Formula = "the shortest factory length at or above the high end of what is needed"
	cord.Order.Source = "catalogue, " + c.light.Name
	if len(cord.Alternates) > 0 {
		names := make([]string, len(cord.Alternates))
		for i, length := range cord.Alternates {
			names[i] = show(length, UnitLength)
		}
		cord.Order.Margin = "the run is only told or read; once it is measured a shorter set may do: " + strings.Join(names, ", ")
	}
}
