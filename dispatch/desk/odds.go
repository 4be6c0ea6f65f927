package desk

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"ebbline/dispatch/odds"
	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// Odds are how sure a plan is. Shares are of a thousand; margins are two
// standard errors.
type Odds struct {
	View     ViewRef
	Runs     int64
	Seed     int64
	Standing string // loose, tight or not_known
	Kept     *int64 // promises kept in the mean; nil: nothing is promised
	Least    *int64 // of the least sure one
	Promises []OddsPromise
	Pools    []OddsPool
	Days     []OddsDay
	Overtime int64 // seconds, of all crews together
	Margin   int64
	NotKnown string // what was taken as certain; empty: nothing
	Says     string
}

// OddsPromise is how sure one promised window is.
type OddsPromise struct {
	jobs.VisitName
	FromAt, ToAt time.Time
	Kept, Margin int64
	Standing     string
	Short        *int64 // seconds; nil: no window would do
}

// OddsPool is how sure it is that a pool is low when its crew comes.
type OddsPool struct {
	Job         jobs.Job
	Low, Margin int64
	Standing    string
	Short       int64
}

// OddsDay is what is to be expected of a crew's day.
type OddsDay struct {
	CrewID   string
	CrewName string
	Day      jobs.Day
	Overtime int64
	Margin   int64
	HalfAt   time.Time // back by then half of the time
	LateAt   time.Time // and nine times in ten
	Standing string
}

// Bounds of how many weeks are drawn for one question.
const (
	leastRuns = 100
	mostRuns  = 10_000
)

// oddsKept keeps the last answers: drawing the same weeks again gives the same.
type oddsKept struct {
	mu sync.Mutex
	of map[string]*odds.Odds
}

// Odds lives through a plan many times and says how sure it is. runs 0: 1,000.
// CodeInvalid, CodeNotFound, CodeConflict.
func (d *Desk) Odds(ctx context.Context, ref ViewRef, runs, seed int64) (Odds, error) {
	if runs == 0 {
		runs = odds.UsualRuns
	}
	if seed == 0 {
		seed = 1
	}
	if runs < leastRuns || runs > mostRuns {
		return Odds{}, jobs.Faults{{Field: "runs", Value: itoa(int(runs)), Want: "100 to 10000"}}.Err()
	}
	v, err := d.view(ctx, ref, "")
	if err != nil {
		return Odds{}, err
	}
	got, err := d.odds.get(fmt.Sprintf("%s/%d/%d", v.ask.key(), runs, seed), func() (*odds.Odds, error) {
		return odds.Simulate(v.w, v.p, odds.Ask{Seed: seed, Runs: int(runs)})
	})
	if err != nil {
		return Odds{}, err
	}
	return v.odds(got), nil
}

func (c *oddsKept) get(key string, draw func() (*odds.Odds, error)) (*odds.Odds, error) {
	c.mu.Lock()
	had := c.of[key]
	c.mu.Unlock()
	if had != nil {
		return had, nil
	}
	got, err := draw()
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.of == nil || len(c.of) >= 4*mostWarm {
		c.of = map[string]*odds.Odds{}
	}
	c.of[key] = got
	return got, nil
}

func (v *looked) odds(got *odds.Odds) Odds {
	out := Odds{View: v.ref, Runs: int64(got.Runs), Seed: got.Seed, Overtime: wholeOf(got.Overtime.Milli), Margin: wholeOf(2 * got.Overtime.ErrorMilli),
		Standing: odds.FaceLoose}
	if got.NotKnown.Everything() {
		out.Standing = odds.FaceNotKnown
	}
	promise := map[string]week.Promise{}
	for _, p := range v.w.Promises {
		promise[p.ID] = p
	}
	sum := int64(0)
	for _, p := range got.Promises {
		x := OddsPromise{VisitName: v.names.visit[p.Visit], FromAt: v.at(promise[p.Promise].From), ToAt: v.at(promise[p.Promise].To), Kept: p.Kept.Permille,
			Margin: 2 * p.Kept.ErrorPermille, Standing: p.Kept.Face()}
		if p.Reachable {
			x.Short = &p.Short
		}
		if x.Standing == odds.FaceTight {
			out.Standing = odds.FaceTight
		}
		sum += x.Kept
		out.Promises = append(out.Promises, x)
	}
	slices.SortStableFunc(out.Promises, func(a, b OddsPromise) int { return cmp.Or(cmp.Compare(a.Kept, b.Kept), a.FromAt.Compare(b.FromAt)) })
	if n := int64(len(out.Promises)); n > 0 {
		mean := (sum + n/2) / n
		out.Kept, out.Least = &mean, &out.Promises[0].Kept
	}
	for _, p := range got.Pools {
		out.Pools = append(out.Pools, OddsPool{Job: v.names.job[p.Job], Low: p.Low.Permille, Margin: 2 * p.Low.ErrorPermille, Standing: p.Low.Face(), Short: p.Short})
	}
	slices.SortStableFunc(out.Pools, func(a, b OddsPool) int {
		return cmp.Or(cmp.Compare(a.Low, b.Low), cmp.Compare(a.Job.Number, b.Job.Number))
	})
	out.Days = v.oddsDays(got)
	out.NotKnown = notKnown(got.NotKnown)
	out.Says = out.words(v)
	return out
}

func (v *looked) oddsDays(got *odds.Odds) []OddsDay {
	until := map[string]int64{}
	for _, t := range v.w.Tours {
		until[t.ID] = t.ShiftTo
	}
	var out []OddsDay
	for _, t := range got.Tours {
		x := OddsDay{Overtime: wholeOf(t.Overtime.Milli), Margin: wholeOf(2 * t.Overtime.ErrorMilli), HalfAt: v.at(t.Return.P50), LateAt: v.at(t.Return.P90), Standing: odds.FaceLoose}
		x.CrewID, x.CrewName, x.Day = v.names.tour(t.Tour)
		switch {
		case got.NotKnown.Everything():
			x.Standing = odds.FaceNotKnown
		case t.Return.P90 > until[t.Tour]: // comes home after its shift more than one time in ten
			x.Standing = odds.FaceTight
		}
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b OddsDay) int {
		return cmp.Or(strings.Compare(string(a.Day), string(b.Day)), strings.Compare(a.CrewName, b.CrewName))
	})
	return out
}

func wholeOf(milli int64) int64 { return (milli + 500) / 1000 }

func notKnown(n odds.NotKnown) string {
	var list []string
	for _, x := range []struct {
		has, of int
		word    string
	}{{n.Visits, n.VisitsOf, "visit"}, {n.Drains, n.DrainsOf, "drain"}, {n.Fills, n.FillsOf, "refill"}} {
		if x.has > 0 {
			list = append(list, fmt.Sprintf("%d of %s", x.has, plural(int64(x.of), x.word)))
		}
	}
	if n.Travel {
		list = append(list, "drives")
	}
	if len(list) == 0 {
		return ""
	}
	return "Not known yet is how much these vary, so they count as certain: " + strings.Join(list, ", ") + "."
}

func (o Odds) words(v *looked) string {
	var say []string
	switch {
	case o.Kept == nil:
		say = append(say, "Nothing is promised in these days.")
	case o.Standing == odds.FaceNotKnown:
		say = append(say, "How sure it is, is not known yet: no length has a spread.")
	default:
		say = append(say, fmt.Sprintf("Promises are kept %s on average.", chance(*o.Kept)))
		if p := o.Promises[0]; p.Standing == odds.FaceTight {
			say = append(say, fmt.Sprintf("The least sure is %s, %s: %s.", of(p.VisitName), v.say(p.FromAt), chance(p.Kept)))
		}
	}
	for _, p := range o.Pools {
		if p.Standing == odds.FaceTight {
			say = append(say, fmt.Sprintf("The pool of job %d is low in time %s.", p.Job.Number, chance(p.Low)))
			break
		}
	}
	if o.Overtime >= 60 {
		say = append(say, "Overtime to expect: "+span(o.Overtime)+".")
	}
	return strings.Join(say, " ")
}

// chance is a share of a thousand as people say it. Never and always are only
// said where it is so.
func chance(permille int64) string {
	switch {
	case permille == 0:
		return "never"
	case permille == 1000:
		return "every time"
	}
	return fmt.Sprintf("%d times in 100", min(99, max(1, (permille+5)/10)))
}
