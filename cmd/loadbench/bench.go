package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
)

// bench is one run of all measurements.
type bench struct {
	program string
	starts  int
	method  method
	report  report
	dir     string // temporary
}

func (b *bench) run(ctx context.Context) error {
	if _, err := exec.LookPath(b.program); err != nil {
		return fmt.Errorf("%w: make build makes it, -program names another", err)
	}
	program, err := filepath.Abs(b.program)
	if err != nil {
		return err
	}
	b.program = program
	if b.dir, err = os.MkdirTemp("", "loadbench-"); err != nil {
		return err
	}
	defer os.RemoveAll(b.dir)
	b.report.Version = "1"
	for _, step := range []func(context.Context) error{b.coldStarts, b.demoWeek, b.requests} {
		if err := step(ctx); err != nil {
			return err
		}
	}
	return nil
}

func (b *bench) add(f figure) { b.report.Figures = append(b.report.Figures, f) }

// ebbline runs the program to its end and answers what it printed.
func (b *bench) ebbline(ctx context.Context, env []string, in string, words ...string) ([]byte, error) {
	cmd := exec.CommandContext(ctx, b.program, words...)
	cmd.Env = append(os.Environ(), env...)
	cmd.Stdin = stringReader(in)
	out, err := cmd.Output()
	var ended *exec.ExitError
	if errors.As(err, &ended) {
		return nil, fmt.Errorf("ebbline %s: %w: %s", words[0], err, ended.Stderr)
	}
	return out, err
}

// embedded are the settings of a fresh embedded database.
func (b *bench) embedded(name string) []string {
	return []string{"EBBLINE_DATA=" + filepath.Join(b.dir, name), "EBBLINE_LISTEN=127.0.0.1:0", "EBBLINE_LOG_LEVEL=error"}
}

// onPostgres are the settings of a fresh database on the test server.
func (b *bench) onPostgres(ctx context.Context, name string) ([]string, string, error) {
	address, err := freshDatabase(ctx, os.Getenv("EBBLINE_TEST_POSTGRES"), "ebb_bench_"+name)
	return append(slices.Clone(b.embedded(name)), "EBBLINE_DATABASE="+address), address, err
}
