package dispatch_test

import (
	"context"
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// handedOut is a week at an instant of its second day, and the plan that was handed out.
func handedOut(t *testing.T, seed uint64, s weeks.Shape) (*week.Week, *week.Plan) {
	t.Helper()
	s.Seed = seed
	w := weeks.Make(s)
	p := solved(t, w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 2, NoReasons: true})
	return weeks.Later(w, p, 86400+10*3600+int64(seed)*1700), p
}

func TestMendQuick(t *testing.T) {
	for seed := range uint64(6) {
		w, p := handedOut(t, seed, weeks.Shape{Crews: 4, Days: 4, Jobs: 26})
		var out []string
		for i := range w.Tours {
			if x := &w.Tours[i]; x.Crew == "crew01" && (x.Begun == nil || x.Begun.Returned == nil) && x.Day <= 2 {
				out = append(out, x.ID)
			}
		}
		m, err := dispatch.Mend(context.Background(), dispatch.MendAsk{Week: w, Before: p, Changes: []dispatch.Change{{Kind: dispatch.ChangeCrewOut, Tours: out}},
			First:   func(m *dispatch.Mended) { t.Logf("first %d", m.CostAfter.Total) },
			Options: dispatch.Options{Seed: 1, Strands: 2, Rounds: 3, NoReasons: true}})
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			continue
		}
		t.Logf("seed %d: out %v: cost %d, stood %d, after %d; told %d, out %v, in %v, late %d", seed, out, m.CostBefore.Total, m.CostStood.Total, m.CostAfter.Total, len(m.Told), m.Out, m.In, len(m.Late))
	}
}
