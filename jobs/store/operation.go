package store

import (
	"encoding/json"
	"fmt"
	"time"

	"ebbline/jobs"
)

type operationRow struct {
	ID         string
	BranchID   string
	VisitID    string
	JobID      string
	UserID     string
	CrewID     string
	Kind       string
	StepID     string
	Body       string
	PhoneAt    int64
	ReceivedAt int64
	Flag       string
}

func (operationRow) TableName() string { return "field_operations" }

// operationBody is what only some kinds of operation carry.
type operationBody struct {
	Text        string      `json:"text,omitempty"`
	Unit        string      `json:"unit,omitempty"`
	Value       *int64      `json:"value,omitempty"`
	AmountCents *jobs.Cents `json:"amount_cents,omitempty"`
	PartID      string      `json:"part_id,omitempty"`
	SubjectID   string      `json:"subject_id,omitempty"`
	Serial      string      `json:"serial,omitempty"`
	Batch       string      `json:"batch,omitempty"`
	Reason      string      `json:"reason,omitempty"`
	Until       *time.Time  `json:"until,omitempty"`
}

// InsertOperation keeps a report from the pool.
func (tx *Tx) InsertOperation(branchID string, o jobs.Operation) error {
	body, err := json.Marshal(operationBody{o.Text, o.Unit, o.Value, o.AmountCents, o.PartID, o.SubjectID,
		o.Serial, o.Batch, o.Reason, o.Until})
	if err != nil {
		return err
	}
	return tx.insert(&operationRow{ID: o.ID, BranchID: branchID, VisitID: o.VisitID, JobID: o.JobID, UserID: o.UserID,
		CrewID: o.CrewID, Kind: string(o.Kind), StepID: o.StepID, Body: string(body), PhoneAt: secs(o.At),
		ReceivedAt: secs(o.ReceivedAt), Flag: o.Flag})
}

// Operations reads all reports of the visits, by the phone's clock.
func (tx *Tx) Operations(visitIDs ...string) ([]jobs.Operation, error) {
	if len(visitIDs) == 0 {
		return nil, nil
	}
	rows, err := all[operationRow](tx, "phone_at, id", "visit_id IN ?", visitIDs)
	if err != nil {
		return nil, err
	}
	out := make([]jobs.Operation, len(rows))
	for i, r := range rows {
		if out[i], err = r.operation(); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (r operationRow) operation() (jobs.Operation, error) {
	var b operationBody
	if err := json.Unmarshal([]byte(r.Body), &b); err != nil {
		return jobs.Operation{}, fmt.Errorf("read field operation %s: %w", r.ID, err)
	}
	return jobs.Operation{ID: r.ID, VisitID: r.VisitID, JobID: r.JobID, Kind: jobs.OperationKind(r.Kind),
		StepID: r.StepID, Text: b.Text, Unit: b.Unit, Value: b.Value, AmountCents: b.AmountCents, PartID: b.PartID,
		SubjectID: b.SubjectID, Serial: b.Serial, Batch: b.Batch, Reason: b.Reason, Until: b.Until,
		At: instant(r.PhoneAt), ReceivedAt: instant(r.ReceivedAt), UserID: r.UserID, CrewID: r.CrewID, Flag: r.Flag}, nil
}

// OperationsByID reads the reports with the ids, by id.
func (tx *Tx) OperationsByID(ids ...string) (map[string]jobs.Operation, error) {
	out := map[string]jobs.Operation{}
	if len(ids) == 0 {
		return out, nil
	}
	rows, err := all[operationRow](tx, "id", "id IN ?", ids)
	for _, r := range rows {
		o, err := r.operation()
		if err != nil {
			return nil, err
		}
		out[o.ID] = o
	}
	return out, err
}
