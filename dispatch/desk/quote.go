package desk

import (
	"context"
	"strconv"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// today is the civil day in a branch's zone.
func today(tx *store.Tx, branchID string, now time.Time) (jobs.Day, error) {
	b, err := tx.Branch(branchID)
	if err != nil {
		return "", err
	}
	zone, err := time.LoadLocation(b.Zone)
	if err != nil {
		return "", err
	}
	return jobs.DayOf(now, zone), nil
}

// CreateQuote makes a draft from a kept estimate that knows its price.
// CodeInvalid, CodeNotFound, CodeConflict.
func (d *Desk) CreateQuote(ctx context.Context, call Call, jobID string, in jobs.NewQuote) (Outcome, error) {
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	q := jobs.Quote{ID: d.ids.New(), JobID: jobID, EstimateID: in.EstimateID, State: jobs.QuoteDraft,
		Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	var later map[string]jobs.Cents
	if len(in.Also) > 0 {
		var err error
		if later, err = d.laterTotals(ctx, jobID); err != nil {
			return Outcome{}, err
		}
	}
	return d.act(ctx, call, "createQuote", func(tx *store.Tx) (Outcome, error) {
		j, err := tx.Job(jobID)
		if err != nil {
			return Outcome{}, err
		}
		if _, ok := jobs.StepOf(j.State, jobs.ActSendQuote); !ok {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "The job is %s; nothing is quoted any more", j.State.Label())
		}
		kept, err := tx.Estimate(in.EstimateID)
		if err != nil {
			return Outcome{}, err
		}
		if kept.JobID != jobID {
			return Outcome{}, jobs.Faults{{Field: "estimate_id", Value: in.EstimateID, Want: "an estimate of this job"}}.Err()
		}
		if err := upToDate(tx, j, kept); err != nil {
			return Outcome{}, err
		}
		settings, err := tx.Settings(j.BranchID)
		if err != nil {
			return Outcome{}, err
		}
		day, err := today(tx, j.BranchID, call.Now)
		if err != nil {
			return Outcome{}, err
		}
		offer := quoting{job: j, company: settings.Settings.Company, day: day, in: in, later: later}
		if err := offer.read(tx, kept); err != nil {
			return Outcome{}, err
		}
		if err := offer.write(&q); err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "quote", NounID: q.ID, Version: 1, BranchID: j.BranchID}, tx.InsertQuote(j.BranchID, q)
	})
}

// upToDate refuses an estimate that was made before the survey last changed:
// its lengths and price may be wrong by now.
func upToDate(tx *store.Tx, j jobs.Job, e jobs.Estimate) error {
	site, err := tx.Site(j.SiteID)
	if err == nil && site.SurveyVersion != e.SurveyVersion {
		err = jobs.Errorf(jobs.CodeConflict, "Estimate %d was made from version %d of the survey, which is at %d now; make an estimate again and quote that",
			e.Number, e.SurveyVersion, site.SurveyVersion)
	}
	return err
}

// SendQuote freezes a quote and sends it. Quotes of the job that were sent
// before are replaced by it. CodeNotFound, CodeStale, CodeConflict.
func (d *Desk) SendQuote(ctx context.Context, call Call, id string, version int64) (Outcome, error) {
	told := d.newTelling(jobs.NoticeQuote, "", call.Now)
	out, err := d.act(ctx, call, "sendQuote", func(tx *store.Tx) (Outcome, error) {
		q, j, day, err := quoteWithJob(tx, call, id, version)
		if err != nil {
			return Outcome{}, err
		}
		if q, err = q.Send(call.Now, day); err != nil {
			return Outcome{}, err
		}
		kept, err := tx.Estimate(q.EstimateID)
		if err != nil {
			return Outcome{}, err
		}
		if err := upToDate(tx, j, kept); err != nil {
			return Outcome{}, err
		}
		others, err := tx.Quotes(j.ID)
		if err != nil {
			return Outcome{}, err
		}
		for _, o := range others {
			if o.State != jobs.QuoteSent || o.ID == id {
				continue
			}
			o.State, o.UpdatedAt = jobs.QuoteReplaced, call.Now
			if err := tx.UpdateQuote(o); err != nil {
				return Outcome{}, err
			}
		}
		q.UpdatedAt = call.Now
		if err := tx.UpdateQuote(q); err != nil {
			return Outcome{}, err
		}
		_, zone, err := branchZone(tx, j.BranchID)
		if err != nil {
			return Outcome{}, err
		}
		told.about = j.ID // so that a notice of an earlier quote that has not left is replaced
		told.quote(q, zone)
		if err := d.tell(tx, j, call.Now, told); err != nil {
			return Outcome{}, err
		}
		j.Value = &q.Total
		if _, err := d.move(tx, call, j, jobs.ActSendQuote, jobs.Standing{}, "quote "+strconv.FormatInt(q.Number, 10)); err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "quote", NounID: id, Version: version + 1, BranchID: j.BranchID}, nil
	})
	if err == nil {
		d.bell.Ring(ctx, BellNotice)
	}
	return out, err
}

// quoteWithJob reads a quote at a version, its job and the day there.
func quoteWithJob(tx *store.Tx, call Call, id string, version int64) (q jobs.Quote, j jobs.Job, day jobs.Day, err error) {
	if q, err = tx.Quote(id); err != nil {
		return q, j, day, err
	}
	if err = stale("quote", q.Version, version); err != nil {
		return q, j, day, err
	}
	if j, err = tx.Job(q.JobID); err != nil {
		return q, j, day, err
	}
	day, err = today(tx, j.BranchID, call.Now)
	return q, j, day, err
}

// Quote reads one quote. CodeNotFound.
func (d *Desk) Quote(ctx context.Context, id string) (jobs.Quote, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Quote, error) { return tx.Quote(id) })
}

// Quotes reads the quotes of a job by number. CodeNotFound.
func (d *Desk) Quotes(ctx context.Context, jobID string) ([]jobs.Quote, error) {
	return read(ctx, d, func(tx *store.Tx) ([]jobs.Quote, error) {
		if _, err := tx.Job(jobID); err != nil {
			return nil, err
		}
		return tx.Quotes(jobID)
	})
}
