package dispatch

import (
	"slices"

	"ebbline/dispatch/check"
	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// Rolled is what is to be expected of a plan as things stand.
type Rolled struct {
	// Plan has the orders of the plan that was handed out and the times to be expected now.
	// It passes the checker if Limits is empty; its cost is the checker's in any case.
	Plan *week.Plan `json:"plan"`
	// Stops that have not begun, in the order of their expected starts.
	Stops []RolledStop `json:"stops"`
	// Late are the promises that the expected times do not keep, latest first.
	Late []LatePromise `json:"late"`
	// Overtime are the crews' days that run past their shift.
	Overtime []RolledOvertime `json:"overtime"`
	// Water are the pools that are not low, or not covered again, when their crew is there.
	Water []RolledWater `json:"water"`
	// Lunches that move, or that no longer fit into their hours.
	Lunches []RolledLunch `json:"lunches"`
	// NoCrew are visits of the plan whose crew's day is no longer in the week.
	NoCrew []string `json:"no_crew"`
	// Limits are the rules that the orders can't keep any more, and by how much.
	Limits []Limit `json:"limits"`
}

// RolledStop is a stop with its planned and its expected times, in seconds of the week.
type RolledStop struct {
	Tour    string `json:"tour"`
	Visit   string `json:"visit"`
	Planned int64  `json:"planned"` // start
	Arrive  int64  `json:"arrive"`
	Start   int64  `json:"start"`
	End     int64  `json:"end"`
	// Waits is how long the crew stands at the place before it can start, beyond what was
	// planned; For says for what.
	Waits int64  `json:"waits,omitempty"`
	For   string `json:"for,omitempty"`
}

// RolledOvertime is a crew's day that runs past its shift, in seconds.
type RolledOvertime struct {
	Tour    string `json:"tour"`
	Seconds int64  `json:"seconds"`
	Planned int64  `json:"planned"`
	// Past is by how much it returns after the last overtime it may have; 0: it does not.
	Past int64 `json:"past,omitempty"`
}

// RolledWater is a pool that is not as a visit needs it when the crew could start.
type RolledWater struct {
	Job   string `json:"job"`
	Visit string `json:"visit"`
	Tour  string `json:"tour"`
	// Need is week.NeedLow or week.NeedCovered; Ready is when it is so.
	Need  string `json:"need"`
	Ready int64  `json:"ready"`
	// By is how long the crew stands there for it, in seconds.
	By int64 `json:"by"`
}

// RolledLunch is a lunch whose begin moves.
type RolledLunch struct {
	Tour    string `json:"tour"`
	Planned int64  `json:"planned"`
	Start   int64  `json:"start"`
	// Past is by how much it begins after the hours it may begin in; 0: inside them.
	Past int64 `json:"past,omitempty"`
}

// Roll times a plan that was handed out anew as things stand: w holds what has begun with
// its real times, what the water is now known to do, and as T0 the present instant. Tours
// and orders are kept, and nothing starts before it was planned to: what a crew gains it
// has in hand. There are always times. Where the orders leave none that keep the hard
// rules, Limits says which one breaks and by how much, and the times are those that come
// if it is passed over. The error is that of an invalid week.
func Roll(w *week.Week, p *week.Plan) (*Rolled, error) {
	if err := w.Validate(); err != nil {
		return nil, err
	}
	free := map[string]bool{} // jobs whose later visits do not push their earlier ones
	for {
		q, noCrew := search.Roll(w, p, free)
		rep := check.Plan(w, q)
		q.Cost = rep.Cost
		if more := letGo(w, q, rep, free); more {
			continue
		}
		r := newRolling(w, p, q).says()
		r.NoCrew, r.Limits = append(r.NoCrew, noCrew...), limits(rep)
		return r, nil
	}
}

// letGo adds to free the jobs that a broken rule is about, or that have a stop on a
// crew's day that it is about: a visit that was moved later for the sake of another may
// be what breaks it. It reports whether there were any more.
func letGo(w *week.Week, p *week.Plan, rep check.Report, free map[string]bool) bool {
	ix, more := week.NewIndex(w), false
	add := func(job string) {
		if job != "" && !free[job] {
			free[job], more = true, true
		}
	}
	for _, b := range slices.Concat(rep.Broken, rep.Excused) {
		switch b.Rule {
		case check.RuleCost, check.RuleStated, check.RulePlaced, check.RuleForm:
			continue
		}
		add(b.Job)
		if at, ok := ix.Visit[b.Visit]; ok {
			add(w.Jobs[at.Job].ID)
		}
		for i := range p.Tours {
			for k := 0; p.Tours[i].Tour == b.Tour && k < len(p.Tours[i].Stops); k++ {
				add(w.Jobs[ix.Visit[p.Tours[i].Stops[k].Visit].Job].ID)
			}
		}
	}
	return more
}
