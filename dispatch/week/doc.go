// Package week states the problem that dispatch solves, and the form of its
// answer: crews' days, jobs with their chains of visits, the water of every
// pool, pumps, travel, rates. It holds types, strict JSON and validation, and
// imports nothing of ours. What a rule means is written in the doc comments
// here; how it is evaluated is the business of each side (search and check
// read the same words and share no code).
//
// # Units
//
// An instant is a whole second (int64) counted from the first local midnight of
// the horizon, negative before it. The horizon's days state the second at which
// each begins, so a day of 23 or 25 hours needs no zone: nothing here loads one.
// Lengths of time are seconds, distances metres, money whole cents. Sums of
// money are exact in units of 1/18,000 cent ([MoneyUnit]); each head of the cost
// is rounded to the cent once (half up) and the total is the sum of the rounded
// heads. Spans are closed: both ends belong to them.
//
// # A week in twelve lines
//
//	places, travel      where, and the seconds and metres between (given values)
//	crews, tours        a tour is one crew's day: shift, skills, pay, lunch
//	homes               the stocks of pumps, so many a day
//	jobs                a chain of 1 to 6 visits, its links and its water
//	visits              kind, place, seconds, people, skills, allowed starts
//	water               how the pool becomes low, and tables of what follows
//	closures            when a place, an area or everything is shut
//	promises            arrival windows that customers were told
//	handed_out          the plan that crews were told
//	rates               what each head costs
//	uncertainty         how lengths spread, for the odds of a plan; may be left out
//	t0, days, end       now, and the civil days of the horizon
//
// # Tables
//
// A [Table] is a list of points with rising x and non-decreasing y. Between two
// points y is y0 + floor((x-x0)*(y1-y0)/(x1-x0)). Outside [first x, last x] the
// table has no value and a rule that needs one counts as broken. A jump (the
// water hours end) is written as two points one second apart.
//
// # Reading and writing
//
// [DecodeWeek] and [DecodePlan] refuse unknown and missing fields, repeated keys,
// trailing text and everything that validation finds, and name every fault with
// its path, its value and what would be right ([FieldErrors]). The JSON Schemas
// in testdata/schema say the same about the form; a test keeps them equal to the
// struct tags.
package week
