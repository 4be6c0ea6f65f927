// Routebench measures the search on published time-window sets.
//
//	go run ./cmd/routebench -cpu -seconds 10 -runs 3 ../shared/benchmarks/vrptw/gh200/*.txt
//
// With -rich the same sets go through the week engine.
//
// The best known values are read only after solving, and every answer is checked
// by code that shares nothing with the search. The sets are not part of the
// project: they are looked for in EBBLINE_BENCH, else in shared/benchmarks in
// a folder above; a FILE may be a path or a set's name.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"runtime"
	"syscall"
)

type bench struct {
	seconds  float64
	cpu      bool
	cores    int
	strands  int
	seed     uint64
	runs     int
	write    string
	rich     bool
	mirror   bool
	renumber bool
}

// method solves one file.
type method func(bench, context.Context, string) (result, error)

// methods solve by a convention.
var methods = map[string]method{
	"dimacs": func(b bench, ctx context.Context, file string) (result, error) {
		return b.windows(ctx, conventions["dimacs"], file)
	},
	"sintef": func(b bench, ctx context.Context, file string) (result, error) {
		return b.windows(ctx, conventions["sintef"], file)
	},
	"lags": bench.lags,
}

func main() {
	var b bench
	flag.Float64Var(&b.seconds, "seconds", 10, "wall seconds for each set")
	flag.BoolVar(&b.cpu, "cpu", false, "count seconds of CPU time, divided by -cores, instead of wall seconds")
	flag.IntVar(&b.cores, "cores", 2, "cores to use")
	flag.IntVar(&b.strands, "strands", 0, "searches side by side; 0: one a core")
	flag.Uint64Var(&b.seed, "seed", 1, "seed of the random streams")
	flag.IntVar(&b.runs, "runs", 1, "runs of each set, with seeds one after the other")
	name := flag.String("convention", "dimacs", "dimacs, sintef, or lags for the sets of linked visits (through the week engine)")
	flag.StringVar(&b.write, "write", "", "folder to write the routes to")
	flag.BoolVar(&b.rich, "rich", false, "solve through the week engine instead of the kernel")
	flag.BoolVar(&b.mirror, "mirror", false, "turn the sets over on both axes")
	flag.BoolVar(&b.renumber, "renumber", false, "number the customers in an order drawn from the seed")
	asJSON := flag.Bool("json", false, "print JSON instead of a table")
	flag.Usage = func() {
		fmt.Fprintln(os.Stderr, "usage: routebench [flags] FILE...")
		flag.PrintDefaults()
	}
	flag.Parse()
	solve, ok := methods[*name]
	if !ok || flag.NArg() == 0 || b.seconds <= 0 || b.cores < 1 || b.runs < 1 {
		flag.Usage()
		os.Exit(2)
	}
	if b.strands < 1 {
		b.strands = b.cores
	}
	runtime.GOMAXPROCS(b.cores)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	var to printer = &table{out: os.Stdout}
	if *asJSON {
		to = &array{out: os.Stdout}
	}
	if err := b.all(ctx, solve, flag.Args(), to); err != nil {
		fmt.Fprintln(os.Stderr, "routebench:", err)
		stop()
		os.Exit(1)
	}
}

// all solves every file with every seed and prints each result as it comes. What was
// solved before a file that fails, or before an interrupt, is printed whole.
func (b bench) all(ctx context.Context, solve method, files []string, to printer) (failed error) {
	to.begin()
	first := b.seed
sets:
	for _, file := range files {
		for run := range b.runs {
			if ctx.Err() != nil {
				break sets
			}
			b.seed = first + uint64(run)
			r, err := solve(b, ctx, file)
			if err != nil {
				failed = fmt.Errorf("%s: %w", file, err)
				break sets
			}
			if b.runs > 1 {
				r.Seed = b.seed
			}
			to.add(r)
		}
	}
	return errors.Join(failed, to.end())
}
