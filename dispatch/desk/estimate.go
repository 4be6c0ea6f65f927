package desk

import (
	"context"
	"strings"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// estimateInput is what an estimate is made from.
type estimateInput struct {
	job      jobs.Job
	site     jobs.Site
	survey   jobs.Survey
	settings jobs.SettingsInForce
	permit   jobs.Permit
	approved estimate.Ask // of the quote that the customer approved; zero without one
}

func readEstimateInput(tx *store.Tx, jobID string) (in estimateInput, err error) {
	if in.job, err = tx.Job(jobID); err != nil {
		return in, err
	}
	if in.site, err = tx.Site(in.job.SiteID); err != nil {
		return in, err
	}
	if in.survey, err = tx.Survey(in.site); err != nil {
		return in, err
	}
	if in.settings, err = tx.Settings(in.job.BranchID); err != nil {
		return in, err
	}
	permits, err := tx.Permits(jobID)
	if err != nil {
		return in, err
	}
	in.permit = permits[jobID]
	in.approved, err = approvedAsk(tx, jobID)
	return in, err
}

// approvedAsk is what the estimate behind the approved quote was asked for. The
// last one counts where there are several.
func approvedAsk(tx *store.Tx, jobID string) (ask estimate.Ask, err error) {
	quotes, err := tx.Quotes(jobID)
	if err != nil {
		return ask, err
	}
	var last jobs.Quote
	for _, q := range quotes {
		if q.State == jobs.QuoteApproved && !q.AnsweredAt.Before(last.AnsweredAt) {
			last = q
		}
	}
	if last.ID == "" {
		return ask, nil
	}
	kept, err := tx.Estimate(last.EstimateID)
	if err != nil {
		return ask, err
	}
	e, err := estimate.Decode(kept.Body)
	return e.Ask, err
}

// asApproved is the wish for what the customer approved, without what the survey
// or the catalogue has no more.
func (in estimateInput) asApproved(set estimate.Settings) jobs.EstimateWish {
	wish := jobs.EstimateWish{Zones: in.approved.Zones}
	for _, l := range set.Catalogue.Lights {
		if l.Key == in.approved.Light {
			wish.Light = l.Key
		}
	}
	for _, id := range in.approved.Later {
		if _, ok := in.survey.Subject(id); ok {
			wish.Later = append(wish.Later, id)
		}
	}
	return wish
}

// make computes. It takes a moment: never inside a transaction that writes.
func (in estimateInput) make(wish jobs.EstimateWish) (jobs.Estimate, estimate.Estimate, error) {
	set, ask, err := in.ask(wish)
	if err != nil {
		return jobs.Estimate{}, estimate.Estimate{}, err
	}
	e := estimate.Make(in.survey, set, ask)
	body, err := estimate.Encode(e)
	out := jobs.Estimate{
		JobID: in.job.ID, SurveyVersion: in.site.SurveyVersion, SettingsNumber: in.settings.Number,
		Price: (*jobs.Cents)(figureValue(e.Price.Net)), Missing: lacksOf(in.survey, e), Body: body,
	}
	if median, ok := e.MedianSeconds(); ok {
		out.MedianSeconds = &median
	}
	if plan, ok := e.PlanSeconds(); ok {
		out.PlanningSeconds = &plan
	}
	return out, e, err
}

// ask turns a wish into what an estimate is asked for. The zero wish asks for
// what the customer approved; where zones stay open, the survey's own wishes
// count. CodeInvalid names a light that the
// catalogue does not have and a thing that the survey does not know.
func (in estimateInput) ask(wish jobs.EstimateWish) (estimate.Settings, estimate.Ask, error) {
	set, err := estimateSettings(in.settings)
	if err != nil {
		return set, estimate.Ask{}, err
	}
	if wish.Zones == 0 && wish.Light == "" && len(wish.Later) == 0 {
		wish = in.asApproved(set)
	}
	ask := estimate.Ask{Zones: wish.Zones, Light: wish.Light, Later: wish.Later, NoPermit: in.permit.Needed == jobs.No}
	var f jobs.Faults
	f.Check(wish.Zones >= 0 && wish.Zones <= 2, "zones", itoa(wish.Zones), "1 or 2")
	if wish.Light != "" {
		keys := []string{}
		for _, l := range set.Catalogue.Lights {
			keys = append(keys, l.Key)
		}
		jobs.OneOf(&f, "light", wish.Light, keys)
	}
	for _, id := range wish.Later {
		sub, ok := in.survey.Subject(id)
		f.Check(ok && (sub.Kind == jobs.SubjectBody || sub.Kind == jobs.SubjectPosition), "later", jobs.Short(id), "a body of water or a light position of the survey")
	}
	if ask.Zones == 0 {
		ask.Zones = 1
		for _, p := range in.survey.OfKind(jobs.SubjectPosition) {
			if zone, ok := p.Base("zone"); ok && zone > int64(ask.Zones) {
				ask.Zones = int(min(zone, 2))
			}
		}
	}
	return set, ask, f.Err()
}

func figureValue(f estimate.Figure) *int64 {
	if !f.Known {
		return nil
	}
	return &f.Value
}

// lacksOf lists what the estimate lacks, in its order, in the survey's words.
func lacksOf(s jobs.Survey, e estimate.Estimate) []jobs.Lack {
	list := []jobs.Lack{}
	for _, m := range e.Missing {
		l := jobs.Lack{SubjectID: m.Subject, Field: m.Field, Label: m.Text, Why: jobs.WhyVisit}
		sub, ok := s.Subject(m.Subject)
		if ok {
			l.Subject = sub.Label()
			l.Label = strings.TrimPrefix(m.Text, sub.Label()+": ")
		}
		if spec, known := jobs.FieldOf(sub.Kind, m.Field); !known || spec.Need != jobs.NeedVisit {
			l.Why = jobs.WhyEstimate
		}
		list = append(list, l)
	}
	return list
}

// Estimate computes a job's estimate from what is known now. Nothing is kept.
// CodeInvalid, CodeNotFound.
func (d *Desk) Estimate(ctx context.Context, jobID string, wish jobs.EstimateWish) (jobs.Estimate, error) {
	in, err := read(ctx, d, func(tx *store.Tx) (estimateInput, error) { return readEstimateInput(tx, jobID) })
	if err != nil {
		return jobs.Estimate{}, err
	}
	out, _, err := in.make(wish)
	return out, err
}

// MakeEstimate computes a job's estimate and keeps it, with the versions of
// survey and settings that it was made from. What gates the job is looked at
// again. CodeInvalid, CodeNotFound.
func (d *Desk) MakeEstimate(ctx context.Context, call Call, jobID string, wish jobs.EstimateWish) (Outcome, error) {
	in, err := read(ctx, d, func(tx *store.Tx) (estimateInput, error) { return readEstimateInput(tx, jobID) })
	if err != nil {
		return Outcome{}, err
	}
	e, _, err := in.make(wish)
	if err != nil {
		return Outcome{}, err
	}
	e.ID, e.MadeAt, e.MadeBy = d.ids.New(), call.Now, call.Actor.Name
	return d.act(ctx, call, "makeEstimate", func(tx *store.Tx) (Outcome, error) {
		number, err := tx.InsertEstimate(in.job.BranchID, e)
		if err == nil {
			_, err = d.settleReady(tx, call, jobID)
		}
		return Outcome{Noun: "estimate", NounID: e.ID, Version: number, BranchID: in.job.BranchID}, err
	})
}

// KeptEstimate reads one that was kept, with what it lacked then. CodeNotFound.
func (d *Desk) KeptEstimate(ctx context.Context, id string) (jobs.Estimate, error) {
	e, err := read(ctx, d, func(tx *store.Tx) (jobs.Estimate, error) { return tx.Estimate(id) })
	if err != nil {
		return e, err
	}
	full, err := estimate.Decode(e.Body)
	e.Missing = lacksOf(jobs.Survey{}, full)
	return e, err
}
