package estimate

import (
	"os"
	"path/filepath"
	"testing"

	"ebbline/jobs"
)

// survey reads one of the invented surveys of testdata/survey.
func survey(t testing.TB, name string) jobs.Survey {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "testdata", "survey", name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := jobs.DecodeSurvey(data)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestPrint(t *testing.T) {
	for _, n := range []string{"rectangle", "poor"} {
		t.Log(Sheet(Make(survey(t, n), DefaultSettings(), Ask{Zones: 1})))
	}
}

func BenchmarkMake(b *testing.B) {
	s, set := survey(b, "lap_pool"), DefaultSettings()
	b.ReportAllocs()
	for b.Loop() {
		Make(s, set, Ask{Zones: 2})
	}
}
