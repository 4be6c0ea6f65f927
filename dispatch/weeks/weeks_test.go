package weeks

import "testing"

func TestMadeWeeksAreValid(t *testing.T) {
	for seed := range uint64(40) {
		for _, s := range []Shape{{Crews: 3, Days: 5, Jobs: 45}, {Crews: 10, Days: 5, Jobs: 60, Plain: true}, {Crews: 1, Days: 1, Jobs: 2},
			{Crews: 20, Days: 5, Load: Tight}, {Crews: 4, Days: 10, Jobs: 48, Load: Over}, {Crews: 3, Days: 2, Load: Calm, Plain: true}} {
			s.Seed = seed
			if err := Make(s).Validate(); err != nil {
				t.Fatalf("shape %+v: %v", s, err)
			}
		}
	}
}
