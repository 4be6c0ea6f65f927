package check

import "fmt"

// room wants what a tour's visits take to fit on its truck, where anything is still to
// be decided; what has begun was loaded as well.
func (c *checker) room(t tour) {
	if t.Room == 0 || t.past == len(t.plan.Stops) {
		return
	}
	sum, fullest := int64(0), ""
	for k := range t.plan.Stops {
		v := c.stops[t.plan.Stops[k].Visit].visit
		if sum += v.Room; sum > t.Room && fullest == "" {
			fullest = v.ID
		}
	}
	if sum > t.Room {
		c.note(Broken{Rule: RuleRoom, Tour: t.ID, Visit: fullest, By: sum - t.Room, Unit: "litres",
			Text: fmt.Sprintf("The truck of %s takes %d litres of material; its visits need %d.", c.tourName(t.Tour), t.Room, sum)})
	}
}
