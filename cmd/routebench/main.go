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
	"flag"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"syscall"

	"ebbline/dispatch/search/kernel"
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

// methods solve one file by a convention.
var methods = map[string]func(bench, context.Context, string) (result, error){
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
	method, ok := methods[*name]
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
	if err := b.all(ctx, method, flag.Args(), *asJSON); err != nil {
		fmt.Fprintln(os.Stderr, "routebench:", err)
		stop()
		os.Exit(1)
	}
}

// all solves every file with every seed. What was solved is told even when a later
// file fails.
func (b bench) all(ctx context.Context, method func(bench, context.Context, string) (result, error), files []string, asJSON bool) (failed error) {
	if !asJSON {
		fmt.Fprintln(os.Stdout, heading)
	}
	list := []result{}
	first := b.seed
sets:
	for _, file := range files {
		for run := range b.runs {
			if ctx.Err() != nil {
				break sets
			}
			b.seed = first + uint64(run)
			r, err := method(b, ctx, file)
			if err != nil {
				failed = fmt.Errorf("%s: %w", file, err)
				break sets
			}
			if b.runs > 1 {
				r.Seed = b.seed
			}
			list = append(list, r)
			if !asJSON {
				fmt.Fprintln(os.Stdout, r.line())
			}
		}
	}
	if asJSON {
		if err := printJSON(os.Stdout, list); err != nil {
			return err
		}
		return failed
	}
	summary(os.Stdout, list)
	return failed
}

// find is a path as given, or the set of that name.
func find(file string) string {
	if _, err := os.Stat(file); err == nil || filepath.Ext(file) != "" {
		return file
	}
	for _, sub := range []string{"solomon100", "gh200"} {
		if at := filepath.Join(dataFolder(), "vrptw", sub, file+".txt"); exists(at) {
			return at
		}
	}
	return file
}

func exists(at string) bool {
	_, err := os.Stat(at)
	return err == nil
}

// windows solves a time-window set, checks the answer, and only then reads the
// best known value.
func (b bench) windows(ctx context.Context, c convention, file string) (result, error) {
	published, err := readInstance(find(file))
	if err != nil {
		return result{}, err
	}
	in, number := published, []int32(nil)
	if b.mirror {
		in = mirrored(in)
	}
	if b.renumber {
		in, number = renumbered(in, b.seed)
	}
	solve := b.solvePlain
	if b.rich {
		solve = b.solveRich
	}
	r, routes, err := solve(ctx, c, in)
	if err != nil {
		return result{}, err
	}
	if b.renumber {
		routes = asPublished(routes, number)
	}
	if r.Cost, err = c.check(published, routes); err != nil {
		return result{}, err
	}
	if b.write != "" {
		if err := writeRoutes(b.write, published.name, routes); err != nil {
			return result{}, err
		}
	}
	best, err := c.bestKnown(published.name)
	if err != nil {
		return result{}, err
	}
	r.BestKnown, r.bestVehicles = best.cost, best.vehicles
	r.GapPercent = 100 * (r.Cost/best.cost - 1)
	return r, nil
}

// solvePlain solves a set with the plain search.
func (b bench) solvePlain(ctx context.Context, c convention, in instance) (result, [][]int32, error) {
	p := c.problem(in)
	took := startWatch()
	until, cancel := b.budget(ctx)
	defer cancel()
	answer, err := kernel.Solve(p, kernel.Options{
		Seed: b.seed, Strands: b.strands, Cores: b.cores, Fewest: c.fewest,
		Stop: func() bool { return until.Err() != nil },
	})
	if err != nil {
		return result{}, nil, err
	}
	r := result{Instance: in.name, Vehicles: len(answer.Routes), Iterations: answer.Children}
	took.stop(&r)
	return r, answer.Routes, nil
}
