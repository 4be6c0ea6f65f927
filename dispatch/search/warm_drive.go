package search

import "ebbline/dispatch/week"

// Arrive is when a drive between two places of a week, by their numbers, that leaves at
// an instant is over.
func Arrive(w *week.Week, from, to int, at int64) int64 {
	t := travel{n: len(w.Places), given: &w.Travel, periods: w.Travel.Periods}
	return t.arrive(int32(from), int32(to), at)
}
