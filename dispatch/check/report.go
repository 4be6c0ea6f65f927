// Package check is the independent checker of week plans. It takes the order of
// stops, every start, departure, lunch, told interval and morning load as given,
// tests every rule of the problem by substitution, names each one that is broken, and
// adds up the cost. It never searches for a time, shares no code with the search, and
// imports only the problem's types. It is slow and plain on purpose.
package check

import "ebbline/dispatch/week"

// Names of the rules.
const (
	RuleForm       = "form"        // ids, lists and versions of the plan itself
	RuleBegun      = "begun"       // what has begun is repeated as it was
	RulePlaced     = "placed"      // a job is in the plan as a whole, or left out
	RuleOwed       = "owed"        // what may be left for after the horizon
	RuleBeforeNow  = "before_now"  // nothing decided lies before t0
	RuleHorizon    = "horizon"     // every visit lies inside the horizon
	RuleDrive      = "drive"       // leaving, driving and arriving fit together
	RuleWork       = "work"        // a visit starts after arriving and takes its seconds
	RuleShift      = "shift"       // departure and return lie inside shift and overtime
	RuleCrew       = "crew"        // a crew is in one place at a time
	RuleLunch      = "lunch"       // lunch is taken when due, where it may be
	RuleSkills     = "skills"      // the crew can do the visit
	RulePeople     = "people"      // the crew is large enough
	RuleAllowed    = "allowed"     // the visit's allowed spans
	RuleNotBefore  = "not_before"  // the job's hard limits
	RuleNotAfter   = "not_after"   //
	RuleClosure    = "closure"     // nothing happens at a closed place
	RulePin        = "pin"         // what the dispatcher fixed
	RuleChain      = "chain"       // the order of a job's visits
	RuleLink       = "link"        // times between a job's visits
	RuleLow        = "low"         // not before the pool is surely low
	RuleCovered    = "covered"     // not before the lights are under water
	RuleLowLimit   = "low_limit"   // covered again in time
	RuleArrival    = "arrival"     // draining on arrival
	RuleTold       = "told"        // the interval that the customer is told
	RuleTruck      = "truck"       // pumps on the truck
	RuleLoad       = "load"        // the morning load
	RuleStock      = "stock"       // pumps of a home on a day
	RuleRoom       = "room"        // material that the truck takes
	RuleCollect    = "collect"     // who collects a pump, and when
	RulePumpOut    = "pump_out"    // no pump is left out for nothing
	RuleRuleBreaks = "rule_breaks" // the plan's list of breaks
	RuleStated     = "stated"      // figures that the plan states beside its decisions
	RuleCost       = "cost"        // the cost by heads
)

// Broken is one rule that a plan breaks. Of Tour, Visit and Job those are set that
// the rule is about.
type Broken struct {
	Rule string `json:"rule"`
	// Break is the kind of the break where the rule may be broken at all (a
	// week.Break constant); empty: hard.
	Break string `json:"break,omitempty"`
	Tour  string `json:"tour,omitempty"`
	Visit string `json:"visit,omitempty"`
	Job   string `json:"job,omitempty"`
	// At is the instant at which it shows; 0 where no instant is meant.
	At int64 `json:"at,omitempty"`
	// By is how much beyond the limit, in Unit ("seconds", "pumps", "people", "litres", "cents").
	By   int64  `json:"by,omitempty"`
	Unit string `json:"unit,omitempty"`
	// Text is a sentence for a dispatcher.
	Text string `json:"text"`
}

// Report is what the checker says of a plan.
type Report struct {
	// Broken are the rules that make the plan wrong.
	Broken []Broken `json:"broken"`
	// Excused are rules broken where something begun or pinned may leave no way,
	// and which the plan itself lists; they are priced.
	Excused []Broken `json:"excused,omitempty"`
	// Cost as added up here, whatever the plan claims.
	Cost week.Cost `json:"cost"`
}

// OK says whether the plan keeps every rule.
func (r Report) OK() bool { return len(r.Broken) == 0 }
