package estimate

import (
	"math"
	"strings"
	"testing"

	"ebbline/jobs"
	"pgregory.net/rapid"
)

// 16 AWG stranded, 100 ft, 4 A: a drop of 4.0 V, 16.7 % of 24 V. Worked example
// of an online electricians' course that cites NEC chapter 9, table 8; the K form
// 2*12.9*4*100/2580 gives 4.000 V.
func TestDropAtKnownCurrent(t *testing.T) {
	ohms, _ := loopOhms(16, stranded, 100)
	if drop := 4 * ohms; math.Abs(drop-3.992) > 1e-9 || math.Abs(drop/24-.1663) > 1e-4 {
		t.Errorf("drop %v V, want 3.992", drop)
	}
	if k := 2 * 12.9 * 4 * 100 / 2580.0; math.Abs(k/(4*ohms)-1) > .0021 {
		t.Errorf("both forms differ by more than 0.2 %%: %v, %v", k, 4*ohms)
	}
}

func TestLoadVolts(t *testing.T) {
	for _, c := range []struct {
		source, watts, feet float64
		awg                 int
		volts               float64 // 0: no solution
		most                float64 // W that the run delivers
	}{ // the quadratic by arithmetic; resistances of NEC chapter 9, table 8
		{12, 40, 100, 12, 10.4900, 90.91},
		{12, 60, 150, 10, 9.6986, 96.77},
		{14, 60, 150, 12, 10.6551, 82.49},
		{24, 60, 150, 16, 19.3607, 96.19},
		{12, 40, 100, 16, 0, 36.07}, // 144/(4*0.998)
	} {
		ohms, _ := loopOhms(c.awg, stranded, c.feet)
		got, ok := loadVolts(c.source, c.watts, ohms)
		if ok != (c.volts > 0) || math.Abs(got-c.volts) > 5e-5 {
			t.Errorf("%v: %v %v", c, got, ok)
		}
		if most := mostWatts(c.source, ohms); math.Abs(most-c.most) > .006 {
			t.Errorf("%v: at most %v W", c, most)
		}
	}
	// the constant-current shortcut under-states: 3.333 A × 0.396 Ω is 1.32 V,
	// the light really drops 1.51 V
	ohms, _ := loopOhms(12, stranded, 100)
	if v, _ := loadVolts(12, 40, ohms); math.Abs(12-v-1.51) > .0005 || 40.0/12*ohms > 1.321 {
		t.Errorf("drop %v", 12-v)
	}
}

// The upper root is where the current settles when voltage and current follow
// each other from the source's voltage down; where the quadratic has no root,
// the same iteration falls below zero.
func TestLoadVoltsAgainstIteration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		source := rapid.Float64Range(5, 30).Draw(t, "source")
		watts := rapid.Float64Range(1, 300).Draw(t, "watts")
		part := rapid.Float64Range(0, 2).Draw(t, "part of what can be delivered")
		ohms := part * source * source / (4 * watts)
		got, ok := loadVolts(source, watts, ohms)
		volts := source
		for range 20_000 {
			if volts = source - watts/volts*ohms; volts <= 0 {
				break
			}
		}
		switch {
		case part > 1.001 && (ok || volts > 0):
			t.Fatalf("%v of what can be delivered: %v %v, by iteration %v", part, got, ok, volts)
		case part < .999 && (!ok || math.Abs(got-volts) > 1e-6):
			t.Fatalf("%v, by iteration %v", got, volts)
		}
	})
}

// And against halving the interval between half the source's voltage, where a
// run delivers its most, and the source's.
func TestLoadVoltsAgainstHalving(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		source := rapid.Float64Range(5, 30).Draw(t, "source")
		ohms := rapid.Float64Range(.001, 10).Draw(t, "ohms")
		// at the very most the two answers meet, and rounding decides whether there is one
		watts := rapid.Float64Range(0, .9999).Draw(t, "part") * mostWatts(source, ohms)
		low, high := source/2, source
		for range 200 {
			mid := (low + high) / 2
			if mid*(source-mid)/ohms > watts { // delivers more than is drawn: the voltage settles higher
				low = mid
			} else {
				high = mid
			}
		}
		if got, ok := loadVolts(source, watts, ohms); !ok || math.Abs(got-low) > 1e-6 {
			t.Fatalf("%v %v, by halving %v", got, ok, low)
		}
	})
}

func drawCalc(t *rapid.T) *calc {
	c := &calc{set: DefaultSettings()}
	c.light, c.lit = c.set.Catalogue.Lights[rapid.IntRange(0, 2).Draw(t, "light")], true
	return c
}

func drawMains(t *rapid.T) mains {
	m := mains{measured: rapid.Bool().Draw(t, "measured"), low: .95, mid: 1, top: 1.05}
	if m.measured {
		m.mid = rapid.Float64Range(.8, 1.2).Draw(t, "ratio")
		m.low, m.top = min(m.mid, 1), max(m.mid, 1)
	}
	return m
}

func drawLength(t *rapid.T, name string) num {
	v := rapid.Float64Range(1, 400).Draw(t, name) * umPerFoot
	part := rapid.Float64Range(1, 1.2).Draw(t, name+" band")
	return num{ok: true, v: v, lo: v / part, hi: v * part}
}

// A longer cord never raises the voltage, and a higher tap never lowers it, at
// either end of the band.
func TestVoltsFollowCordAndTap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, m, cord := drawCalc(t), drawMains(t), drawLength(t, "cord")
		va := rapid.Float64Range(5, 70).Draw(t, "VA")
		tap := rapid.Int64Range(10_000, 15_000).Draw(t, "tap")
		a := c.at(cord, va, tap, m)
		if a.v > 0 && (a.lo > a.v || a.v > a.hi) {
			t.Fatalf("band %+v", a)
		}
		more := rapid.Float64Range(1, 3).Draw(t, "longer")
		longer := c.at(cord.times(more), va, tap, m)
		if longer.v > a.v || longer.lo > a.lo || longer.hi > a.hi {
			t.Fatalf("%+v, with a longer cord %+v", a, longer)
		}
		higher := c.at(cord, va, tap+rapid.Int64Range(0, 3000).Draw(t, "higher"), m)
		if higher.v < a.v || higher.lo < a.lo || higher.hi < a.hi {
			t.Fatalf("%+v, at a higher tap %+v", a, higher)
		}
		// a band around the same cord that is narrower never widens the volts'
		dry := num{ok: true, v: cord.v, lo: (cord.lo + cord.v) / 2, hi: (cord.hi + cord.v) / 2}
		if b := c.at(dry, va, tap, m); b.lo < a.lo || b.hi > a.hi {
			t.Fatalf("%+v, measured dry %+v", a, b)
		}
		read := mains{measured: true, low: 1, mid: 1, top: 1}
		if !m.measured {
			if b := c.at(cord, va, tap, read); b.lo < a.lo || b.hi > a.hi {
				t.Fatalf("%+v, with the mains measured %+v", a, b)
			}
		}
	})
}

// What no cord can deliver is said with the most that it can, and is no number.
func TestNoSolutionIsSaid(t *testing.T) {
	s := with(t, survey(t, "rectangle"), "l4", "watts", "60", "W")
	s = with(t, s, "c2", "length", "240", "ft")
	s = with(t, s, "c1", "length", "240", "ft")
	set := DefaultSettings()
	set.Catalogue.Supplies = set.Catalogue.Supplies[:3]
	for i := range set.Catalogue.Supplies {
		set.Catalogue.Supplies[i].Taps = []int64{12_000}
	}
	e := Make(s, set, Ask{})
	checkForm(t, e)
	volts := e.Cords[3].Volts
	if volts.Known || len(volts.Missing) != 1 {
		t.Fatalf("%+v", volts)
	}
	// 60 W / 0.9 is more than 11.94² / 4R of 16 AWG, R = 2 × feet × 4.99 / 1000
	feet := float64(e.Cords[3].Needed.Value) / umPerFoot
	most := 11.94 * 11.94 / (4 * 2 * feet * 4.99 / 1000) * .9
	for _, want := range []string{"no solution", "at most " + show(round(most*1000), UnitPower)} {
		if !strings.Contains(volts.Missing[0].Text, want) {
			t.Errorf("%q does not say %q", volts.Missing[0].Text, want)
		}
	}
	if got := result(e, "supply.volts"); got != Short {
		t.Errorf("volts %s", got)
	}
	if e.Supply.Least.Known || e.Supply.Amps.Known {
		t.Errorf("least %s, amps %s", e.Supply.Least.Text, e.Supply.Amps.Text)
	}
}

// A reading that the circuit cannot have is asked for again, and gives no tap.
func TestAReadingThatCannotBe(t *testing.T) {
	for _, volts := range []string{"0", "60", "208", "240"} {
		s := with(t, survey(t, "rectangle"), "supply", "voltage_box", volts, "V")
		e := Make(s, DefaultSettings(), Ask{})
		checkForm(t, e)
		if e.Supply.Tap.Known || result(e, "supply.mains") != Unknown {
			t.Errorf("%s V: tap %s", volts, e.Supply.Tap.Text)
		}
	}
	for volts, want := range map[string]string{"126": Holds, "127": Short, "114": Holds, "113": Short} {
		s := with(t, survey(t, "rectangle"), "supply", "voltage_box", volts, "V")
		if got := result(Make(s, DefaultSettings(), Ask{}), "supply.mains"); got != want {
			t.Errorf("%s V: %s", volts, got)
		}
	}
}

// with sets one value of a survey, measured dry; an empty text takes it out.
func with(t testing.TB, s jobs.Survey, id, name, text, unit string) jobs.Survey {
	t.Helper()
	out := s
	out.Subjects = append([]jobs.Subject(nil), s.Subjects...)
	found := false
	for i, sub := range out.Subjects {
		if sub.ID != id {
			continue
		}
		found = true
		values := map[string]jobs.Value{}
		for k, v := range sub.Values {
			v.Base = 0
			values[k] = v
		}
		delete(values, name)
		if text != "" {
			values[name] = jobs.Value{Text: text, Unit: unit, Known: jobs.KnownMeasuredDry}
		}
		out.Subjects[i].Values = values
	}
	if !found {
		t.Fatalf("no subject %s", id)
	}
	out, err := out.Settle()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// result is the result of the first check of a key.
func result(e Estimate, key string) string {
	for _, c := range e.Checks {
		if c.Key == key {
			return c.Result
		}
	}
	return ""
}
