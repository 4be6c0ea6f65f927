package main

import (
	"fmt"

	"ebbline/dispatch/odds"
)

// oddsCommand says how sure a plan is, from files.
type oddsCommand struct {
	Week string `arg:"" help:"File with the week, or - for the standard input."`
	Plan string `arg:"" help:"File with the plan, or - for the standard input."`
	Runs int    `default:"1000" help:"Weeks that are drawn."`
	Seed int64  `default:"1" help:"Seed of what is drawn."`
	JSON bool   `name:"json" help:"Print the odds as JSON."`
}

func (cmd *oddsCommand) Run(a *app) error {
	if cmd.Runs < 1 || cmd.Runs > odds.MostRuns {
		return wrongUsef("--runs=%d: want 1 to %d", cmd.Runs, odds.MostRuns)
	}
	q, err := a.asked(cmd.Week, cmd.Plan)
	if err != nil {
		return err
	}
	got, err := odds.Simulate(q.week, q.plan, odds.Ask{Seed: cmd.Seed, Runs: cmd.Runs})
	if err != nil {
		return err
	}
	if cmd.JSON {
		return writeJSON(a.out, got)
	}
	q.line("From %s drawn with seed %d; shares are of a thousand, with two standard errors.", count(got.Runs, "week"), got.Seed)
	if got.NotKnown.Everything() {
		q.line("No length has a spread: how sure the plan is, is not known yet.")
	}
	share := func(s odds.Share) string {
		if !s.Known {
			return "not known yet"
		}
		return fmt.Sprintf("%d ± %d", s.Permille, 2*s.ErrorPermille)
	}
	q.heading("Promises kept")
	var lines []string
	for _, p := range got.Promises {
		lines = append(lines, share(p.Kept)+"\t"+q.visitAndJob(p.Visit))
	}
	q.rows(lines)
	q.heading("Pools low when the crew comes")
	lines = nil
	for _, p := range got.Pools {
		lines = append(lines, share(p.Low)+"\t"+q.jobName(p.Job))
	}
	q.rows(lines)
	q.heading("Crews' days")
	lines = nil
	for _, t := range got.Tours {
		lines = append(lines, fmt.Sprintf("%s\t%s overtime\tback by %s, nine times in ten by %s", q.tourCrew(t.Tour), length(t.Overtime.Milli/1000), q.dayHour(t.Return.P50), q.dayHour(t.Return.P90)))
	}
	q.rows(lines)
	_, err = q.text.WriteTo(a.out)
	return err
}
