package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"ebbline/dispatch"
)

// planCommand plans a week from a file, without a database.
type planCommand struct {
	Week    string `arg:"" help:"File with the week, or - for the standard input."`
	Seconds int    `help:"Longest time to search. Without --rounds: 10." placeholder:"N"`
	Rounds  int    `help:"Rounds to search; the plan then depends on week, seed, strands and rounds alone." placeholder:"N"`
	Seed    int64  `default:"1" help:"Seed of the random choices."`
	Strands int    `default:"4" help:"Searches beside each other."`
	JSON    bool   `name:"json" help:"Print the plan as JSON, as check reads it, instead of a table."`
}

func (cmd *planCommand) Run(a *app) error {
	for _, n := range []struct {
		name  string
		value int
		most  int
	}{{"seconds", cmd.Seconds, 24 * 3600}, {"rounds", cmd.Rounds, 1_000_000}, {"strands", cmd.Strands, 64}} {
		if n.value < 0 || n.value > n.most || (n.name == "strands" && n.value == 0) {
			return wrongUsef("--%s=%d: want up to %d", n.name, n.value, n.most)
		}
	}
	w, err := a.readWeek(cmd.Week)
	if err != nil {
		return err
	}
	seconds := cmd.Seconds
	if seconds == 0 && cmd.Rounds == 0 {
		seconds = 10
	}
	// A tenth of the time, at most two seconds, is kept for why jobs are left out.
	ctx, search := a.ctx, a.ctx
	if seconds > 0 {
		whole := time.Duration(seconds) * time.Second
		var cancel, stop context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, whole)
		defer cancel()
		search, stop = context.WithTimeout(ctx, whole-min(whole/10, 2*time.Second)-dispatch.AfterSearch(w))
		defer stop()
	}
	begun := time.Now()
	p, err := dispatch.Solve(search, w, dispatch.Options{
		Seed: cmd.Seed, Strands: cmd.Strands, Rounds: cmd.Rounds, Progress: progressTo(a.errs), NoReasons: true,
	})
	if err != nil {
		return err
	}
	dispatch.Explain(ctx, w, p)
	p.ElapsedMS = time.Since(begun).Milliseconds()
	if a.ctx.Err() != nil {
		fmt.Fprintln(a.errs, "stopped; this is the best plan so far")
	}
	if cmd.JSON {
		return writeJSON(a.out, p)
	}
	return printPlan(a.out, w, p)
}

// progressTo writes how far planning is, at most once a second.
func progressTo(out io.Writer) func(dispatch.Progress) {
	var last time.Time
	return func(p dispatch.Progress) {
		if now := time.Now(); now.Sub(last) >= time.Second {
			last = now
			fmt.Fprintf(out, "round %d: %s planned, %d left out, total cost %s\n",
				p.Round, count(p.Placed, "job"), p.LeftOut, money(p.CostCents))
		}
	}
}

// writeJSON prints a value as people may read it too.
func writeJSON(out io.Writer, value any) error {
	encoder := json.NewEncoder(out)
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	return encoder.Encode(value)
}
