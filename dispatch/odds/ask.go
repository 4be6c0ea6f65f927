package odds

// Ask says how a plan is to be tried.
type Ask struct {
	// Seed of the streams; the same seed gives the same answer.
	Seed int64
	// Runs is how often the week is lived through; 0: [UsualRuns].
	Runs int
	// Policy of the crews; its zero fields stand for [UsualPolicy]'s.
	Policy Policy
	// Want is the chance in permille for which [Promise.Short] and [Pool.Short] are told;
	// 0: 900.
	Want int64
	// Cores that may work at once; 0: one. The answer does not depend on it.
	Cores int
}

// UsualRuns bounds the standard error of a share by 16 permille.
const UsualRuns = 1000

// MostRuns is the most runs that may be asked for.
const MostRuns = 20_000

// Policy is how the crews live through a week that does not go as planned. They make the
// stops of their day in the planned order, begin the day when the plan says, and go on to
// the next stop as soon as they are free, earlier than planned too. But:
//
//   - Where a customer was promised a window they don't start before the window opens (or
//     the planned start, if that is even earlier), and where a start was handed out, not
//     before it. Pinned starts, not-befores and hours of access are kept; a closure is
//     waited out. Hours of access and closures give way by GraceSeconds.
//   - A crew that finds the water not ready (or the visit before not done, or the place
//     shut) waits for up to WaitSeconds from its arrival or the planned start, whichever
//     is later. If it waited in vain, it makes the next later stop of its day that can
//     start then in its place and comes back to this one at that stop's turn; if there is
//     none, the visit fails for the day, and so does what needs it done. Nobody drives to
//     what needs a stop that was put off and is still to come: another is made at once.
//   - Two crews that must start together wait for each other; such stops are not swapped.
//   - Nothing is started after the crew's latest return (overtime_to): it fails.
//   - Lunch is taken at its planned place among the stops: once the crew is there and its
//     hours have begun, and late rather than not at all.
//   - A customer is called when the crew that sets out to him expects to come later than
//     the promised window's end by more than CallSeconds, or not at all. A promise that the
//     plan itself breaks so is a call, too.
//
// Not lived through: pumps that a changed order would lack, material, customers who never
// start a drain, sickness and storms that are not in the week. Lunch falls due where the
// plan has one.
type Policy struct {
	// WaitSeconds is how long a crew waits at the most for what a visit needs.
	WaitSeconds int64 `json:"wait_seconds"`
	// CallSeconds is by how much a promise must be expected to be missed for a call.
	CallSeconds int64 `json:"call_seconds"`
	// GraceSeconds is by how much hours of access and closures give way to a crew that
	// is late.
	GraceSeconds int64 `json:"grace_seconds"`
	// NoSwaps lets a visit fail at once where the crew waited in vain.
	NoSwaps bool `json:"no_swaps,omitempty"`
}

// UsualPolicy waits for 45 minutes, calls from 15 minutes on and counts on 30 minutes of
// grace (common practice, no source). A negative field of a policy stands for 0.
func UsualPolicy() Policy { return Policy{WaitSeconds: 2700, CallSeconds: 900, GraceSeconds: 1800} }

// filled puts the usual values where nothing was said, and 0 for what is negative.
func (p Policy) filled() Policy {
	usual := UsualPolicy()
	for _, f := range []struct {
		is    *int64
		usual int64
	}{{&p.WaitSeconds, usual.WaitSeconds}, {&p.CallSeconds, usual.CallSeconds}, {&p.GraceSeconds, usual.GraceSeconds}} {
		if *f.is == 0 {
			*f.is = f.usual
		}
		*f.is = max(*f.is, 0)
	}
	return p
}
