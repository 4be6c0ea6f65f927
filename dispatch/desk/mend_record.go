package desk

import (
	"context"
	"fmt"
	"slices"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// recorded is what an upset is noted as: the facts of the week with it, in words,
// and how it is written.
type recording struct {
	d     *Desk
	call  Call
	facts weekFacts
	says  string
	items []jobs.Recorded
	do    []func(tx *store.Tx) error
}

func (r *recording) recorded() []jobs.Recorded { return append([]jobs.Recorded{}, r.items...) }

func (r *recording) note(noun, id, says string, do func(tx *store.Tx) error) {
	r.items = append(r.items, jobs.Recorded{Noun: noun, ID: id, Says: says})
	r.do = append(r.do, do)
}

func (r *recording) write(tx *store.Tx) error {
	for _, do := range r.do {
		if err := do(tx); err != nil {
			return err
		}
	}
	return nil
}

// recording works out what a change is noted as. Nothing is written yet.
func (d *Desk) recording(ctx context.Context, call Call, v *looked, c jobs.WeekChange) (*recording, error) {
	facts, err := d.readWeekFacts(ctx, v.ref.BranchID, jobs.NewDraft{FirstDay: v.first, Days: int64(len(v.w.Days))}, call.Now)
	if err != nil {
		return nil, err
	}
	r := &recording{d: d, call: call, facts: facts}
	switch c.Kind {
	case jobs.WeekPersonOut, jobs.WeekCrewOut:
		err = r.away(c)
	case jobs.WeekPumpBroken:
		err = r.pump(c)
	case jobs.WeekClosed:
		err = r.closed(c)
	case jobs.WeekJobOut, jobs.WeekJobEarlier, jobs.WeekJobIn, jobs.WeekWater:
		err = r.job(v, c)
	case jobs.WeekLonger, jobs.WeekVisit:
		err = r.visit(v, c)
	case jobs.WeekAsItIs:
		r.says = "What was reported and noted so far"
		if c.Note != "" {
			r.says = c.Note
		}
	default:
		err = wrong("kind", string(c.Kind), "what can be recorded; change the crews' people first, then mend as_it_is")
	}
	return r, err
}

// because is a note in brackets.
func because(note string) string {
	if note == "" {
		return ""
	}
	return ": " + note
}

func (r *recording) away(c jobs.WeekChange) (err error) {
	if r.facts, err = suppose(r.facts, c); err != nil {
		return err
	}
	who := ""
	for _, p := range r.facts.Persons {
		if c.Kind == jobs.WeekPersonOut && p.ID == c.PersonID {
			who = p.Name
		}
	}
	for _, k := range r.facts.Crews {
		if c.Kind == jobs.WeekCrewOut && k.ID == c.CrewID {
			who = k.Name
		}
	}
	days := c.FromDay.Words()
	if c.ToDay > c.FromDay {
		days += " to " + c.ToDay.Words()
	}
	r.says = fmt.Sprintf("%s is out on %s%s", who, days, because(c.Note))
	for _, a := range away(c) {
		row := jobs.Absence{ID: r.d.ids.New(), BranchID: r.facts.Branch.ID, AbsenceData: a, Version: 1, CreatedAt: r.call.Now, UpdatedAt: r.call.Now}
		if err := a.Check(); err != nil {
			return err
		}
		r.note("absence", row.ID, who+" away on "+a.Day.Words(), func(tx *store.Tx) error { return tx.InsertAbsence(row) })
	}
	return nil
}

func (r *recording) pump(c jobs.WeekChange) error {
	i := slices.IndexFunc(r.facts.Pumps, func(p jobs.Pump) bool { return p.ID == c.PumpID })
	if i < 0 {
		return wrong("pump_id", c.PumpID, "a pump of this branch")
	}
	p := r.facts.Pumps[i]
	if today := jobs.DayOf(r.call.Now, r.facts.Zone); c.FromDay > today { // it is written as it is now
		return wrong("from_day", string(c.FromDay), "none or today, "+string(today)+": a pump that works until then is only tried without")
	}
	if p.State != jobs.PumpWorking {
		return wrong("pump_id", c.PumpID, "a pump that works; "+p.Name+" is "+string(p.State)+" already")
	}
	var err error
	if r.facts, err = suppose(r.facts, c); err != nil {
		return err
	}
	p.State, p.UpdatedAt = jobs.PumpBroken, r.call.Now
	r.says = fmt.Sprintf("Pump %s is out of order%s", p.Name, because(c.Note))
	r.note("pump", p.ID, "pump "+p.Name+" out of order", func(tx *store.Tx) error { return tx.UpdatePump(p) })
	return nil
}

func (r *recording) closed(c jobs.WeekChange) error {
	in := *c.Closure
	if in.Reason = jobs.CleanLine(in.Reason); in.Reason == "" {
		in.Reason = c.Note
	}
	row := jobs.Closure{ID: r.d.ids.New(), BranchID: r.facts.Branch.ID, ClosureData: in, Version: 1, CreatedAt: r.call.Now, UpdatedAt: r.call.Now}
	where := "Everything"
	switch in.Kind {
	case jobs.ClosureArea:
		where = "The area " + in.Area
	case jobs.ClosureSite:
		i := slices.IndexFunc(r.facts.Jobs, func(j jobFacts) bool { return j.Site.ID == in.SiteID })
		if i < 0 {
			return wrong("closure.site_id", in.SiteID, "a site of this branch with a job")
		}
		where = r.facts.Jobs[i].Site.Label()
	}
	r.facts.Closures = append(slices.Clone(r.facts.Closures), row)
	r.says = fmt.Sprintf("%s is closed from %s to %s%s", where, in.FromAt.In(r.facts.Zone).Format("Mon Jan 2, 3:04 pm"), in.ToAt.In(r.facts.Zone).Format("Mon Jan 2, 3:04 pm"), because(in.Reason))
	r.note("closure", row.ID, "closed: "+in.Reason, func(tx *store.Tx) error { return tx.InsertClosure(row) })
	return nil
}

// jobAt finds a job among the facts.
func (r *recording) jobAt(id string) int {
	return slices.IndexFunc(r.facts.Jobs, func(j jobFacts) bool { return j.Job.ID == id })
}

func (r *recording) job(v *looked, c jobs.WeekChange) error {
	i := r.jobAt(c.JobID)
	if i < 0 {
		return wrong("job_id", c.JobID, "a job of this branch of which a visit waits for a crew")
	}
	r.facts.Jobs = slices.Clone(r.facts.Jobs)
	j := r.facts.Jobs[i].Job
	called := fmt.Sprintf("Job %d, %s", j.Number, j.CustomerName)
	switch c.Kind {
	case jobs.WeekJobIn:
		r.says = called + ", is to come in" + because(c.Note)
	case jobs.WeekJobEarlier:
		data := j.JobData
		if data.DueDay = c.ByDay; data.NotBeforeDay > c.ByDay {
			return wrong("by_day", string(c.ByDay), "not before "+data.NotBeforeDay.Words()+", the day from which it may be done")
		}
		r.facts.Jobs[i].Job.JobData = data
		r.says = fmt.Sprintf("%s, is due by %s%s", called, c.ByDay.Words(), because(c.Note))
		j.JobData, j.UpdatedAt = data, r.call.Now
		r.note("job", j.ID, fmt.Sprintf("job %d due %s", j.Number, c.ByDay.Words()), func(tx *store.Tx) error { return tx.UpdateJob(j) })
	case jobs.WeekJobOut:
		if c.Note == "" {
			return wrong("note", "", "why: what the customer said")
		}
		ids := []string{r.d.ids.New(), r.d.ids.New()}
		in := JobAct{Act: jobs.Act(c.JobAct), Note: c.Note}
		r.facts.Jobs = slices.Delete(r.facts.Jobs, i, i+1)
		r.says = fmt.Sprintf("%s, is out%s", called, because(c.Note))
		r.note("job", j.ID, fmt.Sprintf("job %d %s", j.Number, map[bool]string{true: "declined", false: "parked"}[in.Act == jobs.ActDecline]), func(tx *store.Tx) error {
			_, err := r.d.actOn(tx, r.call, j, in, ids)
			return err
		})
	case jobs.WeekWater:
		read, err := readingOf(r.call, *c.Reading)
		if err != nil {
			return inReading(err)
		}
		read.ID, read.JobID = r.d.ids.New(), j.ID
		r.facts.Jobs[i].Readings = append(slices.Clone(r.facts.Jobs[i].Readings), read)
		r.says = fmt.Sprintf("%s: the water stands %s %s below the tile line%s", called, read.Text, read.Unit, because(c.Note))
		r.note("reading", read.ID, fmt.Sprintf("%s %s below the tile line at job %d", read.Text, read.Unit, j.Number), func(tx *store.Tx) error { return noteReading(tx, j, read) })
	}
	return nil
}

func (r *recording) visit(v *looked, c jobs.WeekChange) error {
	for i := range r.facts.Jobs {
		k := slices.IndexFunc(r.facts.Jobs[i].Job.Visits, func(x jobs.Visit) bool { return x.ID == c.VisitID })
		if k < 0 {
			continue
		}
		j := &r.facts.Jobs[i].Job
		if !j.Visits[k].Open() {
			return wrong("visit_id", c.VisitID, "a visit that is still to come or under way")
		}
		j.Visits = slices.Clone(j.Visits)
		x := &j.Visits[k]
		called := fmt.Sprintf("%s visit of job %d, %s", upper(kindWord(x.Kind)), j.Number, j.CustomerName)
		if c.Kind == jobs.WeekLonger {
			seconds := c.Seconds
			x.Seconds = &seconds
			r.says = fmt.Sprintf("%s, takes %s in all%s", called, span(seconds), because(c.Note))
		} else if err := r.pin(v, c, x); err != nil {
			return err
		} else {
			r.says = fmt.Sprintf("%s, is held to %s with %s%s", called, x.PinDay.Words(), v.names.crew[x.PinCrewID], because(c.Note))
		}
		row := *x
		row.UpdatedAt = r.call.Now
		r.note("visit", row.ID, r.says, func(tx *store.Tx) error { return tx.UpdateVisit(row) })
		return nil
	}
	return wrong("visit_id", c.VisitID, "a visit of this branch that is still to come")
}

// pin holds a visit to a crew's day.
func (r *recording) pin(v *looked, c jobs.WeekChange, x *jobs.Visit) error {
	if x.State == jobs.VisitUnderWay {
		return wrong("visit_id", c.VisitID, "a visit that has not begun")
	}
	if !c.StartAt.IsZero() || c.AfterVisitID != "" || c.First {
		return wrong("start_at", "", "a crew and a day alone; take the change into a draft to hold it to a place or an instant")
	}
	change, err := v.visitChange(c)
	if err != nil {
		return err
	}
	x.PinCrewID, x.PinDay = readTourID(change.Tour)
	return nil
}
