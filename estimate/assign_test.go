package estimate

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"ebbline/jobs"
)

const setFoot = 304_800

// sets is a question in feet and dollars.
type sets struct {
	*rapid.T
	q SetQuestion
}

func drawSets(t *rapid.T, most int) SetQuestion {
	s := &sets{T: t}
	lights := []string{"colour", "white"}[:rapid.IntRange(1, 2).Draw(t, "lights")]
	steps := []int64{30, 50, 80, 100, 150}
	days := []jobs.Day{"", "2026-03-03", "2026-03-04", "2026-03-06"}
	for i := range rapid.IntRange(0, most).Draw(t, "needs") {
		high := rapid.Int64Range(10, 170).Draw(t, "high")
		s.q.Needs = append(s.q.Needs, SetNeed{Key: fmt.Sprintf("n%d", i), Light: rapid.SampledFrom(lights).Draw(t, "light"),
			Low: rapid.Int64Range(high/2, high).Draw(t, "low") * setFoot, High: high * setFoot,
			Day: rapid.SampledFrom(days).Draw(t, "day"), Spare: rapid.IntRange(0, 3).Draw(t, "spare") == 0})
	}
	for i := range rapid.IntRange(0, 5).Draw(t, "stock") {
		s.q.Stock = append(s.q.Stock, s.set(fmt.Sprintf("s%d", i), lights, steps))
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "orders") {
		s.q.Orders = append(s.q.Orders, SetOrder{Key: fmt.Sprintf("o%d", i), Fee: jobs.Cents(rapid.SampledFrom([]int64{0, 25_00, 60_00}).Draw(t, "fee")), Arrives: rapid.SampledFrom(days).Draw(t, "arrives")})
		for j := range rapid.IntRange(0, 3).Draw(t, "offers") {
			s.q.Offers = append(s.q.Offers, SetOffer{Key: fmt.Sprintf("f%d-%d", i, j), Light: rapid.SampledFrom(lights).Draw(t, "light"),
				Length: rapid.SampledFrom(steps).Draw(t, "length") * setFoot, Cost: jobs.Cents(rapid.Int64Range(150, 400).Draw(t, "cost") * 100), Order: fmt.Sprintf("o%d", i)})
		}
	}
	return s.q
}

func (s *sets) set(key string, lights []string, steps []int64) StockSet {
	count := rapid.Int64Range(0, 3).Draw(s.T, "count")
	return StockSet{Key: key, Light: rapid.SampledFrom(lights).Draw(s.T, "light"), Length: rapid.SampledFrom(steps).Draw(s.T, "length") * setFoot,
		Count: count, Reserved: rapid.Int64Range(0, count).Draw(s.T, "reserved"), Value: jobs.Cents(rapid.Int64Range(150, 400).Draw(s.T, "value") * 100),
		Restock: jobs.Cents(rapid.SampledFrom([]int64{0, 0, 15_00, 90_00}).Draw(s.T, "restock"))}
}

// outcome is what an assignment comes to, most pressing first.
type outcome struct {
	unmet, late, unmetSpares, lateSpares int
	total                                jobs.Cents
}

func (o outcome) compare(p outcome) int {
	return cmp.Or(cmp.Compare(o.unmet, p.unmet), cmp.Compare(o.late, p.late), cmp.Compare(o.unmetSpares, p.unmetSpares), cmp.Compare(o.lateSpares, p.lateSpares), cmp.Compare(o.total, p.total))
}

func (a SetAssignment) outcome() outcome {
	return outcome{a.Unmet, a.Late, a.UnmetSpares, a.LateSpares, a.Total}
}

// everyWay goes through all ways to give the needs their sets, with the cost
// added up from the words of the rule alone.
func everyWay(q SetQuestion) outcome {
	best, found := outcome{}, false
	left := make([]int64, len(q.Stock))
	for i, s := range q.Stock {
		left[i] = s.Count - s.Reserved
	}
	open := map[string]bool{}
	var try func(i int, so outcome)
	try = func(i int, so outcome) {
		if i == len(q.Needs) {
			for j, s := range q.Stock {
				so.total += s.Restock * jobs.Cents(left[j])
			}
			for _, o := range q.Orders {
				if open[o.Key] {
					so.total += o.Fee
				}
			}
			if !found || so.compare(best) < 0 {
				best, found = so, true
			}
			return
		}
		n := q.Needs[i]
		cheapest := jobs.Cents(-1)
		for _, o := range q.Offers {
			if o.Light == n.Light && o.Length >= n.High && (cheapest < 0 || o.Cost < cheapest) {
				cheapest = o.Cost
			}
		}
		for j, s := range q.Stock {
			if left[j] > 0 && s.Light == n.Light && s.Length >= n.High {
				next := so
				if cheapest >= 0 {
					next.total += max(0, s.Value-cheapest)
				}
				left[j]--
				try(i+1, next)
				left[j]++
			}
		}
		for _, o := range q.Offers {
			if o.Light != n.Light || o.Length < n.High {
				continue
			}
			next := so
			next.total += o.Cost
			for _, order := range q.Orders {
				if order.Key == o.Order && n.Day != "" && order.Arrives > n.Day {
					if n.Spare {
						next.lateSpares++
					} else {
						next.late++
					}
				}
			}
			was := open[o.Order]
			open[o.Order] = true
			try(i+1, next)
			open[o.Order] = was
		}
		if n.Spare {
			so.unmetSpares++
		} else {
			so.unmet++
		}
		try(i+1, so)
	}
	try(0, outcome{})
	return best
}

func assign(t testing.TB, q SetQuestion) SetAssignment {
	t.Helper()
	a, err := Assign(q)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// sound holds an assignment against its question, pick by pick.
func sound(t testing.TB, q SetQuestion, a SetAssignment) {
	t.Helper()
	stock, offers := map[string]StockSet{}, map[string]SetOffer{}
	for _, s := range q.Stock {
		stock[s.Key] = s
	}
	for _, o := range q.Offers {
		offers[o.Key] = o
	}
	taken, bought, over := map[string]int64{}, jobs.Cents(0), jobs.Cents(0)
	for i, p := range a.Picks {
		n := q.Needs[i]
		s, held := stock[p.Stock]
		o, ordered := offers[p.Offer]
		if p.Need != n.Key || held && ordered || (held || ordered) && p.Length < n.High || held && s.Light != n.Light || ordered && (o.Light != n.Light || !slices.Contains(a.Orders, o.Order)) {
			t.Fatalf("%+v for %+v", p, n)
		}
		taken[p.Stock]++
		bought += p.Cost
		over += p.Over
	}
	restock := jobs.Cents(0)
	for _, s := range q.Stock {
		if taken[s.Key] > s.Count-s.Reserved {
			t.Fatalf("%d of %s given out, %d are free", taken[s.Key], s.Key, s.Count-s.Reserved)
		}
		restock += s.Restock * jobs.Cents(s.Count-s.Reserved-taken[s.Key])
	}
	if bought != a.Bought || over != a.Over || restock != a.Restock || a.Total != bought+over+restock+a.Fees {
		t.Fatalf("sums: %+v", a)
	}
}

func TestAssignAgainstEveryWay(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		q := drawSets(rt, 5)
		a := assign(t, q)
		sound(t, q, a)
		if got, want := a.outcome(), everyWay(q); got != want {
			rt.Fatalf("got %+v, the best of all ways %+v\n%+v", got, want, q)
		}
	})
}

func TestMoreStockNeverCostsMore(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		q := drawSets(rt, 30)
		before := assign(t, q)
		more := (&sets{T: rt}).set("more", []string{"colour", "white"}, []int64{30, 50, 80, 100, 150})
		more.Restock = 0 // what must be sent back for a fee does cost
		q.Stock = append(q.Stock, more)
		after := assign(t, q)
		sound(t, q, after)
		if after.outcome().compare(before.outcome()) > 0 {
			rt.Fatalf("before %+v, with %+v more %+v", before.outcome(), more, after.outcome())
		}
	})
}

func TestOrderOfTheListsChangesNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		q := drawSets(rt, 12)
		a := assign(t, q)
		seed := rapid.Uint64().Draw(rt, "seed")
		shuffle := rand.New(rand.NewPCG(seed, 1))
		mix := func(n int, swap func(i, j int)) { shuffle.Shuffle(n, swap) }
		mix(len(q.Needs), func(i, j int) { q.Needs[i], q.Needs[j] = q.Needs[j], q.Needs[i] })
		mix(len(q.Stock), func(i, j int) { q.Stock[i], q.Stock[j] = q.Stock[j], q.Stock[i] })
		mix(len(q.Offers), func(i, j int) { q.Offers[i], q.Offers[j] = q.Offers[j], q.Offers[i] })
		mix(len(q.Orders), func(i, j int) { q.Orders[i], q.Orders[j] = q.Orders[j], q.Orders[i] })
		b := assign(t, q)
		byNeed := func(x, y SetPick) int { return cmp.Compare(x.Need, y.Need) }
		slices.SortFunc(a.Picks, byNeed)
		slices.SortFunc(b.Picks, byNeed)
		if fmt.Sprint(a) != fmt.Sprint(b) {
			rt.Fatalf("%+v\n%+v", a, b)
		}
	})
}

// Two positions, one long set: the position that only a long one serves gets it.
// Worked with paper and pencil.
func TestAssignByHand(t *testing.T) {
	q := SetQuestion{
		Needs: []SetNeed{
			{Key: "a", Light: "colour", Low: 60 * setFoot, High: 76 * setFoot},
			{Key: "b", Light: "colour", Low: 90 * setFoot, High: 97 * setFoot},
			{Key: "c", Light: "colour", Low: 25 * setFoot, High: 33 * setFoot, Day: "2026-03-03"},
		},
		Stock: []StockSet{
			{Key: "100", Light: "colour", Length: 100 * setFoot, Count: 2, Reserved: 1, Value: 279_00},
			{Key: "30", Light: "colour", Length: 30 * setFoot, Count: 4, Value: 216_00},
		},
		Offers: []SetOffer{
			{Key: "buy-50", Light: "colour", Length: 50 * setFoot, Cost: 234_00, Order: "usual"},
			{Key: "buy-80", Light: "colour", Length: 80 * setFoot, Cost: 261_00, Order: "usual"},
			{Key: "buy-100", Light: "colour", Length: 100 * setFoot, Cost: 279_00, Order: "usual"},
		},
		Orders: []SetOrder{{Key: "usual", Fee: 20_00, Arrives: "2026-03-10"}},
	}
	a := assign(t, q)
	sound(t, q, a)
	// c can't wait for the order: the long set goes to it, 279 - 234 over; a and b are bought
	if a.Picks[2].Stock != "100" || a.Picks[2].Over != 45_00 || a.Late != 0 || a.Total != 261_00+279_00+20_00+45_00 {
		t.Errorf("%+v", a)
	}
	if len(a.Picks[2].Shorter) != 0 || a.Picks[0].Offer != "buy-80" {
		t.Errorf("%+v", a.Picks)
	}
	q.Needs[2].Day = "" // now it can: b takes the long set, nothing is overlong
	a = assign(t, q)
	if a.Picks[1].Stock != "100" || a.Picks[2].Offer != "buy-50" || a.Total != 261_00+234_00+20_00 {
		t.Errorf("%+v", a)
	}
	if s := a.Picks[2].Shorter; len(s) != 1 || s[0] != "30" {
		t.Errorf("25 to 33 ft: the 30 ft set may do once measured, named are %v", s)
	}
	q.Needs[1].High, q.Needs[1].Low = 300*setFoot, 290*setFoot
	if a = assign(t, q); a.Unmet != 1 || a.Picks[1].Stock+a.Picks[1].Offer != "" {
		t.Errorf("nothing has 300 ft: %+v", a)
	}
}

func TestQuestionsThatAreWrong(t *testing.T) {
	for _, q := range []SetQuestion{
		{Needs: []SetNeed{{Key: "a", Low: 2, High: 1}}},
		{Needs: []SetNeed{{Key: "a"}, {Key: "a"}}},
		{Needs: []SetNeed{{Key: "a", Day: "soon"}}},
		{Stock: []StockSet{{Key: "a", Count: 1, Reserved: 2}}},
		{Stock: []StockSet{{Key: "a", Value: -1}}},
		{Offers: []SetOffer{{Key: "a", Order: "none"}}},
		{Orders: make([]SetOrder, maxSetOrders+1)},
	} {
		if _, err := Assign(q); jobs.CodeOf(err) != jobs.CodeInvalid {
			t.Errorf("%+v: %v", q, err)
		}
	}
}

// bigWeek is 200 positions and what a yard may have for them.
func bigWeek() SetQuestion {
	r := rand.New(rand.NewPCG(7, 7))
	q := SetQuestion{Orders: []SetOrder{{Key: "usual", Fee: 25_00, Arrives: "2026-03-09"}, {Key: "fast", Fee: 95_00, Arrives: "2026-03-04"}}}
	for i := range 200 {
		high := 20 + r.Int64N(220)
		q.Needs = append(q.Needs, SetNeed{Key: fmt.Sprintf("n%03d", i), Light: []string{"colour", "white"}[r.IntN(2)], Low: high * 9 / 10 * setFoot, High: high * setFoot,
			Day: jobs.Day("2026-03-02").Add(r.IntN(14))})
	}
	for _, light := range []string{"colour", "white"} {
		for _, feet := range []int64{30, 50, 80, 100, 150, 200, 250} {
			cost := jobs.Cents(18900 + 90*feet)
			q.Stock = append(q.Stock, StockSet{Key: fmt.Sprint(light, feet), Light: light, Length: feet * setFoot, Count: r.Int64N(25), Value: cost})
			for _, o := range q.Orders {
				q.Offers = append(q.Offers, SetOffer{Key: fmt.Sprint(o.Key, light, feet), Light: light, Length: feet * setFoot, Cost: cost + o.Fee/5, Order: o.Key})
			}
		}
	}
	return q
}

// Not a measurement: an answer that takes many times as long would be felt.
func TestTwoHundredPositionsAreQuick(t *testing.T) {
	q, start := bigWeek(), time.Now()
	sound(t, q, assign(t, q))
	if took := time.Since(start); took > 5*time.Second {
		t.Errorf("%s", took)
	}
}

func BenchmarkAssign(b *testing.B) {
	q := bigWeek()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Assign(q); err != nil {
			b.Fatal(err)
		}
	}
}
