package desk

import (
	"time"

	"ebbline/dispatch/travel/sun"
	"ebbline/jobs"
)

// daylight lists when there is light to work outside at a place, from civil dawn
// to civil dusk of each of its days. Where the sun does neither in a day, near
// the poles, the rule can't be meant and the whole day counts.
func daylight(first, last jobs.Day, latE7, lonE7 int64, zone *time.Location) []jobs.Stretch {
	var out []jobs.Stretch
	for day := first; day <= last; day = day.Add(1) {
		noon := jobs.MinuteOf(day, 12*60, zone)
		s := sun.On(noon.Year(), int(noon.Month()), noon.Day(), latE7, lonE7)
		light := jobs.Stretch{From: day.Start(zone), To: day.Add(1).Start(zone)}
		if s.Twilight == sun.Rises {
			light = jobs.Stretch{From: time.Unix(s.Dawn, 0).UTC(), To: time.Unix(s.Dusk, 0).UTC()}
		}
		if n := len(out); n > 0 && !light.From.After(out[n-1].To) {
			out[n-1].To = light.To
			continue
		}
		out = append(out, light)
	}
	return out
}

// inBoth is what two rising lists of stretches have in common.
func inBoth(a, b []jobs.Stretch) []jobs.Stretch {
	var out []jobs.Stretch
	for _, x := range a {
		for _, y := range b {
			from, to := x.From, x.To
			if y.From.After(from) {
				from = y.From
			}
			if y.To.Before(to) {
				to = y.To
			}
			if from.Before(to) {
				out = append(out, jobs.Stretch{From: from, To: to})
			}
		}
	}
	return out
}

// open lists when a site may be worked at: in its own hours, and in daylight
// where the branch asks for that. False: at any time.
func (m *weekMaker) open(j *jobFacts) ([]jobs.Stretch, bool) {
	first, last := m.facts.FirstDay.Add(-1), m.facts.FirstDay.Add(m.facts.Days)
	var out []jobs.Stretch
	bound := false
	if j.Site.WorkFrom != nil && j.Site.WorkTo != nil {
		var hours []jobs.Hours
		for d := range 7 {
			hours = append(hours, jobs.Hours{Weekday: d, FromMinute: *j.Site.WorkFrom, ToMinute: *j.Site.WorkTo})
		}
		out, bound = jobs.HoursBetween(hours, first, last, j.Zone), true
	}
	if m.facts.Rules.DaylightOnly && j.Site.LatE7 != nil && j.Site.LonE7 != nil {
		light := daylight(first, last, *j.Site.LatE7, *j.Site.LonE7, j.Zone)
		if bound {
			light = inBoth(out, light)
		}
		out, bound = light, true
	}
	return out, bound
}

// duskSpecs tells a crew that tests lights, or shows them to the customer, when
// it is dark enough to see them well.
func duskSpecs(s TodayStop) []Spec {
	if s.Visit.Kind != jobs.VisitCommission && s.Visit.Kind != jobs.VisitCallBack || s.Site.LatE7 == nil || s.Site.LonE7 == nil {
		return nil
	}
	zone, err := time.LoadLocation(s.Site.Zone)
	if err != nil {
		return nil
	}
	day := s.Stop.StartAt.In(zone)
	of := sun.On(day.Year(), int(day.Month()), day.Day(), *s.Site.LatE7, *s.Site.LonE7)
	if of.Sun != sun.Rises || of.Twilight != sun.Rises {
		return nil
	}
	at := func(unix int64) string { return time.Unix(unix, 0).In(zone).Format("3:04 pm") }
	return []Spec{{Label: "Sunset and dusk", Value: at(of.Set) + ", " + at(of.Dusk), Known: "computed"}}
}
