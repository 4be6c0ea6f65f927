package estimate

import (
	"math"
	"strings"
	"testing"

	"ebbline/jobs"
	"pgregory.net/rapid"
)

// twoBodies is a pool of 450 ft² and a body of 50 ft² that hangs on it, each
// with a light that asks for 24 in, everything measured dry.
func twoBodies(t testing.TB, spa ...string) jobs.Survey {
	t.Helper()
	s := lowered(t, "450", "24", "20")
	hung := subject("spa", jobs.SubjectBody, "pool")
	dry := func(text, unit string) jobs.Value {
		return jobs.Value{Text: text, Unit: unit, Known: jobs.KnownMeasuredDry}
	}
	hung.Values["shape"], hung.Values["area"], hung.Values["finish"] = dry("area", ""), dry("50", "ft2"), dry("tile", "")
	for i := 0; i < len(spa); i += 3 {
		hung.Values[spa[i]] = dry(spa[i+1], spa[i+2])
	}
	light := subject("sl", jobs.SubjectPosition, "spa")
	light.Values["depth"], light.Values["fitting_size"] = dry("24", "in"), dry("2", "in")
	s.Subjects = append(s.Subjects, hung, light)
	s, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// dropOnly takes off what is added below the fitting, so that a drop is a depth.
func dropOnly() Settings {
	set := DefaultSettings()
	set.Water.BelowFitting = -25_400
	return set
}

func gallons(f Figure) float64 { return float64(f.Value) / mlPerGallon }

// Volumes by 7.48052 gallons in a cubic foot, arithmetic.
func TestWhatFallsTogether(t *testing.T) {
	const inFoot = 7.48052
	for _, c := range []struct {
		name      string
		spa       []string
		with      string
		pool, spG float64 // gallons; 0: not lowered on its own
	}{
		{"raised spa keeps its water", []string{"use", "raised_spa", "", "becomes_low", "crew_pump", ""}, "", 450 * 2 * inFoot, 50 * 2 * inFoot},
		{"spill-over falls with it", []string{"use", "spill_over", ""}, "pool", 500 * 2 * inFoot, 0},
		{"raised, but noted as sharing", []string{"use", "raised_spa", "", "lowers_with", "yes", ""}, "pool", 500 * 2 * inFoot, 0},
		{"spill-over, but noted as not", []string{"use", "spill_over", "", "lowers_with", "no", "", "becomes_low", "crew_pump", ""}, "", 450 * 2 * inFoot, 50 * 2 * inFoot},
		{"spill-over down to an edge", []string{"use", "spill_over", "", "spill_edge", "6", "in", "becomes_low", "crew_pump", ""}, "", (450*2 + 50*.5) * inFoot, 50 * 1.5 * inFoot},
	} {
		e := Make(twoBodies(t, c.spa...), dropOnly(), Ask{})
		w, spa := e.Bodies[0], e.Bodies[1]
		if spa.With != c.with || math.Abs(gallons(w.Volume)-c.pool) > .05 {
			t.Errorf("%s: with %q, pool %v gal, want %v", c.name, spa.With, gallons(w.Volume), c.pool)
		}
		if spa.Lowered != (c.spG > 0) || spa.Lowered && math.Abs(gallons(spa.Volume)-c.spG) > .05 {
			t.Errorf("%s: spa %v gal, want %v", c.name, gallons(spa.Volume), c.spG)
		}
	}
	dry := twoBodies(t, "use", "raised_spa", "")
	dry.Subjects = dry.Subjects[:len(dry.Subjects)-1] // no light in it
	dry = changedValue(t, dry, "spa", "lights", "0", "")
	if spa := Make(dry, dropOnly(), Ask{}).Bodies[1]; spa.Lowered || spa.Why == "" {
		t.Errorf("a spa without a light stays as it is: %+v", spa)
	}
}

// Pumps go one after the other, outlets beside them, and never more through the
// place than is allowed there.
func TestSeveralBodies(t *testing.T) {
	pumped := []string{"use", "raised_spa", "", "becomes_low", "crew_pump", "", "read_rate", "10", "gpm"}
	s := twoBodies(t, pumped...)
	hours := func(s jobs.Survey) (pool, spa, all float64) {
		e := Make(s, dropOnly(), Ask{})
		return float64(e.Bodies[0].Drain.Value) / 3600, float64(e.Bodies[1].Drain.Value) / 3600, float64(e.Clock.Drain.Median) / 3600
	}
	pool, spa, all := hours(s) // outlet 20 gpm for 5.61 h, pump 10 gpm for 1.25 h, 60 gpm allowed
	if math.Abs(pool-5.61) > .01 || math.Abs(spa-1.247) > .002 || math.Abs(all-pool) > .002 {
		t.Errorf("outlet and pump at once: %v and %v make %v", pool, spa, all)
	}
	if _, _, all := hours(changedValue(t, s, "out", "rate_limit", "20", "gpm")); math.Abs(all-7480.5/20/60) > .005 {
		t.Errorf("20 gpm allowed in all: %v h, want %v", all, 7480.5/20/60)
	}
	both := changedValue(t, changedValue(t, s, "pool", "becomes_low", "crew_pump", ""), "pool", "read_rate", "20", "gpm")
	if pool, spa, all := hours(both); math.Abs(all-pool-spa) > .002 {
		t.Errorf("one pump, one after the other: %v and %v make %v", pool, spa, all)
	}
	e := Make(s, dropOnly(), Ask{})
	if e.Clock.Way != jobs.LowByCrewPump || len(e.Clock.Ways) != 2 {
		t.Errorf("planned by %s of %v", e.Clock.Way, e.Clock.Ways)
	}
	if _, found := caution(e, "ways"); !found {
		t.Error("two ways need a word")
	}
}

// What others lower needs no rate at all, only its days.
func TestLowByOthersNeedsNoRate(t *testing.T) {
	s := changedValue(t, lowered(t, "450", "24", "20"), "pool", "becomes_low", "by_others", "")
	delete(s.Subjects[0].Values, "outlet_rate")
	s.Subjects = append(s.Subjects[:2:2], s.Subjects[3]) // no discharge place either
	e := Make(s, dropOnly(), Ask{})
	if !e.Clock.Known || e.Clock.Drain != (Quantiles{}) || e.Clock.Way != jobs.LowByOthers || e.Clock.Cover.Median <= 0 {
		t.Errorf("%+v", e.Clock)
	}
	for _, m := range e.Missing {
		if m.Field == "read_rate" || m.Field == "outlet_rate" {
			t.Errorf("asks for %s", m.Text)
		}
	}
}

// A pool of 450 ft², 3 ft to 8 ft deep, lowered to 4 ft: of an even slope a
// fifth lies bare at the end, so 450 × (4 − 1/10) ft³ leave; checked against
// adding up thin layers.
func TestShallowEndRunsDry(t *testing.T) {
	s := lowered(t, "450", "48", "20")
	whole := Make(s, dropOnly(), Ask{}).Bodies[0]
	s = changedValue(t, changedValue(t, s, "pool", "depth_shallow", "3", "ft"), "pool", "depth_deep", "8", "ft")
	w := Make(s, dropOnly(), Ask{}).Bodies[0]
	if want := 450 * 3.9 * 7.48052; math.Abs(gallons(w.Volume)-want) > .1 {
		t.Errorf("%v gal, want %v", gallons(w.Volume), want)
	}
	if w.Volume.High < whole.Volume.Value || w.Volume.High > whole.Volume.High || w.Volume.Low >= whole.Volume.Low {
		t.Errorf("band %d to %d, with an upright wall %d to %d", w.Volume.Low, w.Volume.High, whole.Volume.Low, whole.Volume.High)
	}
	rapid.Check(t, func(t *rapid.T) {
		shallow := rapid.Float64Range(1, 5).Draw(t, "shallow")
		deep := shallow + rapid.Float64Range(0, 6).Draw(t, "deeper")
		from := rapid.Float64Range(0, 6).Draw(t, "from")
		working := from + rapid.Float64Range(0, 8).Draw(t, "fall")
		slope, half := dryPart(working, from, shallow, deep)
		lost, lostHalf := 0.0, 0.0
		const layers = 20_000
		for i := range layers {
			z := from + (working-from)*(float64(i)+.5)/layers
			left := 1.0
			switch {
			case z >= deep:
				left = 0
			case z > shallow:
				left = (deep - z) / (deep - shallow)
			}
			lost += (1 - left) * (working - from) / layers
			if z > shallow {
				left /= 2
			}
			lostHalf += (1 - left) * (working - from) / layers
		}
		if math.Abs(slope-lost) > 2e-3 || math.Abs(half-lostHalf) > 2e-3 {
			t.Fatalf("from %v to %v over %v to %v: %v and %v, by layers %v and %v", from, working, shallow, deep, slope, half, lost, lostHalf)
		}
	})
}

// A light below the floor, a place that takes nothing, a pump that does not lift
// so far: not known yet, with the reason, never a number.
func TestWaterThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		set  []string
		says string
	}{
		{[]string{"pool", "depth_deep", "20", "in"}, "its depth again"},
		{[]string{"out", "permission", "refused", ""}, "discharge place that may be used"},
		{[]string{"pool", "becomes_low", "crew_pump", "", "out", "rise", "30", "ft"}, "a pump that lifts"},
	} {
		s := lowered(t, "450", "24", "20")
		for i := 0; i < len(c.set); i += 4 {
			s = changedValue(t, s, c.set[i], c.set[i+1], c.set[i+2], c.set[i+3])
		}
		e := Make(s, DefaultSettings(), Ask{})
		found := false
		for _, m := range e.Clock.Missing {
			found = found || strings.Contains(m.Text, c.says)
		}
		if e.Clock.Known || !found {
			t.Errorf("%v: %s, lacking %v", c.set, e.Clock.Total.Text, e.Clock.Missing)
		}
	}
}

// The hold is over where the chlorine measured is within the limit, and a told
// value is no measurement.
func TestHold(t *testing.T) {
	s := lowered(t, "450", "24", "20")
	hold := func(s jobs.Survey) int64 { return Make(s, DefaultSettings(), Ask{}).Clock.Hold }
	if got := hold(s); got != 10*86_400 {
		t.Errorf("branch rule: %d s", got)
	}
	if got := hold(changedValue(t, s, "pool", "chlorine", "0.05", "ppm")); got != 0 {
		t.Errorf("0.05 ppm measured: %d s", got)
	}
	if got := hold(changedValue(t, s, "pool", "chlorine", "1", "ppm")); got != 10*86_400 {
		t.Errorf("1 ppm measured: %d s", got)
	}
	if got := hold(changedValue(t, changedValue(t, s, "pool", "chlorine", "1", "ppm"), "out", "chlorine_limit", "2", "ppm")); got != 0 {
		t.Errorf("1 ppm where 2 are allowed: %d s", got)
	}
	s.Subjects[0].Values["chlorine"] = jobs.Value{Text: "1", Unit: "ppm", Known: jobs.KnownTold}
	s = changedValue(t, changedValue(t, s, "out", "chlorine_limit", "2", "ppm"), "out", "hold", "5", "d")
	if got := hold(s); got != 5*86_400 {
		t.Errorf("told only, rule of the place 5 d: %d s", got)
	}
	if got := hold(changedValue(t, withoutValue(s, "out", "hold"), "out", "neutraliser", "yes", "")); got != 0 {
		t.Errorf("neutraliser: %d s", got)
	}
}

func withoutValue(s jobs.Survey, id, name string) jobs.Survey {
	for _, sub := range s.Subjects {
		if sub.ID == id {
			delete(sub.Values, name)
		}
	}
	return s
}

// The water stands at 33 in already, 2 in below the working level of 24 + 1 + 6:
// nothing to pump, and 450 ft² by 33 − (24 − 1 − 6) in until the light is
// covered are 4 488.3 gal, at 10 gpm 448.8 min. A level that still covers the
// light is a goal as before.
func TestAPoolThatIsLowAlreadyIsNotCovered(t *testing.T) {
	low := changedValue(t, lowered(t, "450", "24", "20"), "pool", "level", "33", "in")
	e := Make(low, DefaultSettings(), Ask{})
	checkForm(t, e)
	if w := e.Bodies[0]; w.Drain.Value != 0 {
		t.Errorf("pumping %s", w.Drain.Text)
	}
	near(t, "seconds until covered", float64(e.Clock.Cover.Median), 450*16*0.623377/10*60, 2)
	if e.Clock.Fill.Median < e.Clock.Cover.Median || e.Clock.Fill.Late < e.Clock.Cover.Late {
		t.Errorf("full after %s, covered after %s", e.Clock.Fills.Text, e.Clock.Covers.Text)
	}
	e = Make(changedValue(t, low, "pool", "level", "20", "in"), DefaultSettings(), Ask{})
	near(t, "back to 20 in", float64(e.Clock.Cover.Median), 450*11*0.623377/10*60, 2)
}
