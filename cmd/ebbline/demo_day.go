package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"ebbline/dispatch/desk"
	"ebbline/estimate"
	"ebbline/jobs"
)

// tellDay brings the company to life and tells the first planned day, on which
// much goes wrong. Everything goes through the desk's own acts.
func (cmd *demoCommand) tellDay(a *app, c config) error {
	st, err := openStore(a.ctx, c)
	if err != nil {
		return err
	}
	defer func() { _ = st.Close() }() // it is forgotten anyhow
	if _, err := st.Migrate(a.ctx); err != nil {
		return err
	}
	roads, err := c.loadRoads()
	if err != nil {
		return err
	}
	say := func(format string, args ...any) { fmt.Fprintf(a.errs, format+"\n", args...) }
	f, err := bringToLife(a.ctx, st, demoAsk{now: wallClock{}.Now(), seed: cmd.Seed, rounds: cmd.Rounds, url: "http://" + c.Listen, mail: c.mailFolder(), roads: roads, say: say})
	if err != nil {
		return fmt.Errorf("filling the demo: %w", err)
	}
	return (&demoDay{demoFill: f, out: a.out}).tell()
}

// demoDay is the first planned day as it goes.
type demoDay struct {
	*demoFill
	out  io.Writer
	plan int64 // number of what holds
}

func (d *demoDay) line(format string, args ...any) { fmt.Fprintf(d.out, format+"\n", args...) }

// tell lives through the day and mends what goes wrong.
func (d *demoDay) tell() error {
	list, err := d.desk.Plans(d.ctx, d.branch, jobs.Page{Limit: 1})
	if err != nil {
		return err
	}
	d.plan = list.Items[0].Number
	d.line("%s, %s: a day at the office of %s (invented)", demoBranch, d.days.first.Words(), demoCompany)
	d.line("Plan %d was handed out last night. %s", d.plan, d.sure())
	day := d.days.first
	for _, e := range []struct {
		hour, minute int
		what         func() (jobs.WeekChange, error)
	}{
		{6, 30, d.sick}, {8, 0, d.tooHigh}, {11, 0, d.storms}, {14, 0, d.overrun},
	} {
		if err := d.liveUntil(d.days.at(day, e.hour, e.minute)); err != nil {
			return err
		}
		change, err := e.what()
		if err != nil {
			return err
		}
		if err := d.mend(change); err != nil {
			return fmt.Errorf("%02d:%02d: %w", e.hour, e.minute, err)
		}
	}
	if err := d.liveUntil(d.days.at(day, 20, 0)); err != nil {
		return err
	}
	return d.evening()
}

// sick: the only person who is licensed can't come.
func (d *demoDay) sick() (jobs.WeekChange, error) {
	persons, err := d.desk.Persons(d.ctx, d.branch)
	i := slices.IndexFunc(persons, func(p jobs.Person) bool { return slices.Contains(p.Skills, jobs.SkillLicensed) })
	if err == nil && i < 0 {
		err = fmt.Errorf("nobody is licensed")
	}
	if err != nil {
		return jobs.WeekChange{}, err
	}
	return jobs.WeekChange{Kind: jobs.WeekPersonOut, PersonID: persons[i].ID, FromDay: d.days.first, Note: "sick"}, nil
}

// tooHigh: four inches are still to go at a pool that a crew counts on.
func (d *demoDay) tooHigh() (jobs.WeekChange, error) {
	for first := d.days.first; first < d.days.first.Add(6); first = first.Add(1) {
		stops, err := d.stopsOf(first)
		if err != nil {
			return jobs.WeekChange{}, err
		}
		for _, s := range stops {
			if s.Kind != jobs.VisitConvert || s.State != jobs.VisitRouted {
				continue
			}
			um, ok, err := d.workingLevel(s.JobID)
			if err != nil {
				return jobs.WeekChange{}, err
			}
			if ok {
				quarters := (um - 4*25_400) / 6_350
				return jobs.WeekChange{Kind: jobs.WeekWater, JobID: s.JobID, Note: "four inches too high",
					Reading: &jobs.NewReading{Text: inches(quarters), Unit: "in"}}, nil
			}
		}
	}
	return jobs.WeekChange{}, fmt.Errorf("no pool is being lowered")
}

// workingLevel is how far below the tile line a pool must stand, in micrometres,
// if it is being lowered now.
func (d *demoDay) workingLevel(jobID string) (int64, bool, error) {
	rows, err := d.desk.ListPrep(d.ctx, d.branch)
	if err != nil {
		return 0, false, err
	}
	i := slices.IndexFunc(rows, func(r desk.PrepRow) bool {
		return r.Job.ID == jobID && (r.State == jobs.PrepStarted || r.State == jobs.PrepReading)
	})
	if i < 0 {
		return 0, false, nil
	}
	j, err := d.desk.Job(d.ctx, d.office().Actor, jobID)
	if err != nil {
		return 0, false, err
	}
	kept, err := d.desk.KeptEstimate(d.ctx, j.EstimateID)
	if err != nil {
		return 0, false, err
	}
	e, err := estimate.Decode(kept.Body)
	if err != nil {
		return 0, false, err
	}
	draining, ok := e.Draining("")
	return draining.Target, ok, nil
}

// storms: nobody works outdoors until the afternoon, and nothing is pumped.
func (d *demoDay) storms() (jobs.WeekChange, error) {
	return jobs.WeekChange{Kind: jobs.WeekClosed, Closure: &jobs.ClosureData{Kind: jobs.ClosureEverything, FromAt: d.days.at(d.days.first, 11, 0),
		ToAt: d.days.at(d.days.first, 13, 30), StopsPumping: true, Reason: "storm"}}, nil
}

// overrun: what is under way takes two hours more.
func (d *demoDay) overrun() (jobs.WeekChange, error) {
	stops, err := d.stopsOf(d.days.first)
	if err != nil {
		return jobs.WeekChange{}, err
	}
	best := -1
	for i, s := range stops {
		if s.State == jobs.VisitUnderWay && (best < 0 || s.EndAt.After(stops[best].EndAt)) {
			best = i
		}
	}
	for i, s := range stops { // nobody is at work just then: what comes next
		if best < 0 && s.State == jobs.VisitRouted {
			best = i
		}
	}
	if best < 0 {
		return jobs.WeekChange{Kind: jobs.WeekAsItIs, Note: "Everything of today is done by now"}, nil
	}
	s := stops[best]
	return jobs.WeekChange{Kind: jobs.WeekLonger, VisitID: s.VisitID, Seconds: int64(s.EndAt.Sub(s.StartAt)/time.Second) + 2*3600,
		Note: "two hours more than planned"}, nil
}

// mend records what happened, has it mended, tells all of it and hands out.
func (d *demoDay) mend(c jobs.WeekChange) error {
	now := d.desk.Now().In(d.days.zone)
	out, err := d.desk.Mend(d.ctx, d.office(), desk.MendAsk{BranchID: d.branch, PlanNumber: d.plan, Change: c,
		Run: jobs.RunData{Seed: d.ask.seed, Rounds: d.ask.rounds, Seconds: 600}})
	if err != nil {
		return err
	}
	draft, err := d.desk.Draft(d.ctx, out.NounID)
	if err != nil {
		return err
	}
	d.ask.say("%s mending: %s", now.Format("15:04"), draft.Upset.Says)
	if err := d.desk.RunPlan(d.ctx, draft.RunID, nil); err != nil {
		return err
	}
	run, err := d.desk.PlanRun(d.ctx, draft.RunID)
	if err != nil {
		return err
	}
	if run.State != jobs.RunDone {
		return fmt.Errorf("%s: no plan was made: %s", draft.Upset.Says, run.Error)
	}
	d.line("\n%s  %s.", now.Format("15:04"), draft.Upset.Says)
	d.block("Noted", noted(draft.Upset.Recorded))
	d.block("If nobody did anything", []string{draft.Upset.Untouched.Says})
	if draft, err = d.desk.Draft(d.ctx, draft.ID); err != nil {
		return err
	}
	if err := d.changed(draft); err != nil {
		return err
	}
	told, err := d.desk.Told(d.ctx, draft.ID)
	if err != nil {
		return err
	}
	d.block("Who must be told", tellings(told))
	if out, err = d.desk.HandOut(d.ctx, d.office(), draft.ID, draft.Version); err != nil {
		return err
	}
	d.plan = out.Version
	d.block(fmt.Sprintf("Handed out as plan %d", d.plan), []string{d.sure()})
	return d.deliver()
}

// block writes what belongs to one heading, a line each.
func (d *demoDay) block(heading string, lines []string) {
	d.line("  %s:", heading)
	for _, l := range lines {
		d.line("    %s", l)
	}
}

func noted(list []jobs.Recorded) []string {
	out := []string{}
	for _, r := range list {
		out = append(out, upperFirst(r.Says))
	}
	if len(out) == 0 {
		out = append(out, "Nothing new.")
	}
	return out
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// mostTold bounds the lines of one list.
const mostTold = 12

// tellings names who is told what, those first who must hear that something they
// know has changed.
func tellings(list []desk.ToldLine) []string {
	out := []string{}
	for _, l := range list {
		if l.Change != jobs.ChangeNew {
			out = append(out, fmt.Sprintf("%s: %s", l.Who, l.Says))
		}
	}
	fresh := len(list) - len(out)
	if len(out) > mostTold {
		out = append(out[:mostTold], fmt.Sprintf("and %d more whose day changes", len(out)-mostTold))
	}
	for _, l := range list {
		if l.Change == jobs.ChangeNew && fresh <= 3 {
			out = append(out, fmt.Sprintf("%s: %s", l.Who, l.Says))
		}
	}
	if fresh > 3 {
		out = append(out, fmt.Sprintf("and %s that nobody has read before", count(fresh, "message")))
	}
	if len(out) == 0 {
		out = append(out, "Nobody.")
	}
	return out
}

// changed tells what the mended plan does differently, and what that costs.
func (d *demoDay) changed(draft jobs.Draft) error {
	c, err := d.desk.Compare(d.ctx, draft.ID, "")
	if err != nil {
		return err
	}
	u := draft.Upset
	text := fmt.Sprintf("It costs %s in all", dollars(c.Total))
	switch {
	case u.Untouched.Total != nil:
		text += "; left alone it would come to " + dollars(*u.Untouched.Total)
	case u.Stood != nil:
		text += "; as it was it can't go on, and with what no longer fits left out it would come to " + dollars(*u.Stood)
	}
	lines := []string{text + "."}
	for _, j := range u.Early {
		lines = append(lines, fmt.Sprintf("Job %d, %s, can come early and fills a gap.", j.JobNumber, j.CustomerName))
	}
	for i, j := range c.Jobs {
		if i == mostTold {
			lines = append(lines, fmt.Sprintf("and %d more jobs lie differently", len(c.Jobs)-mostTold))
			break
		}
		lines = append(lines, upperFirst(j.Says)+".")
	}
	d.block("What is changed", lines)
	return nil
}

func dollars(c jobs.Cents) string { return "$" + c.String() }

// sure says how sure the rest of the day is, from what was handed out.
func (d *demoDay) sure() string {
	o, err := d.desk.Odds(d.ctx, desk.ViewRef{BranchID: d.branch, PlanNumber: d.plan}, 1000, d.ask.seed)
	if err != nil {
		return "How sure the rest of the day is can't be said: " + err.Error()
	}
	now := d.desk.Now()
	var sum, n, known int64
	var least *desk.OddsPromise
	for i := range o.Promises {
		p := &o.Promises[i]
		if jobs.DayOf(p.FromAt, d.days.zone) != d.days.first || p.ToAt.Before(now) {
			continue
		}
		n++
		if p.Standing == "not_known" {
			continue
		}
		known++
		if sum += p.Kept; least == nil || p.Kept < least.Kept {
			least = p
		}
	}
	switch {
	case n == 0:
		return "Nothing is promised any more today."
	case known == 0:
		return fmt.Sprintf("How sure today's %s are is not known yet.", count(int(n), "window"))
	}
	if sum == 1000*known {
		return fmt.Sprintf("Today's %s still to come: kept every time.", count(int(n), "window"))
	}
	return fmt.Sprintf("Today's %s still to come: kept %s on average; the least sure is job %d at %s, %s.", count(int(n), "window"), of100(sum/known), least.JobNumber,
		least.FromAt.In(d.days.zone).Format("15:04"), of100(least.Kept))
}

// of100 is a share of a thousand in words; never and always only where it is so.
func of100(permille int64) string {
	switch permille {
	case 0:
		return "never"
	case 1000:
		return "every time"
	}
	return fmt.Sprintf("%d times in 100", min(99, max(1, (permille+5)/10)))
}

// evening tells what came of the day.
func (d *demoDay) evening() error {
	now, err := d.desk.DayNow(d.ctx, d.branch)
	if err != nil {
		return err
	}
	d.line("\n%s  The crews are back.", d.desk.Now().In(d.days.zone).Format("15:04"))
	for _, c := range now.Crews {
		d.line("    %s", c.Says)
	}
	return nil
}
