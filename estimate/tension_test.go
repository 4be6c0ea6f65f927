package estimate

import (
	"math"
	"slices"
	"testing"

	"ebbline/jobs"
	"pgregory.net/rapid"
)

// A published conduit construction manual, appendix 8.12: 36 lb ahead of a bend
// of 90° at friction 0.5 are 79 lb behind it.
func TestBendExample(t *testing.T) {
	tension, _ := pulling{feed: 36, friction: .5, scale: 1, radius: 1}.pull([]piece{{bend: math.Pi / 2}}, false)
	near(t, "lb", tension, 79, .05)
}

// The same manual's table of e^(f·a), all rows; it rounds to 0.01. Friction 0.15
// at 30° and 0.7 at 60° end on a half and may round either way.
func TestBendTable(t *testing.T) {
	for f, row := range map[float64][6]float64{
		.7: {1.20, 1.44, 1.73, 2.08, 2.50, 3.00}, .6: {1.17, 1.37, 1.60, 1.87, 2.19, 2.57}, .5: {1.14, 1.30, 1.48, 1.68, 1.92, 2.19},
		.4: {1.11, 1.23, 1.37, 1.52, 1.69, 1.87}, .3: {1.08, 1.17, 1.27, 1.37, 1.48, 1.60}, .15: {1.04, 1.08, 1.13, 1.17, 1.22, 1.27},
	} {
		for i, want := range row {
			got, _ := pulling{feed: 1, friction: f, scale: 1, radius: 1}.pull([]piece{{bend: float64(i+1) * math.Pi / 12}}, false)
			near(t, "e^(f·a)", got, want, .01)
		}
	}
	// All 360° that the code allows, by the formula: lubrication matters most.
	for f, want := range map[float64]float64{.5: 23.14, .35: 9.02, .15: 2.57} {
		near(t, "360°", math.Exp(f*2*math.Pi), want, .005)
		got, _ := pulling{feed: 1, friction: f, scale: 1, radius: 1}.pull([]piece{{bend: math.Pi}, {bend: math.Pi}}, false)
		near(t, "360° in two bends", got, want, .005)
	}
}

// By the formulas: 0.12 lb/ft at friction 0.5 through 40 ft, 90°, 30 ft, 90°,
// 20 ft gives 2.400, 5.264, 7.064, 15.493 and 16.693 lb, the other way 12.120.
func TestRunExample(t *testing.T) {
	bend := math.Pi / 2
	run := []piece{{feet: 40}, {bend: bend}, {feet: 30}, {bend: bend}, {feet: 20}}
	p := pulling{weight: .12, friction: .5, scale: 1, radius: .5}
	for i, want := range []float64{2.400, 5.264, 7.064, 15.493, 16.693} {
		got, _ := p.pull(run[:i+1], false)
		near(t, "lb", got, want, .0006)
	}
	got, _ := p.pull(run, true)
	near(t, "lb the other way", got, 12.120, .0006)
	// The same through the survey's own text, with nothing at the feeding end.
	set := DefaultSettings()
	set.Conduit.Feed = 0
	set.Catalogue.Lights[0].CordWeight = round(.12 / poundsPerMgPerM / feetInMetre)
	e := Make(oneConduit(t, 1, dry("run=40 ft; 90; 30 ft; 90; 20 ft", "material=pvc_40", "size_supply=1", "size_water=1")), set, Ask{})
	ways := e.Conduits[0].Ways
	if len(ways) != 2 || ways[0].PullAt != PullAtSupply || ways[1].PullAt != PullAtWater {
		t.Fatalf("%+v", ways)
	}
	near(t, "lb at the supply", float64(ways[0].Dry.Value)/mNPerPound, 16.693, .01)
	near(t, "lb at the water", float64(ways[1].Dry.Value)/mNPerPound, 12.120, .01)
	if e.Conduits[0].PullAt != PullAtSupply {
		t.Errorf("pulled at the %s, but the cord is fixed to its light", e.Conduits[0].PullAt)
	}
}

// 0.008 lb for each circular mil of copper, times conductors, eight tenths of it
// above three (published pulling-tension pages): 41.3, 61.9 and 104.5 lb.
func TestConductorLimit(t *testing.T) {
	for _, c := range []struct {
		awg, conductors int
		want            float64
	}{{16, 2, 41.3}, {16, 3, 61.9}, {12, 2, 104.5}, {16, 4, 66.05}} {
		near(t, "lb", conductorLimit(c.awg, c.conductors), c.want, .05)
	}
	// 41.3 lb of the cord bind before 50 of one hand, 60 of the joint, 100 of two.
	c := judged(t, 1, "run=10 ft; 90; 10 ft", "material=pvc_40", "size_supply=1", "size_water=1")
	near(t, "one person, lb", float64(c.One.Value)/mNPerPound, 41.28, .01)
	near(t, "two people, lb", float64(c.Two.Value)/mNPerPound, 41.28, .01)
	set := DefaultSettings()
	set.Catalogue.Lights[0].AWG, set.Catalogue.Lights[0].CordOuter = 12, 11_500
	c = Make(oneConduit(t, 1, dry("run=10 ft; 90; 10 ft")), set, Ask{}).Conduits[0]
	near(t, "one person, lb", float64(c.One.Value)/mNPerPound, 50, .01)
	near(t, "two people, the joint binds, lb", float64(c.Two.Value)/mNPerPound, 60, .01)
}

// A 1 in elbow of 5.75 in to the centre line (NEC chapter 9, table 2) bears 144
// lb at 300 lb for each foot of radius; the inside radius, half the bore less,
// bears less.
func TestSideWall(t *testing.T) {
	p := pulling{feed: 143.75, scale: 1, radius: 5.75 / 12}
	_, press := p.pull([]piece{{bend: math.Pi / 2}}, false)
	near(t, "lb/ft to the centre line", press, 300, .01)
	p.inside = 1.029 / 12
	_, press = p.pull([]piece{{bend: math.Pi / 2}}, false)
	near(t, "lb/ft to the inside", press, 143.75/((5.75-1.029/2)/12), .01)
	near(t, "the limit of the settings, lb/ft", float64(DefaultSettings().Conduit.SideWall)/mNPerPound*.3048, 300, .001)
	_, press = p.pull([]piece{{bend: math.Pi / 2, radius: 2}}, false)
	near(t, "a wide bend of its own radius", press, 143.75/(2-1.029/24), .01)
}

// Down a slope the cord's own weight helps; it never pushes.
func TestSlopes(t *testing.T) {
	p := pulling{weight: .1, friction: .3, scale: 1}
	up := []piece{{feet: 20, slope: math.Pi / 6}}
	got, _ := p.pull(up, false)
	near(t, "up, lb", got, 20*.1*(.5+.3*math.Cos(math.Pi/6)), 1e-9)
	p.feed = 5
	down := []piece{{feet: 20, slope: -math.Pi / 6}, {feet: 100}}
	got, _ = p.pull(down, false)
	near(t, "down and on, lb", got, 5-20*.1*(.5-.3*math.Cos(math.Pi/6))+100*.1*.3, 1e-9)
	p.feed = 0
	got, _ = p.pull([]piece{{feet: 20, slope: -math.Pi / 2}}, false)
	near(t, "hanging, lb", got, 0, 1e-9)
}

// Three cradled cables press harder by 1 + 4/3·(d/(D−d))² (IEEE 1185, from
// memory); one by nothing, and none go where they don't fit.
func TestWeightCorrection(t *testing.T) {
	near(t, "one", weightCorrection(1, 1, .5), 1, 0)
	near(t, "three", weightCorrection(3, 1.5, .5), 1+4.0/3*.25, 1e-12)
	if !math.IsInf(weightCorrection(2, .5, .5), 1) {
		t.Error("two cords as wide as the conduit")
	}
}

// Where only length and bends are known the true pull lies between the bounds,
// wherever the bends are.
func TestBoundsHoldWhereverTheBendsAre(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		feet := rapid.Float64Range(5, 200).Draw(rt, "feet")
		n := rapid.IntRange(1, 5).Draw(rt, "bends")
		places := make([]float64, n)
		for i := range places {
			places[i] = rapid.Float64Range(0, feet).Draw(rt, "place")
		}
		slices.Sort(places)
		var run []piece
		last := 0.0
		for _, place := range places {
			run = append(run, piece{feet: place - last}, piece{bend: math.Pi / 2})
			last = place
		}
		run = append(run, piece{feet: feet - last})
		p := pulling{feed: 2, weight: .08, friction: .5, scale: 1, radius: .5}
		all := float64(n) * math.Pi / 2
		low, _ := p.pull([]piece{{bend: all}, {feet: feet}}, false)
		mid, _ := p.pull(evenly(feet, all, n), false)
		high, _ := p.pull([]piece{{feet: feet}, {bend: all}}, false)
		for _, back := range []bool{false, true} {
			got, _ := p.pull(run, back)
			if got < low-1e-9 || got > high+1e-9 || mid < low-1e-9 || mid > high+1e-9 {
				rt.Fatalf("%v of %v to %v to %v", got, low, mid, high)
			}
		}
	})
}

func pieces(t *rapid.T) []piece {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) piece {
		if rapid.Bool().Draw(t, "bend") {
			return piece{bend: rapid.Float64Range(.1, math.Pi).Draw(t, "angle"), radius: rapid.Float64Range(.3, 2).Draw(t, "radius")}
		}
		return piece{feet: rapid.Float64Range(1, 100).Draw(t, "feet"), slope: rapid.Float64Range(-math.Pi/2, math.Pi/2).Draw(t, "slope")}
	}), 1, 12).Draw(t, "pieces")
}

func TestPullProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		run := pieces(t)
		p := pulling{feed: rapid.Float64Range(0, 20).Draw(t, "feed"), weight: rapid.Float64Range(.01, 1).Draw(t, "weight"), friction: rapid.Float64Range(0, .7).Draw(t, "friction"), scale: 1, radius: .5}
		there, thereWall := p.pull(run, false)
		turned := slices.Clone(run)
		slices.Reverse(turned)
		for i := range turned {
			turned[i].slope = -turned[i].slope
		}
		back, backWall := p.pull(turned, true)
		if math.Abs(there-back) > 1e-9*(1+there) || math.Abs(thereWall-backWall) > 1e-9*(1+thereWall) {
			t.Fatalf("%v and %v, the run turned round %v and %v", there, thereWall, back, backWall)
		}
		rough := p
		rough.friction += rapid.Float64Range(0, .5).Draw(t, "rougher")
		if more, wall := rough.pull(run, false); more < there-1e-9*(1+there) || wall < thereWall-1e-9*(1+thereWall) {
			t.Fatalf("%v at friction %v, %v at %v", there, p.friction, more, rough.friction)
		}
		if there < p.feed {
			t.Fatalf("%v, fed with %v", there, p.feed)
		}
	})
}

func TestMoreCordsNeverLowerFill(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		area := rapid.Float64Range(.2, 4).Draw(t, "area")
		od := rapid.Float64Range(.1, 1).Draw(t, "od")
		n := rapid.IntRange(0, 50).Draw(t, "cords")
		jumper := rapid.Bool().Draw(t, "jumper")
		a, b := fillPart(n, od, jumper, area), fillPart(n+1, od, jumper, area)
		if b <= a || fillPart(n, od, true, area) < a {
			t.Fatalf("%v with %d, %v with one more", a, n, b)
		}
	})
}

// Both ways and both frictions, with the length known in every way: a value
// measured dry never widens a band, and the planned pull lies inside it.
func TestPullBands(t *testing.T) {
	for _, field := range []string{"run=40 ft; 90; 30 ft; 90; 20 ft", "bend_total=180|°", "bends=3"} {
		var before Conduit
		for i, known := range jobs.Knowns[1:] {
			values := dry(field, "length=90|ft", "material=pvc_40", "size_supply=1", "size_water=1")
			for name, v := range values {
				v.Known = known
				values[name] = v
			}
			c := Make(oneConduit(t, 1, values), DefaultSettings(), Ask{}).Conduits[0]
			for j, w := range c.Ways {
				for k, f := range w.figures() {
					if !f.Known || f.Low > f.Value || f.Value > f.High {
						t.Errorf("%s %s %s: %d %d %d", field, known, f.Key, f.Low, f.Value, f.High)
					}
					if i == 0 {
						continue
					}
					if old := before.Ways[j].figures()[k]; f.Low < old.Low || f.High > old.High || f.Value != old.Value {
						t.Errorf("%s %s %s: %d to %d, less well known %d to %d", field, known, f.Key, f.Low, f.High, old.Low, old.High)
					}
				}
			}
			before = c
		}
	}
}
