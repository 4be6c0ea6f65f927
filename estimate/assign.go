package estimate

import (
	"cmp"
	"slices"
	"strconv"

	"ebbline/jobs"
)

// SetNeed is a light position that a light-and-cord set is looked for, or a
// spare that goes along.
type SetNeed struct {
	Key   string   // no two needs have the same
	Light string   // key in the catalogue
	Low   int64    // µm of cord, low and high end of what may be needed
	High  int64    // a set of this length is surely long enough
	Day   jobs.Day // the set must be in the yard by this day; empty: whenever
	Spare bool     // looked for when every position has its set
}

// StockSet is a length of a light on the shelf.
type StockSet struct {
	Key      string
	Light    string
	Length   int64      // µm
	Count    int64      // on the shelf
	Reserved int64      // of them bespoken; never given out
	Value    jobs.Cents // what one costs to buy again
	Restock  jobs.Cents // the fee for each that is not used and so is sent back; 0: what is left stays
}

// SetOffer is a length of a light that can be ordered, as many as wanted.
type SetOffer struct {
	Key    string
	Light  string
	Length int64 // µm
	Cost   jobs.Cents
	Order  string // key of the SetOrder that it comes with
}

// SetOrder is an order that may be placed: a fee once, whatever is on it.
type SetOrder struct {
	Key     string
	Fee     jobs.Cents
	Arrives jobs.Day // empty: at once
}

// SetQuestion is a week's positions, what lies on the shelf and what can be
// ordered.
type SetQuestion struct {
	Needs  []SetNeed
	Stock  []StockSet
	Offers []SetOffer
	Orders []SetOrder
}

// SetPick is what one need gets.
type SetPick struct {
	Need   string
	Stock  string     // key of the set on the shelf, or
	Offer  string     // of the offer; both empty: nothing is long enough
	Length int64      // µm
	Cost   jobs.Cents // of what is ordered
	Over   jobs.Cents // worth of an overlong set that is used up: its value less the cheapest offer that would do
	Late   bool       // comes after the day
	// Shorter are sets on the shelf, left over, that may do once the run is
	// measured: between the low and the high end of the need. Only named where
	// one has to be ordered or none is long enough.
	Shorter []string
}

// SetAssignment is the cheapest way to give each need its set.
type SetAssignment struct {
	Picks   []SetPick // in the order of the needs
	Orders  []string  // keys of the orders to place, sorted
	Bought  jobs.Cents
	Fees    jobs.Cents
	Over    jobs.Cents
	Restock jobs.Cents
	Total   jobs.Cents // all of them
	// What could not be had at all or in time, positions and spares apart.
	Unmet, Late, UnmetSpares, LateSpares int
}

// The most that a question may hold: lengths of a catalogue, positions of a
// week, ways to order. Every combination of the orders with a fee is weighed.
const (
	maxSetNeeds   = 1000
	maxSetOrders  = 10
	maxSetEntries = 1000
	maxSetCents   = 1_000_000_00
)

// Check looks a question through; the error names what is wrong.
func (q SetQuestion) Check() error {
	var f jobs.Faults
	seen := map[string]bool{}
	unique := func(list, key string) {
		f.Check(key != "" && !seen[list+key], list+".key", key, "a key of its own")
		seen[list+key] = true
	}
	many := func(list string, n, most int) {
		f.Check(n <= most, list, strconv.Itoa(n), "at most "+strconv.Itoa(most))
	}
	cents := func(field string, c jobs.Cents) {
		f.Check(c >= 0 && c <= maxSetCents, field, strconv.FormatInt(int64(c), 10), "cents, from 0 to "+strconv.Itoa(maxSetCents))
	}
	many("needs", len(q.Needs), maxSetNeeds)
	many("stock", len(q.Stock), maxSetEntries)
	many("offers", len(q.Offers), maxSetEntries)
	many("orders", len(q.Orders), maxSetOrders)
	for _, n := range q.Needs {
		unique("needs", n.Key)
		f.Check(n.Low >= 0 && n.Low <= n.High, "needs."+n.Key+".low", strconv.FormatInt(n.Low, 10), "from 0 to the high end")
		f.Check(n.Day == "" || n.Day.Valid(), "needs."+n.Key+".day", string(n.Day), "a day like 2026-03-08")
	}
	for _, s := range q.Stock {
		unique("stock", s.Key)
		f.Check(s.Count >= 0 && s.Reserved >= 0 && s.Reserved <= s.Count, "stock."+s.Key+".reserved", strconv.FormatInt(s.Reserved, 10), "from 0 to the count")
		cents("stock."+s.Key+".value", s.Value)
		cents("stock."+s.Key+".restock", s.Restock)
	}
	for _, o := range q.Orders {
		unique("orders", o.Key)
		cents("orders."+o.Key+".fee", o.Fee)
		f.Check(o.Arrives == "" || o.Arrives.Valid(), "orders."+o.Key+".arrives", string(o.Arrives), "a day like 2026-03-08")
	}
	for _, o := range q.Offers {
		unique("offers", o.Key)
		cents("offers."+o.Key+".cost", o.Cost)
		f.Check(seen["orders"+o.Order], "offers."+o.Key+".order", o.Order, "an order of this question")
	}
	return f.Err()
}

// Assign gives each need its set at the least cost: positions before spares,
// none left without, none late, then cents: what is ordered, a fee for every
// order placed, the worth of overlong sets used up, and what it costs to send
// back what nobody uses. It is exact, and among equal ones takes the shorter
// set and the shelf before an order; the order of the lists changes nothing.
//
// A set is long enough when it reaches the high end of the need: cords may not
// be spliced, so no chance is taken on it. Within one choice of orders this is
// the assignment problem, solved by shortest augmenting paths (Kuhn 1955,
// Munkres 1957); the orders with a fee are tried in every combination that can
// still be cheaper.
func Assign(q SetQuestion) (SetAssignment, error) {
	if err := q.Check(); err != nil {
		return SetAssignment{}, err
	}
	return newAssigner(q).best(), nil
}

// assigner is a question on its way, all lists sorted by key.
type assigner struct {
	q       SetQuestion
	needs   []SetNeed
	stock   []StockSet
	orders  []SetOrder
	offers  []SetOffer
	byKey   map[string]int // of orders
	units   []int          // stock's index of each set that may be given out
	digits  [5]int64       // weights of unmet, late, unmet spare and late spare
	scale   int64          // of a cent over a tie
	rank    map[int64]int64
	restock jobs.Cents // when nothing is given out
}

func newAssigner(q SetQuestion) *assigner {
	a := &assigner{q: q, byKey: map[string]int{}, rank: map[int64]int64{}}
	a.needs = slices.SortedFunc(slices.Values(q.Needs), func(x, y SetNeed) int { return cmp.Compare(x.Key, y.Key) })
	a.stock = slices.SortedFunc(slices.Values(q.Stock), func(x, y StockSet) int { return cmp.Or(cmp.Compare(x.Length, y.Length), cmp.Compare(x.Key, y.Key)) })
	a.orders = slices.SortedFunc(slices.Values(q.Orders), func(x, y SetOrder) int { return cmp.Compare(x.Key, y.Key) })
	a.offers = slices.SortedFunc(slices.Values(q.Offers), func(x, y SetOffer) int { return cmp.Or(cmp.Compare(x.Length, y.Length), cmp.Compare(x.Key, y.Key)) })
	for i, o := range a.orders {
		a.byKey[o.Key] = i
	}
	for i, s := range a.stock {
		fits := int64(0)
		for _, n := range a.needs {
			if s.fits(n) {
				fits++
			}
		}
		for range min(fits, s.Count-s.Reserved) {
			a.units = append(a.units, i)
		}
		a.restock += s.Restock * jobs.Cents(s.Count-s.Reserved)
		if _, ok := a.rank[s.Length]; !ok {
			a.rank[s.Length] = int64(len(a.rank))
		}
	}
	base := int64(len(a.needs) + 1)
	a.digits = [5]int64{base * base * base, base * base, base, 1}
	a.scale = base * int64(len(a.rank)+2)
	return a
}

func (s StockSet) fits(n SetNeed) bool { return s.Light == n.Light && s.Length >= n.High }

func (o SetOffer) fits(n SetNeed) bool { return o.Light == n.Light && o.Length >= n.High }

// price compares what is missing before cents; ties stand below the cent.
type price struct{ lack, cents int64 }

func (p price) plus(q price) price  { return price{p.lack + q.lack, p.cents + q.cents} }
func (p price) minus(q price) price { return price{p.lack - q.lack, p.cents - q.cents} }
func (p price) less(q price) bool {
	return p.lack < q.lack || p.lack == q.lack && p.cents < q.cents
}

// lack is the weight of a need that gets nothing, or gets it late.
func (a *assigner) lack(n SetNeed, late bool) int64 {
	i := 0
	if n.Spare {
		i = 2
	}
	if late {
		i++
	}
	return a.digits[i]
}

// exact is the cost of the cheapest offer that would do, whenever it comes;
// nothing where none would: then no set counts as overlong.
func (a *assigner) exact(n SetNeed) (jobs.Cents, bool) {
	cost, ok := jobs.Cents(0), false
	for _, o := range a.offers {
		if o.fits(n) && (!ok || o.Cost < cost) {
			cost, ok = o.Cost, true
		}
	}
	return cost, ok
}

// over is the worth that is used up where a set is longer than needed.
func (a *assigner) over(n SetNeed, s StockSet) jobs.Cents {
	exact, ok := a.exact(n)
	if !ok {
		return 0
	}
	return max(s.Value-exact, 0)
}

// buy is the cheapest offer on the open orders, in time before late; -1: none.
func (a *assigner) buy(n SetNeed, open uint) (int, price) {
	best, at := price{a.lack(n, false), 0}, -1
	for i, o := range a.offers {
		order := a.byKey[o.Order]
		if open>>order&1 == 0 || !o.fits(n) {
			continue
		}
		p := price{0, int64(o.Cost)*a.scale + int64(len(a.rank)) + 1}
		if n.Day != "" && a.orders[order].Arrives > n.Day {
			p.lack = a.lack(n, true)
		}
		if at < 0 || p.less(best) {
			best, at = p, i
		}
	}
	return at, best
}

// best tries the orders with a fee in every combination that can still be
// cheaper than the best so far.
func (a *assigner) best() SetAssignment {
	all := uint(1)<<len(a.orders) - 1
	free := uint(0)
	for i, o := range a.orders {
		if o.Fee == 0 {
			free |= 1 << i
		}
	}
	fees := func(open uint) (sum int64) {
		for i, o := range a.orders {
			if open>>i&1 == 1 {
				sum += int64(o.Fee)
			}
		}
		return sum * a.scale
	}
	bound, picks := a.solve(all)
	best := bound.plus(price{0, fees(a.used(picks))})
	for open := range all {
		if open&free != free {
			continue
		}
		if p := bound.plus(price{0, fees(open)}); !p.less(best) {
			continue // even with every set at its cheapest
		}
		p, with := a.solve(open)
		if p = p.plus(price{0, fees(a.used(with))}); p.less(best) {
			best, picks = p, with
		}
	}
	return a.tell(picks)
}

// pick is what a need gets: a set's index, an offer's index, or neither (-1).
type pick struct{ stock, offer int }

// used is the orders with something on them.
func (a *assigner) used(picks []pick) (open uint) {
	for _, p := range picks {
		if p.offer >= 0 {
			open |= 1 << a.byKey[a.offers[p.offer].Order]
		}
	}
	return open
}

// tell writes the picks out, in the order of the question.
func (a *assigner) tell(picks []pick) SetAssignment {
	out := SetAssignment{Restock: a.restock}
	left := make([]int64, len(a.stock))
	for i, s := range a.stock {
		left[i] = s.Count - s.Reserved
	}
	at := map[string]int{}
	for i, p := range picks {
		at[a.needs[i].Key] = i
		if p.stock >= 0 {
			left[p.stock]--
			out.Restock -= a.stock[p.stock].Restock
		}
	}
	for _, n := range a.q.Needs {
		p := picks[at[n.Key]]
		pick := SetPick{Need: n.Key}
		switch {
		case p.stock >= 0:
			s := a.stock[p.stock]
			pick.Stock, pick.Length, pick.Over = s.Key, s.Length, a.over(n, s)
		case p.offer >= 0:
			o := a.offers[p.offer]
			pick.Offer, pick.Length, pick.Cost = o.Key, o.Length, o.Cost
			pick.Late = n.Day != "" && a.orders[a.byKey[o.Order]].Arrives > n.Day
		}
		if p.stock < 0 {
			for i, s := range a.stock {
				if left[i] > 0 && s.Light == n.Light && s.Length >= n.Low && s.Length < n.High {
					pick.Shorter = append(pick.Shorter, s.Key)
				}
			}
		}
		switch unmet := p.stock < 0 && p.offer < 0; {
		case unmet && n.Spare:
			out.UnmetSpares++
		case unmet:
			out.Unmet++
		case pick.Late && n.Spare:
			out.LateSpares++
		case pick.Late:
			out.Late++
		}
		out.Bought += pick.Cost
		out.Over += pick.Over
		out.Picks = append(out.Picks, pick)
	}
	open := a.used(picks)
	for i, o := range a.orders {
		if open>>i&1 == 1 {
			out.Orders = append(out.Orders, o.Key)
			out.Fees += o.Fee
		}
	}
	out.Total = out.Bought + out.Fees + out.Over + out.Restock
	return out
}
