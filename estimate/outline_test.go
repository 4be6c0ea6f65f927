package estimate

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ebbline/jobs"
	"pgregory.net/rapid"
)

func outlined(t testing.TB, outline string, more ...string) Estimate {
	t.Helper()
	return Make(pool(t, append([]string{"shape", "drawn", "", "outline", outline, "ft"}, more...)...), DefaultSettings(), Ask{})
}

// Areas of figures whose area plane geometry gives in another way.
func TestDrawnArea(t *testing.T) {
	for outline, want := range map[string]float64{
		"0,0; 32,0; 32,16; 0,16":                             512, // 32 x 16
		"0,16; 32,16; 32,0; 0,0":                             512, // the other way round
		"0,0; 32,0; 32,16; 0,16; 0,0":                        512, // closed by hand
		"-100,-50; -68,-50; -68,-34; -100,-34":               512, // elsewhere on the plan
		"0,0; 30,0; 0,20":                                    300, // half of 30 x 20
		"0,0; 20,0; 20,20; 30,20; 30,10; 40,10; 40,30; 0,30": 900, // upright strips 20 x 30, 10 x 10, 10 x 20
	} {
		e := outlined(t, outline)
		if got := squareFeet(e.Bodies[0].Area); math.Abs(got-want) > .01 {
			t.Errorf("%s: %v ft², want %v; %v", outline, got, want, e.Bodies[0].Area.Missing)
		}
	}
}

func TestOutlineThatContradictsItself(t *testing.T) {
	for outline, says := range map[string]string{
		"0,0; 32,16; 32,0; 0,16":       "dot 1 meets the side after dot 3", // a bow tie
		"0,0; 30,0; 30,20; 15,0; 0,20": "meets",                            // a corner on another side
		"0,0; 30,0; 10,0; 10,20":       "meets",                            // folds back on itself
		"0,0; 10,0; 20,0":              "meets",                            // all on one line
		"0,0; 10,0; 0,0; 0,0":          "three different dots",
	} {
		a := outlined(t, outline).Bodies[0].Area
		if a.Known || len(a.Missing) != 1 || a.Missing[0].Field != "outline" || !strings.Contains(a.Missing[0].Text, says) {
			t.Errorf("%s: %s, %v", outline, a.Text, a.Missing)
		}
	}
}

func TestSizesThatContradict(t *testing.T) {
	for _, c := range []struct {
		triples []string
		field   string
	}{
		{[]string{"shape", "drawn", "", "outline", "0,0; 32,0; 32,16; 0,16", "ft", "length", "60", "ft"}, "length"},
		{[]string{"shape", "drawn", "", "outline", "0,0; 32,0; 32,16; 0,16", "ft", "area", "900", "ft2"}, "area"},
		{[]string{"shape", "rectangle", "", "length", "32", "ft", "width", "16", "ft", "area", "200", "ft2"}, "area"},
		{[]string{"shape", "free_form", "", "widths", "0 9 12 11 0", "ft", "width_step", "5", "ft", "length", "40", "ft"}, "length"},
		{[]string{"shape", "round", "", "diameter", "20", "ft", "depth_shallow", "6", "ft", "depth_deep", "3", "ft"}, "depth_shallow"},
		{[]string{"shape", "round", "", "diameter", "20", "ft", "level", "50", "in", "depth_deep", "3", "ft"}, "level"},
	} {
		e := Make(pool(t, c.triples...), DefaultSettings(), Ask{})
		a := e.Bodies[0].Area
		if a.Known || len(a.Missing) != 1 || a.Missing[0].Field != c.field {
			t.Errorf("%v: %s, %v", c.triples, a.Text, a.Missing)
		}
		if _, found := caution(e, "sizes"); !found {
			t.Errorf("%v: no caution", c.triples)
		}
	}
	if a := Make(pool(t, "shape", "rectangle", "", "length", "32", "ft", "width", "16", "ft", "area", "560", "ft2"), DefaultSettings(), Ask{}).Bodies[0].Area; !a.Known {
		t.Errorf("10 %% apart is measuring, not a contradiction: %v", a.Missing)
	}
}

// A star-shaped outline never crosses itself, its area is the sum of its
// triangles from the middle, and neither turning the order round nor moving it
// changes that.
func TestOutlineOfAStar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 60).Draw(t, "corners")
		var star []jobs.Point
		ox, oy := rapid.Int64Range(-1e9, 1e9).Draw(t, "x"), rapid.Int64Range(-1e9, 1e9).Draw(t, "y")
		want := 0.0
		for i := range n {
			r := rapid.Float64Range(1e6, 2e7).Draw(t, "far")
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			star = append(star, jobs.Point{X: ox + round(r*cos), Y: oy + round(r*sin)})
		}
		for i, p := range star {
			q := star[(i+1)%n]
			want += (float64(p.X-ox)*float64(q.Y-oy) - float64(q.X-ox)*float64(p.Y-oy)) / 2
		}
		if a, b, found := crosses(star); found {
			t.Fatalf("sides %d and %d cross in %v", a, b, star)
		}
		got := shoelace(star)
		slices.Reverse(star)
		if back := shoelace(star); math.Abs(got-want) > 1e-9*want+4 || math.Abs(back-want) > 1e-9*want+4 {
			t.Fatalf("%v, backwards %v, want %v", got, back, want)
		}
		if n < 4 {
			return
		}
		i := rapid.IntRange(0, n-2).Draw(t, "swap") // two corners changed in order cross the sides beside them, or fold
		star[i], star[i+1] = star[i+1], star[i]
		if _, _, found := crosses(star); !found && math.Abs(shoelace(star)-want) < 1 {
			t.Fatalf("another order, the same area and nothing found: %v", star)
		}
	})
}

// A drawing with many dots is computed as fast as it is read.
func BenchmarkDrawn(b *testing.B) {
	var dots []jobs.Point
	for i := range 100 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 100)
		dots = append(dots, jobs.Point{X: round(5e6 * cos), Y: round(3e6 * sin)})
	}
	text, _ := jobs.FormatPoints(dots, "ft", 2)
	s := pool(b, "shape", "drawn", "", "outline", text, "ft")
	b.ReportAllocs()
	for b.Loop() {
		Make(s, DefaultSettings(), Ask{})
	}
}
