package desk

import (
	"context"
	"errors"
	"slices"
	"strings"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// changes puts a change from people's words into the week's terms. A person may
// be missed in several crews' days, some of which nobody is left in: that is
// more than one change.
func (d *Desk) changes(ctx context.Context, v *looked, c jobs.WeekChange) ([]dispatch.Change, error) {
	one := func(x dispatch.Change, err error) ([]dispatch.Change, error) {
		if err != nil {
			return nil, err
		}
		return []dispatch.Change{x}, nil
	}
	switch c.Kind {
	case jobs.WeekVisit:
		return one(v.visitChange(c))
	case jobs.WeekPersonOut, jobs.WeekPersonMoved, jobs.WeekCrewOut:
		return d.crewChanges(ctx, v, c)
	case jobs.WeekPumpBroken:
		return one(d.pumpChange(ctx, v, c))
	case jobs.WeekClosed:
		return one(v.closedChange(*c.Closure))
	case jobs.WeekJobIn:
		return one(d.jobInChange(ctx, v, c))
	case jobs.WeekJobOut:
		return one(dispatch.Change{Kind: dispatch.ChangeJobOut, Job: c.JobID}, v.hasJob(c.JobID))
	case jobs.WeekJobEarlier:
		return one(dispatch.Change{Kind: dispatch.ChangeJobEarlier, Job: c.JobID, By: v.dayStart(c.ByDay.Add(1))}, v.hasJob(c.JobID))
	case jobs.WeekLonger:
		return one(dispatch.Change{Kind: dispatch.ChangeLonger, Visit: c.VisitID, Seconds: c.Seconds}, v.hasVisit(c.VisitID))
	case jobs.WeekWater:
		return one(d.waterChange(ctx, v, c))
	}
	return nil, jobs.Faults{{Field: "change.kind", Value: string(c.Kind), Want: "a change that can be tried; what was reported already stands in the plan's week, and mending looks at it"}}.Err()
}

func wrong(field, value, want string) error {
	return jobs.Faults{{Field: "change." + field, Value: value, Want: want}}.Err()
}

func (v *looked) hasJob(id string) error {
	if slices.ContainsFunc(v.w.Jobs, func(j week.Job) bool { return j.ID == id }) {
		return nil
	}
	return wrong("job_id", id, "a job of this plan's week")
}

func (v *looked) hasVisit(id string) error {
	if _, ok := week.NewIndex(v.w).Visit[id]; ok {
		return nil
	}
	return wrong("visit_id", id, "a visit of this plan's week that is still to come")
}

// stopOf finds a visit in the plan.
func (v *looked) stopOf(visitID string) (week.PlanTour, week.Stop, bool) {
	for _, t := range v.p.Tours {
		for _, s := range t.Stops {
			if s.Visit == visitID {
				return t, s, true
			}
		}
	}
	return week.PlanTour{}, week.Stop{}, false
}

// visitChange finds the tour that a visit is to go to: what is not said stays as
// it is.
func (v *looked) visitChange(c jobs.WeekChange) (dispatch.Change, error) {
	out := dispatch.Change{Kind: dispatch.ChangeVisit, Visit: c.VisitID}
	if err := v.hasVisit(c.VisitID); err != nil {
		return out, err
	}
	t, _, _ := v.stopOf(c.VisitID)
	crew, day := readTourID(t.Tour)
	if c.AfterVisitID != "" {
		after, _, ok := v.stopOf(c.AfterVisitID)
		if !ok {
			return out, wrong("after_visit_id", c.AfterVisitID, "a visit that is planned")
		}
		crew, day = readTourID(after.Tour)
		out.After = &c.AfterVisitID
	} else if c.First {
		none := ""
		out.After = &none
	}
	if !c.StartAt.IsZero() {
		at := v.sec(c.StartAt)
		out.Start = &at
		if c.AfterVisitID == "" {
			day = v.dayOf(c.StartAt)
		}
	}
	if c.CrewID != "" {
		if c.AfterVisitID != "" && c.CrewID != crew {
			return out, wrong("crew_id", c.CrewID, "the crew of the visit after which it goes, or none")
		}
		crew = c.CrewID
	}
	if c.Day != "" {
		if c.AfterVisitID != "" && c.Day != day || !c.StartAt.IsZero() && c.Day != v.dayOf(c.StartAt) {
			return out, wrong("day", string(c.Day), "the day of the place or the instant that it goes to, or none")
		}
		day = c.Day
	}
	switch {
	case crew == "":
		return out, wrong("crew_id", "", "a crew, for the visit is not planned yet")
	case day == "":
		return out, wrong("day", "", "a day, for the visit is not planned yet")
	}
	out.Tour = tourID(crew, day)
	if !slices.ContainsFunc(v.w.Tours, func(t week.Tour) bool { return t.ID == out.Tour }) {
		name := v.names.crew[crew]
		if name == "" {
			return out, wrong("crew_id", crew, "a crew of this branch")
		}
		return out, wrong("day", string(day), "a day of the plan on which "+name+" goes out")
	}
	return out, nil
}

// crewChanges compares the crews' days with and without somebody.
func (d *Desk) crewChanges(ctx context.Context, v *looked, c jobs.WeekChange) ([]dispatch.Change, error) {
	facts, err := d.yardOf(ctx, v)
	if err != nil {
		return nil, err
	}
	without, err := suppose(facts, c)
	if err != nil {
		return nil, err
	}
	was, is := v.crewDays(facts), v.crewDays(without)
	out := dispatch.Change{Kind: dispatch.ChangeCrewOut}
	other := dispatch.Change{Kind: dispatch.ChangeCrew}
	for _, t := range v.w.Tours {
		_, day := readTourID(t.ID)
		if day < c.FromDay || day > c.ToDay || t.Begun != nil && t.Begun.Returned != nil {
			continue
		}
		now, there := is[t.ID]
		before, known := was[t.ID]
		switch {
		case !known:
		case !there:
			out.Tours = append(out.Tours, t.ID)
		case before.People != now.People || !slices.Equal(before.Skills, now.Skills):
			other.Crews = append(other.Crews, dispatch.CrewChange{Tour: t.ID, People: now.People, Skills: v.keepPins(t, now.Skills)})
		}
	}
	var list []dispatch.Change
	if len(other.Crews) > 0 {
		list = append(list, other)
	}
	if len(out.Tours) > 0 {
		list = append(list, out)
	}
	if len(list) == 0 {
		return nil, wrong("from_day", string(c.FromDay), "days on which that makes a difference: nobody is missed in this plan's week")
	}
	return list, nil
}

// keepPins are a crew's skills with the marks by which visits are held to it.
func (v *looked) keepPins(t week.Tour, skills []string) []string {
	for _, s := range t.Skills {
		if strings.HasPrefix(s, "crew:") && !slices.Contains(skills, s) {
			skills = append(skills, s)
		}
	}
	return skills
}

// crewDays are the crews' days as facts have them.
func (v *looked) crewDays(f weekFacts) map[string]week.Tour {
	m := &weekMaker{facts: f, base: v.base, homes: map[string]jobs.Home{}, kinds: map[jobs.VisitKind]jobs.VisitKindInfo{},
		w: &week.Week{T0: v.w.T0, Days: v.w.Days, End: v.w.End}}
	for _, h := range f.Homes {
		m.homes[h.ID] = h
	}
	m.tours()
	out := map[string]week.Tour{}
	for _, t := range m.w.Tours {
		t.Skills = slices.DeleteFunc(t.Skills, func(s string) bool { return strings.HasPrefix(s, "crew:") })
		out[t.ID] = t
	}
	return out
}

func (d *Desk) yardOf(ctx context.Context, v *looked) (weekFacts, error) {
	return read(ctx, d, func(tx *store.Tx) (weekFacts, error) {
		return d.readYard(tx, v.ask.branch(), v.first, len(v.w.Days), d.Now())
	})
}

func (d *Desk) pumpChange(ctx context.Context, v *looked, c jobs.WeekChange) (dispatch.Change, error) {
	out := dispatch.Change{Kind: dispatch.ChangePumps, Less: 1}
	pump, err := read(ctx, d, func(tx *store.Tx) (jobs.Pump, error) { return tx.Pump(c.PumpID) })
	switch {
	case jobs.CodeOf(err) == jobs.CodeNotFound || err == nil && pump.BranchID != v.ask.branch():
		return out, wrong("pump_id", c.PumpID, "a pump of this branch")
	case err != nil:
		return out, err
	case pump.State != jobs.PumpWorking:
		return out, wrong("pump_id", c.PumpID, "a pump that works; "+pump.Name+" is out of order already")
	}
	out.Home = pump.HomeID
	if c.FromDay != "" {
		out.From = c.FromDay.Sub(v.first)
	} else {
		for i, day := range v.w.Days {
			if day.Start <= v.w.T0 {
				out.From = i
			}
		}
	}
	if out.From < 0 || out.From >= len(v.w.Days) {
		return out, wrong("from_day", string(c.FromDay), "a day of the plan")
	}
	return out, nil
}

func (v *looked) closedChange(c jobs.ClosureData) (dispatch.Change, error) {
	k := &week.Closure{Label: c.Reason, From: v.sec(c.FromAt), To: v.sec(c.ToAt), StopsPumping: c.StopsPumping}
	switch c.Kind {
	case jobs.ClosureEverything:
		k.All = true
	case jobs.ClosureArea:
		if k.Area = jobs.FoldKey(c.Area); !slices.ContainsFunc(v.w.Places, func(p week.Place) bool { return p.Area == k.Area }) {
			return dispatch.Change{}, wrong("closure.area", c.Area, "a postcode in which this plan's week has a site")
		}
	case jobs.ClosureSite:
		if k.Place = c.SiteID; !slices.ContainsFunc(v.w.Places, func(p week.Place) bool { return p.ID == k.Place }) {
			return dispatch.Change{}, wrong("closure.site_id", c.SiteID, "a site of this plan's week")
		}
	}
	return dispatch.Change{Kind: dispatch.ChangeClosed, Closure: k}, nil
}

// jobInChange puts a job in. What came in after a draft was planned is no job of
// its week: it comes with its own place and drives.
func (d *Desk) jobInChange(ctx context.Context, v *looked, c jobs.WeekChange) (dispatch.Change, error) {
	out := dispatch.Change{Kind: dispatch.ChangeJobIn, Job: c.JobID}
	if v.hasJob(c.JobID) == nil {
		if !slices.ContainsFunc(v.p.LeftOut, func(l week.LeftOut) bool { return l.Job == c.JobID }) {
			return out, wrong("job_id", c.JobID, "a job that is left out; this one is in the plan")
		}
		return out, nil
	}
	made, err := d.newJob(ctx, v, c.JobID, nil)
	out.Job, out.New = "", made
	return out, err
}

// waterChange refits a running drain with one more reading.
func (d *Desk) waterChange(ctx context.Context, v *looked, c jobs.WeekChange) (dispatch.Change, error) {
	out := dispatch.Change{Kind: dispatch.ChangeWater, Job: c.JobID}
	if err := v.hasJob(c.JobID); err != nil {
		return out, err
	}
	r, err := readingOf(Call{Now: d.Now()}, *c.Reading)
	if err != nil {
		return out, inReading(err)
	}
	out.New, err = d.newJob(ctx, v, c.JobID, &r)
	if err == nil && out.New.Job.Water == nil {
		err = wrong("job_id", c.JobID, "a job whose pool is still to be low")
	}
	return out, err
}

func inReading(err error) error {
	var e *jobs.Error
	if errors.As(err, &e) {
		for i := range e.Fields {
			e.Fields[i].Field = "change.reading." + e.Fields[i].Field
		}
	}
	return err
}
