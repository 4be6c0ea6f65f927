package jobs

import (
	"encoding/json"
	"strconv"
	"time"
)

// Estimate is a computed estimate that was kept: what it was computed from,
// and every figure with its working as JSON. It is never changed.
type Estimate struct {
	ID              string // empty: computed now, not kept
	JobID           string
	Number          int64 // counts up within the job
	SurveyVersion   int64
	SettingsNumber  int64
	MedianSeconds   *int64 // nil: not known yet
	PlanningSeconds *int64
	Price           *Cents // before tax
	Missing         []Lack
	Body            json.RawMessage
	MadeAt          time.Time
	MadeBy          string
}

// QuoteState says how far a quote is.
type QuoteState string

// The states of a quote.
const (
	QuoteDraft    QuoteState = "draft"
	QuoteSent     QuoteState = "sent" // frozen from here on
	QuoteApproved QuoteState = "approved"
	QuoteDeclined QuoteState = "declined"
	QuoteReplaced QuoteState = "replaced" // a newer one was sent
)

// Quote is a price asked of a customer. Once it is sent nothing of it changes
// but its answer.
type Quote struct {
	ID          string
	JobID       string
	Number      int64 // counts up within the job
	EstimateID  string
	State       QuoteState
	Total       Cents // with tax
	Tax         Cents
	Deposit     Cents
	Body        json.RawMessage // QuoteBody
	ValidUntil  Day             // the last day on which it can be approved
	CancelUntil Day             // empty until it is approved
	SentAt      time.Time
	AnsweredAt  time.Time
	AnsweredBy  string
	Version     int64
	CreatedAt   time.Time
	UpdatedAt   time.Time
}

// NewQuote asks for a quote from a kept estimate.
type NewQuote struct {
	EstimateID string
	Also       []string // kept estimates offered beside it, for the customer to choose from
	ValidDays  *int64   // nil: as the settings say
	Note       string
}

// Check refuses what is wrong, all of it at once.
func (n NewQuote) Check() error {
	var f Faults
	f.ID("estimate_id", n.EstimateID)
	if n.ValidDays != nil {
		f.Check(*n.ValidDays >= 1 && *n.ValidDays <= 365, "valid_days", strconv.FormatInt(*n.ValidDays, 10), "between 1 and 365 days")
	}
	f.Check(len(n.Also) <= MaxQuoteOptions-1, "also_estimate_ids", strconv.Itoa(len(n.Also)), "at most "+strconv.Itoa(MaxQuoteOptions-1)+" beside the first")
	seen := map[string]bool{n.EstimateID: true}
	for _, id := range n.Also {
		f.ID("also_estimate_ids", id)
		f.Check(!seen[id], "also_estimate_ids", id, "each estimate once")
		seen[id] = true
	}
	f.Note("note", n.Note)
	return f.Err()
}

// QuoteAnswer is what somebody said to a quote.
type QuoteAnswer struct {
	Answer     QuoteState // approved or declined
	EstimateID string     // of the option approved; empty: the first
	By         string     // who said so
	Note       string
}

// Check refuses what is wrong, all of it at once.
func (a QuoteAnswer) Check() error {
	var f Faults
	OneOf(&f, "answer", a.Answer, []QuoteState{QuoteApproved, QuoteDeclined})
	f.Line("by", a.By, 1, MaxName)
	f.Note("note", a.Note)
	return f.Err()
}

// Send is the quote as it goes out on a day: frozen.
func (q Quote) Send(now time.Time, today Day) (Quote, error) {
	if q.State != QuoteDraft {
		return q, Errorf(CodeConflict, "The quote is %s already; only a draft can be sent", q.State)
	}
	if q.ValidUntil < today {
		return q, Errorf(CodeConflict, "The quote was valid until %s; make a new one", q.ValidUntil.Words())
	}
	q.State, q.SentAt = QuoteSent, now
	return q, nil
}

// Answer is the quote after somebody answered it on a day. A quote that was
// approved can be declined while the customer may still cancel: as many days as
// the quote says, or cancelDays of one that does not keep them.
func (q Quote) Answer(a QuoteAnswer, now time.Time, today Day, cancelDays int64) (Quote, error) {
	cancels := q.State == QuoteApproved && a.Answer == QuoteDeclined && q.CancelUntil != "" && today <= q.CancelUntil
	switch {
	case q.State == QuoteSent && a.Answer == QuoteApproved && today > q.ValidUntil:
		return q, Errorf(CodeConflict, "The quote was valid until %s; make a new one", q.ValidUntil.Words())
	case q.State != QuoteSent && !cancels:
		return q, Errorf(CodeConflict, "The quote is %s; only one that was sent can be answered", q.State)
	}
	if a.Answer == QuoteApproved && a.EstimateID != "" {
		var err error
		if q, err = q.choose(a.EstimateID); err != nil {
			return q, err
		}
	}
	q.State, q.AnsweredAt, q.AnsweredBy = a.Answer, now, a.By
	q.CancelUntil = ""
	if a.Answer == QuoteApproved {
		b, err := q.Read()
		if err != nil {
			return q, err
		}
		if b.Words != nil || b.CancelDays > 0 {
			cancelDays = b.CancelDays // as the customer read it
		}
		q.CancelUntil = today.Add(int(cancelDays))
	}
	return q, nil
}
