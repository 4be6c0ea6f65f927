package estimate

import (
	"math"
	"slices"
	"testing"
	"time"

	"ebbline/jobs"
)

// Batting averages of 18 players after 45 turns and for the rest of the season:
// c = 0.212 and an error some 3.5 times smaller (Efron and Morris, Scientific
// American, 1977; the last digits recomputed).
func TestTogetherShrinks(t *testing.T) {
	early := []float64{.400, .378, .356, .333, .311, .311, .289, .267, .244, .244, .222, .222, .222, .222, .222, .200, .178, .156}
	season := []float64{.346, .298, .276, .222, .273, .270, .263, .210, .269, .230, .264, .256, .303, .264, .226, .285, .316, .200}
	mean := 0.0
	for _, y := range early {
		mean += y / 18
	}
	z, c, ybar := together(early, mean*(1-mean)/45)
	near(t, "mean", ybar, .26539, 1e-5)
	near(t, "c", c, .2124, 5e-5)
	near(t, "first, shrunk", z[0], .294, 5e-4)
	near(t, "last, shrunk", z[17], .242, 5e-4)
	var raw, shrunk float64
	for i, s := range season {
		raw += (early[i] - s) * (early[i] - s)
		shrunk += (z[i] - s) * (z[i] - s)
	}
	near(t, "squared error, raw", raw, .07537, 1e-5)
	near(t, "squared error, shrunk", shrunk, .02131, 1e-5)
	near(t, "ratio", raw/shrunk, 3.54, .005)
}

// Two examples of the documentation of a data-frame library and of a database.
func TestSampleQuantile(t *testing.T) {
	for _, c := range []struct {
		of   []float64
		want [3]float64
	}{
		{[]float64{1, 2, 3, 4}, [3]float64{1.75, 2.5, 3.25}},
		{[]float64{6, 47, 49, 15, 42, 41, 7, 39, 43, 40, 36}, [3]float64{25.5, 40, 42.5}},
		{[]float64{5}, [3]float64{5, 5, 5}},
	} {
		slices.Sort(c.of)
		for i, p := range []float64{.25, .5, .75} {
			near(t, "quantile", sampleQuantile(c.of, p), c.want[i], 1e-12)
		}
	}
	if !math.IsNaN(sampleQuantile(nil, .5)) {
		t.Error("a quantile of nothing")
	}
}

func finished(kind string, median, real int64) jobs.VisitFigure {
	at := time.Date(2026, 3, 2, 15, 0, 0, 0, time.UTC)
	return jobs.VisitFigure{Kind: kind, Outcome: jobs.OutcomeDone, MedianSeconds: median, PlannedSeconds: median * 11 / 10, ArrivedAt: at, LeftAt: at.Add(time.Duration(real) * time.Second)}
}

// Four visits all 1.2 times the estimate, prior sd 0.1, noise 0.2: M = 4, weight
// a half, factor exp(ln 1.2 / 2) = 1.0954 (normal-normal, by arithmetic).
func TestLearn(t *testing.T) {
	set := DefaultSettings()
	visits := []jobs.VisitFigure{}
	for range 4 {
		visits = append(visits, finished("convert", 10_000, 12_000))
	}
	find := func(list []LearnedTime, kind string) LearnedTime {
		for _, l := range list {
			if l.Kind == kind {
				return l
			}
		}
		t.Fatalf("no %s in %v", kind, list)
		return LearnedTime{}
	}
	l := find(Learn(set, visits), "convert")
	if l.Proposed != 1095 || l.Now != 1000 || l.Visits != 4 || l.Kept != 0 || *l.At80 != 1200 {
		t.Errorf("%+v", l)
	}
	set.Labour.Learned = map[string]int64{"convert": 1095}
	if l := find(Learn(set, visits), "convert"); l.Proposed != 1200 {
		t.Errorf("on top of what is in force: %+v", l)
	}
	if l := find(Learn(set, visits), "drain"); l.Proposed != 1000 || l.Visits != 0 {
		t.Errorf("nothing done, something learned: %+v", l)
	}
	// All four kinds are a tenth too short, one by a single visit: what they share
	// counts for it as well.
	set.Labour.Learned = nil
	for _, kind := range []string{"drain", "connect", "commission"} {
		n := 12
		if kind == "commission" {
			n = 1
		}
		for range n {
			visits = append(visits, finished(kind, 10_000, 12_000))
		}
	}
	list := Learn(set, visits)
	if l := find(list, "commission"); l.Proposed < 1100 || l.Proposed > 1200 {
		t.Errorf("a kind seen once where all are too short: %+v", l)
	}
	// One kind that differs much from three that do not keeps most of its own.
	visits = nil
	for kind, ratio := range map[string]int64{"convert": 10_000, "drain": 10_100, "connect": 9_900, "commission": 20_000} {
		for range 20 {
			visits = append(visits, finished(kind, 10_000, ratio))
		}
	}
	list = Learn(set, visits)
	if l := find(list, "commission"); l.Proposed < 1800 || l.Proposed > 2000 {
		t.Errorf("twice as long, twenty times: %+v", l)
	}
	if l := find(list, "convert"); l.Proposed < 970 || l.Proposed > 1080 {
		t.Errorf("right twenty times: %+v", l)
	}
}
