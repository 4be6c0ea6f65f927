package desk

import (
	"context"
	"strings"
	"time"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// EstimateOption is one way of doing a job, with its sums in whole numbers; nil
// where a sum is not known yet (Missing says what to find out).
type EstimateOption struct {
	Key, Name, Light     string
	Zones                int64
	LeftForLater         []string
	Price, Deposit       *int64 // cents
	Seconds              *int64 // of crew time planned
	SavedYear            *int64 // cents
	PaybackMonths        *int64
	LaterPrice, Together *int64 // cents
	Says, Missing        []string
}

// LearnedTime is a proposed factor on the times of a kind of visit, see
// [estimate.LearnedTime].
type LearnedTime = estimate.LearnedTime

func optionOf(o estimate.Option) EstimateOption {
	sum := func(f *estimate.Figure) *int64 {
		if f == nil || !f.Known {
			return nil
		}
		return &f.Value
	}
	out := EstimateOption{
		Key: o.Key, Name: o.Name, Light: o.Ask.Light, Zones: int64(o.Ask.Zones), LeftForLater: o.Ask.Later, Says: o.Says,
		Price: sum(&o.Price), Deposit: sum(&o.Deposit), Seconds: sum(&o.Time), SavedYear: sum(&o.Saved), PaybackMonths: sum(&o.Payback),
		LaterPrice: sum(o.Later), Together: sum(o.Together),
	}
	for _, m := range o.Price.Missing {
		out.Missing = append(out.Missing, m.Text)
	}
	return out
}

// Options sets side by side what can be asked of a job's estimate, the wish
// first. CodeInvalid, CodeNotFound.
func (d *Desk) Options(ctx context.Context, jobID string, wish jobs.EstimateWish) ([]EstimateOption, error) {
	in, err := read(ctx, d, func(tx *store.Tx) (estimateInput, error) { return readEstimateInput(tx, jobID) })
	if err != nil {
		return nil, err
	}
	set, ask, err := in.ask(wish)
	if err != nil {
		return nil, err
	}
	var list []EstimateOption
	for _, o := range estimate.Options(in.survey, set, ask) {
		list = append(list, optionOf(o))
	}
	return list, nil
}

// Worth is something to find out or measure better, in the survey's words.
type Worth struct {
	jobs.Lack
	estimate.MissWorth
}

// Worth lists what to find out or measure, what would save most first.
// CodeInvalid, CodeNotFound.
func (d *Desk) Worth(ctx context.Context, jobID string, wish jobs.EstimateWish) ([]Worth, error) {
	in, err := read(ctx, d, func(tx *store.Tx) (estimateInput, error) { return readEstimateInput(tx, jobID) })
	if err != nil {
		return nil, err
	}
	set, ask, err := in.ask(wish)
	if err != nil {
		return nil, err
	}
	list := []Worth{}
	for _, w := range estimate.Worth(in.survey, set, ask) {
		lack := jobs.Lack{SubjectID: w.Miss.Subject, Field: w.Miss.Field, Label: w.Miss.Text, Why: w.Why}
		if sub, ok := in.survey.Subject(w.Miss.Subject); ok {
			lack.Subject = sub.Label()
			lack.Label = strings.TrimPrefix(w.Miss.Text, sub.Label()+": ")
		}
		list = append(list, Worth{lack, w})
	}
	return list, nil
}

// learnDays is how far back visits teach.
const learnDays = 400

// LearnedTimes proposes factors on the estimate's times from what a branch's
// crews really took. Nothing is changed. CodeNotFound.
func (d *Desk) LearnedTimes(ctx context.Context, branchID string) ([]LearnedTime, error) {
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) ([]LearnedTime, error) {
		if _, err := tx.Branch(branchID); err != nil {
			return nil, err
		}
		force, err := tx.Settings(branchID)
		if err != nil {
			return nil, err
		}
		set, err := estimateSettings(force)
		if err != nil {
			return nil, err
		}
		from := now.AddDate(0, 0, -learnDays)
		if taken := time.Unix(set.Labour.LearnedAt, 0); taken.After(from) {
			from = taken
		}
		records, err := tx.EndedRecords(branchID, from, now)
		if err != nil {
			return nil, err
		}
		return estimate.Learn(set, visitFigures(records, nil)), nil
	})
}
