package search

import (
	"context"
	"testing"

	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// Polishing never costs more, keeps every rule, and says what the checker says of its
// cost; on weeks with speeds by period, storms, promises and begun days too.
func TestPolishKeepsTheRules(t *testing.T) {
	seeds := uint64(12)
	if testing.Short() {
		seeds = 3
	}
	gained, all := int64(0), int64(0)
	polished := func(seed uint64, w *week.Week) *week.Plan {
		m := compile(w)
		st, err := m.start(nil, false)
		if err != nil {
			t.Fatal(err)
		}
		construct(context.Background(), st, newInserter(nil, 6, 3), m.byHardness, nil)
		st.rebuild()
		before := st.total
		st.polish()
		if st.total > before || priced(st) != st.total {
			t.Errorf("seed %d: %d before, %d after, adds up to %d", seed, before, st.total, priced(st))
		}
		if !st.shownKept() {
			t.Errorf("seed %d: the shown times do not keep the rules", seed)
		}
		gained, all = gained+before-st.total, all+before
		p := st.plan()
		if r := check.Plan(w, p); !r.OK() {
			t.Errorf("seed %d: %+v", seed, r.Broken[0])
		}
		return p
	}
	for seed := range seeds {
		w := weeks.Make(weeks.Shape{Seed: seed, Crews: 4, Days: 4, Jobs: 24})
		w.Rates.PromiseLateCents, w.Rates.PromiseWorstCents = 700*int64(seed%3), 900*int64(seed%2)
		p := polished(seed, w)
		polished(seed, weeks.Later(w, p, 86400+11*3600+1))
	}
	if gained*2000 < all {
		t.Errorf("polishing gained %d of %d: it does nothing", gained, all)
	}
	t.Logf("%.2f %% gained", float64(gained)*100/float64(all))
}
