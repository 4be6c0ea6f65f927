package main

import (
	"context"
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// diary notes what happened in which order.
type diary struct {
	sync.Mutex
	lines []string
}

func (d *diary) note(line string) {
	d.Lock()
	defer d.Unlock()
	d.lines = append(d.lines, line)
}

// obedient runs until it is stopped, and takes a moment to end.
func obedient(d *diary, name string) part {
	told := make(chan struct{})
	return part{name,
		func() error {
			<-told
			time.Sleep(5 * time.Millisecond)
			d.note(name + " ended")
			return nil
		},
		func(context.Context) error { d.note(name + " told"); close(told); return nil },
	}
}

func TestPartsStopInOrderEachAfterTheOneBefore(t *testing.T) {
	var d diary
	ctx, cancel := context.WithCancel(t.Context())
	time.AfterFunc(10*time.Millisecond, cancel)
	if err := runParts(ctx, time.Second, []part{obedient(&d, "http"), obedient(&d, "worker")}); err != nil {
		t.Fatal(err)
	}
	if want := []string{"http told", "http ended", "worker told", "worker ended"}; !slices.Equal(d.lines, want) {
		t.Errorf("have %q, want %q", d.lines, want)
	}
}

func TestAPartThatFailsStopsTheOthers(t *testing.T) {
	var d diary
	broken := errors.New("port taken")
	for _, c := range []struct{ err, want error }{{broken, broken}, {nil, errEnded}} {
		parts := []part{
			obedient(&d, "http"),
			{"metrics", func() error { return c.err }, func(context.Context) error { return nil }},
			obedient(&d, "worker"),
		}
		err := runParts(t.Context(), time.Second, parts)
		if !errors.Is(err, c.want) || !strings.HasPrefix(err.Error(), "metrics: ") {
			t.Errorf("have %v, want %v", err, c.want)
		}
	}
	if len(d.lines) != 8 {
		t.Errorf("not all were stopped: %q", d.lines)
	}
}

func TestAPartThatDoesNotStopInTimeIsReported(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	stuck := part{"worker", func() error { select {} }, func(limit context.Context) error { <-limit.Done(); return limit.Err() }}
	err := runParts(ctx, 20*time.Millisecond, []part{stuck})
	if !errors.Is(err, context.DeadlineExceeded) || !strings.Contains(err.Error(), "stopping worker") {
		t.Errorf("have %v", err)
	}
}
