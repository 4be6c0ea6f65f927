package desk

import (
	"context"
	"slices"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// AnswerQuote notes what the customer said to a quote. Approving gives the job
// its chain of visits and the list of parts it takes, and looks at what gates
// it. CodeInvalid, CodeNotFound, CodeStale, CodeConflict.
func (d *Desk) AnswerQuote(ctx context.Context, call Call, id string, version int64, in jobs.QuoteAnswer) (Outcome, error) {
	in.By = jobs.CleanLine(in.By)
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	newest := d.ids.New()
	out, err := d.act(ctx, call, "answerQuote", func(tx *store.Tx) (Outcome, error) {
		q, j, day, err := quoteWithJob(tx, call, id, version)
		if err != nil {
			return Outcome{}, err
		}
		settings, err := tx.Settings(j.BranchID)
		if err != nil {
			return Outcome{}, err
		}
		if q, err = q.Answer(in, call.Now, day, settings.Settings.Company.CancelDays); err != nil {
			return Outcome{}, err
		}
		q.UpdatedAt = call.Now
		if err := tx.UpdateQuote(q); err != nil {
			return Outcome{}, err
		}
		if in.Answer == jobs.QuoteApproved {
			if j.EstimateID, err = keepAgain(tx, call, j, q.EstimateID, newest); err != nil {
				return Outcome{}, err
			}
		}
		act, was := jobs.ActApprove, j.State
		if in.Answer == jobs.QuoteDeclined {
			act = jobs.ActDeclineQuote
		}
		j.Value = &q.Total
		s := j.Standing(false, false)
		said := in.By
		if note := jobs.CleanLine(in.Note); note != "" {
			said += ": " + note // the history is where the office reads it
		}
		if j, err = d.move(tx, call, j, act, s, said); err != nil {
			return Outcome{}, err
		}
		if in.Answer == jobs.QuoteDeclined {
			err = d.followUp(tx, call, j, was, act, nil)
		} else {
			err = d.layOut(tx, call, j, q)
		}
		if err != nil {
			return Outcome{}, err
		}
		_, err = d.settleReady(tx, call, j.ID)
		return Outcome{Noun: "quote", NounID: id, Version: version + 1, BranchID: j.BranchID, Note: string(in.Answer) + " by " + in.By}, err
	})
	if err == nil {
		d.bell.Ring(ctx, BellNotice)
	}
	return out, err
}

// keepAgain makes the estimate behind an approved option the job's newest, which
// parts, sheets and plans go by, unless the survey has changed since.
func keepAgain(tx *store.Tx, call Call, j jobs.Job, approved, id string) (string, error) {
	if approved == j.EstimateID || j.EstimateID == "" {
		return j.EstimateID, nil
	}
	kept, err := tx.Estimate(approved)
	if err != nil {
		return "", err
	}
	now, err := tx.Estimate(j.EstimateID)
	if err != nil || now.SurveyVersion != kept.SurveyVersion {
		return j.EstimateID, err
	}
	kept.ID, kept.MadeAt, kept.MadeBy = id, call.Now, call.Actor.Name
	_, err = tx.InsertEstimate(j.BranchID, kept)
	return id, err
}

// longestVisit is the longest time of one visit; a longer conversion is done
// in equal parts. It is a crew's day without the drives.
const longestVisit = 8 * 3600

// layOut gives an approved job its visits, with the lengths of the estimate
// behind the quote, and its parts. What people listed before stays.
func (d *Desk) layOut(tx *store.Tx, call Call, j jobs.Job, q jobs.Quote) error {
	if err := d.withdraw(tx, call, j, jobs.VisitSurvey); err != nil {
		return err
	}
	kept, err := tx.Estimate(q.EstimateID)
	if err != nil {
		return err
	}
	e, err := estimate.Decode(kept.Body)
	if err != nil {
		return err
	}
	site, err := tx.Site(j.SiteID)
	if err != nil {
		return err
	}
	survey, err := tx.Survey(site)
	if err != nil {
		return err
	}
	work := slices.ContainsFunc(j.Visits, func(v jobs.Visit) bool { return v.Open() && v.Kind != jobs.VisitSurvey })
	if !work {
		if err := d.layChain(tx, call, j, chainOf(j, survey, e), e); err != nil {
			return err
		}
	}
	return d.listParts(tx, call, j, e)
}

// chainOf is the usual chain, with the visits that the estimate asks for
// beside it.
func chainOf(j jobs.Job, s jobs.Survey, e estimate.Estimate) []jobs.VisitKind {
	data := j.JobData
	if data.WayLow == jobs.LowNotKnown {
		data.WayLow = s.WayLow()
	}
	chain := jobs.Chain(data, s)
	for _, kind := range []jobs.VisitKind{jobs.VisitPrepare, jobs.VisitCircuit} {
		if v, ok := e.Visit(string(kind)); ok && v.Needed && !slices.Contains(chain, kind) {
			chain = append(chain, kind)
		}
	}
	slices.SortStableFunc(chain, func(a, b jobs.VisitKind) int { return kindPlace(a) - kindPlace(b) })
	return chain
}

func (d *Desk) layChain(tx *store.Tx, call Call, j jobs.Job, chain []jobs.VisitKind, e estimate.Estimate) error {
	place := int64(0)
	for _, v := range j.Visits {
		place = max(place, v.Place)
	}
	spare := jobs.MaxVisits - len(chain)
	for _, kind := range chain {
		lengths := []*int64{nil}
		if v, ok := e.Visit(string(kind)); ok && v.Plan.Known {
			lengths = []*int64{&v.Plan.Value}
			if parts := v.Parts(longestVisit); kind == jobs.VisitConvert && len(parts) > 1 && len(parts)-1 <= spare {
				lengths = nil
				for i := range parts {
					lengths = append(lengths, &parts[i])
				}
			}
		}
		for _, seconds := range lengths {
			place++
			err := tx.InsertVisit(jobs.Visit{ID: d.ids.New(), JobID: j.ID, Place: place, Kind: kind, State: jobs.VisitOpen, Seconds: seconds,
				Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now})
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// listParts lists the materials of the estimate as parts to get, unless parts
// are listed already.
func (d *Desk) listParts(tx *store.Tx, call Call, j jobs.Job, e estimate.Estimate) error {
	have, err := tx.JobParts(j.ID)
	if err != nil || len(have) > 0 {
		return err
	}
	c, _, err := catalogueNow(tx, j.BranchID)
	if err != nil {
		return err
	}
	want, _ := c.wanted(e)
	for _, w := range want {
		err = tx.InsertJobPart(jobs.JobPart{ID: d.ids.New(), JobID: j.ID, JobPartData: w.Needed(), Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now})
		if err != nil {
			return err
		}
	}
	return nil
}
