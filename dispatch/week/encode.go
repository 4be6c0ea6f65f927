package week

import "encoding/json"

// MarshalJSON writes lists that must be there as [] when they are nil, so that
// what is written can be read back.
func (w Week) MarshalJSON() ([]byte, error) {
	type plain Week
	w.Days = list(w.Days)
	w.Places = list(w.Places)
	w.Kinds = list(w.Kinds)
	w.Crews = list(w.Crews)
	w.Tours = list(w.Tours)
	w.Jobs = list(w.Jobs)
	return json.Marshal(plain(w))
}

// MarshalJSON writes lists that must be there as [] when they are nil.
func (t Travel) MarshalJSON() ([]byte, error) {
	type plain Travel
	t.Seconds = list(t.Seconds)
	t.Metres = list(t.Metres)
	return json.Marshal(plain(t))
}

// MarshalJSON writes lists that must be there as [] when they are nil.
func (h Home) MarshalJSON() ([]byte, error) {
	type plain Home
	h.Pumps = list(h.Pumps)
	return json.Marshal(plain(h))
}

// MarshalJSON writes lists that must be there as [] when they are nil.
func (j Job) MarshalJSON() ([]byte, error) {
	type plain Job
	j.Visits = list(j.Visits)
	return json.Marshal(plain(j))
}

// MarshalJSON writes lists that must be there as [] when they are nil.
func (c Customer) MarshalJSON() ([]byte, error) {
	type plain Customer
	c.Hours = list(c.Hours)
	c.NoticeHours = list(c.NoticeHours)
	return json.Marshal(plain(c))
}

// MarshalJSON writes lists that must be there as [] when they are nil.
func (h HandedOut) MarshalJSON() ([]byte, error) {
	type plain HandedOut
	h.Tours = list(h.Tours)
	return json.Marshal(plain(h))
}

// MarshalJSON writes lists that must be there as [] when they are nil.
func (h HandedTour) MarshalJSON() ([]byte, error) {
	type plain HandedTour
	h.Stops = list(h.Stops)
	return json.Marshal(plain(h))
}

// MarshalJSON writes lists that must be there as [] when they are nil.
func (p Plan) MarshalJSON() ([]byte, error) {
	type plain Plan
	p.Tours = list(p.Tours)
	p.Told = list(p.Told)
	p.LeftOut = list(p.LeftOut)
	p.Owed = list(p.Owed)
	p.RuleBreaks = list(p.RuleBreaks)
	return json.Marshal(plain(p))
}

// MarshalJSON writes lists that must be there as [] when they are nil.
func (t PlanTour) MarshalJSON() ([]byte, error) {
	type plain PlanTour
	t.Stops = list(t.Stops)
	return json.Marshal(plain(t))
}

func list[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}
