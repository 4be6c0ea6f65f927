package estimate

import (
	"math"
	"strings"
	"testing"

	"ebbline/jobs"
)

// At most 360° between pull points: NEC 352.26 (2017 and 2020), 352.24(B) in
// 2023.
func TestBends(t *testing.T) {
	for _, c := range []struct {
		list   string
		result string
		text   string
	}{
		{"bend_total=360|°", Holds, "360°"},
		{"bend_total=361|°", Short, "by 1°"},
		{"bends=4", Holds, "360°"},
		{"bends=5", Unknown, "225° to 450°"}, // of 45° or of 90° each
		{"bends=9", Short, "over 360°"},
		{"run=10 ft; 90; 10 ft; 90; 10 ft; 90; 10 ft; 90; 10 ft", Holds, "360°"},
		{"run=10 ft; 90; 10 ft; 90; 10 ft; 90; 10 ft; 90; 10 ft; 45; 10 ft", Short, "by 45°"},
		{"length=10|ft", Unknown, "not known yet"},
	} {
		got := bendCheck(judged(t, 1, c.list))
		if got.Result != c.result || !strings.Contains(got.Text, c.text) {
			t.Errorf("%s: %s, %q; want %s with %q", c.list, got.Result, got.Text, c.result, c.text)
		}
	}
}

// NEC chapter 9, table 2, inches to the centre line: one-shot and full-shoe
// benders, and other bends.
func TestBendRadii(t *testing.T) {
	for i, want := range [6][2]int64{{4_000, 4_000}, {4_500, 5_000}, {5_750, 6_000}, {7_250, 8_000}, {8_250, 10_000}, {9_500, 12_000}} {
		if shoeRadius[i] != want[0] || otherRadius[i] != want[1] {
			t.Errorf("size %d: %d and %d, want %v", i, shoeRadius[i], otherRadius[i], want)
		}
	}
	for run, want := range map[string]string{
		"10 ft; 90 r 5.75 in; 10 ft": Holds,
		"10 ft; 90 r 5.5 in; 10 ft":  Short,
		"10 ft; 90; 10 ft":           "",
	} {
		got, _ := radiusCheck(judged(t, 1, "run="+run, "material=pvc_40", "size_supply=1", "size_water=1-1/2"))
		if got.Result != want {
			t.Errorf("%s: %+v, want %s", run, got, want)
		}
	}
}

// Three cables jam at inside over outside from 2.8 to 3.2 (NEC chapter 9, table
// 1, informational note 2); with 1.05 times the inside for a bend's ovality
// (cable-pulling guides, from memory) from 2.67.
func TestJam(t *testing.T) {
	for _, c := range []struct {
		inside, outside float64
		want            bool
	}{{3, 1, true}, {2.8, 1, true}, {3.2, 1, true}, {3.21, 1, false}, {2.7, 1, true}, {2.66, 1, false}, {2.4, 1, false}, {5, 1, false}} {
		if got := jams(c.inside, c.outside); got != c.want {
			t.Errorf("%v over %v: %v", c.inside, c.outside, got)
		}
	}
	// Three cords of 9 mm in 1 in schedule 40: 1.029 in / 0.354 in = 2.90.
	pipe := []string{"material=pvc_40", "size_supply=1", "size_water=1"}
	c := judged(t, 3, pipe...)
	near(t, "ratio", float64(c.Jam.Value)/1000, 2.904, .002)
	if check, ok := jamCheck(c); !ok || check.Result != Short {
		t.Errorf("%+v", check)
	}
	for _, lights := range []int{1, 2, 4} {
		if c := judged(t, lights, pipe...); c.Jam.Key != "" {
			t.Errorf("%d cords hardly jam, yet %+v", lights, c.Jam)
		}
	}
	if check, ok := jamCheck(judged(t, 3, "material=pvc_40")); !ok || check.Result != Unknown {
		t.Errorf("size not known: %+v", check)
	}
}

// A path drawn 40 ft east, 30 ft south and 20 ft west turns twice by 90°; two
// elbows that a plan does not show make 360°. Drawn the other way round but with
// the supply's place on the plan, it comes out the same.
func TestDrawnPath(t *testing.T) {
	const path = "0,0; 40,0; 40,30; 20,30"
	want := []piece{{bend: math.Pi / 2}, {feet: 40}, {bend: math.Pi / 2}, {feet: 30}, {bend: math.Pi / 2}, {feet: 20}, {bend: math.Pi / 2}}
	for _, c := range []struct {
		path, supply, length string
		stretched            float64
	}{
		{path, "", "", 1}, {path, "20,31", "", 1}, {"20,30; 40,30; 40,0; 0,0", "20,31", "", 1}, {path, "", "99", 1.1},
		{"0,0; 0,0; 10,0; 25,0; 40,0; 40,30; 20,30", "", "", 1}, // dots on the way turn nothing
	} {
		list := []string{"path=" + c.path + "|ft"}
		if c.length != "" {
			list = append(list, "length="+c.length+"|ft")
		}
		s := oneConduit(t, 1, dry(list...))
		if c.supply != "" {
			s.Subjects[1].Values["place"] = entered(jobs.KnownRead, c.supply, "ft")
			var err error
			if s, err = s.Settle(); err != nil {
				t.Fatal(err)
			}
		}
		k := &calc{survey: s, set: DefaultSettings()}
		run, _ := s.Subject("c")
		got := k.course(run)
		near(t, c.path+", °", got.bends.v/1000, 360, 1e-6)
		near(t, c.path+", ft", got.length.v/umPerFoot, 90*c.stretched, 1e-6)
		if sum := straightened(got.pieces); !closePieces(sum, want) {
			t.Errorf("%v: %v, want %v", c, sum, want)
		}
		conduit := Make(s, DefaultSettings(), Ask{}).Conduits[0]
		checkForm(t, Make(s, DefaultSettings(), Ask{}))
		if len(conduit.Ways) != 2 || !conduit.Ways[0].Dry.Known || conduit.Bends.Text != "360°" {
			t.Errorf("%v: %+v", c, conduit)
		}
	}
	if got := judged(t, 1, "path=5,5; 5,5|ft"); len(got.Ways) != 0 || got.Bends.Known {
		t.Errorf("a path of no length: %+v", got)
	}
}

// straightened joins straights that follow each other.
func straightened(list []piece) []piece {
	var out []piece
	for _, p := range list {
		if n := len(out); n > 0 && p.bend == 0 && out[n-1].bend == 0 {
			out[n-1].feet += p.feet
			continue
		}
		out = append(out, p)
	}
	return out
}

func closePieces(a, b []piece) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if math.Abs(a[i].feet-b[i].feet) > 1e-6 || math.Abs(a[i].bend-b[i].bend) > 1e-6 {
			return false
		}
	}
	return true
}
