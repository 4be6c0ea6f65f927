package store

import "ebbline/jobs"

type stepRow struct {
	ID        string
	VisitKind string
	Place     int
	Name      string
	Caution   string
	Gate      bool
	Needs     string
	Unit      string
	LowLimit  *int64
	HighLimit *int64
	Source    string
}

func (stepRow) TableName() string { return "field_steps" }

// Steps reads what is asked at the pool, by kind of visit and in order.
func (tx *Tx) Steps() (map[string][]jobs.Step, error) {
	rows, err := all[stepRow](tx, "visit_kind, place", "1 = 1")
	out := map[string][]jobs.Step{}
	for _, r := range rows {
		out[r.VisitKind] = append(out[r.VisitKind], jobs.Step{ID: r.ID, VisitKind: r.VisitKind, Place: r.Place, Name: r.Name,
			Caution: r.Caution, Gate: r.Gate, Needs: jobs.StepNeed(r.Needs), Unit: r.Unit, LowLimit: r.LowLimit,
			HighLimit: r.HighLimit, Source: r.Source})
	}
	return out, err
}
