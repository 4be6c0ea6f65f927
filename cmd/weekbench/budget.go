package main

import (
	"context"

	"ebbline/cmd/internal/budget"
)

// budget is a context that ends once a search has had its seconds: of the wall clock,
// or with -cpu of the processor, shared out over the cores.
func (b *bench) budget(parent context.Context, seconds float64) (context.Context, context.CancelFunc) {
	if b.cpu {
		return budget.CPU(parent, seconds, b.cores)
	}
	return budget.Wall(parent, seconds)
}

// watch measures a run by both clocks.
type watch struct {
	budget.Watch
	bench *bench
	first float64 // processor seconds when the first plan was there
}

func (b *bench) watch() watch { return watch{Watch: budget.Start(), bench: b} }

// seconds is how long a run has taken: by the wall clock; with -cpu as long as it
// would have taken alone, one core building the first plan and all of them searching.
func (w *watch) seconds() float64 {
	if !w.bench.cpu {
		return w.Wall()
	}
	if w.first == 0 {
		return w.CPU()
	}
	return w.first + (w.CPU()-w.first)/float64(w.bench.cores)
}
