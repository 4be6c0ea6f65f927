package store

import (
	"encoding/json"

	"ebbline/jobs"
)

type quoteRow struct {
	ID             string
	JobID          string
	Number         int64
	EstimateID     string
	State          string
	TotalCents     int64
	TaxCents       int64
	DepositCents   int64
	Body           string
	ValidUntilDay  string
	CancelUntilDay string
	SentAt         *int64
	AnsweredAt     *int64
	AnsweredBy     string
	Version        int64
	CreatedAt      int64 `gorm:"autoCreateTime:false"`
	UpdatedAt      int64 `gorm:"autoUpdateTime:false"`
}

func (quoteRow) TableName() string { return "quotes" }

func (r quoteRow) quote() jobs.Quote {
	return jobs.Quote{
		ID: r.ID, JobID: r.JobID, Number: r.Number, EstimateID: r.EstimateID, State: jobs.QuoteState(r.State),
		Total: jobs.Cents(r.TotalCents), Tax: jobs.Cents(r.TaxCents), Deposit: jobs.Cents(r.DepositCents), Body: json.RawMessage(r.Body),
		ValidUntil: jobs.Day(r.ValidUntilDay), CancelUntil: jobs.Day(r.CancelUntilDay),
		SentAt: maybeInstant(r.SentAt), AnsweredAt: maybeInstant(r.AnsweredAt), AnsweredBy: r.AnsweredBy,
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt),
	}
}

// InsertQuote adds a draft under the next number of its job.
func (tx *Tx) InsertQuote(branchID string, q jobs.Quote) error {
	number, err := tx.nextOfJob("quotes", branchID, q.JobID)
	if err != nil {
		return err
	}
	return tx.insert(&quoteRow{
		ID: q.ID, JobID: q.JobID, Number: number, EstimateID: q.EstimateID, State: string(q.State),
		TotalCents: int64(q.Total), TaxCents: int64(q.Tax), DepositCents: int64(q.Deposit), Body: string(q.Body),
		ValidUntilDay: string(q.ValidUntil), CancelUntilDay: string(q.CancelUntil),
		SentAt: maybeSecs(q.SentAt), AnsweredAt: maybeSecs(q.AnsweredAt), AnsweredBy: q.AnsweredBy,
		Version: q.Version, CreatedAt: secs(q.CreatedAt), UpdatedAt: secs(q.UpdatedAt),
	})
}

// UpdateQuote writes how far a quote is over the version it was read at, and
// which of its options was taken; what it says is never changed. CodeStale, CodeNotFound.
func (tx *Tx) UpdateQuote(q jobs.Quote) error {
	return tx.update("quote", &quoteRow{}, q.ID, q.Version, q.UpdatedAt, change{
		"state": string(q.State), "estimate_id": q.EstimateID, "total_cents": int64(q.Total), "tax_cents": int64(q.Tax), "deposit_cents": int64(q.Deposit),
		"cancel_until_day": string(q.CancelUntil),
		"sent_at":          maybeSecs(q.SentAt), "answered_at": maybeSecs(q.AnsweredAt), "answered_by": q.AnsweredBy,
	})
}

// Quote reads one quote. CodeNotFound.
func (tx *Tx) Quote(id string) (jobs.Quote, error) {
	row, err := first[quoteRow](tx, "quote", "id = ?", id)
	return row.quote(), err
}

// Quotes reads the quotes of jobs, each job's by number.
func (tx *Tx) Quotes(jobIDs ...string) ([]jobs.Quote, error) {
	if len(jobIDs) == 0 {
		return nil, nil
	}
	rows, err := all[quoteRow](tx, "job_id, number", "job_id IN ?", jobIDs)
	out := make([]jobs.Quote, len(rows))
	for i, r := range rows {
		out[i] = r.quote()
	}
	return out, err
}
