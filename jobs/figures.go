package jobs

import (
	"fmt"
	"math"
	"sort"
	"time"
)

// VisitFigure is what one finished visit tells the figures.
type VisitFigure struct {
	JobID          string
	CrewID         string
	CrewName       string
	Kind           string // of visit
	Outcome        RecordOutcome
	Reason         string
	ArrivedAt      time.Time
	LeftAt         time.Time
	PlannedSeconds int64 // the planning quantile it was given
	MedianSeconds  int64 // what the estimate held likeliest; 0: not known
	Lights         int64
	Promised       bool
	Kept           bool // arrived inside the promised window
}

// Actual is how long the visit took.
func (v VisitFigure) Actual() int64 { return int64(v.LeftAt.Sub(v.ArrivedAt).Seconds()) }

// JobFigure is what one converted job tells the figures.
type JobFigure struct {
	JobID        string
	Number       int64
	CustomerName string
	SiteName     string
	ConvertedAt  time.Time
	ValueCents   Cents
	Lights       int64
	Planned      int64 // seconds of all its finished visits
	Actual       int64
	CrewID       string // of its last convert visit
}

// StateFigure counts the jobs in one state.
type StateFigure struct {
	State string
	Jobs  int64
	Value Cents
}

// Tally sums visits and jobs of one week or one crew. Seconds are of visits
// that ended done.
type Tally struct {
	Key         string // monday or crew id
	Name        string
	Conversions int64
	Visits      int64
	Lights      int64
	Value       Cents
	Planned     int64
	Actual      int64
	Kept        int64
	Promised    int64
}

// KindFigure sets hours estimated against hours real for one kind of visit.
type KindFigure struct {
	Kind   string
	Visits int64
	Median int64
	Actual int64
	// Correction multiplies the estimate's median: 1 means the estimate is
	// right. Spread is the standard deviation of ln(actual/median), absent
	// under two visits.
	Correction float64
	Spread     *float64
}

// Correct learns the multiplier of a kind's median from finished visits:
// exp(w * mean ln(actual/median)) with w = n/(n+M), M = sigma^2/tau^2, the
// normal-normal shrinkage with prior N(0, 0.1^2) and noise sd 0.2, hence M = 4
// (empirical Bayes, known variance; four visits all 1.2 times the median give
// exp(0.5 ln 1.2) = 1.0954). Visits without a median or a length say nothing,
// and a ratio beyond one to three either way counts as one to three: a tech who
// taps everything at the end must not teach that a day's work takes minutes.
func Correct(visits []VisitFigure) (factor float64, spread *float64, used int64) {
	const m = 4.0
	most := math.Log(3)
	var logs []float64
	for _, v := range visits {
		if v.MedianSeconds > 0 && v.Actual() > 0 && v.Outcome == OutcomeDone {
			logs = append(logs, max(-most, min(most, math.Log(float64(v.Actual())/float64(v.MedianSeconds)))))
		}
	}
	n := float64(len(logs))
	if n == 0 {
		return 1, nil, 0
	}
	mean := 0.0
	for _, x := range logs {
		mean += x / n
	}
	if len(logs) > 1 {
		ss := 0.0
		for _, x := range logs {
			ss += (x - mean) * (x - mean)
		}
		sd := math.Sqrt(ss / (n - 1))
		spread = &sd
	}
	return math.Exp(n / (n + m) * mean), spread, int64(len(logs))
}

// Figures is the owner's picture of a span of days.
type Figures struct {
	From, To Day
	Weeks    []Tally // by Monday, oldest first
	Crews    []Tally
	Kinds    []KindFigure
	Pipeline []StateFigure
	Wasted   map[string]int64 // reason -> visits
	Jobs     []JobFigure
	Kept     int64
	Promised int64
	Says     []string // a sentence for each chart
}

// Reckon makes the figures of the days from..to in a zone. Weeks without a
// conversion are listed too: a gap is a finding.
func Reckon(from, to Day, zone *time.Location, visits []VisitFigure, done []JobFigure, pipeline []StateFigure) Figures {
	f := Figures{From: from, To: to, Pipeline: pipeline, Wasted: map[string]int64{}, Jobs: done}
	weeks, crews := map[string]*Tally{}, map[string]*Tally{}
	for d := from.Monday(); d <= to; d = d.Add(7) {
		weeks[string(d)] = &Tally{Key: string(d)}
	}
	week := func(t time.Time) *Tally {
		k := string(DayOf(t, zone).Monday())
		if weeks[k] == nil {
			weeks[k] = &Tally{Key: k}
		}
		return weeks[k]
	}
	crew := func(id, name string) *Tally {
		if crews[id] == nil {
			crews[id] = &Tally{Key: id, Name: name}
		}
		if name != "" {
			crews[id].Name = name
		}
		return crews[id]
	}
	kinds := map[string][]VisitFigure{}
	for _, v := range visits {
		if v.Outcome == OutcomeWasted {
			f.Wasted[v.Reason]++
		}
		for _, t := range []*Tally{week(v.LeftAt), crew(v.CrewID, v.CrewName)} {
			t.Visits++
			if v.Outcome == OutcomeDone {
				t.Planned += v.PlannedSeconds
				t.Actual += v.Actual()
			}
			if v.Promised {
				t.Promised++
			}
			if v.Promised && v.Kept {
				t.Kept++
			}
		}
		if v.Promised {
			f.Promised++
		}
		if v.Promised && v.Kept {
			f.Kept++
		}
		if v.Outcome == OutcomeDone {
			kinds[v.Kind] = append(kinds[v.Kind], v)
		}
	}
	for _, j := range done {
		for _, t := range []*Tally{week(j.ConvertedAt), crew(j.CrewID, "")} {
			t.Conversions++
			t.Lights += j.Lights
			t.Value += j.ValueCents
		}
	}
	f.Weeks, f.Crews = ordered(weeks), ordered(crews)
	for kind, vs := range kinds {
		k := KindFigure{Kind: kind, Visits: int64(len(vs))}
		for _, v := range vs {
			if v.MedianSeconds > 0 {
				k.Median += v.MedianSeconds
				k.Actual += v.Actual()
			}
		}
		k.Correction, k.Spread, _ = Correct(vs)
		f.Kinds = append(f.Kinds, k)
	}
	sort.Slice(f.Kinds, func(i, j int) bool { return f.Kinds[i].Kind < f.Kinds[j].Kind })
	f.Says = f.sentences()
	return f
}

func ordered(m map[string]*Tally) []Tally {
	out := make([]Tally, 0, len(m))
	for _, t := range m {
		out = append(out, *t)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Key < out[j].Key })
	return out
}

func (f Figures) sentences() []string {
	var lights int64
	var value Cents
	for _, j := range f.Jobs {
		lights += j.Lights
		value += j.ValueCents
	}
	says := []string{fmt.Sprintf("%s converted, %s, worth $%s.", count(int64(len(f.Jobs)), "pool"), count(lights, "light"), value)}
	if f.Promised > 0 {
		says = append(says, fmt.Sprintf("%d of %d promised windows were kept.", f.Kept, f.Promised))
	}
	for _, k := range f.Kinds {
		if k.Kind != "convert" || k.Median == 0 {
			continue
		}
		switch pm := int64(math.Round(k.Correction * 1000)); {
		case pm > 1020:
			says = append(says, fmt.Sprintf("Converting takes longer than estimated: the learnt correction is %d.%03d.", pm/1000, pm%1000))
		case pm < 980:
			says = append(says, fmt.Sprintf("Converting takes less than estimated: the learnt correction is %d.%03d.", pm/1000, pm%1000))
		default:
			says = append(says, "Converting takes about as long as estimated.")
		}
	}
	var wasted int64
	for _, n := range f.Wasted {
		wasted += n
	}
	if wasted > 0 {
		says = append(says, fmt.Sprintf("%s came to nothing.", count(wasted, "trip")))
	}
	return says
}

func count(n int64, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
