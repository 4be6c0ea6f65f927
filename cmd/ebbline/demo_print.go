package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// printBeside writes what stands beside the plan: what is approved and cannot
// be planned yet, with what it waits for, and how many jobs stand where.
func (cmd *demoCommand) printBeside(ctx context.Context, a *app, d *desk.Desk) error {
	counts := map[jobs.State]int{}
	var waiting []string
	for page := (jobs.Page{Limit: jobs.MaxPage}); ; {
		list, err := d.Jobs(ctx, jobs.Actor{Role: jobs.RoleOwner}, desk.JobFilter{}, page)
		if err != nil {
			return err
		}
		for _, j := range list.Items {
			counts[j.State]++
			if j.State == jobs.StateApproved {
				facts, err := d.Facts(ctx, j.ID)
				if err != nil {
					return err
				}
				waiting = append(waiting, fmt.Sprintf("#%d %s\n    %s", j.Number, j.CustomerName, lacking(facts.Facts)))
			}
		}
		if page.Cursor = list.Next; list.Next == "" {
			break
		}
	}
	fmt.Fprintln(a.out, "\nAPPROVED, NOT READY TO PLAN")
	for i := len(waiting) - 1; i >= 0; i-- { // the list has the newest first
		fmt.Fprintln(a.out, waiting[i])
	}
	var where []string
	for _, s := range jobs.States {
		if counts[s] > 0 {
			where = append(where, fmt.Sprintf("%d %s", counts[s], s.Label()))
		}
	}
	fmt.Fprintf(a.out, "\nJOBS\n  %s\n", strings.Join(where, ", "))
	return nil
}

// lacking says what a job waits for.
func lacking(facts []jobs.Fact) string {
	var out []string
	for _, f := range facts {
		if f.State == jobs.FactLacks || f.State == jobs.FactNotKnown {
			out = append(out, f.Label+": "+f.Says)
		}
	}
	return strings.Join(out, "; ")
}

// dayHint tells which day has stops where today has none: on a weekend the week
// is still to come, and in a folder that was kept it may be over.
func dayHint(w *week.Week, now time.Time) string {
	c, err := newCivil(w)
	if err != nil {
		return ""
	}
	today := jobs.DayOf(now, c.zone)
	switch first, last := jobs.Day(w.Days[0].Date), jobs.Day(w.Days[len(w.Days)-1].Date); {
	case today < first:
		return fmt.Sprintf("No crew works today: Pools today has stops from %s on.\n", c.date(0))
	case today > last:
		return fmt.Sprintf("The week of this folder is over (it ended on %s): name another folder with --data for a fresh company.\n", c.date(len(w.Days)-1))
	case !demoWorks(today):
		return "No crew works today: choose another day in Pools today.\n"
	}
	return ""
}
