package jobs

// StepNeed is what a step at the pool asks for.
type StepNeed string

// What a step can ask for.
const (
	NeedTick    StepNeed = "tick"
	NeedReading StepNeed = "reading"
	NeedChoice  StepNeed = "choice"
	NeedPhoto   StepNeed = "photo"
	NeedText    StepNeed = "text"
)

// Step is one thing asked for at the pool. Steps are rows of the database, per
// visit kind; a gate must be recorded before the visit counts as done.
type Step struct {
	ID        string
	VisitKind string
	Place     int
	Name      string
	Caution   string
	Gate      bool
	Needs     StepNeed
	Unit      string // of a reading: in, ppm, pH or V
	LowLimit  *int64 // whole base units of the unit; nil: no limit
	HighLimit *int64
	Source    string
}

// Holds says whether a recorded operation satisfies the step: a reading must
// lie inside the limits, a choice and a text must say something, and "no-go"
// never opens a gate.
func (s Step) Holds(op Operation) bool {
	switch s.Needs {
	case NeedReading:
		if op.Value == nil {
			return false
		}
		return (s.LowLimit == nil || *op.Value >= *s.LowLimit) && (s.HighLimit == nil || *op.Value <= *s.HighLimit)
	case NeedChoice:
		return op.Text != "" && op.Text != NoGo
	case NeedText:
		return op.Text != ""
	}
	return true
}

// NoGo is the answer of a measured run that keeps the old bundle in place.
const NoGo = "no-go"
