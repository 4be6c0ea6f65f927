package main

import (
	"fmt"

	"ebbline/dispatch"
)

// offerCommand offers windows for a job from files.
type offerCommand struct {
	Week  string `arg:"" help:"File with the week, or - for the standard input."`
	Plan  string `arg:"" help:"File with the plan, or - for the standard input."`
	Job   string `arg:"" help:"Id of a job that is left out."`
	Visit string `help:"Visit whose arrival is offered. Without it: the last that may not wait." placeholder:"ID"`
	Most  int    `default:"5" help:"How many windows."`
	Width int    `default:"120" help:"Width of a window in minutes."`
	JSON  bool   `name:"json" help:"Print the windows as JSON."`
}

func (cmd *offerCommand) Run(a *app) error {
	if cmd.Most < 1 || cmd.Most > 1000 || cmd.Width < 1 || cmd.Width > 24*60 {
		return wrongUsef("--most=%d --width=%d: want 1 to 1000 windows of 1 to 1440 minutes", cmd.Most, cmd.Width)
	}
	q, err := a.asked(cmd.Week, cmd.Plan)
	if err != nil {
		return err
	}
	got, err := q.warm.Offer(dispatch.OfferAsk{Job: cmd.Job, Visit: cmd.Visit, Most: cmd.Most, Width: int64(cmd.Width) * 60})
	if err != nil {
		return err
	}
	if cmd.JSON {
		return writeJSON(a.out, got)
	}
	q.line("%s: %s can be promised.", q.jobName(cmd.Job), count(len(got.Windows), "window"))
	row := func(w dispatch.Window) string {
		return fmt.Sprintf("%s to %s\t%s\t%s", q.dayHour(w.From), q.hour(w.To), q.tourCrew(w.Tour), difference(w.Delta.Total))
	}
	var lines []string
	for _, w := range got.Windows {
		lines = append(lines, row(w))
	}
	q.rows(lines)
	if got.Earliest != nil {
		q.line("Earliest of all:")
		q.rows([]string{row(*got.Earliest)})
	}
	if got.Holds != "" {
		q.line("%s", got.Holds)
	}
	_, err = q.text.WriteTo(a.out)
	return err
}
