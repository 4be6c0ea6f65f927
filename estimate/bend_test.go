package estimate

import (
	"strings"
	"testing"
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
