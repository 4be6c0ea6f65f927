package main

import (
	"fmt"
	"io"
	"os"

	"ebbline/dispatch/week"
)

// read opens the file, or the standard input for "-", and hands it to decode.
func read[T any](a *app, name string, decode func(io.Reader) (T, error)) (T, error) {
	var none T
	source := a.in
	if name != "-" {
		file, err := os.Open(name)
		if err != nil {
			return none, err
		}
		defer file.Close()
		source = file
	}
	value, err := decode(source)
	if err != nil {
		return none, fmt.Errorf("%s: %w", name, err)
	}
	return value, nil
}

// readWeek also tests what the problem itself can't: that its zone exists, and
// that its days begin when the zone's do.
func (a *app) readWeek(name string) (*week.Week, error) {
	return read(a, name, func(in io.Reader) (*week.Week, error) {
		w, err := week.DecodeWeek(in)
		if err != nil {
			return nil, err
		}
		c, err := newCivil(w)
		if err != nil {
			return nil, err
		}
		return w, c.check()
	})
}

func (a *app) readPlan(name string) (*week.Plan, error) { return read(a, name, week.DecodePlan) }
