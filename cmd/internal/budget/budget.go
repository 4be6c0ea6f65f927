// Package budget gives the measuring programs their seconds, of the wall clock or of the
// processor, and tells what a run took of time and memory. What is measured in processor
// time can be repeated on a machine that others use too.
package budget

import (
	"context"
	"os"
	"runtime/debug"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// Wall is a context that ends after so many seconds of the wall clock.
func Wall(parent context.Context, seconds float64) (context.Context, context.CancelFunc) {
	return context.WithTimeout(parent, time.Duration(seconds*float64(time.Second)))
}

// CPU is a context that ends once this process has used so many more seconds of
// processor time on each of so many cores.
func CPU(parent context.Context, seconds float64, cores int) (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancelCause(parent)
	end := CPUSeconds() + seconds*float64(cores)
	go func() {
		look := time.NewTicker(time.Millisecond)
		defer look.Stop()
		for CPUSeconds() < end {
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

// Watch is since when something is measured.
type Watch struct {
	from time.Time
	cpu  float64
}

// Start begins to measure.
func Start() Watch { return Watch{time.Now(), CPUSeconds()} }

// Wall is the seconds since then on the wall clock.
func (w Watch) Wall() float64 { return time.Since(w.from).Seconds() }

// CPU is the processor seconds that this process has used since then.
func (w Watch) CPU() float64 { return CPUSeconds() - w.cpu }

// CPUSeconds is the processor time that this process has used so far.
func CPUSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

// ForgetPeak sets Linux's peak of this process's memory to what it uses now, once what
// was used before is given back.
func ForgetPeak() {
	debug.FreeOSMemory()
	_ = os.WriteFile("/proc/self/clear_refs", []byte("5"), 0)
}

// PeakMB is the peak of resident memory since [ForgetPeak]; 0 where nothing says.
func PeakMB() float64 {
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
