package main

import (
	"context"
	"syscall"
	"time"
)

// budget is a context that ends once a search has had its seconds: of the wall
// clock, or with -cpu of the CPU time that this process uses from now on, shared
// out over the cores. What is measured in CPU time can be repeated on a machine
// that others use too.
func (b bench) budget(parent context.Context) (context.Context, context.CancelFunc) {
	if !b.cpu {
		return context.WithTimeout(parent, time.Duration(b.seconds*float64(time.Second)))
	}
	ctx, cancel := context.WithCancelCause(parent)
	end := cpuSeconds() + b.seconds*float64(b.cores)
	go func() {
		look := time.NewTicker(time.Millisecond)
		defer look.Stop()
		for cpuSeconds() < end {
			select {
			case <-ctx.Done():
				return
			case <-look.C:
			}
		}
		cancel(context.DeadlineExceeded)
	}()
	return ctx, func() { cancel(context.Canceled) }
}

// watch is how much wall and CPU time something took.
type watch struct {
	from time.Time
	cpu  float64
}

func startWatch() watch { return watch{time.Now(), cpuSeconds()} }

// stop writes both times into a result.
func (w watch) stop(r *result) {
	r.Wall, r.CPU = time.Since(w.from).Seconds(), cpuSeconds()-w.cpu
}

// cpuSeconds is what this process has used so far.
func cpuSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}
