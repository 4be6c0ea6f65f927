package desk

import (
	"context"
	"strings"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// historyRow is one finished visit.
type historyRow struct {
	kind     jobs.VisitKind
	crewName string
	record   jobs.FieldRecord
	begun    time.Time
	done     time.Time
	state    jobs.VisitState
}

// takeHistory takes in one finished visit; its job is made with the first of
// them, and is closed. Such work never went through the steps of a job here, so
// its audit says only that it came in by a file.
func (d *Desk) takeHistory(ctx context.Context, im *importing, row jobs.ImportRow) ([]jobs.RefusedCell, error) {
	c := row.Cells()
	in, err := d.placeOf(ctx, im, c)
	in.Job = jobs.JobData{Value: c.Money("value"), Note: c.Text("note")}
	zone := im.branch.Zone
	if in.Site.Zone != "" {
		zone = in.Site.Zone
	}
	if err := checkZone("zone", zone); err != nil {
		return row.Refuse(err, nil), nil
	}
	h := readHistory(c, zone, im.call.Now)
	if len(c.Refused) > 0 || err != nil {
		return c.Refused, err
	}
	do, err := d.enquiry(ctx, im.call, in)
	if err != nil {
		return nil, err
	}
	key := func(start string) string {
		return strings.Join([]string{in.ImportKey, string(h.kind), c.Text("day"), start}, " ")
	}
	start := c.Text("start")
	if short := strings.Index(start, ":"); short == 1 { // 8:15 is 08:15, whichever a file says
		before, err := read(ctx, d, func(tx *store.Tx) (string, error) { return tx.ImportedAs(im.branch.ID, "visit", key(start)) })
		if err != nil || before != "" {
			return nil, orKnown(err)
		}
		start = "0" + start
	}

	visitID := d.ids.New()
	return nil, d.once(ctx, im, "importHistory", "visit", key(start), func(tx *store.Tx) (Outcome, error) {
		j, err := tx.JobByImportKey(im.branch.ID, in.ImportKey)
		if jobs.CodeOf(err) == jobs.CodeNotFound {
			j, err = d.closedJob(tx, im, do, c.Text("customer_key"))
		}
		if err != nil {
			return Outcome{}, err
		}
		if j.State != jobs.StateClosed {
			return Outcome{}, jobs.Faults{{Field: "key", Value: in.ImportKey, Want: "a key of finished work; this one is a job that is " + j.State.Label()}}.Err()
		}
		return d.noteHistory(tx, im, j, h, visitID)
	})
}

func readHistory(c *jobs.Cells, zoneName string, now time.Time) historyRow {
	h := historyRow{kind: jobs.VisitKind(c.Text("visit")), crewName: c.Text("crew"), state: jobs.VisitDone}
	zone, _ := time.LoadLocation(zoneName) // it was checked before
	day := c.Day("day")
	at := func(column string) time.Time {
		m := c.Minute(column)
		if m == nil || day == "" {
			return time.Time{}
		}
		return jobs.Wall(day, int(*m)*60, zone)
	}
	var f jobs.Faults
	jobs.OneOf(&f, "visit", h.kind, jobs.VisitKinds)
	if len(f) > 0 {
		c.Refuse("visit", f[0].Want)
	}
	h.begun, h.done = at("start"), at("end")
	if !h.begun.IsZero() && !h.done.IsZero() {
		if !h.done.After(h.begun) {
			c.Refuse("end", "after start")
		}
		if h.done.After(now) {
			c.Refuse("day", "a day that has been")
		}
	}
	r := &h.record
	r.PromisedFrom, r.PromisedTo = at("promised_from"), at("promised_to")
	if r.PromisedFrom.IsZero() != r.PromisedTo.IsZero() || r.PromisedTo.Before(r.PromisedFrom) {
		c.Refuse("promised_to", "after promised_from, and both or neither")
	}
	for column, to := range map[string]*int64{"planned_minutes": &r.PlannedSeconds, "median_minutes": &r.MedianSeconds, "lights": &r.Lights} {
		n := c.Count(column)
		if n == nil {
			continue
		}
		if *to = *n; *n < 0 || *n > 10_000 {
			c.Refuse(column, "a count from 0 to 10000")
		}
		if column != "lights" {
			*to *= 60
		}
	}
	switch r.Outcome = jobs.RecordOutcome(c.Text("outcome")); r.Outcome {
	case "":
		r.Outcome = jobs.OutcomeDone
	case jobs.OutcomeDone:
	case jobs.OutcomeWasted:
		h.state = jobs.VisitWasted
	default:
		c.Refuse("outcome", "done or wasted")
	}
	r.Reason, r.ArrivedAt, r.LeftAt, r.Kind = c.Text("reason"), h.begun, h.done, string(h.kind)
	return h
}

// closedJob makes the job of finished work.
func (d *Desk) closedJob(tx *store.Tx, im *importing, do func(tx *store.Tx) (Outcome, error), customerKey string) (jobs.Job, error) {
	out, err := do(tx)
	if err != nil {
		return jobs.Job{}, err
	}
	j, err := tx.Job(out.NounID)
	if err != nil {
		return j, err
	}
	if err := d.withdraw(tx, im.call, j, jobs.VisitSurvey); err != nil {
		return j, err
	}
	j.State, j.UpdatedAt = jobs.StateClosed, im.call.Now
	if err := tx.UpdateJob(j); err != nil {
		return j, err
	}
	j.Version++
	return j, keepCustomer(tx, im, customerKey, j.CustomerID)
}

func (d *Desk) noteHistory(tx *store.Tx, im *importing, j jobs.Job, h historyRow, visitID string) (Outcome, error) {
	visits, err := tx.Visits(j.ID)
	if err != nil {
		return Outcome{}, err
	}
	v := jobs.Visit{ID: visitID, JobID: j.ID, Place: int64(len(visits) + 1), Kind: h.kind, State: h.state, BegunAt: h.begun, DoneAt: h.done,
		Outcome: string(h.record.Outcome), OutcomeNote: h.record.Reason, Version: 1, CreatedAt: im.call.Now, UpdatedAt: im.call.Now}
	if err := tx.InsertVisit(v); err != nil {
		return Outcome{}, err
	}
	h.record.VisitID, h.record.JobID, h.record.BranchID, h.record.UpdatedAt = v.ID, j.ID, j.BranchID, im.call.Now
	if h.crewName != "" {
		crews, err := tx.Crews(im.branch.ID)
		if err != nil {
			return Outcome{}, err
		}
		for _, crew := range crews {
			if crew.Name == h.crewName {
				h.record.CrewID = crew.ID
			}
		}
		if h.record.CrewID == "" && !im.would[wouldKey("crew", h.crewName)] {
			return Outcome{}, jobs.Faults{{Field: "crew", Value: h.crewName, Want: "the name of a crew of this branch"}}.Err()
		}
	}
	if err := tx.PutRecord(h.record); err != nil {
		return Outcome{}, err
	}
	if h.state == jobs.VisitDone && h.kind == jobs.VisitConvert && h.done.After(j.ConvertedAt) {
		j.ConvertedAt = h.done
	}
	if h.done.After(j.ClosedAt) {
		j.ClosedAt = h.done
	}
	j.UpdatedAt = im.call.Now
	return made("visit", v.ID, j.BranchID), tx.UpdateJob(j)
}
