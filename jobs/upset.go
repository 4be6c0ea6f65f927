package jobs

import "time"

// Upset is what a draft mends: what happened, what was recorded of it, and what
// it would come to if nobody did anything.
type Upset struct {
	Kind      ChangeWord `json:"kind"`
	Says      string     `json:"says"`
	Recorded  []Recorded `json:"recorded"`
	Untouched Untouched  `json:"untouched"`
	// Stood is what it costs if only what no longer fits is left out; nil: not
	// planned yet. Early are jobs of the standby list that come sooner for it.
	Stood *Cents     `json:"stood,omitempty"`
	Early []UpsetJob `json:"early,omitempty"`
}

// UpsetJob is a job as people call it.
type UpsetJob struct {
	JobID        string `json:"job_id"`
	JobNumber    int64  `json:"job_number"`
	CustomerName string `json:"customer_name"`
	SiteName     string `json:"site_name"`
}

// Recorded is something that was recorded by the way.
type Recorded struct {
	Noun string `json:"noun"`
	ID   string `json:"id,omitempty"`
	Says string `json:"says"`
}

// Untouched is what comes of it when crews go on in their order.
type Untouched struct {
	Total    *Cents       `json:"total,omitempty"` // nil: it can't go on like that
	Heads    []CostHead   `json:"heads,omitempty"`
	Late     []LateWindow `json:"late"`
	Stranded []MovedVisit `json:"stranded"` // nobody could make them
	Says     string       `json:"says"`
}

// VisitName is a visit as people call it.
type VisitName struct {
	VisitID      string    `json:"visit_id"`
	Kind         VisitKind `json:"kind"`
	JobID        string    `json:"job_id"`
	JobNumber    int64     `json:"job_number"`
	CustomerName string    `json:"customer_name"`
	SiteName     string    `json:"site_name"`
}

// LateWindow is a promised window that would not be kept.
type LateWindow struct {
	VisitName
	FromAt time.Time `json:"from_at"`
	ToAt   time.Time `json:"to_at"`
	// BySeconds after the window ends; negative: before it begins; nil: the visit
	// is not made.
	BySeconds *int64 `json:"by_seconds,omitempty"`
	Says      string `json:"says"`
}

// MovedVisit is a visit before and after; a zero start: it is not in that plan.
type MovedVisit struct {
	VisitName
	CrewIDBefore   string    `json:"crew_id_before,omitempty"`
	CrewNameBefore string    `json:"crew_name_before,omitempty"`
	StartBefore    time.Time `json:"start_before,omitzero"`
	CrewID         string    `json:"crew_id,omitempty"`
	CrewName       string    `json:"crew_name,omitempty"`
	StartAt        time.Time `json:"start_at,omitzero"`
	EndAt          time.Time `json:"end_at,omitzero"`
	Says           string    `json:"says"`
}
