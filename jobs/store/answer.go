package store

import "ebbline/jobs"

type answerRow struct {
	ID        string
	BranchID  string
	JobID     string
	ContactID *string
	LinkID    string
	Kind      string
	Note      string
	At        int64
	MadeBy    string
}

func (answerRow) TableName() string { return "answers" }

// InsertAnswer keeps what was said.
func (tx *Tx) InsertAnswer(a jobs.Answer) error {
	return tx.insert(&answerRow{ID: a.ID, BranchID: a.BranchID, JobID: a.JobID, ContactID: maybeText(a.ContactID),
		LinkID: a.LinkID, Kind: string(a.Kind), Note: a.Note, At: secs(a.At), MadeBy: a.MadeBy})
}

// Answers reads what was said about the jobs, oldest first.
func (tx *Tx) Answers(jobIDs ...string) ([]jobs.Answer, error) {
	if len(jobIDs) == 0 {
		return nil, nil
	}
	rows, err := all[answerRow](tx, "at, id", "job_id IN ?", jobIDs)
	out := make([]jobs.Answer, len(rows))
	for i, r := range rows {
		out[i] = jobs.Answer{ID: r.ID, BranchID: r.BranchID, JobID: r.JobID, ContactID: text(r.ContactID), LinkID: r.LinkID,
			Kind: jobs.AnswerKind(r.Kind), Note: r.Note, At: instant(r.At), MadeBy: r.MadeBy}
	}
	return out, err
}

type readingRow struct {
	ID          string
	BranchID    string
	JobID       string
	SubjectID   *string
	BelowTileUm int64
	Text        string
	Unit        string
	At          int64
	MadeBy      string
	LinkID      string
	PhotoID     string
}

func (readingRow) TableName() string { return "water_readings" }

// InsertReading keeps a water reading.
func (tx *Tx) InsertReading(r jobs.Reading) error {
	return tx.insert(&readingRow{ID: r.ID, BranchID: r.BranchID, JobID: r.JobID, SubjectID: maybeText(r.SubjectID),
		BelowTileUm: r.BelowTileUM, Text: r.Text, Unit: r.Unit, At: secs(r.At), MadeBy: r.MadeBy, LinkID: r.LinkID, PhotoID: r.PhotoID})
}

// Readings reads the water readings of the jobs, oldest first.
func (tx *Tx) Readings(jobIDs ...string) ([]jobs.Reading, error) {
	if len(jobIDs) == 0 {
		return nil, nil
	}
	rows, err := all[readingRow](tx, "at, id", "job_id IN ?", jobIDs)
	out := make([]jobs.Reading, len(rows))
	for i, r := range rows {
		out[i] = jobs.Reading{ID: r.ID, BranchID: r.BranchID, JobID: r.JobID, SubjectID: text(r.SubjectID), BelowTileUM: r.BelowTileUm,
			Text: r.Text, Unit: r.Unit, At: instant(r.At), MadeBy: r.MadeBy, LinkID: r.LinkID, PhotoID: r.PhotoID}
	}
	return out, err
}
