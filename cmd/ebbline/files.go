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

func (a *app) readWeek(name string) (*week.Week, error) { return read(a, name, week.DecodeWeek) }

func (a *app) readPlan(name string) (*week.Plan, error) { return read(a, name, week.DecodePlan) }
