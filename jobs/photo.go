package jobs

import "time"

// MaxPhotoBytes and MaxPhotoPixels bound what is taken in.
const (
	MaxPhotoBytes  = 10 << 20
	MaxPhotoPixels = 40_000_000
)

// Photo is a picture of a site. Its bytes lie in SQL beside it, re-encoded so
// that nothing but the picture is kept (no place, no camera).
type Photo struct {
	ID        string
	BranchID  string
	SiteID    string
	JobID     string
	VisitID   string
	SHA256    string
	MediaType string
	Bytes     int64
	Width     int64
	Height    int64
	Caption   string
	TakenAt   time.Time
	MadeBy    string
}
