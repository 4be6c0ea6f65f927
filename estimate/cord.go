package estimate

import "ebbline/jobs"

// Cord is the light-and-cord set of one position. Cords come fixed to the light
// and may not be spliced under water or in a conduit: one too short means a new
// order.
type Cord struct {
	Position   string     `json:"position"`
	Name       string     `json:"name"`
	Body       string     `json:"body"`
	Conduit    string     `json:"conduit,omitempty"`
	Zone       int        `json:"zone"`
	Run        Figure     `json:"run"`
	Needed     Figure     `json:"needed"`
	Order      Figure     `json:"order"`                // factory length
	Alternates []int64    `json:"alternates,omitempty"` // µm: shorter sets that may do once the run is measured
	Cost       jobs.Cents `json:"cost"`                 // of the set in Order; 0 while that is not known
	Volts      Figure     `json:"volts"`                // at the light

	needed num
}

// cord computes one position's cord.
func (c *calc) cord(pos jobs.Subject) Cord {
	cord := Cord{Position: pos.ID, Name: pos.Label(), Body: pos.Of, Zone: 1}
	run, margin := c.run(pos, &cord)
	cord.Run = figure("cord.run", "Run along the conduit", pos.ID, UnitLength, run)
	cord.Run.Margin = margin
	s := c.set.Cord
	supply := fixed(float64(s.Supply))
	if place, ok := c.first(jobs.SubjectSupply); ok {
		if extra := c.read(place, "cord_fixed"); extra.ok {
			supply = sum(supply, extra)
		}
	}
	needed := sum(run.then(cord.Run).times(1+float64(s.Spare)/1000), fixed(float64(s.Wall)), supply)
	cord.Needed = figure("cord.needed", "Cord needed", pos.ID, UnitLength, needed)
	cord.Needed.Formula = "run + " + tenth(float64(s.Spare)/10) + " % + " + show(s.Wall, UnitLength) + " at the wall + " + show(s.Supply, UnitLength) + " at the supply"
	cord.Needed.Source = "common practice, no source"
	cord.Needed.Margin = "the fitting must allow the light to be lifted to the deck (" + c.set.Supply.Edition + ", 680.23(B)(6)) where that rule applies"
	cord.needed = needed.then(cord.Needed)
	c.order(&cord)
	return cord
}

// run is the length of the conduit that joins the position to the supply.
func (c *calc) run(pos jobs.Subject, cord *Cord) (num, string) {
	at := c.survey.ConduitsAt(pos.ID)
	if len(at) == 0 {
		return unknown(Miss{Subject: pos.ID, Text: pos.Label() + ": which conduit serves it"}), ""
	}
	run := at[0]
	positions, supplied := 0, false
	for _, candidate := range at {
		n, s := c.ends(candidate)
		if s || candidate.ID == at[0].ID {
			run, positions, supplied = candidate, n, s
		}
		if s {
			break
		}
	}
	cord.Conduit = run.ID
	if !supplied {
		return unknown(Miss{Subject: run.ID, Text: run.Label() + ": whether it ends at the supply place"}), ""
	}
	margin := ""
	if positions > 1 {
		margin = "shared by " + plural(positions, "light") + ": the whole length is taken for each, the safe side"
	}
	return c.read(run, "length"), margin
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

// order picks the shortest factory length that is surely long enough.
func (c *calc) order(cord *Cord) {
	pick := unknown(Miss{Text: "A light from the catalogue"})
	if c.lit {
		pick = gather(cord.needed)
	}
	if pick.ok {
		pick = unknown(Miss{Subject: cord.Position, Text: cord.Name + ": a set longer than the catalogue has, or a nearer supply place"})
		for _, set := range c.light.Sets {
			if set.Length >= round(cord.needed.hi) {
				pick = fixed(float64(set.Length), cord.Needed.input())
				cord.Cost = set.Cost
				break
			}
			if set.Length >= round(cord.needed.lo) {
				cord.Alternates = append(cord.Alternates, set.Length)
			}
		}
	}
	cord.Order = figure("cord.order", "Factory length to order", cord.Position, UnitLength, pick)
	cord.Order.Formula = "the shortest factory length at or above the high end of what is needed"
	cord.Order.Source = "catalogue, " + c.light.Name
	if len(cord.Alternates) > 0 {
		cord.Order.Margin = "measured dry, a shorter set may do: "
		for i, length := range cord.Alternates {
			if i > 0 {
				cord.Order.Margin += ", "
			}
			cord.Order.Margin += show(length, UnitLength)
		}
	}
}
