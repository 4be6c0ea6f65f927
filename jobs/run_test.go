package jobs

import (
	"reflect"
	"strings"
	"testing"
)

func TestParseRun(t *testing.T) {
	for text, want := range map[string][]RunPart{
		"40 ft; 90; 30 ft; 90°; 20 ft":   {{Length: 40 * ft}, {Bend: 90_000}, {Length: 30 * ft}, {Bend: 90_000}, {Length: 20 * ft}},
		"12 m":                           {{Length: 12_000_000}},
		"6' 6\" ; 22.5 deg; 3 ft up 90;": {{Length: 6*ft + 6*in}, {Bend: 22_500}, {Length: 3 * ft, Slope: 90_000}},
		"30 ft down 5°; 45 r 6 in":       {{Length: 30 * ft, Slope: -5_000}, {Bend: 45_000, Radius: 6 * in}},
	} {
		got, err := ParseRun(text)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %v, %v, want %v", text, got, err, want)
		}
	}
	for text, want := range map[string]string{
		"":                                    "part 1",
		"40":                                  "1 ft of straight",
		"90; 90":                              "1 ft of straight",
		"40 ft; 270; 30 ft":                   "part 2",
		"40 ft; 0; 30 ft":                     "part 2",
		"40 ft; -90; 30 ft":                   "part 2",
		"40 ft; ; 30 ft":                      "part 2",
		"10 mi":                               "1000 ft",
		"600 ft; 600 ft":                      "1000 ft in all",
		"40 psi":                              "its unit",
		"40 ft up 91":                         "0 to 90",
		"40 ft; 90 r 6; 1 ft":                 "radius",
		"40 ft; 90 r 0 in; 1 ft":              "radius",
		"NaN ft":                              "its unit",
		"1e9 ft":                              "its unit",
		"40 ft, 90, 30 ft":                    "part 1",
		strings.Repeat("1 ft;", 101) + "1 ft": "at most 100",
	} {
		if got, err := ParseRun(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %v, want %q named", text, got, err, want)
		}
	}
}

func FuzzParseRun(f *testing.F) {
	f.Add("40 ft; 90; 30 ft up 5; 45 r 6 in; 20 ft")
	f.Fuzz(func(t *testing.T, text string) {
		parts, err := ParseRun(text)
		if err != nil {
			return
		}
		if total := RunLength(parts); total < ft || total > maxRunLength || len(parts) > maxRunParts {
			t.Fatalf("%q: %d parts, %d µm", text, len(parts), total)
		}
		for _, p := range parts {
			if (p.Length > 0) == (p.Bend > 0) || p.Length < 0 || p.Bend < 0 || p.Radius < 0 || p.Slope < -90_000 || p.Slope > 90_000 {
				t.Fatalf("%q: %+v", text, p)
			}
		}
	})
}
