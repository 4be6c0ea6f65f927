// Loadbench measures the finished program as people meet it, and its requests
// beside a bare server that does the same with net/http and pgx and nothing
// else: no sign-in, no rules, no contract, no audit.
//
//	go run ./cmd/testbed -durable -- go run ./cmd/loadbench
//
// It needs bin/ebbline (make build) and EBBLINE_TEST_POSTGRES. All traffic stays
// on 127.0.0.1, and every measurement is bounded in count and time. Ratios are
// of requests per second, paired by rounds of one second each, so that a noisy
// machine hits both alike; absolute numbers are orientation.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"
)

func main() {
	rounds := flag.Int("rounds", 8, "rounds of one second for each variant of a request")
	clients := flag.Int("clients", 16, "callers at once")
	starts := flag.Int("starts", 5, "cold starts to measure")
	program := flag.String("program", "bin/ebbline", "the program to measure")
	asJSON := flag.Bool("json", false, "print JSON instead of a table")
	bare := flag.String("bare", "", "only for this program itself: serve the bare variant on this database")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()

	var err error
	switch {
	case *bare != "":
		err = serveBare(ctx, *bare, os.Stdout)
	case flag.NArg() > 0 || *rounds < 1 || *clients < 1 || *starts < 1:
		flag.Usage()
		os.Exit(2)
	default:
		b := &bench{program: *program, starts: *starts, method: method{*rounds, time.Second, *clients}}
		err = b.run(ctx)
		if err == nil && *asJSON {
			err = b.report.json(os.Stdout)
		} else if err == nil {
			err = b.report.table(os.Stdout)
		}
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "loadbench:", err)
		stop()
		os.Exit(1)
	}
}
