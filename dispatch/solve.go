// Package dispatch plans a contractor's week: it searches for a cheap plan, has the
// independent checker test it, says why what was left out does not fit, and lists who
// must be told what when a plan changes.
package dispatch

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"ebbline/dispatch/check"
	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// Options of a run. The plan depends on the week, Seed, Strands and Rounds only; a run
// that its context ends keeps the rounds that were finished.
type Options struct {
	Seed int64
	// Strands are logical searches beside each other; 0: 4. Cores only execute them.
	Strands int
	// Rounds of every strand; 0: until the context ends. Negative: construction only.
	Rounds int
	// Cores that may work at once; 0: as many as there are strands.
	Cores int
	// Start is a plan of the week to search from; nil: what was handed out. The plan
	// that is found depends on it, too.
	Start *week.Plan
	// Progress is told of the best plan so far, between rounds; may be nil.
	Progress func(Progress)
	// NoReasons leaves out why jobs are left out.
	NoReasons bool
}

// Progress is how far a run is.
type Progress = search.Progress

// RefusedError says that a plan did not pass the checker. Such a plan never leaves
// Solve; the error is a fault of the search or a week that nothing can satisfy.
type RefusedError struct {
	// Broken are the rules that the plan breaks.
	Broken []check.Broken
}

func (e *RefusedError) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "no plan keeps every rule (%d broken)", len(e.Broken))
	for i, x := range e.Broken {
		if i == 3 {
			b.WriteString("; ...")
			break
		}
		fmt.Fprintf(&b, "; %s: %s", x.Rule, x.Text)
	}
	return b.String()
}

// Solve plans a valid week (see [week.Week.Validate]). The context bounds the search and
// the reasons: past its end only what must be in is placed, so there is always a plan, if
// need be a poor one, and what was left out is not looked into. Who wants reasons from a
// run that its context ends gives the search a context that ends sooner and calls
// [Explain] with the rest. Every plan that is returned has passed the checker, and costs
// what the checker says, to the cent.
func Solve(ctx context.Context, w *week.Week, o Options) (*week.Plan, error) {
	if err := w.Validate(); err != nil {
		return nil, err
	}
	p, err := search.Run(ctx, w, search.Options{Seed: o.Seed, Strands: o.Strands, Rounds: o.Rounds, Cores: o.Cores, Start: o.Start}, o.Progress)
	if err != nil {
		return nil, err
	}
	if r := check.Plan(w, p); !r.OK() {
		return nil, &RefusedError{Broken: r.Broken}
	}
	if s := o.Start; s != nil && s.Cost.Total < p.Cost.Total && check.Plan(w, s).OK() {
		q := *s // nothing better was found than what it began with
		q.Seed, q.Strands, q.Rounds, q.Undecided = p.Seed, p.Strands, p.Rounds, p.Undecided
		q.LeftOut = slices.Clone(s.LeftOut) // reasons are written into it
		p = &q
	}
	if !o.NoReasons {
		Explain(ctx, w, p)
	}
	return p, nil
}

// AfterSearch is about how long a plan takes from the end of its search until it has left
// [Solve]: its times are polished, it is written down and checked. Who has a deadline ends
// the search so much sooner. Measured at 20,000 visits.
func AfterSearch(w *week.Week) time.Duration {
	visits := 0
	for j := range w.Jobs {
		visits += len(w.Jobs[j].Visits)
	}
	return 5*time.Millisecond + time.Duration(visits)*40*time.Microsecond
}
