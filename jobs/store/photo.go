package store

import (
	"encoding/base64"
	"strings"

	"ebbline/jobs"
)

type photoRow struct {
	ID        string
	BranchID  string
	SiteID    *string
	JobID     *string
	VisitID   *string
	Sha256    string
	MediaType string
	Bytes     int64
	Width     int64
	Height    int64
	Caption   string
	TakenAt   int64
	MadeBy    string
}

func (photoRow) TableName() string { return "photos" }

func (r photoRow) photo() jobs.Photo {
	return jobs.Photo{ID: r.ID, BranchID: r.BranchID, SiteID: text(r.SiteID), JobID: text(r.JobID), VisitID: text(r.VisitID),
		SHA256: r.Sha256, MediaType: r.MediaType, Bytes: r.Bytes, Width: r.Width, Height: r.Height, Caption: r.Caption,
		TakenAt: instant(r.TakenAt), MadeBy: r.MadeBy}
}

type photoChunkRow struct {
	PhotoID string
	Place   int64
	Data    string
}

func (photoChunkRow) TableName() string { return "photo_chunks" }

// photoChunk is how many bytes of a picture one row holds.
const photoChunk = 192 << 10

// InsertPhoto keeps a picture with its bytes.
func (tx *Tx) InsertPhoto(p jobs.Photo, content []byte) error {
	err := tx.insert(&photoRow{ID: p.ID, BranchID: p.BranchID, SiteID: maybeText(p.SiteID), JobID: maybeText(p.JobID),
		VisitID: maybeText(p.VisitID), Sha256: p.SHA256, MediaType: p.MediaType, Bytes: int64(len(content)), Width: p.Width,
		Height: p.Height, Caption: p.Caption, TakenAt: secs(p.TakenAt), MadeBy: p.MadeBy})
	for place := int64(0); err == nil && len(content) > 0; place++ {
		n := min(photoChunk, len(content))
		err = tx.insert(&photoChunkRow{PhotoID: p.ID, Place: place, Data: base64.StdEncoding.EncodeToString(content[:n])})
		content = content[n:]
	}
	return err
}

// FindPhoto is the job's picture with the same bytes, if there is one.
func (tx *Tx) FindPhoto(jobID, sha256 string) (jobs.Photo, bool, error) {
	rows, err := all[photoRow](tx, "id", "job_id = ? AND sha256 = ?", jobID, sha256)
	if err != nil || len(rows) == 0 {
		return jobs.Photo{}, false, err
	}
	return rows[0].photo(), true, nil
}

// Photo reads what is known of a picture. CodeNotFound.
func (tx *Tx) Photo(id string) (jobs.Photo, error) {
	row, err := first[photoRow](tx, "photo", "id = ?", id)
	return row.photo(), err
}

// Photos lists a job's pictures, oldest first.
func (tx *Tx) Photos(jobID string) ([]jobs.Photo, error) {
	rows, err := all[photoRow](tx, "taken_at, id", "job_id = ?", jobID)
	out := make([]jobs.Photo, len(rows))
	for i, r := range rows {
		out[i] = r.photo()
	}
	return out, err
}

// PhotoBytes reads the picture itself.
func (tx *Tx) PhotoBytes(id string) ([]byte, error) {
	rows, err := all[photoChunkRow](tx, "place", "photo_id = ?", id)
	if err != nil {
		return nil, err
	}
	var b strings.Builder
	for _, r := range rows {
		part, err := base64.StdEncoding.DecodeString(r.Data)
		if err != nil {
			return nil, err
		}
		b.Write(part)
	}
	return []byte(b.String()), nil
}
