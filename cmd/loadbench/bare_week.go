package main

import (
	"context"
	"net/http"
	"time"
)

type bareStop struct {
	Visit    string    `json:"visit_id"`
	Job      string    `json:"job_id"`
	Number   int64     `json:"number"`
	Kind     string    `json:"kind"`
	Customer string    `json:"customer_name"`
	Site     string    `json:"site_name"`
	Arrive   time.Time `json:"arrive_at"`
	Start    time.Time `json:"start_at"`
	End      time.Time `json:"end_at"`
	Pumps    int64     `json:"pumps_after"`
}

type bareTour struct {
	ID     string     `json:"id"`
	Crew   string     `json:"crew_name"`
	Day    string     `json:"day"`
	Depart time.Time  `json:"depart_at"`
	Return time.Time  `json:"return_at"`
	Pumps  int64      `json:"morning_pumps"`
	Stops  []bareStop `json:"stops"`
}

type bareDrain struct {
	Job     string     `json:"job_id"`
	Way     string     `json:"way_low"`
	From    *time.Time `json:"told_from,omitempty"`
	To      *time.Time `json:"told_to,omitempty"`
	Low     *time.Time `json:"low_late_at,omitempty"`
	Covered *time.Time `json:"covered_at,omitempty"`
	Limit   *time.Time `json:"limit_at,omitempty"`
}

// week answers the live tours of five days from the first, with their stops,
// and the water of every pool in them: three statements.
func (b *bareServer) week(w http.ResponseWriter, r *http.Request) {
	first, err := time.Parse(time.DateOnly, r.PathValue("first"))
	if err != nil {
		http.Error(w, "want a day", http.StatusBadRequest)
		return
	}
	branch, last := r.URL.Query().Get("branch_id"), first.AddDate(0, 0, 6).Format(time.DateOnly)
	tours, err := b.tours(r.Context(), branch, r.PathValue("first"), last)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	drains, err := b.drains(r.Context(), branch)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	answerJSON(w, http.StatusOK, map[string]any{"branch_id": branch, "tours": tours, "strips": drains})
}

func (b *bareServer) tours(ctx context.Context, branch, first, last string) ([]bareTour, error) {
	rows, err := b.pool.Query(ctx, `SELECT t.id, c.name, t.day, t.depart_at, t.return_at, t.morning_pumps FROM tours t
		JOIN crews c ON c.id = t.crew_id WHERE t.live AND t.branch_id = $1 AND t.day BETWEEN $2 AND $3 ORDER BY t.day, c.name`, branch, first, last)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var tours []bareTour
	at := map[string]int{}
	for rows.Next() {
		var t bareTour
		var depart, back int64
		if err := rows.Scan(&t.ID, &t.Crew, &t.Day, &depart, &back, &t.Pumps); err != nil {
			return nil, err
		}
		t.Depart, t.Return = *instant(&depart), *instant(&back)
		at[t.ID] = len(tours)
		tours = append(tours, t)
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	stops, err := b.pool.Query(ctx, `SELECT p.tour_id, p.visit_id, p.job_id, j.number, v.kind, c.name, s.name, p.arrive_at, p.start_s, p.end_s, p.pumps_after
		FROM stops p JOIN tours t ON t.id = p.tour_id JOIN visits v ON v.id = p.visit_id JOIN jobs j ON j.id = p.job_id
		JOIN customers c ON c.id = j.customer_id JOIN sites s ON s.id = j.site_id
		WHERE p.live AND t.branch_id = $1 AND t.day BETWEEN $2 AND $3 ORDER BY p.tour_id, p.place`, branch, first, last)
	if err != nil {
		return nil, err
	}
	defer stops.Close()
	for stops.Next() {
		var s bareStop
		var tour string
		var arrive, start, end int64
		if err := stops.Scan(&tour, &s.Visit, &s.Job, &s.Number, &s.Kind, &s.Customer, &s.Site, &arrive, &start, &end, &s.Pumps); err != nil {
			return nil, err
		}
		s.Arrive, s.Start, s.End = *instant(&arrive), *instant(&start), *instant(&end)
		tours[at[tour]].Stops = append(tours[at[tour]].Stops, s)
	}
	return tours, stops.Err()
}

func (b *bareServer) drains(ctx context.Context, branch string) ([]bareDrain, error) {
	rows, err := b.pool.Query(ctx, `SELECT job_id, way_low, told_from, told_to, low_late_at, covered_at, limit_at FROM drains WHERE live AND branch_id = $1`, branch)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var drains []bareDrain
	for rows.Next() {
		var d bareDrain
		var from, to, low, covered, limit *int64
		if err := rows.Scan(&d.Job, &d.Way, &from, &to, &low, &covered, &limit); err != nil {
			return nil, err
		}
		d.From, d.To, d.Low, d.Covered, d.Limit = instant(from), instant(to), instant(low), instant(covered), instant(limit)
		drains = append(drains, d)
	}
	return drains, rows.Err()
}

func instant(second *int64) *time.Time {
	if second == nil {
		return nil
	}
	at := time.Unix(*second, 0).UTC()
	return &at
}
