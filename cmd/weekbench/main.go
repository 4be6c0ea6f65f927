// Weekbench measures the planning of weeks on made-up ones.
//
//	go run ./cmd/weekbench -crews 20 -days 5 -load tight -seed 1 -weeks 3 -seconds 10
//
// The weeks come from dispatch/weeks by their seed. Every plan is checked by
// dispatch/check before anything is said of it. The best cost ever found for a week is
// looked up only after solving, by the version of the generator and the hash of the
// week, in testdata/weeks/best.csv; -keep writes better ones there.
//
// Gaps are on avoidable cost: what no plan can avoid (the least pay for the work
// itself and the waiting until the earliest day, or leaving the job out if that is
// cheaper, see dispatch/bound) is taken off both sides first.
//
//	-planted   weeks that hide a plan: is the search worse than it?
//	-growth    30 to 960 jobs, crews in proportion
//	-rules     what switching off each family of rules saves
//	-acts      how long questions to a plan of the size test take
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"regexp"
	"syscall"

	"ebbline/dispatch/weeks"
)

// bench is what was asked for.
type bench struct {
	shape   weeks.Shape
	load    string
	jobs    int // as asked for; -1: by the load
	weeks   int
	planted bool
	seconds float64
	cpu     bool
	strands int
	cores   int
	run     int64
	bound   int
	write   string
	from    string
	enough  int
	only    *regexp.Regexp
	best    string
	keep    bool
	json    bool
}

func main() {
	var b bench
	flag.IntVar(&b.shape.Crews, "crews", 20, "crews")
	flag.IntVar(&b.shape.Days, "days", 5, "days of the horizon, 1 to 14")
	jobs := flag.Int("jobs", -1, "jobs; -1: as many as the load asks for")
	flag.StringVar(&b.load, "load", "tight", "work over crew hours: calm (0.80), tight (0.95) or over (1.3)")
	flag.Uint64Var(&b.shape.Seed, "seed", 1, "seed of the first week")
	flag.IntVar(&b.weeks, "weeks", 1, "how many weeks, with rising seeds")
	flag.BoolVar(&b.planted, "planted", false, "weeks built around a hidden plan")
	flag.Float64Var(&b.seconds, "seconds", 10, "wall seconds for each week")
	flag.BoolVar(&b.cpu, "cpu", false, "count seconds of processor time, divided by -cores, instead of wall seconds")
	flag.IntVar(&b.strands, "strands", 4, "logical searches side by side")
	flag.IntVar(&b.cores, "cores", 2, "cores to use")
	flag.Int64Var(&b.run, "run", 1, "seed of the search")
	flag.IntVar(&b.bound, "bound", 150, "iterations of the lower bound; 0: none")
	flag.StringVar(&b.write, "write", "", "folder to write weeks and plans to")
	flag.StringVar(&b.from, "from", "", "folder of such plans to start from")
	flag.IntVar(&b.enough, "enough", 3, "with -rules: look no more at what binds in so many weeks; 0: look at all")
	only := flag.String("only", "", "with -rules: look at families whose names match this regular expression")
	flag.StringVar(&b.best, "best", "testdata/weeks/best.csv", "file of the best costs ever found")
	flag.BoolVar(&b.keep, "keep", false, "write better costs there")
	flag.BoolVar(&b.json, "json", false, "print JSON instead of a table")
	growth := flag.Bool("growth", false, "measure 30 to 960 jobs instead")
	rules := flag.Bool("rules", false, "measure what each family of rules costs instead")
	acts := flag.Bool("acts", false, "measure the questions to a plan of 240 jobs and 10 days instead")
	flag.Parse()
	var bad error
	b.only, bad = regexp.Compile(*only)
	load, known := weeks.Loads[b.load]
	b.shape.Load, b.jobs = load, *jobs
	if b.shape.Jobs = max(0, b.jobs); b.jobs == 0 {
		b.shape.Jobs = -1
	}
	if bad != nil || flag.NArg() > 0 || !known || b.shape.Crews < 0 || b.jobs < -1 || b.shape.Days < 1 || b.shape.Days > 14 || b.weeks < 1 || b.seconds <= 0 || b.strands < 1 || b.cores < 1 {
		fmt.Fprintln(os.Stderr, "usage: weekbench [flags]; weeks, seconds, strands and cores above 0, crews 0 or more, days 1 to 14, load calm, tight or over")
		flag.PrintDefaults()
		os.Exit(2)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	do := b.all
	switch {
	case *growth:
		do = b.growth
	case *rules:
		do = b.rules
	case *acts:
		do = b.acts
	}
	if err := do(ctx); err != nil && !errors.Is(err, context.Canceled) {
		fmt.Fprintln(os.Stderr, "weekbench:", err)
		stop()
		os.Exit(1)
	}
}
