package store

import (
	"time"

	"ebbline/jobs"
)

type tourRow struct {
	ID           string
	PlanID       string
	BranchID     string
	CrewID       string
	Day          string
	DepartAt     int64
	ReturnAt     int64
	LunchAt      *int64
	LunchSeconds int64
	MorningPumps int64
	Live         bool
}

func (tourRow) TableName() string { return "tours" }

func (r tourRow) tour() jobs.Tour {
	return jobs.Tour{ID: r.ID, PlanID: r.PlanID, BranchID: r.BranchID, CrewID: r.CrewID, Day: jobs.Day(r.Day),
		DepartAt: instant(r.DepartAt), ReturnAt: instant(r.ReturnAt), LunchAt: maybeInstant(r.LunchAt), LunchSeconds: r.LunchSeconds,
		MorningPumps: r.MorningPumps, Live: r.Live}
}

type stopRow struct {
	ID         string
	PlanID     string
	BranchID   string
	TourID     string
	CrewID     string
	JobID      string
	VisitID    string
	Place      int64
	ArriveAt   int64
	StartS     int64
	EndS       int64
	PumpsAfter int64
	Live       bool
}

func (stopRow) TableName() string { return "stops" }

func (r stopRow) stop() jobs.Stop {
	return jobs.Stop{ID: r.ID, PlanID: r.PlanID, BranchID: r.BranchID, TourID: r.TourID, CrewID: r.CrewID, JobID: r.JobID,
		VisitID: r.VisitID, Place: r.Place, ArriveAt: instant(r.ArriveAt), StartAt: instant(r.StartS), EndAt: instant(r.EndS),
		PumpsAfter: r.PumpsAfter, Live: r.Live}
}

// InsertTours writes crews' days.
func (tx *Tx) InsertTours(list []jobs.Tour) error {
	if len(list) == 0 {
		return nil
	}
	rows := each(list, func(t jobs.Tour) tourRow {
		return tourRow{ID: t.ID, PlanID: t.PlanID, BranchID: t.BranchID, CrewID: t.CrewID, Day: string(t.Day), DepartAt: secs(t.DepartAt),
			ReturnAt: secs(t.ReturnAt), LunchAt: maybeSecs(t.LunchAt), LunchSeconds: t.LunchSeconds, MorningPumps: t.MorningPumps, Live: t.Live}
	})
	return tx.insert(&rows)
}

// InsertStops writes stops. CodeConflict (stops_one_place) when a crew would be
// in two places at once; Postgres says so only at the end of the transaction.
func (tx *Tx) InsertStops(list []jobs.Stop) error {
	if len(list) == 0 {
		return nil
	}
	rows := each(list, func(s jobs.Stop) stopRow {
		return stopRow{ID: s.ID, PlanID: s.PlanID, BranchID: s.BranchID, TourID: s.TourID, CrewID: s.CrewID, JobID: s.JobID, VisitID: s.VisitID,
			Place: s.Place, ArriveAt: secs(s.ArriveAt), StartS: secs(s.StartAt), EndS: secs(s.EndAt), PumpsAfter: s.PumpsAfter, Live: s.Live}
	})
	return tx.insert(&rows)
}

// LiveTours reads what crews were told of the days from the first to the last.
func (tx *Tx) LiveTours(branchID string, from, to jobs.Day) ([]jobs.Tour, error) {
	rows, err := all[tourRow](tx, "day, crew_id, id", "branch_id = ? AND live AND day >= ? AND day <= ?", branchID, string(from), string(to))
	return each(rows, tourRow.tour), err
}

// LiveStops reads the stops that crews were told and that end after the
// instant, in the order of their tours.
func (tx *Tx) LiveStops(branchID string, after time.Time) ([]jobs.Stop, error) {
	rows, err := all[stopRow](tx, "tour_id, place, id", "branch_id = ? AND live AND end_s > ?", branchID, secs(after))
	return each(rows, stopRow.stop), err
}

// RetireTours sets tours not live.
func (tx *Tx) RetireTours(ids []string) error { return tx.retire(&tourRow{}, ids) }

// RetireStops sets stops not live.
func (tx *Tx) RetireStops(ids []string) error { return tx.retire(&stopRow{}, ids) }

func (tx *Tx) retire(model any, ids []string) error {
	for len(ids) > 0 {
		part := ids[:min(len(ids), 500)]
		ids = ids[len(part):]
		if err := tx.db.Model(model).Where("id IN ?", part).Updates(map[string]any{"live": false}).Error; err != nil {
			return err
		}
	}
	return nil
}

// MoveStops hangs stops that stay as they are under another tour.
func (tx *Tx) MoveStops(tourID string, ids []string) error {
	if len(ids) == 0 {
		return nil
	}
	return tx.db.Model(&stopRow{}).Where("id IN ?", ids).Updates(map[string]any{"tour_id": tourID}).Error
}

// CrewDay reads what a crew was told of one day; none when it was told nothing.
func (tx *Tx) CrewDay(crewID string, day jobs.Day) ([]jobs.Tour, []jobs.Stop, error) {
	tours, err := all[tourRow](tx, "id", "live AND crew_id = ? AND day = ?", crewID, string(day))
	if err != nil || len(tours) == 0 {
		return nil, nil, err
	}
	stops, err := tx.StopsOfTour(tours[0].ID)
	return each(tours, tourRow.tour), stops, err
}

// StopsOf reads every stop that was ever handed out for the visits, the live
// ones last.
func (tx *Tx) StopsOf(visitIDs ...string) ([]jobs.Stop, error) {
	if len(visitIDs) == 0 {
		return nil, nil
	}
	rows, err := all[stopRow](tx, "visit_id, live, start_s, id", "visit_id IN ?", visitIDs)
	return each(rows, stopRow.stop), err
}

// EndStop sets when a stop that has begun really ends.
func (tx *Tx) EndStop(id string, at time.Time) error {
	return tx.db.Model(&stopRow{}).Where("id = ?", id).Updates(map[string]any{"end_s": secs(at)}).Error
}

// StopsOfTour reads the live stops of a crew's day, in order.
func (tx *Tx) StopsOfTour(tourID string) ([]jobs.Stop, error) {
	rows, err := all[stopRow](tx, "place, id", "live AND tour_id = ?", tourID)
	return each(rows, stopRow.stop), err
}
