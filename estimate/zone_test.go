package estimate

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"ebbline/jobs"
	"pgregory.net/rapid"
)

func larger(loads []int64, second []bool, carried [2]int64) int64 {
	for i, load := range loads {
		if second[i] {
			carried[1] += load
		} else {
			carried[0] += load
		}
	}
	return max(carried[0], carried[1])
}

// The split leaves the larger zone with as little as trying every split does.
func TestBalanceAgainstEverySplit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loads := rapid.SliceOfN(rapid.Int64Range(1, 60), 0, 12).Draw(t, "loads")
		carried := [2]int64{rapid.Int64Range(0, 100).Draw(t, "one"), rapid.Int64Range(0, 100).Draw(t, "two")}
		got := larger(loads, balance(loads, carried), carried)
		best := int64(-1)
		for set := range 1 << len(loads) {
			second := make([]bool, len(loads))
			for i := range loads {
				second[i] = set&(1<<i) != 0
			}
			if v := larger(loads, second, carried); best < 0 || v < best {
				best = v
			}
		}
		if got != best {
			t.Fatalf("%v on %v: %d, the best is %d", loads, carried, got, best)
		}
		again := balance(slices.Clone(loads), carried)
		if !slices.Equal(balance(loads, carried), again) {
			t.Fatal("the same loads, another split")
		}
	})
}

// Twenty lights that a split into equal halves exists for: it is found.
func TestBalanceOfTwentyIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var loads []int64
		half := rapid.SliceOfN(rapid.Int64Range(1000, 500_000), 10, 10).Draw(t, "half")
		total := int64(0)
		for i, load := range half { // the other half adds up to the same in other parts
			total += load
			var other int64
			if i%2 == 0 {
				other = load + half[i+1]/2
			} else {
				other = load - load/2
			}
			loads = append(loads, load, other)
		}
		loads = rapid.Permutation(loads).Draw(t, "order")
		if got := larger(loads, balance(loads, [2]int64{}), [2]int64{}); got != total {
			t.Fatalf("%v: %d, %d can be had", loads, got, total)
		}
	})
}

// Beyond twenty, largest first: never more than 7/6 of the best split. Graham,
// "Bounds on multiprocessing timing anomalies", 1969: 4/3 - 1/(3m), m = 2.
func TestBalanceOfManyKeepsItsBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loads := rapid.SliceOfN(rapid.Int64Range(1, 500_000), 21, 200).Draw(t, "loads")
		total, most := int64(0), int64(0)
		for _, load := range loads {
			total, most = total+load, max(most, load)
		}
		if got, least := larger(loads, balance(loads, [2]int64{}), [2]int64{}), max((total+1)/2, most); float64(got) > float64(least)*7/6+1 && float64(got) > float64(total)/2+float64(most)/2 {
			t.Fatalf("%d, at least %d", got, least)
		}
	})
}

func zonesOf(e Estimate) string {
	text := ""
	for _, z := range e.Supply.Zones {
		text += fmt.Sprint(z.Positions)
	}
	return text
}

func TestWhyALightIsInItsZone(t *testing.T) {
	two := Ask{Zones: 2}
	spa := survey(t, "pool_and_spa")
	e := Make(spa, DefaultSettings(), two)
	if !strings.Contains(e.Supply.Split, "by body of water") || len(e.Supply.Zones[1].Positions) != 1 {
		t.Errorf("%s: %s", zonesOf(e), e.Supply.Split)
	}
	for _, cord := range e.Cords {
		if want := 1; cord.Body == "spa" {
			want = 2
			if cord.Zone != want {
				t.Errorf("%s in zone %d", cord.Name, cord.Zone)
			}
		} else if cord.Zone != want {
			t.Errorf("%s in zone %d", cord.Name, cord.Zone)
		}
	}
	e = Make(with(t, spa, e.Cords[0].Position, "zone", "2", ""), DefaultSettings(), two)
	if !strings.Contains(e.Supply.Split, "as wished") || e.Cords[0].Zone != 2 || !strings.Contains(e.Supply.Split, "2 lights without a wish") {
		t.Errorf("%s: %s", zonesOf(e), e.Supply.Split)
	}
	pool := survey(t, "rectangle")
	for _, id := range []string{"l1", "l2", "l3", "l4"} {
		pool = with(t, pool, id, "zone", "", "")
	}
	e = Make(with(t, pool, "l1", "watts", "45", "W"), DefaultSettings(), two)
	if !strings.Contains(e.Supply.Split, "balanced: the larger zone carries 45 W, the least") || zonesOf(e) != "[l1][l2 l3 l4]" {
		t.Errorf("%s: %s", zonesOf(e), e.Supply.Split)
	}
	if e = Make(pool, DefaultSettings(), Ask{}); e.Supply.Split != "one zone was asked for" {
		t.Errorf("%s", e.Supply.Split)
	}
	// by body is too much for one output of the only supply, balanced is not
	set := DefaultSettings()
	set.Catalogue.Supplies = []SupplyPart{{Key: "two", Name: "Two outputs of 50 W", Outputs: 2, Output: 50_000, Total: 100_000, Taps: []int64{12_000, 13_000}}}
	e = Make(with(t, with(t, spa, "l1", "watts", "25", "W"), "l2", "watts", "25", "W"), set, two)
	if !strings.Contains(e.Supply.Split, "balanced across") || e.Supply.Part != "two" {
		t.Errorf("%s: %s", zonesOf(e), e.Supply.Split)
	}
}

// Every light is in exactly one zone, and the zones' powers add up, whatever
// the survey.
func TestZonesHoldEveryLight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := draw(t, false)
		for i, sub := range s.Subjects {
			if sub.Kind == jobs.SubjectPosition && rapid.Bool().Draw(t, "wish") {
				s.Subjects[i].Values["zone"] = jobs.Value{Text: fmt.Sprint(rapid.IntRange(1, 8).Draw(t, "zone")), Known: jobs.KnownTold}
			}
			if sub.Kind == jobs.SubjectPosition && rapid.Bool().Draw(t, "own watts") {
				s.Subjects[i].Values["watts"] = jobs.Value{Text: fmt.Sprint(rapid.IntRange(1, 60).Draw(t, "watts")), Unit: "W", Known: jobs.KnownTold}
			}
		}
		s, err := s.Settle()
		if err != nil {
			t.Fatal(err)
		}
		e := Make(s, DefaultSettings(), Ask{Zones: rapid.IntRange(1, 2).Draw(t, "zones")})
		if !e.Supply.Power.Known {
			t.Skip("no light")
		}
		lights, power := 0, int64(0)
		seen := map[string]int{}
		for _, z := range e.Supply.Zones {
			lights, power = lights+z.Lights, power+z.Power
			for _, id := range z.Positions {
				seen[id] = z.Number
			}
		}
		if lights != e.Supply.Lights || power != e.Supply.Power.Value {
			t.Fatalf("%+v of %d lights, %s", e.Supply.Zones, e.Supply.Lights, e.Supply.Power.Text)
		}
		for _, cord := range e.Cords {
			if seen[cord.Position] != cord.Zone {
				t.Fatalf("%s: zone %d, listed in %d", cord.Name, cord.Zone, seen[cord.Position])
			}
		}
	})
}
