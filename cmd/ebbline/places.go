package main

import "fmt"

// placesCommand lists the places for a visit of a plan from files.
type placesCommand struct {
	Week  string `arg:"" help:"File with the week, or - for the standard input."`
	Plan  string `arg:"" help:"File with the plan, or - for the standard input."`
	Visit string `arg:"" help:"Id of a visit that is planned."`
	JSON  bool   `name:"json" help:"Print them as JSON."`
}

func (cmd *placesCommand) Run(a *app) error {
	q, err := a.asked(cmd.Week, cmd.Plan)
	if err != nil {
		return err
	}
	list, err := q.warm.Places(cmd.Visit)
	if err != nil {
		return err
	}
	if cmd.JSON {
		return writeJSON(a.out, list)
	}
	q.line("%s fits at %s.", q.visitAndJob(cmd.Visit), count(len(list), "place"))
	var lines []string
	for _, s := range list {
		after := "first"
		if s.After != "" {
			after = "after " + q.visitAndJob(s.After)
		}
		lines = append(lines, fmt.Sprintf("%s\t%s\t%s\t%s", q.dayHour(s.Start), q.tourCrew(s.Tour), difference(s.Delta.Total), after))
	}
	q.rows(lines)
	_, err = q.text.WriteTo(a.out)
	return err
}
