package main

import (
	"context"

	"ebbline/cmd/internal/budget"
)

// budget is a context that ends once a search has had its seconds: of the wall clock,
// or with -cpu of the processor, shared out over the cores.
func (b bench) budget(parent context.Context) (context.Context, context.CancelFunc) {
	if b.cpu {
		return budget.CPU(parent, b.seconds, b.cores)
	}
	return budget.Wall(parent, b.seconds)
}

// took writes what has been used since a watch was started into a result.
func (r *result) took(w budget.Watch) { r.Wall, r.CPU = w.Wall(), w.CPU() }
