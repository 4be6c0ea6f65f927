package desk

import (
	"context"
	"encoding/json"
	"errors"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// Settings reads a branch's rates and rules in force, whole: the numbers of
// package estimate are filled in where nobody has set them. CodeNotFound.
func (d *Desk) Settings(ctx context.Context, branchID string) (jobs.SettingsInForce, error) {
	s, err := read(ctx, d, func(tx *store.Tx) (jobs.SettingsInForce, error) {
		if _, err := tx.Branch(branchID); err != nil {
			return jobs.SettingsInForce{}, err
		}
		return tx.Settings(branchID)
	})
	if err != nil {
		return s, err
	}
	set := estimate.DefaultSettings()
	if len(s.Settings.Estimate) > 0 {
		if set, err = estimate.DecodeSettings(s.Settings.Estimate); err != nil {
			return s, err
		}
	}
	s.Settings.Estimate, err = json.Marshal(set)
	return s, err
}

// estimateSettings are the numbers that an estimate is made with. Its version
// is the number of the settings.
func estimateSettings(s jobs.SettingsInForce) (estimate.Settings, error) {
	set := estimate.DefaultSettings()
	if len(s.Settings.Estimate) > 0 {
		var err error
		if set, err = estimate.DecodeSettings(s.Settings.Estimate); err != nil {
			return set, err
		}
	}
	set.Version = int(s.Number)
	return set, nil
}

// ChangeSettings puts a new version of a branch's rates and rules into force,
// over the number that the caller read. They are sent whole. Parts and sign-offs
// gate jobs by some of them, so those are looked at again. CodeInvalid,
// CodeNotFound, CodeStale.
func (d *Desk) ChangeSettings(ctx context.Context, call Call, branchID string, number int64, body []byte) (Outcome, error) {
	s, err := jobs.DecodeSettings(body)
	if err != nil {
		return Outcome{}, err
	}
	if len(s.Estimate) > 0 {
		if _, err := estimate.DecodeSettings(s.Estimate); err != nil {
			return Outcome{}, under("estimate", err)
		}
	}
	out, err := d.act(ctx, call, "changeSettings", func(tx *store.Tx) (Outcome, error) {
		if _, err := tx.Branch(branchID); err != nil {
			return Outcome{}, err
		}
		old, err := tx.Settings(branchID)
		if err != nil {
			return Outcome{}, err
		}
		if err := stale("version of the settings", old.Number, number); err != nil {
			return Outcome{}, err
		}
		next := jobs.SettingsInForce{BranchID: branchID, Number: number + 1, Settings: s, MadeAt: call.Now, MadeBy: call.Actor.Name}
		return Outcome{Noun: "settings", NounID: branchID, Version: number + 1, BranchID: branchID}, tx.InsertSettings(next)
	})
	if err == nil {
		// The change stands by now, whatever comes of this: planning looks again
		// before it puts a week together, and says then what is wrong.
		_, _ = d.SettleDay(ctx, call, branchID)
	}
	return out, err
}

// under puts the fields of an error below a name.
func under(name string, err error) error {
	var e *jobs.Error
	if !errors.As(err, &e) {
		return err
	}
	out := *e
	out.Fields = nil
	for _, f := range e.Fields {
		f.Field = name + "." + f.Field
		out.Fields = append(out.Fields, f)
	}
	return &out
}
