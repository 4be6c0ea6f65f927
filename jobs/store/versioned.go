package store

import (
	"maps"
	"time"

	"ebbline/jobs"
)

// change is the columns that an update sets: always a map, so that zero values
// are written too.
type change map[string]any

// update changes the row (model names its table: a pointer to a row struct)
// when it still stands at version, and raises the version by one. No row
// changed means that it is gone (CodeNotFound) or that somebody was faster
// (CodeStale).
func (tx *Tx) update(noun string, model any, id string, version int64, at time.Time, set change) error {
	set = maps.Clone(set)
	set["version"] = version + 1
	set["updated_at"] = secs(at)
	done := tx.db.Model(model).Where("id = ? AND version = ?", id, version).Updates(map[string]any(set))
	if done.Error != nil {
		return done.Error
	}
	if done.RowsAffected == 1 {
		return nil
	}
	return tx.whyNone(noun, model, id)
}

// remove deletes the row when it still stands at version.
func (tx *Tx) remove(noun string, model any, id string, version int64) error {
	done := tx.db.Where("id = ? AND version = ?", id, version).Delete(model)
	if done.Error != nil {
		return done.Error
	}
	if done.RowsAffected == 1 {
		return nil
	}
	return tx.whyNone(noun, model, id)
}

func (tx *Tx) whyNone(noun string, model any, id string) error {
	var n int64
	if err := tx.db.Model(model).Where("id = ?", id).Count(&n).Error; err != nil {
		return err
	}
	if n == 0 {
		return jobs.Errorf(jobs.CodeNotFound, "There is no such %s", noun)
	}
	return jobs.Errorf(jobs.CodeStale, "Somebody changed this %s since you read it; read it again", noun)
}
