package estimate

import (
	"fmt"
	"math"
	"slices"

	"ebbline/jobs"
)

// LearnedTime is what finished visits of one kind say of the estimate's times.
// Parts are in thousandths: 1 000 means that the task times are right.
type LearnedTime struct {
	Kind     string `json:"kind"`
	Name     string `json:"name"`
	Visits   int64  `json:"visits"`
	Now      int64  `json:"now"`      // in force
	Proposed int64  `json:"proposed"` // what they say, drawn towards what is usual
	Kept     int64  `json:"kept"`     // visits that kept the planned time
	At80     *int64 `json:"at_80,omitempty"`
	Says     string `json:"says"`
}

// The prior of a kind's log ratio of real to estimated time and the noise of a
// single visit: real times of a well-estimated kind lie within a tenth of the
// estimate, those of a visit within a fifth. Common practice, no source.
const (
	learnPrior = .1
	learnNoise = .2
)

// Learn proposes the factors of [LabourSettings.Learned] from finished visits.
// Their medians must have been estimated with the factors in force. With fewer
// than four kinds each is drawn towards 1 (see [jobs.Correct]). From four on,
// the kinds are drawn towards what all have in common, by as much as they differ
// among themselves (Efron and Morris, Scientific American, 1977).
func Learn(set Settings, visits []jobs.VisitFigure) []LearnedTime {
	byKind := map[string][]jobs.VisitFigure{}
	for _, v := range visits {
		if v.Outcome == jobs.OutcomeDone && v.MedianSeconds > 0 && v.Actual() > 0 {
			byKind[v.Kind] = append(byKind[v.Kind], v)
		}
	}
	common, m := inCommon(set.Labour.Visits, byKind)
	list := []LearnedTime{}
	for _, rule := range set.Labour.Visits {
		l := LearnedTime{Kind: rule.Kind, Name: rule.Name, Now: 1000}
		if part, ok := set.Labour.Learned[rule.Kind]; ok && part > 0 {
			l.Now = part
		}
		done := byKind[rule.Kind]
		l.Visits, l.Proposed = int64(len(done)), l.Now
		if len(done) == 0 {
			l.Says = "no finished visit yet"
			list = append(list, l)
			continue
		}
		factor, _, _ := jobs.Correct(done)
		if m > 0 {
			n := float64(len(done))
			factor = math.Exp(common + n/(n+m)*(meanLog(done)-common))
		}
		l.Proposed = min(max(round(float64(l.Now)*factor), 100), 10_000)
		ratios := make([]float64, len(done))
		kept := int64(0)
		for i, v := range done {
			ratios[i] = float64(v.Actual()) / float64(v.MedianSeconds)
			if v.PlannedSeconds > 0 && v.Actual() <= v.PlannedSeconds {
				kept++
			}
		}
		slices.Sort(ratios)
		at := round(1000 * sampleQuantile(ratios, .8))
		l.At80, l.Kept = &at, 1000*kept/l.Visits
		l.Says = l.says(set.Labour.Quantile)
		list = append(list, l)
	}
	return list
}

func (l LearnedTime) says(quantile int64) string {
	text := plural(int(l.Visits), "visit") + ": "
	switch part := l.Proposed * 1000 / l.Now; {
	case part > 1020:
		text += "they take longer than estimated"
	case part < 980:
		text += "they take less than estimated"
	default:
		text += "the times are about right"
	}
	return text + fmt.Sprintf("; %s kept the planned time, %s is planned for", show(l.Kept, UnitMille), show(quantile, UnitMille))
}

// meanLog is the mean log ratio of real to estimated time, each visit bounded
// as in [jobs.Correct].
func meanLog(visits []jobs.VisitFigure) float64 {
	most, sum := math.Log(3), 0.0
	for _, v := range visits {
		sum += max(-most, min(most, math.Log(float64(v.Actual())/float64(v.MedianSeconds))))
	}
	return sum / float64(len(visits))
}

// inCommon is the log factor that all kinds share and how many visits a kind
// needs to outweigh it: M = noise²/prior², the prior's width taken from how far
// the kinds lie apart. M 0: too few kinds to say.
func inCommon(rules []VisitRule, byKind map[string][]jobs.VisitFigure) (common, m float64) {
	var y []float64
	var inverse, all float64
	for _, rule := range rules {
		if done := byKind[rule.Kind]; len(done) > 0 {
			y = append(y, meanLog(done))
			inverse += 1 / float64(len(done))
			all += float64(len(done))
		}
	}
	if len(y) < 4 {
		return 0, 0
	}
	usual := (learnNoise / learnPrior) * (learnNoise / learnPrior)
	n := float64(len(y)) / inverse // harmonic mean of the visits of a kind
	_, c, mean := together(y, learnNoise*learnNoise/n)
	m = 50.0
	if c > 0 {
		m = min(max(n*(1-c)/c, 1), 50)
	}
	return all / (all + usual) * mean, m
}

// together draws means with the same known variance towards their own mean:
// z = ybar + c (y - ybar), c = 1 - (k-3) s²/Σ(y-ybar)², not below 0 (James and
// Stein's estimator in the form of Efron and Morris, Scientific American, 1977).
func together(y []float64, s2 float64) (z []float64, c, mean float64) {
	k := float64(len(y))
	for _, v := range y {
		mean += v / k
	}
	ss := 0.0
	for _, v := range y {
		ss += (v - mean) * (v - mean)
	}
	if ss > 0 {
		c = max(1-(k-3)*s2/ss, 0)
	}
	z = make([]float64, len(y))
	for i, v := range y {
		z[i] = mean + c*(v-mean)
	}
	return z, c, mean
}

// sampleQuantile of sorted numbers, type 7 of Hyndman and Fan (1996): h =
// (n-1)p + 1, linear in between; the usual default of statistics programs.
func sampleQuantile(sorted []float64, p float64) float64 {
	if len(sorted) == 0 {
		return math.NaN()
	}
	h := float64(len(sorted)-1) * p
	i := int(h)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (h-float64(i))*(sorted[i+1]-sorted[i])
}
