package weeks

// arrive is when a drive between two places ends.
func (m *maker) arrive(leave int64, from, to int) int64 {
	s, _ := m.street(from, to)
	left := s * 1000
	for now := leave; ; {
		speed, until := int64(1000), int64(1)<<60
		for _, x := range m.w.Travel.Periods {
			if x.From <= now {
				speed = x.Permille
			} else {
				until = x.From
				break
			}
		}
		if need := (left + speed - 1) / speed; now+need <= until {
			return now + need
		}
		left -= (until - now) * speed
		if now = until; left <= 0 {
			return now
		}
	}
}

func (m *maker) placeNumber(id string) int {
	for i := range m.w.Places {
		if m.w.Places[i].ID == id {
			return i
		}
	}
	return -1
}
