package desk

import (
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// limits are the days that a job's gating facts allow.
type limits struct{ notBefore, notAfter jobs.Day }

// limitsOf reads the days that gating facts allow, for jobs that wait for them.
func limitsOf(tx *store.Tx, list []jobs.Job, now time.Time) (map[string]limits, error) {
	out := map[string]limits{}
	for _, j := range list {
		if j.State != jobs.StateReady && j.State != jobs.StateRouted {
			continue
		}
		f, err := factsOf(tx, j, now)
		if err != nil {
			return nil, err
		}
		out[j.ID] = limits{f.NotBefore, f.NotAfter}
	}
	return out, nil
}
