package desk

import (
	"context"

	"ebbline/jobs/store"
)

// CleanUp forgets outcomes whose keys have had their time, and sessions that ended or
// ran out as long ago.
func (d *Desk) CleanUp(ctx context.Context) error {
	before := d.clock.Now().Add(-KeyLife)
	return d.store.InTx(ctx, func(tx *store.Tx) error {
		if _, err := tx.SweepOutcomes(before); err != nil {
			return err
		}
		_, err := tx.SweepSessions(before)
		return err
	})
}
