package dispatch_test

import (
	"context"
	"fmt"
	"os"
	"testing"
	"time"

	"ebbline/dispatch"
	"ebbline/dispatch/internal/weeks"
)

// TestLook prints how a run goes; by hand, with EBBLINE_LOOK set to crews,days,jobs,seconds.
func TestLook(t *testing.T) {
	var crews, days, jobs, secs int
	if n, _ := fmt.Sscanf(os.Getenv("EBBLINE_LOOK"), "%d,%d,%d,%d", &crews, &days, &jobs, &secs); n != 4 {
		t.Skip("EBBLINE_LOOK is not set")
	}
	sum := int64(0)
	for seed := range uint64(6) {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: crews, Days: days, Jobs: jobs})
		ctx, cancel := context.WithTimeout(context.Background(), time.Duration(secs)*time.Second)
		rounds := 0
		if secs < 0 { // so many rounds
			cancel()
			ctx, cancel, rounds = context.Background(), func() {}, -secs
		}
		start := time.Now()
		last := dispatch.Progress{}
		p := solvedIn(ctx, t, w, dispatch.Options{Seed: 1, Rounds: rounds, NoReasons: true, Progress: func(x dispatch.Progress) {
			if n := x.Round; n == 0 || n&(n-1) == 0 {
				t.Logf("%6.2f s round %d cost %d placed %d/%d iters %d undecided %d", time.Since(start).Seconds(), n, x.CostCents, x.Placed, x.Placed+x.LeftOut, x.Iterations, x.Undecided)
			}
			last = x
		}})
		cancel()
		t.Logf("%6.2f s END round %d iters %d undecided %d: %+v", time.Since(start).Seconds(), last.Round, last.Iterations, last.Undecided, p.Cost)
		sum += p.Cost.Total
	}
	t.Logf("SUM %d", sum)
}
