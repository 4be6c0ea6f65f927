package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"
)

// planRounds is how long the demo week is searched: a fixed number of rounds, so
// that the work is the same on every machine.
const planRounds = 30

// demoWeek measures filling the demo company and planning its week.
func (b *bench) demoWeek(ctx context.Context) error {
	begun := time.Now()
	text, err := b.ebbline(ctx, b.embedded("demo"), "", "demo", "--once", "--json")
	if err != nil {
		return err
	}
	b.add(newFigure("demo --once, whole", "s", []float64{time.Since(begun).Seconds()}))
	var made struct{ Week, Plan json.RawMessage }
	if err := json.Unmarshal(text, &made); err != nil {
		return fmt.Errorf("demo --json: %w", err)
	}
	file := filepath.Join(b.dir, "week.json")
	if err := os.WriteFile(file, made.Week, 0o600); err != nil {
		return err
	}
	var seconds, cents []float64
	for range 3 {
		text, err := b.ebbline(ctx, nil, "", "plan", file, "--json", fmt.Sprintf("--rounds=%d", planRounds))
		if err != nil {
			return err
		}
		var plan struct {
			Cost      struct{ Total int64 }
			ElapsedMS int64 `json:"elapsed_ms"`
		}
		if err := json.Unmarshal(text, &plan); err != nil {
			return fmt.Errorf("plan --json: %w", err)
		}
		seconds = append(seconds, float64(plan.ElapsedMS)/1000)
		cents = append(cents, float64(plan.Cost.Total)/100)
	}
	if cents[0] != cents[1] || cents[1] != cents[2] {
		return errors.New("three runs with one seed gave different plans")
	}
	f := newFigure(fmt.Sprintf("plan of the demo week, %d rounds", planRounds), "s", seconds)
	f.Note = fmt.Sprintf("total cost %.2f", cents[0])
	b.add(f)
	return nil
}
