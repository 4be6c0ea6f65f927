package store

import (
	"time"

	"ebbline/jobs"
)

type linkRow struct {
	ID        string
	Hash      string
	Purpose   string
	BranchID  string
	JobID     string
	ContactID string
	QuoteID   *string
	ExpiresAt int64
	UsedAt    *int64
	RevokedAt *int64
	CreatedAt int64 `gorm:"autoCreateTime:false"`
}

func (linkRow) TableName() string { return "customer_links" }

// InsertLink keeps a customer's link.
func (tx *Tx) InsertLink(l jobs.CustomerLink) error {
	return tx.insert(&linkRow{ID: l.ID, Hash: l.Hash, Purpose: string(l.Purpose), BranchID: l.BranchID, JobID: l.JobID,
		ContactID: l.ContactID, QuoteID: maybeText(l.QuoteID), ExpiresAt: secs(l.ExpiresAt), CreatedAt: secs(l.CreatedAt)})
}

// LinkByHash finds the link of a secret. CodeNotFound.
func (tx *Tx) LinkByHash(hash string) (jobs.CustomerLink, error) {
	r, err := first[linkRow](tx, "link", "hash = ?", hash)
	if err != nil {
		return jobs.CustomerLink{}, err
	}
	l := jobs.CustomerLink{ID: r.ID, Hash: r.Hash, Purpose: jobs.LinkPurpose(r.Purpose), BranchID: r.BranchID, JobID: r.JobID,
		ContactID: r.ContactID, QuoteID: text(r.QuoteID), ExpiresAt: instant(r.ExpiresAt), CreatedAt: instant(r.CreatedAt)}
	if r.UsedAt != nil {
		t := instant(*r.UsedAt)
		l.UsedAt = &t
	}
	if r.RevokedAt != nil {
		t := instant(*r.RevokedAt)
		l.RevokedAt = &t
	}
	return l, nil
}

// UseLink notes that the link was answered.
func (tx *Tx) UseLink(id string, at time.Time) error {
	return tx.db.Model(&linkRow{}).Where("id = ?", id).Updates(map[string]any{"used_at": secs(at)}).Error
}

// RevokeLinks ends a job's links of one purpose, because what they were for
// is over or was replaced.
func (tx *Tx) RevokeLinks(jobID string, purpose jobs.LinkPurpose, at time.Time) error {
	return tx.db.Model(&linkRow{}).Where("job_id = ? AND purpose = ? AND revoked_at IS NULL", jobID, string(purpose)).
		Updates(map[string]any{"revoked_at": secs(at)}).Error
}
