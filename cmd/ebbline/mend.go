package main

import (
	"context"
	"fmt"
	"time"

	"ebbline/dispatch"
)

// mendCommand mends a plan after something has happened, from files.
type mendCommand struct {
	Week    string   `arg:"" help:"File with the week as things stand, or - for the standard input."`
	Plan    string   `arg:"" help:"File with the plan that holds until now, or - for the standard input."`
	Changes string   `arg:"" optional:"" help:"File with a change or a list of changes, or - for the standard input. Without it: the week as it stands."`
	Early   []string `help:"Jobs that can come early, in the order in which they are asked." placeholder:"JOB"`
	Seconds int      `default:"5" help:"Longest time to search."`
	Rounds  int      `help:"Rounds to search; the plan then depends on files, seed, strands and rounds alone." placeholder:"N"`
	Seed    int64    `default:"1" help:"Seed of the random choices."`
	Strands int      `default:"4" help:"Searches beside each other."`
	JSON    bool     `name:"json" help:"Print what came of it as JSON, with the plan as check reads it."`
}

func (cmd *mendCommand) Run(a *app) error {
	for _, n := range []struct {
		name        string
		value, most int
	}{{"seconds", cmd.Seconds, 24 * 3600}, {"rounds", cmd.Rounds, 1_000_000}, {"strands", cmd.Strands, 64}} {
		if n.value < 0 || n.value > n.most || n.name != "rounds" && n.value == 0 {
			return wrongUsef("--%s=%d: want up to %d", n.name, n.value, n.most)
		}
	}
	q, err := a.asked(cmd.Week, cmd.Plan, cmd.Changes)
	if err != nil {
		return err
	}
	var changes []dispatch.Change
	if cmd.Changes != "" {
		if changes, err = read(a, cmd.Changes, decodeChanges); err != nil {
			return err
		}
	}
	ctx, stop := context.WithTimeout(a.ctx, time.Duration(cmd.Seconds)*time.Second)
	defer stop()
	got, err := dispatch.Mend(ctx, dispatch.MendAsk{Week: q.week, Before: q.plan, Changes: changes, Early: cmd.Early,
		Options: dispatch.Options{Seed: cmd.Seed, Strands: cmd.Strands, Rounds: cmd.Rounds, Progress: progressTo(a.errs), NoReasons: true}})
	if err != nil {
		return err
	}
	dispatch.Explain(a.ctx, got.Week, got.Plan)
	if cmd.JSON {
		return writeJSON(a.out, map[string]any{"week": got.Week, "mended": got})
	}
	q.mended(got)
	if _, err := q.text.WriteTo(a.out); err != nil {
		return err
	}
	return printPlan(a.out, got.Week, got.Plan)
}

func (q *question) mended(m *dispatch.Mended) {
	q.line("As it was handed out it cost %s. If what no longer fits were left out, %s; mended, %s.", money(m.CostBefore.Total), money(m.CostStood.Total), money(m.CostAfter.Total))
	q.costs(m.CostStood, m.CostAfter)
	for _, id := range m.Out {
		q.line("Left out now: %s", q.jobName(id))
	}
	for _, id := range m.In {
		q.line("In now: %s", q.jobName(id))
	}
	for _, id := range m.Standby {
		q.line("Comes early: %s", q.jobName(id))
	}
	q.lates(m.Late)
	q.heading("Who must be told")
	for _, d := range m.Told {
		q.line("  %s", q.told(d))
	}
	if len(m.Told) == 0 {
		q.line("  Nobody.")
	}
	q.line("")
}

// told says one thing that somebody must be told.
func (q *question) told(d dispatch.Difference) string {
	at := func(i int64) string { return q.dayHour(i) }
	switch d.What {
	case dispatch.CrewAnew:
		return q.tourCrew(d.Tour) + ", " + q.tourDay(d.Tour) + ": another list of stops"
	case dispatch.CrewMoved:
		return q.tourCrew(d.Tour) + ", " + q.tourDay(d.Tour) + ": same stops, other times"
	case dispatch.TellDrain:
		return fmt.Sprintf("%s: start the drain between %s and %s", q.jobName(d.Job), at(d.After.Earliest), at(d.After.Latest))
	case dispatch.MoveDrain:
		return fmt.Sprintf("%s: start the drain between %s and %s, no longer %s to %s", q.jobName(d.Job), at(d.After.Earliest), at(d.After.Latest), at(d.Before.Earliest), at(d.Before.Latest))
	case dispatch.WithdrawDrain:
		return q.jobName(d.Job) + ": do not start the drain"
	case dispatch.TellWindow:
		return fmt.Sprintf("%s: %s", q.visitAndJob(d.Visit), at(d.After.Earliest))
	case dispatch.MoveWindow:
		return fmt.Sprintf("%s: %s, no longer %s", q.visitAndJob(d.Visit), at(d.After.Earliest), at(d.Before.Earliest))
	}
	return q.visitAndJob(d.Visit) + ": does not come about"
}

// tourDay is the day of a tour.
func (q *question) tourDay(id string) string {
	if i, ok := q.index.Tour[id]; ok {
		return q.date(q.week.Tours[i].Day)
	}
	return id
}
