package store

import (
	"time"

	"ebbline/jobs"
)

type paymentRow struct {
	ID          string
	JobID       string
	Kind        string
	AmountCents int64
	Method      string
	Note        string
	ReceivedAt  int64
	MadeBy      string
}

func (paymentRow) TableName() string { return "payments" }

// InsertPayment notes money received or given back.
func (tx *Tx) InsertPayment(p jobs.Payment) error {
	return tx.insert(&paymentRow{ID: p.ID, JobID: p.JobID, Kind: string(p.Kind), AmountCents: int64(p.Amount),
		Method: p.Method, Note: p.Note, ReceivedAt: secs(p.ReceivedAt), MadeBy: p.MadeBy})
}

// Payments reads the payments of jobs in the order they came.
func (tx *Tx) Payments(jobIDs ...string) ([]jobs.Payment, error) {
	rows, err := allOf[paymentRow](tx, "received_at, id", jobIDs)
	out := make([]jobs.Payment, len(rows))
	for i, r := range rows {
		out[i] = jobs.Payment{ID: r.ID, JobID: r.JobID, Kind: jobs.PaymentKind(r.Kind), Amount: jobs.Cents(r.AmountCents),
			Method: r.Method, Note: r.Note, ReceivedAt: instant(r.ReceivedAt), MadeBy: r.MadeBy}
	}
	return out, err
}

// allOf reads the rows of jobs; none for no job.
func allOf[R any](tx *Tx, order string, jobIDs []string) ([]R, error) {
	if len(jobIDs) == 0 {
		return nil, nil
	}
	return all[R](tx, order, "job_id IN ?", jobIDs)
}

type permitRow struct {
	ID         string
	JobID      string
	Needed     string
	PulledBy   string
	Number     string
	AppliedDay string
	IssuedDay  string
	ExpiresDay string
	Version    int64
	CreatedAt  int64 `gorm:"autoCreateTime:false"`
	UpdatedAt  int64 `gorm:"autoUpdateTime:false"`
}

func (permitRow) TableName() string { return "permits" }

// PutPermit notes a job's permit: the first time where p.Version is 0, else
// over that version. CodeStale.
func (tx *Tx) PutPermit(p jobs.Permit, at time.Time) error {
	if p.Version == 0 {
		return tx.insert(&permitRow{ID: p.ID, JobID: p.JobID, Needed: string(p.Needed), PulledBy: p.PulledBy, Number: p.Number,
			AppliedDay: string(p.AppliedDay), IssuedDay: string(p.IssuedDay), ExpiresDay: string(p.ExpiresDay),
			Version: 1, CreatedAt: secs(at), UpdatedAt: secs(at)})
	}
	return tx.update("permit", &permitRow{}, p.ID, p.Version, at, change{"needed": string(p.Needed), "pulled_by": p.PulledBy,
		"number": p.Number, "applied_day": string(p.AppliedDay), "issued_day": string(p.IssuedDay), "expires_day": string(p.ExpiresDay)})
}

// Permits reads the permits of jobs, by job id.
func (tx *Tx) Permits(jobIDs ...string) (map[string]jobs.Permit, error) {
	rows, err := allOf[permitRow](tx, "id", jobIDs)
	out := map[string]jobs.Permit{}
	for _, r := range rows {
		out[r.JobID] = jobs.Permit{ID: r.ID, JobID: r.JobID, Version: r.Version, PermitData: jobs.PermitData{
			Needed: jobs.YesNo(r.Needed), PulledBy: r.PulledBy, Number: r.Number,
			AppliedDay: jobs.Day(r.AppliedDay), IssuedDay: jobs.Day(r.IssuedDay), ExpiresDay: jobs.Day(r.ExpiresDay)}}
	}
	return out, err
}

type markingRow struct {
	ID                 string
	JobID              string
	Ticket             string
	SoilOpened         string
	LawfulFromDay      string
	ExpiresDay         string
	PrivateLinesMarked bool
	RequestedDay       string
	State              string
	Version            int64
	CreatedAt          int64 `gorm:"autoCreateTime:false"`
	UpdatedAt          int64 `gorm:"autoUpdateTime:false"`
}

func (markingRow) TableName() string { return "markings" }

// PutMarking notes a job's marking: the first time where m.Version is 0, else
// over that version. CodeStale.
func (tx *Tx) PutMarking(m jobs.Marking, at time.Time) error {
	if m.Version == 0 {
		return tx.insert(&markingRow{ID: m.ID, JobID: m.JobID, Ticket: m.Ticket, SoilOpened: string(m.SoilOpened),
			LawfulFromDay: string(m.LawfulFromDay), ExpiresDay: string(m.ExpiresDay), PrivateLinesMarked: m.PrivateMarked,
			RequestedDay: string(m.RequestedDay), State: m.State, Version: 1, CreatedAt: secs(at), UpdatedAt: secs(at)})
	}
	return tx.update("marking", &markingRow{}, m.ID, m.Version, at, change{"ticket": m.Ticket, "soil_opened": string(m.SoilOpened),
		"lawful_from_day": string(m.LawfulFromDay), "expires_day": string(m.ExpiresDay), "private_lines_marked": m.PrivateMarked,
		"requested_day": string(m.RequestedDay), "state": m.State})
}

// Markings reads the markings of jobs, by job id.
func (tx *Tx) Markings(jobIDs ...string) (map[string]jobs.Marking, error) {
	rows, err := allOf[markingRow](tx, "id", jobIDs)
	out := map[string]jobs.Marking{}
	for _, r := range rows {
		out[r.JobID] = jobs.Marking{ID: r.ID, JobID: r.JobID, Version: r.Version, MarkingData: jobs.MarkingData{
			SoilOpened: jobs.YesNo(r.SoilOpened), Ticket: r.Ticket, LawfulFromDay: jobs.Day(r.LawfulFromDay),
			ExpiresDay: jobs.Day(r.ExpiresDay), PrivateMarked: r.PrivateLinesMarked,
			RequestedDay: jobs.Day(r.RequestedDay), State: r.State}}
	}
	return out, err
}

type signOffRow struct {
	ID           string
	JobID        string
	Kind         string
	SignedBy     string
	SignedAt     int64
	LeastWaterUM *int64 `gorm:"column:least_water_um"`
	Note         string
	Withdrawn    bool
	MadeBy       string
}

func (signOffRow) TableName() string { return "sign_offs" }

// InsertSignOff notes a sign-off, or takes an earlier one back.
func (tx *Tx) InsertSignOff(s jobs.SignOff) error {
	return tx.insert(&signOffRow{ID: s.ID, JobID: s.JobID, Kind: string(s.Kind), SignedBy: s.SignedBy, SignedAt: secs(s.SignedAt),
		LeastWaterUM: s.LeastWater, Note: s.Note, Withdrawn: s.Withdrawn, MadeBy: s.MadeBy})
}

// SignOffs reads the sign-offs of jobs, oldest first.
func (tx *Tx) SignOffs(jobIDs ...string) ([]jobs.SignOff, error) {
	rows, err := allOf[signOffRow](tx, "signed_at, id", jobIDs)
	out := make([]jobs.SignOff, len(rows))
	for i, r := range rows {
		out[i] = jobs.SignOff{ID: r.ID, JobID: r.JobID, Kind: jobs.SignOffKind(r.Kind), SignedBy: r.SignedBy, SignedAt: instant(r.SignedAt),
			LeastWater: r.LeastWaterUM, Note: r.Note, Withdrawn: r.Withdrawn, MadeBy: r.MadeBy}
	}
	return out, err
}
