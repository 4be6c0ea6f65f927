package jobs

import "time"

// Reading is the water's distance below the tile line at an instant, as read.
type Reading struct {
	ID          string
	BranchID    string
	JobID       string
	SubjectID   string // the body of water; empty: the job's main one
	BelowTileUM int64  // whole micrometres
	Text        string // as entered
	Unit        string
	At          time.Time
	MadeBy      string
	LinkID      string
	PhotoID     string
}

// LowAt predicts when the water reaches targetUM below the tile line from two
// or more readings of a falling level: the least-squares line through them,
// read at the target. The second result is false while the readings do not
// say (fewer than two, no time between them, or the level is not falling).
// Readings must be ordered by time.
func LowAt(readings []Reading, targetUM int64) (time.Time, bool) {
	n := len(readings)
	if n < 2 {
		return time.Time{}, false
	}
	if last := readings[n-1]; last.BelowTileUM >= targetUM {
		for _, r := range readings {
			if r.BelowTileUM >= targetUM {
				return r.At, true
			}
		}
	}
	t0 := readings[0].At
	var st, sy, stt, sty float64
	for _, r := range readings {
		t, y := r.At.Sub(t0).Seconds(), float64(r.BelowTileUM)
		st, sy, stt, sty = st+t, sy+y, stt+t*t, sty+t*y
	}
	den := float64(n)*stt - st*st
	if den <= 0 {
		return time.Time{}, false
	}
	rate := (float64(n)*sty - st*sy) / den // micrometres per second
	if rate <= 0 {
		return time.Time{}, false
	}
	meanT, meanY := st/float64(n), sy/float64(n)
	seconds := meanT + (float64(targetUM)-meanY)/rate
	const month = 31 * 24 * 3600
	if seconds > month {
		return time.Time{}, false
	}
	return t0.Add(time.Duration(seconds) * time.Second), true
}
