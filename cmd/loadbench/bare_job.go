package main

import (
	"net/http"
	"time"
)

type bareVisit struct {
	ID      string `json:"id"`
	Place   int64  `json:"place"`
	Kind    string `json:"kind"`
	State   string `json:"state"`
	Seconds *int64 `json:"seconds,omitempty"`
	PinDay  string `json:"pin_day,omitempty"`
	Version int64  `json:"version"`
}

type bareJob struct {
	ID       string      `json:"id"`
	Branch   string      `json:"branch_id"`
	Number   int64       `json:"number"`
	Customer string      `json:"customer_id"`
	Site     string      `json:"site_id"`
	Who      string      `json:"customer_name"`
	Where    string      `json:"site_name"`
	Kind     string      `json:"kind"`
	State    string      `json:"state"`
	Value    *int64      `json:"value_cents,omitempty"`
	Due      string      `json:"due_day,omitempty"`
	Early    bool        `json:"can_come_early"`
	Way      string      `json:"way_low"`
	Note     string      `json:"note"`
	Visits   []bareVisit `json:"visits"`
	Created  time.Time   `json:"created_at"`
	Version  int64       `json:"version"`
}

func (b *bareServer) job(w http.ResponseWriter, r *http.Request) {
	var j bareJob
	var created int64
	err := b.pool.QueryRow(r.Context(), `SELECT j.id, j.branch_id, j.number, j.customer_id, j.site_id, c.name, s.name, j.kind, j.state,
		j.value_cents, j.due_day, j.can_come_early, j.way_low, j.note, j.created_at, j.version
		FROM jobs j JOIN customers c ON c.id = j.customer_id JOIN sites s ON s.id = j.site_id WHERE j.id = $1`, r.PathValue("id")).
		Scan(&j.ID, &j.Branch, &j.Number, &j.Customer, &j.Site, &j.Who, &j.Where, &j.Kind, &j.State, &j.Value, &j.Due, &j.Early, &j.Way, &j.Note, &created, &j.Version)
	if err != nil {
		http.Error(w, err.Error(), http.StatusNotFound)
		return
	}
	j.Created = time.Unix(created, 0).UTC()
	rows, err := b.pool.Query(r.Context(), `SELECT id, place, kind, state, seconds, pin_day, version FROM visits WHERE job_id = $1 ORDER BY place`, j.ID)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	defer rows.Close()
	for rows.Next() {
		var v bareVisit
		if err := rows.Scan(&v.ID, &v.Place, &v.Kind, &v.State, &v.Seconds, &v.PinDay, &v.Version); err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
		j.Visits = append(j.Visits, v)
	}
	if err := rows.Err(); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	answerJSON(w, http.StatusOK, j)
}
