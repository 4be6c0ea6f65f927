package main

import "math/rand/v2"

// mirrored is a set turned over on both axes: every distance stays, every
// direction is another.
func mirrored(in instance) instance {
	out := in
	out.places = nil
	for _, a := range in.places {
		a.x, a.y = -a.x, -a.y
		out.places = append(out.places, a)
	}
	return out
}

// renumbered is a set with its customers in an order drawn from the seed, and for
// each of its places the number in the set as published.
func renumbered(in instance, seed uint64) (instance, []int32) {
	out, number := in, []int32{0}
	out.places = []place{in.places[0]}
	for _, i := range rand.New(rand.NewPCG(seed, 1)).Perm(len(in.places) - 1) {
		out.places = append(out.places, in.places[i+1])
		number = append(number, int32(i+1))
	}
	return out, number
}

// asPublished gives routes of a renumbered set the published numbers.
func asPublished(routes [][]int32, number []int32) [][]int32 {
	out := make([][]int32, len(routes))
	for k, route := range routes {
		for _, stop := range route {
			out[k] = append(out[k], number[stop])
		}
	}
	return out
}
