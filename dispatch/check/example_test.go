package check

import (
	"bytes"
	"os"
	"testing"

	"ebbline/dispatch/week"
)

// TestPublishedExample: the plan beside the schemas keeps every rule of the week beside
// it, and with any one stop moved by a second, or moved to another tour, it does not.
func TestPublishedExample(t *testing.T) {
	w, p := readExample(t)
	if r := Plan(w, p); !r.OK() {
		t.Fatalf("the example is refused: %s", texts(r))
	}
	for i := range p.Tours {
		for k := range p.Tours[i].Stops {
			visit := p.Tours[i].Stops[k].Visit
			for _, by := range []int64{-1, 1, 900} {
				moved := clone(p)
				stopOf(moved, visit).Start += by
				if Plan(w, moved).OK() {
					t.Errorf("%s moved by %d s is not noticed", visit, by)
				}
			}
			for j := range p.Tours {
				if j == i {
					continue
				}
				moved := clone(p)
				moved.Tours[j].Stops = append(moved.Tours[j].Stops, moved.Tours[i].Stops[k])
				moved.Tours[i].Stops = append(moved.Tours[i].Stops[:k], moved.Tours[i].Stops[k+1:]...)
				if Plan(w, moved).OK() {
					t.Errorf("%s moved to %s is not noticed", visit, p.Tours[j].Tour)
				}
			}
		}
	}
}

func readExample(t *testing.T) (*week.Week, *week.Plan) {
	t.Helper()
	read := func(name string) *bytes.Reader {
		data, err := os.ReadFile("../../testdata/schema/" + name)
		if err != nil {
			t.Fatal(err)
		}
		return bytes.NewReader(data)
	}
	w, err := week.DecodeWeek(read("week.example.json"))
	if err != nil {
		t.Fatal(err)
	}
	p, err := week.DecodePlan(read("plan.example.json"))
	if err != nil {
		t.Fatal(err)
	}
	return w, p
}
