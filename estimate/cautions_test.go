package estimate

import (
	"math"
	"strings"
	"testing"

	"ebbline/jobs"
)

// A shell of 20 x 40 ft, 8 ft deep, with walls and floor of 1 ft: 1 916 ft³ of
// concrete, 287 400 lb; empty it floats at 4.985 ft of ground water above its
// underside; with 5 ft of water left inside only at 9.31 ft, above the shell
// itself. A public pool owners' forum, thread 41016, computed again.
func TestUplift(t *testing.T) {
	h := hull{area: 800, around: 120, corners: 4, thick: 1, shallow: 8, deep: 8}
	if h.outer() != 924 {
		t.Errorf("outside %v ft², want 924", h.outer())
	}
	if got := h.holds(8); math.Abs(got-287_400) > .5 || math.Abs(got/concretePound-1916) > .01 {
		t.Errorf("empty %v lb, want 287 400", got)
	}
	if got := h.floats(8); math.Abs(got-4.985) > .0006 {
		t.Errorf("empty it floats at %v ft, want 4.985", got)
	}
	if got := h.floats(3); math.Abs(got-9.31) > .006 {
		t.Errorf("with 5 ft left at %v ft, want 9.31", got)
	}
	if got := h.holds(8) / h.lifts(4); math.Abs(got-4.985/5) > .0006 {
		t.Errorf("5 ft of ground water over the underside: factor %v, want 0.997", got)
	}
	// the mean over a slope against adding it up in small steps
	for _, level := range []float64{0, 2, 4, 6, 9} {
		total := 0.0
		const steps = 100_000
		for i := range steps {
			total += math.Max(0, 3+5*(float64(i)+.5)/steps-level) / steps
		}
		if got := overSlope(3, 8, level); math.Abs(got-total) > 1e-6 {
			t.Errorf("mean over the slope at %v: %v, want %v", level, got, total)
		}
	}
}

func caution(e Estimate, key string) (Caution, bool) {
	for _, c := range e.Cautions {
		if c.Key == key {
			return c, true
		}
	}
	return Caution{}, false
}

// The same shell in a survey: what it says follows the factor of 1.2.
func TestUpliftInTheEstimate(t *testing.T) {
	s := lowered(t, "450", "30", "20")
	for _, v := range [][3]string{{"shape", "rectangle", ""}, {"length", "40", "ft"}, {"width", "20", "ft"}, {"area", "800", "ft2"},
		{"depth_shallow", "8", "ft"}, {"depth_deep", "8", "ft"}, {"shell_thickness", "12", "in"}} {
		s = changedValue(t, s, "pool", v[0], v[1], v[2])
	}
	e := Make(s, DefaultSettings(), Ask{})
	if c, _ := caution(e, "uplift"); !strings.Contains(c.Why, "not known") || !c.SignOff || e.Bodies[0].Uplift.Key != "" {
		t.Errorf("ground water nobody looked for: %+v", c)
	}
	for feet, want := range map[string]string{"2": "outweigh it", "0": "Do not lower"} {
		e := Make(changedValue(t, s, "pool", "ground_water", feet, "ft"), DefaultSettings(), Ask{})
		w := e.Bodies[0]
		ground := map[string]float64{"2": 7, "0": 9}[feet]
		level := float64(w.Working.Value) / umPerFoot
		factor := (287_400 + 800*(8-level)*62.4) / (62.4 * 924 * ground)
		if c, _ := caution(e, "uplift"); !strings.Contains(c.Text, want) || math.Abs(float64(w.Uplift.Value)/1000-factor) > .001 {
			t.Errorf("ground water %s ft down: factor %s, want %.3f; %s", feet, w.Uplift.Text, factor, c.Text)
		}
	}
	e = Make(changedValue(t, s, "pool", "ground_water", "20", "ft"), DefaultSettings(), Ask{})
	if c, found := caution(e, "uplift"); found {
		t.Errorf("ground water 20 ft down lifts nothing: %+v", c)
	}
}

func TestCautionsFollowWhatIsKnown(t *testing.T) {
	base := lowered(t, "450", "30", "20")
	base.Subjects = append(base.Subjects, subject("site", jobs.SubjectSite, ""))
	for _, c := range []struct {
		set  []string // subject, field, text, unit
		key  string
		says string // "" : no such caution
		sign bool
	}{
		{[]string{"pool", "stops_by", "nothing", ""}, "unattended", "Nothing stops", true},
		{[]string{"pool", "stops_by", "float_switch", ""}, "unattended", "", false},
		{[]string{"pool", "stops_by", "timer", ""}, "unattended", "by the clock", false},
		{[]string{"pool", "chlorine", "2", "ppm"}, "chlorine", "Do not pump", false},
		{[]string{"pool", "chlorine", "0.05", "ppm"}, "chlorine", "", false},
		{[]string{"pool", "ph", "9", ""}, "ph", "Bring the pH", false},
		{[]string{"pool", "ph", "7.4", ""}, "ph", "", false},
		{[]string{"pool", "ph", "7.4", "", "out", "ph_low", "7.5", ""}, "ph", "Bring the pH", false},
		{[]string{"site", "fenced", "no", ""}, "guard", "can't be closed off", true},
		{[]string{"pool", "finish", "fibreglass", "", "pool", "ground_water", "0.9", "m"}, "fibreglass", "Do not lower", true},
		{[]string{"pool", "finish", "fibreglass", "", "pool", "ground_water", "1.5", "m"}, "fibreglass", "by thirds and leave it overnight", true},
		{[]string{"pool", "finish", "fibreglass", "", "site", "rain_season", "yes", ""}, "fibreglass", "rain season", true},
		{[]string{"pool", "finish", "vinyl", "", "pool", "ground_water", "25", "in"}, "liner", "Do not lower the liner", true},
		{[]string{"pool", "finish", "vinyl", "", "pool", "ground_water", "10", "ft"}, "liner", "can float", true},
		{[]string{"pool", "depth_shallow", "3", "ft", "pool", "depth_deep", "8", "ft"}, "floor", "even slope", false},
		{[]string{"pool", "depth_shallow", "5", "ft", "pool", "depth_deep", "4", "ft"}, "sizes", "can't all be true", false},
	} {
		s := base
		for i := 0; i < len(c.set); i += 4 {
			s = changedValue(t, s, c.set[i], c.set[i+1], c.set[i+2], c.set[i+3])
		}
		got, found := caution(Make(s, DefaultSettings(), Ask{}), c.key)
		if found != (c.says != "") || !strings.Contains(got.Text, c.says) || got.SignOff != c.sign {
			t.Errorf("%v: %s is %+v", c.set, c.key, got)
		}
	}
}
