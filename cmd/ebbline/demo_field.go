package main

import (
	"ebbline/dispatch/week"
)

// live lets the crews live through a plan until the planned week begins.
func (f *demoFill) live(*week.Week, *week.Plan) error { return nil }
