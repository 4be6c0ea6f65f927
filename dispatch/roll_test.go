package dispatch_test

import (
	"testing"

	"ebbline/dispatch"
	"ebbline/dispatch/check"
	"ebbline/dispatch/week"
	"ebbline/dispatch/weeks"
)

// laterWeek is a week with its plan as it stands at an instant; some customers were
// promised the hours around their planned start.
func laterWeek(t *testing.T, seed uint64, t0 int64) (*week.Week, *week.Plan) {
	t.Helper()
	w := weeks.Make(weeks.Shape{Seed: seed, Crews: 4, Days: 4, Jobs: 26})
	p := solved(t, w, dispatch.Options{Seed: 1, Strands: 1, Rounds: 2, NoReasons: true})
	x := weeks.Later(w, p, t0)
	promise(x, p)
	return x, p
}

// promise promises every second customer who is still to be visited the hour before the
// planned start and the hour after.
func promise(w *week.Week, p *week.Plan) {
	begun := map[string]bool{}
	for i := range w.Tours {
		if b := w.Tours[i].Begun; b != nil {
			for _, s := range b.Stops {
				begun[s.Visit] = true
			}
		}
	}
	n := 0
	for _, pt := range p.Tours {
		for _, s := range pt.Stops {
			if n++; n%2 == 0 && !begun[s.Visit] && s.Start > w.T0 {
				w.Promises = append(w.Promises, week.Promise{ID: "told-" + s.Visit, Visit: s.Visit, From: s.Start - 3600, To: s.Start + 3600})
			}
		}
	}
}

// As long as nothing has happened, what is to be expected is what was planned.
func TestRollOfNothingIsThePlan(t *testing.T) {
	for seed := range uint64(8) {
		w, p := laterWeek(t, seed, 86400+4*3600)
		r, err := dispatch.Roll(w, p)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range r.Limits {
			t.Errorf("seed %d: %s", seed, l.Text)
		}
		if rep := check.Plan(w, r.Plan); !rep.OK() {
			t.Errorf("seed %d: %+v", seed, rep.Broken)
		}
		for _, s := range r.Stops {
			if s.Start != s.Planned || s.Waits != 0 {
				t.Errorf("seed %d: %s of %s is expected at %d and was planned at %d", seed, s.Visit, s.Tour, s.Start, s.Planned)
			}
		}
		if len(r.Stops) < 10 || len(r.Late)+len(r.Water)+len(r.Lunches)+len(r.NoCrew) > 0 {
			t.Errorf("seed %d: %d stops, %+v", seed, len(r.Stops), r)
		}
	}
}

// Whatever happens in the day, every stop that is still to be made has an expected time:
// not before it was planned, nor before its crew can be there; promises, overtime and what
// no longer fits are those of these times; and the plan passes the checker if nothing is
// said to break.
func TestRollOfADay(t *testing.T) {
	late, over, broken, waits := 0, 0, 0, 0
	for seed := range uint64(8) {
		w, p := laterWeek(t, seed, 86400+8*3600+int64(seed)*3000)
		var changes []dispatch.Change
		for i := range w.Tours { // what is under way takes longer
			if b := w.Tours[i].Begun; b != nil && b.Returned == nil && len(b.Stops) > 0 && b.Stops[len(b.Stops)-1].End > w.T0 {
				s := b.Stops[len(b.Stops)-1]
				changes = append(changes, dispatch.Change{Kind: dispatch.ChangeLonger, Visit: s.Visit, Seconds: s.End - s.Start + 1800*int64(1+seed)})
			}
		}
		x, err := dispatch.Apply(w, changes...)
		if err != nil {
			t.Fatal(err)
		}
		r, err := dispatch.Roll(x, p)
		if err != nil {
			t.Fatal(err)
		}
		rep := check.Plan(x, r.Plan)
		if len(r.Limits) == 0 && !rep.OK() || len(r.Limits) > 0 && len(rep.Broken)+len(rep.Excused) == 0 || rep.Cost != r.Plan.Cost {
			t.Errorf("seed %d: limits %+v, checker %+v", seed, r.Limits, rep.Broken)
		}
		expected, begun := map[string]dispatch.RolledStop{}, map[string]bool{}
		for _, s := range r.Stops {
			expected[s.Visit] = s
			if s.Start < s.Planned || s.Start < s.Arrive || s.Start < x.T0 || s.Waits < 0 || (s.Waits > 0) != (s.For != "") {
				t.Errorf("seed %d: %+v", seed, s)
			}
			if s.Waits > 0 {
				waits++
			}
		}
		for i := range x.Tours {
			if b := x.Tours[i].Begun; b != nil {
				for _, s := range b.Stops {
					begun[s.Visit] = true
				}
			}
		}
		for _, pt := range p.Tours {
			for _, s := range pt.Stops {
				if _, ok := expected[s.Visit]; ok == begun[s.Visit] {
					t.Errorf("seed %d: %s has begun %v, is expected %v", seed, s.Visit, begun[s.Visit], ok)
				}
			}
		}
		said := map[string]bool{}
		for _, l := range r.Late {
			said[l.Promise] = true
		}
		for _, pr := range x.Promises {
			if s, ok := expected[pr.Visit]; ok && said[pr.ID] != (s.Start < pr.From || s.Start > pr.To) {
				t.Errorf("seed %d: %s is expected at %d, promised %d to %d, and said to be late %v", seed, pr.Visit, s.Start, pr.From, pr.To, said[pr.ID])
			}
		}
		late, over, broken = late+len(r.Late), over+len(r.Overtime), broken+len(r.Limits)
	}
	t.Logf("%d promises late, %d crews over their shift, %d limits, %d stops wait", late, over, broken, waits)
	if late == 0 || over == 0 || broken == 0 {
		t.Error("the days try too little")
	}
}

// Water that is low later than it was said to be has the crew wait, and it says so.
func TestRollWaitsForWater(t *testing.T) {
	tried := 0
	for seed := range uint64(8) {
		w, p := laterWeek(t, seed, 86400+4*3600)
		for j := range w.Jobs {
			job := w.Jobs[j]
			if job.Water == nil || len(job.Water.LowLate) == 0 || tried > 6 {
				continue
			}
			var stop *week.Stop
			for i := range p.Tours {
				for k := range p.Tours[i].Stops {
					for _, v := range job.Visits {
						if s := &p.Tours[i].Stops[k]; v.ID == s.Visit && v.Water == week.NeedLow && s.Start > w.T0 && stop == nil {
							stop = s
						}
					}
				}
			}
			var low *int64
			for _, pw := range p.Water {
				if pw.Job == job.ID {
					low = pw.SurelyLow
				}
			}
			if stop == nil || low == nil {
				continue
			}
			tried++
			by := stop.Start - *low + 3*3600 // three hours after the crew is there
			wt := *job.Water
			wt.LowLate = nil
			for _, x := range job.Water.LowLate {
				wt.LowLate = append(wt.LowLate, week.Point{X: x.X, Y: x.Y + by})
			}
			x := *w
			x.Jobs = append([]week.Job(nil), w.Jobs...)
			job.Water = &wt
			x.Jobs[j] = job
			r, err := dispatch.Roll(&x, p)
			if err != nil {
				t.Fatal(err)
			}
			found := false
			for _, y := range r.Water {
				found = found || y.Visit == stop.Visit && y.Need == week.NeedLow && y.Ready >= stop.Start && y.By > 0
			}
			for _, s := range r.Stops {
				if s.Visit == stop.Visit && s.Start < stop.Start+3*3600 {
					t.Errorf("seed %d: %s is expected at %d, planned at %d, and low three hours later", seed, s.Visit, s.Start, stop.Start)
				}
			}
			if !found {
				t.Errorf("seed %d: nothing is said of %s: %+v", seed, stop.Visit, r.Water)
			}
		}
	}
	if tried < 4 {
		t.Errorf("only %d pools tried", tried)
	}
}
