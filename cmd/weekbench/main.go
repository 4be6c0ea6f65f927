// Weekbench measures the planning of invented weeks.
//
//	go run ./cmd/weekbench -crews 20 -days 5 -load tight -seconds 10
//	go run ./cmd/weekbench -growth
//
// Every plan passes the independent checker, or the program ends with an error.
// The best cost ever found of a week is kept in testdata/weeks/best.csv, with the
// generator's version and a hash of the week; -keep writes it, and only when it
// improves.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"ebbline/dispatch/weeks"
)

// loads are the loads of generated weeks, in thousandths of the crews' shifts.
var loads = map[string]int{"calm": 800, "tight": 950, "over": 1300}

func main() {
	var b bench
	flag.IntVar(&b.shape.Crews, "crews", 20, "crews")
	flag.IntVar(&b.shape.Days, "days", 5, "days, 1 to 14")
	flag.IntVar(&b.shape.Jobs, "jobs", 0, "jobs; 0: as many as the load says")
	load := flag.String("load", "tight", "calm, tight or over: work in part of the crews' shifts")
	flag.Uint64Var(&b.shape.Seed, "seed", 1, "seed of the week, and of the search")
	flag.Float64Var(&b.seconds, "seconds", 10, "wall seconds for each week")
	flag.IntVar(&b.weeks, "weeks", 1, "weeks, of this seed and the ones after it")
	flag.IntVar(&b.strands, "strands", 2, "searches side by side")
	flag.StringVar(&b.write, "write", "", "folder to write weeks and plans to")
	flag.StringVar(&b.best, "best", "testdata/weeks/best.csv", "file of the best costs ever found")
	flag.BoolVar(&b.keep, "keep", false, "write improved costs to that file")
	growth := flag.Bool("growth", false, "30 to 960 jobs, crews in proportion: time of a step and memory")
	asJSON := flag.Bool("json", false, "print JSON instead of a table")
	flag.Parse()
	var known bool
	if b.shape.Load, known = loads[*load]; !known || flag.NArg() > 0 || b.seconds <= 0 || b.weeks < 1 || b.strands < 1 ||
		b.shape.Crews < 0 || b.shape.Days < 1 || b.shape.Days > 14 || b.shape.Jobs < 0 {
		flag.Usage()
		os.Exit(2)
	}
	b.loadName = *load
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := b.run(ctx, os.Stdout, *growth, *asJSON); err != nil {
		fmt.Fprintln(os.Stderr, "weekbench:", err)
		stop()
		os.Exit(1)
	}
}

// run measures the weeks asked for and prints them.
func (b bench) run(ctx context.Context, to io.Writer, growth, asJSON bool) error {
	var shapes []weeks.Shape
	if growth {
		for jobs := 30; jobs <= 960; jobs *= 2 {
			s := b.shape
			s.Jobs, s.Crews, s.Days = jobs, max(1, jobs/12), 10
			shapes = append(shapes, s)
		}
	} else {
		for i := range b.weeks {
			s := b.shape
			s.Seed += uint64(i)
			shapes = append(shapes, s)
		}
	}
	if !asJSON {
		fmt.Fprintln(to, heading)
	}
	var list []result
	for _, s := range shapes {
		r, err := b.one(ctx, s)
		if err != nil {
			return err
		}
		list = append(list, r)
		if !asJSON {
			fmt.Fprintln(to, r.line())
		}
		if ctx.Err() != nil {
			break
		}
	}
	if asJSON {
		return printJSON(to, list)
	}
	return nil
}
