package main

import (
	"fmt"
	"slices"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
)

// whyCommand says why jobs are left out of a plan from files.
type whyCommand struct {
	Week string `arg:"" help:"File with the week, or - for the standard input."`
	Plan string `arg:"" help:"File with the plan, or - for the standard input."`
	Job  string `arg:"" optional:"" help:"Id of a job that is left out. Without it: each of them."`
	JSON bool   `name:"json" help:"Print the reasons as JSON."`
}

func (cmd *whyCommand) Run(a *app) error {
	q, err := a.asked(cmd.Week, cmd.Plan)
	if err != nil {
		return err
	}
	var jobs []string
	for _, l := range q.plan.LeftOut {
		if cmd.Job == "" || cmd.Job == l.Job {
			jobs = append(jobs, l.Job)
		}
	}
	if cmd.Job != "" && len(jobs) == 0 {
		if !slices.ContainsFunc(q.week.Jobs, func(j week.Job) bool { return j.ID == cmd.Job }) {
			return fmt.Errorf("%q: want the id of a job of the week", cmd.Job)
		}
		return fmt.Errorf("%q: want a job that is left out; this one is in the plan", cmd.Job)
	}
	all := []dispatch.Reasons{}
	for _, id := range jobs {
		got, err := dispatch.WhyOut(a.ctx, q.week, q.plan, id)
		if err != nil {
			return err
		}
		all = append(all, got)
		q.line("%s", q.jobName(id))
		for _, r := range got.Reasons {
			q.line("    %s", r.Text)
			q.line("    To the customer: %s", r.Customer)
		}
		if len(got.Reasons) == 0 {
			q.line("    It does not fit, and no few facts alone keep it out.")
		}
	}
	if cmd.JSON {
		return writeJSON(a.out, all)
	}
	if len(jobs) == 0 {
		q.line("No job is left out.")
	}
	_, err = q.text.WriteTo(a.out)
	return err
}
