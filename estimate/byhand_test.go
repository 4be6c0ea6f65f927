package estimate

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ebbline/jobs"
)

// The rectangle survey worked with paper and calculator from its own values and
// the default settings.
func TestRectangleByHand(t *testing.T) {
	e := Make(survey(t, "rectangle"), DefaultSettings(), Ask{Zones: 1})
	w := e.Bodies[0]
	inches := func(f Figure) float64 { return float64(f.Value) / 25_400 }
	near(t, "working level, in", inches(w.Working), 24+1.75+6, 1e-4)
	near(t, "drop, in", inches(w.Drop), 31.75-2, 1e-4)
	near(t, "water, gal", float64(w.Volume.Value)/mlPerGallon, 512*29.75/12*7.48052, .1)
	near(t, "drain, h", float64(w.Drain.Value)/3600, 512*29.75/12*7.48052/12/60, .001)
	// covered: from 31.75 in up to 18 - 1.75 - 6 = 10.25 in below the tile line
	near(t, "cover over fill", float64(w.Cover.Value)/float64(w.Fill.Value), 21.5/29.75, .0005)
	for i, want := range []struct {
		needed, order, volts float64
		cost                 jobs.Cents
	}{
		// at the wall 24 or 18 in of depth, 6 in to the deck, 24 in on it; 4 ft at
		// the supply; volts by the quadratic from 13 V × 119.4/120 and 4.99 Ω/1000 ft
		{48*1.05 + 4.5 + 4, 80, 12.127, 261_00}, {62*1.05 + 4.5 + 4, 80, 11.907, 261_00},
		{71*1.05 + 4 + 4, 100, 11.768, 279_00}, {88*1.05 + 4 + 4, 150, 11.480, 324_00},
	} {
		cord := e.Cords[i]
		near(t, cord.Name+", ft", float64(cord.Needed.Value)/umPerFoot, want.needed, 1e-4)
		near(t, cord.Name+", order", float64(cord.Order.Value)/umPerFoot, want.order, 1e-9)
		near(t, cord.Name+", V", float64(cord.Volts.Value)/1000, want.volts, .006)
		if cord.Cost != want.cost {
			t.Errorf("%s: %s", cord.Name, cord.Cost)
		}
	}
	near(t, "primary, A", float64(e.Supply.Primary.Value)/1000, 13*15/.9*(1/12.1271+1/11.9068+1/11.7682+1/11.4804)*1.15/120, .0006)
	// sets 1125.00, supply 229.00, no adapter as the threads are alike, seals
	// 24.80, duct seal 19.60, lubricant 14.00, line 22.00, marks 3.10, relief
	// 17.60, neutraliser 12.50
	if e.Materials.Cost.Value != 1467_60 {
		t.Errorf("materials %s, want $1,467.60", e.Materials.Cost.Text)
	}
	mean := func(a, m, b float64) float64 { return (a + 4*m + b) / 6 }
	convert, _ := e.Visit("convert")
	hours := 2*mean(.4, .6, 1.2) + 4*mean(.08, .12, .3) + 4*mean(.2, .35, .75) + mean(.05, .1, .25)
	variance := (2*.8*.8 + 4*.22*.22 + 4*.55*.55 + .2*.2) / 36
	for _, run := range e.Conduits { // each pull is a mixture of three
		m, square := 0.0, 0.0
		for i, p := range []int64{run.Chances.Pull, run.Chances.Help, run.Chances.Open} {
			abm := [][3]float64{{.2, .45, 1.2}, {.4, .9, 2.5}, {.75, 2, 5}}[i]
			of, wide := mean(abm[0], abm[1], abm[2]), (abm[2]-abm[0])/6
			m, square = m+float64(p)/1000*of, square+float64(p)/1000*(of*of+wide*wide)
		}
		hours, variance = hours+m, variance+square-m*m
	}
	near(t, "convert, mean h", float64(convert.Mean.Value)/3600, hours, .0005)
	s2 := math.Log(1 + variance/hours/hours)
	near(t, "convert, median h", float64(convert.Median.Value)/3600, hours/math.Exp(s2/2), .0005)
	near(t, "convert, planned h", float64(convert.Plan.Value)/3600, hours*math.Exp(-s2/2+.841621*math.Hypot(math.Sqrt(s2), .08)), .01)
	if chance, ok := convert.Chance(convert.Plan.Value); !ok || chance < 799 || chance > 801 {
		t.Errorf("the chance to keep the planned time is %d in a thousand", chance)
	}
	if got, want := convert.Dry, round(3600*mean(.4, .6, 1.2)); got < want || got > want*5/4 {
		t.Errorf("dry part %d s, its mean %d", got, want)
	}
	total := 0.0
	for _, task := range convert.Tasks {
		total += float64(task.Part)
	}
	near(t, "parts of the spread", total, 1000, 4)
}

func TestLowLimitIsTheStrictestBody(t *testing.T) {
	s := survey(t, "pool_and_spa")
	for i, sub := range s.Subjects {
		if sub.ID == "spa" {
			s.Subjects[i].Values["finish"] = jobs.Value{Text: "fibreglass", Known: jobs.KnownRead}
		}
	}
	s, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	e := Make(s, DefaultSettings(), Ask{})
	if e.Clock.LowLimit != 24*3600 {
		t.Errorf("aggregate pool with a fibreglass spa may stay low %s", duration(e.Clock.LowLimit))
	}
	if sum := e.Bodies[0].Drain.Value + e.Bodies[1].Drain.Value; math.Abs(float64(e.Clock.Drain.Median-sum)) > 1 {
		t.Errorf("bodies one after the other: %d s, clock %d s", sum, e.Clock.Drain.Median)
	}
}

func TestASpaThatLowersWithItsPool(t *testing.T) {
	s := survey(t, "pool_and_spa")
	apart := Make(s, DefaultSettings(), Ask{})
	for i, sub := range s.Subjects {
		if sub.ID == "spa" {
			s.Subjects[i].Values["lowers_with"] = jobs.Value{Text: "yes", Known: jobs.KnownRead}
		}
	}
	s, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	e := Make(s, DefaultSettings(), Ask{})
	if e.Bodies[1].Lowered || e.Bodies[1].With != "pool" || !e.Clock.Known {
		t.Fatalf("%+v", e.Bodies[1])
	}
	// 648 + 38.48 ft² by the pool's own drop
	want := float64(apart.Bodies[0].Volume.Value) * (648 + math.Pi/4*49) / 648
	near(t, "water of both", float64(e.Bodies[0].Volume.Value)/want, 1, 1e-6)
}

func TestLoweringOnArrivalIsInsideTheConversion(t *testing.T) {
	s := survey(t, "rectangle")
	before, _ := Make(s, DefaultSettings(), Ask{}).Visit("convert")
	s.Subjects[1].Values["becomes_low"] = jobs.Value{Text: jobs.LowOnArrival, Known: jobs.KnownTold}
	s, err := s.Settle()
	if err != nil {
		t.Fatal(err)
	}
	e := Make(s, DefaultSettings(), Ask{})
	after, _ := e.Visit("convert")
	drain, _ := e.Visit("drain")
	for _, line := range Make(survey(t, "pool_and_spa"), DefaultSettings(), Ask{}).Materials.Lines {
		if line.Key == "pump" {
			t.Error("our pump is loaded for a pool that the customer lowers")
		}
	}
	if after.Plan.Value != before.Plan.Value+e.Clock.Drain.Late || drain.Needed {
		t.Errorf("planned %d, without lowering %d, late %d, a drain visit: %v", after.Plan.Value, before.Plan.Value, e.Clock.Drain.Late, drain.Needed)
	}
}

// The people who stand beside a drain on arrival are paid for it: 512 ft² by
// 29.75 in are 9 495.3 gal, at 12 gpm 791.3 min, by two people at $62.00 an hour.
func TestLoweringOnArrivalIsPaid(t *testing.T) {
	s := survey(t, "rectangle")
	e := Make(changedValue(t, s, "pool", "becomes_low", jobs.LowOnArrival, ""), DefaultSettings(), Ask{})
	at := slices.IndexFunc(e.Price.Lines, func(l PriceLine) bool { return l.Name == "Lowering on arrival" })
	if at < 0 {
		t.Fatalf("%+v", e.Price.Lines)
	}
	near(t, "cents", float64(e.Price.Lines[at].Cents), 512*29.75/12*7.480519/12/60*2*6200, 60)
	if before := Make(s, DefaultSettings(), Ask{}); e.Price.Total.Value < before.Price.Total.Value {
		t.Errorf("%s with thirteen hours of waiting, %s without", e.Price.Total.Text, before.Price.Total.Text)
	}
	slow := changedValue(t, s, "pool", "becomes_low", jobs.LowOnArrival, "")
	slow = changedValue(t, slow, "discharge", "rise", "30", "ft") // beyond the pump
	if e := Make(slow, DefaultSettings(), Ask{}); e.Clock.Total.Known || e.Price.Total.Known {
		t.Errorf("lowering takes %s, and the price is %s", e.Clock.Total.Text, e.Price.Total.Text)
	}
}

// Fewer positions than lights told, or more, is no basis for a price.
func TestLightsThatContradictTheirPositions(t *testing.T) {
	for _, told := range []string{"7", "3", "0"} {
		e := Make(changedValue(t, survey(t, "rectangle"), "pool", "lights", told, ""), DefaultSettings(), Ask{})
		checkForm(t, e)
		if e.Price.Total.Known || e.Supply.Power.Known {
			t.Errorf("%s lights told, 4 noted: %s, %s", told, e.Price.Total.Text, e.Supply.Power.Text)
		}
		if !slices.ContainsFunc(e.Missing, func(m Miss) bool { return m.Field == "lights" && strings.Contains(m.Text, told+" said, 4 noted") }) {
			t.Errorf("%+v", e.Missing)
		}
	}
}

// A position left for later is no contradiction to the number told.
func TestAPositionLeftForLaterLeavesAPrice(t *testing.T) {
	e := Make(survey(t, "rectangle"), DefaultSettings(), Ask{Later: []string{"l4"}})
	if !e.Price.Total.Known || e.Supply.Lights != 3 {
		t.Errorf("%d lights, %s", e.Supply.Lights, e.Price.Total.Text)
	}
}

func TestLearnedTimesScale(t *testing.T) {
	set := DefaultSettings()
	before, _ := Make(survey(t, "rectangle"), set, Ask{}).Visit("convert")
	set.Labour.Learned = map[string]int64{"convert": 1095}
	after, _ := Make(survey(t, "rectangle"), set, Ask{}).Visit("convert")
	near(t, "median", float64(after.Median.Value)/float64(before.Median.Value), 1.095, 1e-4)
	near(t, "plan", float64(after.Plan.Value)/float64(before.Plan.Value), 1.095, 1e-4)
	near(t, "mean", float64(after.Mean.Value)/float64(before.Mean.Value), 1.095, 1e-4)
}

func TestDivideRoundsHalfUp(t *testing.T) {
	for _, c := range [][3]int64{{7, 2, 4}, {6, 4, 2}, {5, 4, 1}, {0, 3, 0}, {1_000, 3, 333}} {
		if got := divide(c[0], c[1]); got != c[2] {
			t.Errorf("%d / %d = %d, want %d", c[0], c[1], got, c[2])
		}
	}
}

// Independent errors add in quadrature, on both sides, through sums, products
// and quotients.
func TestBands(t *testing.T) {
	ten := func(v float64) num { return num{v: v, lo: v / 1.1, hi: v * 1.1, ok: true} }
	p := product(ten(20), ten(30))
	near(t, "product", math.Log(p.hi/p.v), math.Sqrt2*math.Log(1.1), 1e-12)
	near(t, "product, low side", math.Log(p.v/p.lo), math.Sqrt2*math.Log(1.1), 1e-12)
	q := quotient(ten(20), num{v: 4, lo: 4, hi: 8, ok: true})
	near(t, "quotient", q.v, 5, 1e-12)
	near(t, "quotient, high side", q.hi, 5*1.1, 1e-9)
	near(t, "quotient, low side", math.Log(q.v/q.lo), math.Hypot(math.Log(1.1), math.Log(2)), 1e-12)
	s := sum(ten(30), minus(num{v: 10, lo: 6, hi: 14, ok: true}))
	near(t, "difference", s.v, 20, 1e-12)
	near(t, "difference, high side", s.hi-s.v, 5, 1e-9)
	l := least(ten(5), fixed(5.2))
	near(t, "least", l.v, 5, 1e-12)
	near(t, "least, high side", l.hi, 5.2, 1e-12)
	near(t, "spread of a clock", float64(Quantiles{3, 4_000_000, 6_000_000}.Spread()), 316, .5)
	near(t, "least, low side", l.lo, 5/1.1, 1e-12)
}
