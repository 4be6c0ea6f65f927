package dispatch_test

import (
	"os"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
	"ebbline/web/highs"
)

// near asks for the optimum to half a cent.
var near = map[string]any{"mip_rel_gap": 0, "mip_abs_gap": 0.5, "time_limit": 60}

// timedWeeks are small solved weeks, half of them with storms, promises and pins.
func timedWeeks(t *testing.T, seeds uint64) (list []*week.Week, plans []*week.Plan) {
	t.Helper()
	for seed := range seeds {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 2, Days: 4, Jobs: 9, Plain: seed%2 == 0})
		w.Travel.Periods = nil
		list, plans = append(list, w), append(plans, solved(t, w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 1, NoReasons: true}))
	}
	return list, plans
}

// The times of a plan are the cheapest for its order: an integer program over all
// instants, with tours, orders and lunch places as they are, finds none cheaper. Where
// tours must move together in ways that the search does not try it may find a little.
func TestTimesAreTheCheapestForTheirOrder(t *testing.T) {
	seeds := uint64(6)
	if os.Getenv("EBBLINE_LONG") != "" {
		seeds = 24
	}
	list, plans := timedWeeks(t, seeds)
	var programs []string
	var written []*timesProgram
	for i, w := range list {
		x := newTimesProgram(w, plans[i])
		written, programs = append(written, x), append(programs, x.lp(""))
	}
	cheapest := 0
	for i, a := range highs.Solve(t, near, programs) {
		c := &plans[i].Cost
		is := float64(c.PaidTime + c.Overtime + c.Waiting + c.Late + c.Promises + c.Low)
		best := a.Value + written[i].fixed
		switch {
		case a.Status != "Optimal":
			t.Errorf("seed %d: HiGHS says %s", i, a.Status)
		case is < best-50:
			t.Errorf("seed %d: the plan's times cost %.0f cents, less than the least, %.0f: the program is wrong", i, is, best)
		case is <= best+50: // cents: instants are real numbers in the program
			cheapest++
		case is > best*1.02:
			t.Errorf("seed %d: the plan's times cost %.0f cents, and %.0f would do", i, is, best)
		default:
			t.Logf("seed %d: the plan's times cost %.0f cents, and %.0f would do", i, is, best)
		}
	}
	t.Logf("%d of %d plans have the cheapest times", cheapest, len(list))
	if cheapest*4 < len(list)*3 {
		t.Errorf("only %d of %d plans have the cheapest times", cheapest, len(list))
	}
}

// What a plan says of how far a stop can slip is what the same program finds when it
// starts that stop as late as it can.
func TestSlackIsTheProgramsToo(t *testing.T) {
	list, plans := timedWeeks(t, 1)
	var programs, says []string
	var want []float64
	for i, w := range list {
		if i%2 == 1 {
			continue // with promises, which the program may break
		}
		x := newTimesProgram(w, plans[i])
		for _, pt := range plans[i].Tours {
			for n, s := range pt.Stops {
				if n == 0 {
					programs = append(programs, x.lp(x.start[s.Visit]))
					want, says = append(want, float64(s.Start+*s.Slack)), append(says, s.Visit)
				}
			}
		}
	}
	for i, a := range highs.Solve(t, near, programs) {
		if got := a.Value * 3600; a.Status != "Optimal" || got > want[i]+2 || got < want[i]-2 {
			t.Errorf("%s can start at %.0f by its slack; the program says %.0f (%s)", says[i], want[i], got, a.Status)
		}
	}
	t.Logf("%d stops", len(programs))
}
