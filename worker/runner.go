package worker

import (
	"context"
	"errors"
	"log/slog"
	"sync"
	"time"

	"golang.org/x/sync/errgroup"

	"ebbline/dispatch/desk"
)

// Intervals are how often the worker looks by itself; tests set them short.
type Intervals struct {
	Sweep time.Duration // look for what is due without a bell; zero means 10 s
	Quiet time.Duration // how long to wait before ringing again for the same; zero means 60 s
	Clean time.Duration // forget old outcomes and sessions; zero means one hour
}

func (i Intervals) filled() Intervals {
	set := func(d *time.Duration, usual time.Duration) {
		if *d <= 0 {
			*d = usual
		}
	}
	set(&i.Sweep, 10*time.Second)
	set(&i.Quiet, time.Minute)
	set(&i.Clean, time.Hour)
	return i
}

// Runner does the work inside this process: without Redis it is the whole
// worker. Its Ring wakes it at once; its sweep finds everything else.
type Runner struct {
	Desk      *desk.Desk
	Delivery  *Delivery
	Intervals Intervals
	Log       *slog.Logger

	once sync.Once
	wake chan string
}

func (r *Runner) init() { r.once.Do(func() { r.wake = make(chan string, 16) }) }

// Ring wakes the runner. It never waits: a bell that is already ringing is
// enough.
func (r *Runner) Ring(_ context.Context, kind string) {
	r.init()
	select {
	case r.wake <- kind:
	default:
	}
}

// Run works until ctx ends, then finishes the notice at hand and returns.
// Planning runs have a line of their own, so that a long one keeps no notice
// waiting.
func (r *Runner) Run(ctx context.Context) error {
	r.init()
	every := r.Intervals.filled()
	plans := make(chan struct{}, 1)
	var wg sync.WaitGroup
	wg.Add(1)
	go func() {
		defer wg.Done()
		for {
			select {
			case <-ctx.Done():
				return
			case <-plans:
				planDue(ctx, r.Desk, r.Log)
			}
		}
	}()
	poke := func() {
		select {
		case plans <- struct{}{}:
		default:
		}
	}
	sweep, clean := time.NewTicker(every.Sweep), time.NewTicker(every.Clean)
	defer sweep.Stop()
	defer clean.Stop()
	poke()
	r.notices(ctx)
	for {
		select {
		case <-ctx.Done():
			wg.Wait()
			return nil
		case kind := <-r.wake:
			if kind == desk.BellPlanRun {
				poke()
			} else {
				r.notices(ctx)
			}
		case <-sweep.C:
			poke()
			r.notices(ctx)
		case <-clean.C:
			cleanUp(ctx, r.Desk, r.Log)
		}
	}
}

// notices sends what is due, part by part, until nothing is left. What failed
// waits for its next try in SQL, so this ends.
func (r *Runner) notices(ctx context.Context) {
	for ctx.Err() == nil {
		ids, err := r.Desk.NoticesToRing(ctx, 0, 50)
		if err != nil {
			logUnlessOver(ctx, r.Log, "look for due notices", err)
			return
		}
		if len(ids) == 0 {
			return
		}
		if !r.send(ctx, ids) {
			return // the database could not be asked; the sweep comes again
		}
	}
}

// atOnce is how many notices are on their way at once, so that one slow server
// does not keep the others waiting.
const atOnce = 8

// send sends the notices, several at once, and waits for all. A shutdown lets
// those at hand finish: sendTimeout bounds them.
func (r *Runner) send(ctx context.Context, ids []string) bool {
	var group errgroup.Group
	group.SetLimit(atOnce)
	for _, id := range ids {
		group.Go(func() error {
			if over := ctx.Err(); over != nil {
				return over
			}
			err := r.Delivery.One(context.WithoutCancel(ctx), id)
			if err != nil {
				r.Log.Error("notice", "notice", id, "error", err)
			}
			return err
		})
	}
	return group.Wait() == nil
}

// planDue works on waiting planning runs until none is left.
func planDue(ctx context.Context, d *desk.Desk, log *slog.Logger) {
	for ctx.Err() == nil {
		ids, err := d.RunsToDo(ctx, 1)
		if err != nil {
			logUnlessOver(ctx, log, "look for planning runs", err)
			return
		}
		if len(ids) == 0 {
			return
		}
		if err := d.RunPlan(ctx, ids[0], nil); err != nil {
			logUnlessOver(ctx, log, "planning run "+ids[0], err)
			return
		}
	}
}

// cleanUp forgets what has had its time.
func cleanUp(ctx context.Context, d *desk.Desk, log *slog.Logger) {
	if err := d.CleanUp(ctx); err != nil {
		logUnlessOver(ctx, log, "clean up", err)
	}
}

func logUnlessOver(ctx context.Context, log *slog.Logger, what string, err error) {
	if ctx.Err() == nil && !errors.Is(err, context.Canceled) {
		log.Error(what, "error", err)
	}
}
