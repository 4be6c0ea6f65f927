package odds

import "ebbline/dispatch/week"

// hours are the spans in which water moves at a place; time before the first and after
// the last, of which nothing is said, counts as open.
type hours struct {
	spans []week.Span
	sum   []int64 // seconds of the spans before each, and of all
}

// waterHours are the week's less the closures that stop pumping at a place.
func waterHours(w *week.Week, shut []week.Closure) *hours {
	h := &hours{}
	for _, s := range w.WaterHours {
		for _, c := range shut {
			if !c.StopsPumping || c.From >= s.To || c.To <= s.From {
				continue
			}
			if s.From < c.From {
				h.add(week.Span{From: s.From, To: c.From})
			}
			s.From = c.To
		}
		h.add(s)
	}
	h.sum = make([]int64, 1, len(h.spans)+1)
	for i, s := range h.spans {
		h.sum = append(h.sum, h.sum[i]+s.To-s.From)
	}
	return h
}

// add takes a span that begins no earlier than those before it.
func (h *hours) add(s week.Span) {
	n := len(h.spans)
	switch {
	case s.From >= s.To:
	case n > 0 && s.From <= h.spans[n-1].To:
		h.spans[n-1].To = max(h.spans[n-1].To, s.To)
	default:
		h.spans = append(h.spans, s)
	}
}

// shift moves an instant by seconds of open time, either way.
func (h *hours) shift(t, by int64) int64 {
	n := len(h.spans)
	if by == 0 || n == 0 {
		return t + by
	}
	u := by
	switch first, last := h.spans[0].From, h.spans[n-1].To; {
	case t <= first:
		u += t - first
	case t >= last:
		u += h.sum[n] + t - last
	default:
		i := n - 1
		for h.spans[i].From > t {
			i--
		}
		u += h.sum[i] + min(t, h.spans[i].To) - h.spans[i].From
	}
	switch {
	case u <= 0:
		return h.spans[0].From + u
	case u >= h.sum[n]:
		return h.spans[n-1].To + u - h.sum[n]
	}
	i := 0
	for h.sum[i+1] < u {
		i++
	}
	return h.spans[i].From + u - h.sum[i]
}

// room is the first instant at x or later from which seconds lie inside one span, which
// gives way at its end by grace; never if there is none.
func (h *hours) room(x, seconds, grace int64) int64 {
	if len(h.spans) == 0 {
		return x
	}
	for _, s := range h.spans {
		if at := max(x, s.From); at+seconds <= s.To+grace {
			return at
		}
	}
	return never
}
