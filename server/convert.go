package server

import "ebbline/jobs"

// opt is a value where there is one: the zero value is left out of an answer.
// It is for texts and ids, of which empty means none; a number that is not
// known is a nil pointer already.
func opt[T comparable](v T) *T {
	var zero T
	if v == zero {
		return nil
	}
	return &v
}

// val is what came, or the zero value where nothing did.
func val[T any](p *T) T {
	if p == nil {
		var zero T
		return zero
	}
	return *p
}

// mapped translates each item of a list; the answer is never null.
func mapped[A, B any](in []A, f func(A) B) []B {
	out := make([]B, len(in))
	for i, a := range in {
		out[i] = f(a)
	}
	return out
}

// page reads the cursor and the limit of a list.
func page(after *string, limit *int) jobs.Page {
	return jobs.Page{Cursor: val(after), Limit: val(limit)}
}

// place is where a thing that was made stands: /api/v1/customers/ID.
func place(nouns, id string) *string {
	at := base + "/" + nouns + "/" + id
	return &at
}
