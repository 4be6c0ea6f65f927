package estimate

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"ebbline/jobs"
)

// One spare of each length class on each truck each day: common practice, no
// source.
func TestSpareNeeds(t *testing.T) {
	uses := []SetUse{
		{"A", "2026-03-02", "colour", 80}, {"A", "2026-03-02", "colour", 80}, {"A", "2026-03-02", "colour", 100},
		{"B", "2026-03-02", "colour", 100},
		{"A", "2026-03-03", "colour", 80}, {"B", "2026-03-03", "colour", 80}, {"B", "2026-03-03", "white", 80},
	}
	if got := fmt.Sprint(TruckSpares(uses[:3])); got != "[{colour 80} {colour 100}]" {
		t.Errorf("%s", got)
	}
	want := []SetNeed{
		{"spare:colour:80:1", "colour", 80, 80, "2026-03-02", true}, {"spare:colour:80:2", "colour", 80, 80, "2026-03-03", true},
		{"spare:colour:100:1", "colour", 100, 100, "2026-03-02", true}, {"spare:colour:100:2", "colour", 100, 100, "2026-03-02", true},
		{"spare:white:80:1", "white", 80, 80, "2026-03-03", true},
	}
	if got := SpareNeeds(uses); !slices.Equal(got, want) {
		t.Errorf("%+v", got)
	}
	if got := SpareNeeds(nil); got != nil {
		t.Errorf("%+v for nothing", got)
	}
}

// On every day the needs that are due by then cover one of each class for each
// truck, counted apart by a plain walk over the days.
func TestSparesAreEnoughEachDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		days := []jobs.Day{"2026-03-02", "2026-03-03", "2026-03-04"}
		var uses []SetUse
		for range rapid.IntRange(0, 12).Draw(t, "uses") {
			uses = append(uses, SetUse{rapid.SampledFrom([]string{"A", "B", "C"}).Draw(t, "truck"), rapid.SampledFrom(days).Draw(t, "day"),
				rapid.SampledFrom([]string{"colour", "white"}).Draw(t, "light"), rapid.SampledFrom([]int64{50, 80}).Draw(t, "length")})
		}
		needs := SpareNeeds(uses)
		most := map[string]int{}
		for _, day := range days {
			trucks := map[string]map[string]bool{}
			for _, u := range uses {
				if u.Day == day {
					class := fmt.Sprint(u.Light, u.Length)
					if trucks[class] == nil {
						trucks[class] = map[string]bool{}
					}
					trucks[class][u.Truck] = true
				}
			}
			for class, on := range trucks {
				there := 0
				for _, n := range needs {
					if fmt.Sprint(n.Light, n.High) == class && n.Day <= day {
						there++
					}
				}
				if there < len(on) {
					t.Fatalf("%s: %d spares of %s for %d trucks", day, there, class, len(on))
				}
				most[class] = max(most[class], len(on))
			}
		}
		total := 0
		for _, n := range most {
			total += n
		}
		if total != len(needs) {
			t.Fatalf("%d spares where %d do: %+v", len(needs), total, needs)
		}
	})
}
