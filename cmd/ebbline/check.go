package main

import (
	"fmt"

	"ebbline/dispatch/check"
)

// checkCommand tests a plan by the checker, which shares no code with the search
// and only substitutes: it never looks for better times.
type checkCommand struct {
	Week string `arg:"" help:"File with the week, or - for the standard input."`
	Plan string `arg:"" help:"File with the plan, or - for the standard input."`
}

func (cmd *checkCommand) Run(a *app) error {
	if cmd.Week == "-" && cmd.Plan == "-" {
		return wrongUsef("week and plan can't both come from the standard input")
	}
	w, err := a.readWeek(cmd.Week)
	if err != nil {
		return err
	}
	p, err := a.readPlan(cmd.Plan)
	if err != nil {
		return err
	}
	report := check.Plan(w, p)
	for _, broken := range report.Broken {
		fmt.Fprintf(a.out, "%s: %s\n", broken.Rule, broken.Text)
	}
	for _, excused := range report.Excused {
		fmt.Fprintf(a.out, "%s, broken because no way was left: %s\n", excused.Rule, excused.Text)
	}
	if !report.OK() {
		return fmt.Errorf("%s broken", count(len(report.Broken), "rule is", "rules are"))
	}
	fmt.Fprintf(a.out, "The plan keeps every rule.\n")
	return nil
}
