// Routebench measures the search on published time-window sets.
//
//	go run ./cmd/routebench -seconds 10 -convention dimacs ../shared/benchmarks/vrptw/gh200/*.txt
//
// With -rich the same sets go through the week engine, which knows no truck load.
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
	"syscall"
	"time"

	"ebbline/dispatch/search/kernel"
)

type bench struct {
	seconds float64
	cores   int
	strands int
	seed    uint64
	write   string
	rich    bool
}

func main() {
	var b bench
	flag.Float64Var(&b.seconds, "seconds", 10, "wall seconds for each set")
	flag.IntVar(&b.cores, "cores", 2, "cores to use")
	flag.IntVar(&b.strands, "strands", 0, "searches side by side; 0: one a core")
	flag.Uint64Var(&b.seed, "seed", 1, "seed of the random streams")
	name := flag.String("convention", "dimacs", "dimacs or sintef")
	flag.StringVar(&b.write, "write", "", "folder to write the routes to")
	flag.BoolVar(&b.rich, "rich", false, "solve through the week engine instead of the kernel")
	asJSON := flag.Bool("json", false, "print JSON instead of a table")
	flag.Usage = func() {
		fmt.Fprintln(os.Stderr, "usage: routebench [flags] FILE...")
		flag.PrintDefaults()
	}
	flag.Parse()
	c, ok := conventions[*name]
	if !ok || flag.NArg() == 0 || b.seconds <= 0 || b.cores < 1 {
		flag.Usage()
		os.Exit(2)
	}
	if b.strands < 1 {
		b.strands = b.cores
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := b.all(ctx, c, flag.Args(), *asJSON); err != nil {
		fmt.Fprintln(os.Stderr, "routebench:", err)
		stop()
		os.Exit(1)
	}
}

func (b bench) all(ctx context.Context, c convention, files []string, asJSON bool) error {
	if !asJSON {
		fmt.Fprintln(os.Stdout, heading)
	}
	var list []result
	for _, file := range files {
		in, err := readInstance(find(file))
		if err != nil {
			return err
		}
		r, err := b.one(ctx, c, in)
		if err != nil {
			return fmt.Errorf("%s: %w", in.name, err)
		}
		list = append(list, r)
		if !asJSON {
			fmt.Fprintln(os.Stdout, r.line())
		}
		if ctx.Err() != nil {
			break
		}
	}
	if asJSON {
		return printJSON(os.Stdout, list)
	}
	summary(os.Stdout, list)
	return nil
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

// one solves a set, checks the answer, and only then reads the best known value.
func (b bench) one(ctx context.Context, c convention, in instance) (result, error) {
	if b.rich {
		return b.solveRich(ctx, c, in)
	}
	p := c.problem(in)
	from, cpu := time.Now(), cpuSeconds()
	until := from.Add(time.Duration(b.seconds * float64(time.Second)))
	answer, err := kernel.Solve(p, kernel.Options{
		Seed: b.seed, Strands: b.strands, Cores: b.cores, Fewest: c.fewest,
		Stop: func() bool { return ctx.Err() != nil || !time.Now().Before(until) },
	})
	if err != nil {
		return result{}, err
	}
	r := result{Instance: in.name, Vehicles: len(answer.Routes), Iterations: answer.Children,
		Wall: time.Since(from).Seconds(), CPU: cpuSeconds() - cpu}
	if r.Cost, err = c.check(in, answer.Routes); err != nil {
		return result{}, err
	}
	best, err := c.bestKnown(in.name)
	if err != nil {
		return result{}, err
	}
	r.BestKnown, r.bestVehicles = best.cost, best.vehicles
	r.GapPercent = 100 * (r.Cost/best.cost - 1)
	if b.write != "" {
		err = writeRoutes(b.write, in.name, answer.Routes)
	}
	return r, err
}
