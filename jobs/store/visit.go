package store

import "ebbline/jobs"

type visitRow struct {
	ID          string
	JobID       string
	Place       int64
	Kind        string
	State       string
	Seconds     *int64
	PinDay      string
	PinCrewID   string
	PinStart    *int64
	BegunAt     *int64
	DoneAt      *int64
	Outcome     string
	OutcomeNote string
	Version     int64
	CreatedAt   int64 `gorm:"autoCreateTime:false"`
	UpdatedAt   int64 `gorm:"autoUpdateTime:false"`
}

func (visitRow) TableName() string { return "visits" }

func (r visitRow) visit() jobs.Visit {
	return jobs.Visit{
		ID: r.ID, JobID: r.JobID, Place: r.Place, Kind: jobs.VisitKind(r.Kind), State: jobs.VisitState(r.State),
		Seconds: r.Seconds, PinDay: jobs.Day(r.PinDay), PinCrewID: r.PinCrewID, PinStart: maybeInstant(r.PinStart),
		BegunAt: maybeInstant(r.BegunAt), DoneAt: maybeInstant(r.DoneAt), Outcome: r.Outcome, OutcomeNote: r.OutcomeNote,
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt),
	}
}

// InsertVisit adds a visit to a chain.
func (tx *Tx) InsertVisit(v jobs.Visit) error {
	return tx.insert(&visitRow{
		ID: v.ID, JobID: v.JobID, Place: v.Place, Kind: string(v.Kind), State: string(v.State), Seconds: v.Seconds,
		PinDay: string(v.PinDay), PinCrewID: v.PinCrewID, PinStart: maybeSecs(v.PinStart),
		BegunAt: maybeSecs(v.BegunAt), DoneAt: maybeSecs(v.DoneAt), Outcome: v.Outcome, OutcomeNote: v.OutcomeNote,
		Version: v.Version, CreatedAt: secs(v.CreatedAt), UpdatedAt: secs(v.UpdatedAt),
	})
}

// UpdateVisit writes v over the version it was read at. CodeStale,
// CodeNotFound.
func (tx *Tx) UpdateVisit(v jobs.Visit) error {
	return tx.update("visit", &visitRow{}, v.ID, v.Version, v.UpdatedAt, change{
		"place": v.Place, "state": string(v.State), "seconds": v.Seconds,
		"pin_day": string(v.PinDay), "pin_crew_id": v.PinCrewID, "pin_start": maybeSecs(v.PinStart),
		"begun_at": maybeSecs(v.BegunAt), "done_at": maybeSecs(v.DoneAt), "outcome": v.Outcome, "outcome_note": v.OutcomeNote,
	})
}

// Visit reads one visit. CodeNotFound.
func (tx *Tx) Visit(id string) (jobs.Visit, error) {
	row, err := first[visitRow](tx, "visit", "id = ?", id)
	return row.visit(), err
}

// Visits reads the chains of jobs, each in its order.
func (tx *Tx) Visits(jobIDs ...string) ([]jobs.Visit, error) {
	if len(jobIDs) == 0 {
		return nil, nil
	}
	rows, err := all[visitRow](tx, "job_id, place, id", "job_id IN ?", jobIDs)
	out := make([]jobs.Visit, len(rows))
	for i, r := range rows {
		out[i] = r.visit()
	}
	return out, err
}

type visitKindRow struct {
	ID             string
	Name           string
	Place          int64
	Water          string
	Licensed       bool
	DefaultSeconds int64
}

func (visitKindRow) TableName() string { return "visit_kinds" }

// VisitKinds reads the kinds of visit with what each needs.
func (tx *Tx) VisitKinds() ([]jobs.VisitKindInfo, error) {
	rows, err := all[visitKindRow](tx, "place, id", "1 = 1")
	out := make([]jobs.VisitKindInfo, len(rows))
	for i, r := range rows {
		out[i] = jobs.VisitKindInfo{ID: jobs.VisitKind(r.ID), Name: r.Name, Place: r.Place, Water: r.Water,
			Licensed: r.Licensed, Seconds: r.DefaultSeconds}
	}
	return out, err
}

// VisitTold is where and when a visit was handed out.
type VisitTold struct {
	CrewID   string
	CrewName string
	StartS   int64 // unix seconds
	EndS     int64
	From     *int64 // the window that the customer was told
	To       *int64
}

// VisitsTold reads what was handed out for visits, by visit id.
func (tx *Tx) VisitsTold(visitIDs ...string) (map[string]VisitTold, error) {
	out := map[string]VisitTold{}
	if len(visitIDs) == 0 {
		return out, nil
	}
	var rows []struct {
		VisitTold
		VisitID string
	}
	err := tx.db.Table("stops").
		Select(`stops.visit_id, stops.crew_id, crews.name AS crew_name, stops.start_s, stops.end_s,
			promises.from_at AS "from", promises.to_at AS "to"`).
		Joins("JOIN crews ON crews.id = stops.crew_id").
		Joins("LEFT JOIN promises ON promises.visit_id = stops.visit_id AND promises.live").
		Where("stops.live AND stops.visit_id IN ?", visitIDs).Find(&rows).Error
	for _, r := range rows {
		out[r.VisitID] = r.VisitTold
	}
	return out, err
}

// VisitsByID reads visits by id; those that are not there are left out.
func (tx *Tx) VisitsByID(ids ...string) (map[string]jobs.Visit, error) {
	out := map[string]jobs.Visit{}
	if len(ids) == 0 {
		return out, nil
	}
	rows, err := all[visitRow](tx, "id", "id IN ?", ids)
	for _, r := range rows {
		out[r.ID] = r.visit()
	}
	return out, err
}
