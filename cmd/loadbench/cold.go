package main

import (
	"context"
	"fmt"
	"net/http"
	"time"
)

// coldStarts measures from the start of the process to the first page, on a
// database that is there and up to date.
func (b *bench) coldStarts(ctx context.Context) error {
	postgres, _, err := b.onPostgres(ctx, "cold")
	if err != nil {
		return err
	}
	for _, on := range []struct {
		name string
		env  []string
	}{{"SQLite", b.embedded("cold")}, {"Postgres", postgres}} {
		if _, err := b.ebbline(ctx, on.env, "", "migrate"); err != nil {
			return err
		}
		var times []float64
		for range b.starts {
			took, err := b.coldStart(ctx, on.env)
			if err != nil {
				return err
			}
			times = append(times, took.Seconds()*1000)
		}
		b.add(newFigure("cold start to first page, "+on.name, "ms", times))
	}
	return nil
}

func (b *bench) coldStart(ctx context.Context, env []string) (time.Duration, error) {
	begun := time.Now()
	p, err := startProcess(ctx, env, "Ebbline serves ", b.program, "serve")
	if err != nil {
		return 0, err
	}
	_, err = ask(ctx, http.DefaultClient, http.MethodGet, p.url+"/", nil, nil)
	took := time.Since(begun)
	if err == nil {
		err = p.end()
	}
	if err != nil {
		return 0, fmt.Errorf("cold start: %w", err)
	}
	return took, nil
}
