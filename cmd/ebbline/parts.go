package main

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// part is something that runs beside others until it is told to stop.
type part struct {
	name string
	// run returns when the part has stopped; before it was told to, that is a failure.
	run func() error
	// stop makes run return, and lets what is under way end until ctx is done.
	stop func(ctx context.Context) error
}

// errEnded is the failure of a part that ended by itself without an error.
var errEnded = errors.New("ended by itself")

// runParts runs all parts until ctx is done or one of them ends. Then it stops
// them one after the other in their order, each within grace: what takes in
// work stands first, what does it later. It answers why a part ended by itself,
// and what could not be stopped well.
func runParts(ctx context.Context, grace time.Duration, parts []part) error {
	type end struct {
		part int
		err  error
	}
	ends := make(chan end, len(parts))
	for i := range parts {
		go func() { ends <- end{i, parts[i].run()} }()
	}

	ended := make([]bool, len(parts))
	var failed error
	select {
	case <-ctx.Done():
	case first := <-ends:
		ended[first.part] = true
		failed = fmt.Errorf("%s: %w", parts[first.part].name, cause(first.err))
	}
	for i := range parts {
		err := stopPart(ctx, grace, parts[i])
		for !ended[i] && err == nil {
			next := <-ends
			ended[next.part] = true
			if next.err != nil {
				err = errors.Join(err, next.err)
			}
		}
		if err != nil {
			failed = errors.Join(failed, fmt.Errorf("stopping %s: %w", parts[i].name, err))
		}
	}
	return failed
}

// stopPart outlives ctx, which is done by then, by the grace.
func stopPart(ctx context.Context, grace time.Duration, p part) error {
	limit, cancel := context.WithTimeout(context.WithoutCancel(ctx), grace)
	defer cancel()
	return p.stop(limit)
}

func cause(err error) error {
	if err == nil {
		return errEnded
	}
	return err
}
