package main

import (
	"context"
	"os"
	"runtime/debug"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// budget is a context that ends once a search has had its seconds: of the wall clock,
// or with -cpu of the processor time that this process uses from now on, shared out
// over the cores. What is measured in processor time can be repeated on a machine that
// others use too.
func (b *bench) budget(parent context.Context, seconds float64) (context.Context, context.CancelFunc) {
	if !b.cpu {
		return context.WithTimeout(parent, time.Duration(seconds*float64(time.Second)))
	}
	ctx, cancel := context.WithCancelCause(parent)
	end := cpuSeconds() + seconds*float64(b.cores)
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

// watch measures a run by both clocks.
type watch struct {
	bench *bench
	from  time.Time
	cpu   float64
	first float64 // processor seconds when the first plan was there
}

func (b *bench) watch() watch { return watch{bench: b, from: time.Now(), cpu: cpuSeconds()} }

func (w *watch) wall() float64 { return time.Since(w.from).Seconds() }

func (w *watch) used() float64 { return cpuSeconds() - w.cpu }

// seconds is how long a run has taken: by the wall clock; with -cpu as long as it
// would have taken alone, one core building the first plan and all of them searching.
func (w *watch) seconds() float64 {
	if !w.bench.cpu {
		return w.wall()
	}
	if w.first == 0 {
		return w.used()
	}
	return w.first + (w.used()-w.first)/float64(w.bench.cores)
}

// cpuSeconds is what this process has used so far.
func cpuSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

// forgetPeak sets Linux's peak of this process's memory to what it uses now, once what
// earlier weeks left behind is given back.
func forgetPeak() {
	debug.FreeOSMemory()
	_ = os.WriteFile("/proc/self/clear_refs", []byte("5"), 0)
}

// peakMB is the peak of resident memory since [forgetPeak]; 0 where nothing says.
func peakMB() float64 {
	text, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0
	}
	_, rest, _ := strings.Cut(string(text), "VmHWM:")
	line, _, _ := strings.Cut(rest, "kB")
	kb, err := strconv.ParseFloat(strings.TrimSpace(line), 64)
	if err != nil {
		return 0
	}
	return kb / 1024
}
