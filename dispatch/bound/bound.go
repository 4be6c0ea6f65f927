// Package bound finds a cost that no plan of a week can be below.
//
// Plans are split in two. Each job chooses in which parts of which days its visits
// start, or to be left out; each crew-day chooses a route of its own. What ties the two
// together, that a route makes just the visits that jobs have there, is priced instead:
// p(v, d) is what a job pays for visit v in part d, and what a route earns by it. For any
// prices
//
//	sum over jobs of the cheapest (cost of the choice + prices of its visits)
//	+ sum over crew-days of the cheapest (cost of the route - prices of its visits, or 0)
//
// is at or below the cost of every plan (Lagrangian duality; for routing so since
// Desrosiers, Soumis and Desrochers 1984). Prices are improved by a proximal bundle method
// with a bundle for each crew-day (Lemaréchal 1975, Frangioni 2002): first for whole days,
// then for parts of them. All costs are added in whole money units, so no rounding
// can lift the bound.
//
// Dropped are berths and which home a pump comes from, times between visits within a part of a day, waiting in
// a route, what was handed out, and frozen orders. Kept are the number of pumps (it is priced by the day), days, hours, closures,
// skills, people, pins, lags and water between parts of days, driving, pay, overtime, a late
// lunch's length, and that a route makes a visit once.
package bound

import (
	"context"
	"errors"

	"ebbline/dispatch/week"
)

// Options of a bound.
type Options struct {
	// Iterations of the price method at most; 100 are more than it takes. More never
	// give a lower bound.
	Iterations int
	// Cores that may work at once; 0: one.
	Cores int
}

// Result says what no plan can be below, in cents.
type Result struct {
	// Cents is the bound.
	Cents int64
	// Unavoidable is the part of it that needs no thought: for each job the least of
	// leaving it out and of the straight pay for the work itself, at the cheapest crew
	// that may do it, with waiting, lateness and lying low at their least.
	Unavoidable int64
	// Iterations that were made.
	Iterations int
}

// ErrBegun says that a week is under way; only a week in which nothing has begun can
// be bounded.
var ErrBegun = errors.New("bound: the week has begun; only weeks in which nothing has begun have a bound")

// cuts are the numbers of parts that days are cut into, one after the other: prices are
// found for whole days first, which is quick, and then for their parts.
var cuts = []int{1, 2, 4}

// halfHeads is by how much rounding each head of the cost to the cent may lower the
// sum of the heads, in half cents.
const halfHeads = 11

// Lower bounds the cost of every plan of a valid week. It ends early, with what it has,
// if ctx ends.
func Lower(ctx context.Context, w *week.Week, o Options) (Result, error) {
	if err := notBegun(w); err != nil {
		return Result{}, err
	}
	road := newRoad(ctx, &w.Travel)
	m := compile(ctx, w, road, cuts[0])
	if ended(ctx) {
		return Result{}, nil // nothing is known, and no cost is below 0
	}
	d := newDual(m, max(1, o.Cores))
	r := Result{Unavoidable: cents(d.plain())}
	r.Cents = r.Unavoidable
	for k, parts := range cuts {
		if k > 0 {
			if r.Iterations >= o.Iterations {
				break
			}
			if m = compile(ctx, w, road, parts); ended(ctx) {
				break
			}
			f, ok := d.finer(ctx, m)
			if !ok {
				break
			}
			d = f
		}
		steps := o.Iterations - r.Iterations
		if k+1 < len(cuts) {
			steps = min(steps, stepsMost)
		}
		r.Iterations += d.climb(ctx, steps)
		r.Cents = max(r.Cents, cents(d.best))
	}
	return r, nil
}

// ended reports whether there is no more time.
func ended(ctx context.Context) bool { return ctx.Err() != nil }

// stepsMost is how many steps are taken before days are cut more finely.
const stepsMost = 60

// cents is a bound in units as one in cents on the sum of rounded heads.
func cents(units int64) int64 {
	half := int64(week.MoneyUnit / 2)
	return max(0, (units/half-halfHeads)/2)
}
