package weeks

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"

	"ebbline/dispatch/week"
)

// Generator is the version of the loaded and planted weeks: it grows with every change
// that makes another week of the same shape.
const Generator = 3

// Load is work over crew hours, in permille.
type Load int

// The loads that weeks are measured at.
const (
	Calm  Load = 800
	Tight Load = 950
	Over  Load = 1300
)

// Loads by name.
var Loads = map[string]Load{"calm": Calm, "tight": Tight, "over": Over}

// Hash is a short name of what is planned in a week. How its lengths spread does not
// count: no plan and no cost depends on it.
func Hash(w *week.Week) string {
	text, err := json.Marshal(certain(w))
	if err != nil {
		return "" // a week of plain values can always be written
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:6])
}

// crewHours are the seconds that crews can work at straight pay.
func (m *maker) crewHours() int64 {
	sum := int64(0)
	for i := range m.w.Tours {
		t := &m.w.Tours[i]
		sum += t.ShiftTo - t.ShiftFrom - t.Lunch.Seconds
	}
	return sum
}

// work is the seconds of all visits.
func (m *maker) work() int64 {
	sum := int64(0)
	for j := range m.w.Jobs {
		for _, v := range m.w.Jobs[j].Visits {
			sum += v.Seconds
		}
	}
	return sum
}

// loaded makes the jobs of a week that was given a load.
func (m *maker) loaded() {
	if !m.Plain {
		m.storms()
	}
	want := m.crewHours() / 1000 * int64(m.Load)
	for n := 0; n < m.Jobs || m.Jobs == 0 && m.work() < want; n++ {
		m.tradeJob(n)
	}
	m.scale(want)
	m.roads()
	if !m.Plain {
		m.w.Closures = slices.DeleteFunc(m.w.Closures, func(c week.Closure) bool { return !c.All && !m.hasArea(c.Area) })
		m.wishes()
		m.handed()
	}
}

func (m *maker) hasArea(area string) bool {
	return slices.ContainsFunc(m.w.Places, func(p week.Place) bool { return p.Area == area })
}

// scale brings the work to what is wanted, in steps of five minutes.
func (m *maker) scale(want int64) {
	have := max(1, m.work())
	for j := range m.w.Jobs {
		job := &m.w.Jobs[j]
		drains := int64(0)
		if job.Water != nil {
			drains = job.Water.ArrivalSeconds
		}
		for n := range job.Visits {
			v := &job.Visits[n]
			least := int64(900)
			if v.Water == week.NeedLow {
				least += drains
			}
			v.Seconds = max(least, min(5*hour, (v.Seconds*want/have+150)/300*300))
		}
	}
}

// storms shut everything for some hours of one day, and stop pumping; a smaller one
// shuts one area.
func (m *maker) storms() {
	if m.Days < 2 {
		return
	}
	d := m.between(1, int64(m.Days)-1)
	from := d*86400 + m.between(10, 14)*hour
	m.w.Closures = append(m.w.Closures,
		week.Closure{ID: "storm", All: true, From: from, To: from + m.between(2, 3)*hour, StopsPumping: true})
	for a := range 5 { // gated streets let crews in late, or not at all on one day
		d := m.between(0, int64(m.Days)-1)
		c := week.Closure{ID: fmt.Sprintf("gate%d", a), Area: fmt.Sprintf("area%d", a), From: d * 86400, To: d*86400 + m.between(10, 14)*hour}
		if a == 0 {
			c.To = (d + 1) * 86400
		}
		m.w.Closures = append(m.w.Closures, c)
	}
}
