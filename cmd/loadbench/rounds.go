package main

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"time"
)

// variant is one way to do the same work.
type variant struct {
	name string
	// do does the work once; client is the number of the caller, from 0.
	do func(ctx context.Context, client int) error
}

// method of a measurement: each round gives every variant one slice of time, so
// that a noisy neighbor hits all of them alike.
type method struct {
	rounds  int
	slice   time.Duration
	clients int // callers at once, each with its own connection
}

// rates are operations per second, by variant and then by round.
type rates [][]float64

// measure runs the variants in turn. The order turns around every round. One
// slice of each is run first and not counted. An error ends the measurement:
// a wrong answer is not a fast one.
func (m method) measure(ctx context.Context, variants []variant) (rates, error) {
	result := make(rates, len(variants))
	for round := -1; round < m.rounds; round++ {
		for i := range variants {
			if round%2 != 0 {
				i = len(variants) - 1 - i
			}
			rate, err := m.run(ctx, variants[i])
			if err != nil {
				return nil, fmt.Errorf("%s: %w", variants[i].name, err)
			}
			if round >= 0 {
				result[i] = append(result[i], rate)
			}
		}
	}
	return result, nil
}

// run gives one variant one slice.
func (m method) run(ctx context.Context, v variant) (perSecond float64, err error) {
	slice, cancel := context.WithTimeout(ctx, m.slice)
	defer cancel()
	var done atomic.Int64
	var failed atomic.Pointer[error]
	var clients sync.WaitGroup
	start := time.Now()
	for client := range m.clients {
		clients.Go(func() {
			for slice.Err() == nil {
				// The work itself is not cut off at the end of the slice: what was
				// begun is finished and counted, over the time that it took.
				if err := v.do(ctx, client); err != nil {
					failed.CompareAndSwap(nil, &err)
					cancel()
					return
				}
				done.Add(1)
			}
		})
	}
	clients.Wait()
	if err := failed.Load(); err != nil {
		return 0, *err
	}
	if err := ctx.Err(); err != nil {
		return 0, err
	}
	return float64(done.Load()) / time.Since(start).Seconds(), nil
}

// against gives the ratios of one variant to the first, paired by round.
func (r rates) against(variant int) []float64 {
	ratios := make([]float64, len(r[variant]))
	for round := range ratios {
		ratios[round] = r[variant][round] / r[0][round]
	}
	return ratios
}
