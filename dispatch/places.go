package dispatch

// Places are all spots in which a visit fits, cheapest first; its own is one of them. The
// visit is one of the plan's and has not begun. Its job's other visits keep their orders and
// shift in time; all is timed and priced as [Warm.Try] does for each spot by itself. An
// error names the field, its value and what would be right.
func (a *Warm) Places(visit string) ([]Spot, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	v, err := a.planned(visit, "visit")
	if err != nil {
		return nil, err
	}
	out := []Spot{}
	say := speaker{w: a.w, s: a.s}
	for _, s := range a.s.Places(v) {
		x := Spot{Tour: a.w.Tours[s.Tour].ID, Start: s.Start, Delta: s.Delta}
		if s.After >= 0 {
			x.After = say.visitID(s.After)
		}
		out = append(out, x)
	}
	return out, nil
}
