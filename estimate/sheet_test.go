package estimate

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden sheets anew")

// The whole sheet of a well-known and of a little-known pool, as printed.
func TestGoldenSheets(t *testing.T) {
	for _, name := range []string{"rectangle", "kidney_unknowns"} {
		s, set := survey(t, name), DefaultSettings()
		got := Sheet(Make(s, set, Ask{})) + OptionSheet(Options(s, set, Ask{})) + WorthSheet(Worth(s, set, Ask{}), 12)
		file := filepath.Join("testdata", "sheet_"+name+".txt")
		if *update {
			if err := os.MkdirAll("testdata", 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			a, b := strings.Split(got, "\n"), strings.Split(string(want), "\n")
			for i := range min(len(a), len(b)) {
				if a[i] != b[i] {
					t.Errorf("%s, line %d:\n%s\nwant\n%s\n(go test ./estimate -run GoldenSheets -update, if that is meant)", name, i+1, a[i], b[i])
					break
				}
			}
		}
	}
}

// Every figure that is not known says what to find out, no line but a single
// long word runs over, and names stand where ids would mean nothing.
func TestSheetsReadWell(t *testing.T) {
	for _, name := range surveys {
		e := Make(survey(t, name), DefaultSettings(), Ask{Zones: 2})
		for _, text := range []string{Sheet(e), Brief(e)} {
			for i, line := range strings.Split(text, "\n") {
				if len([]rune(line)) > sheetWidth+20 {
					t.Errorf("%s, line %d is %d letters long: %s", name, i+1, len([]rune(line)), line)
				}
				if strings.HasSuffix(line, NotKnown) && !strings.Contains(line, "At a glance") && i > 10 {
					t.Errorf("%s, line %d does not say what to find out: %s", name, i+1, line)
				}
				if strings.TrimRight(line, " ") != line {
					t.Errorf("%s, line %d ends in a blank: %q", name, i+1, line)
				}
			}
		}
	}
}
