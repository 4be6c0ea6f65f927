package jobs

import (
	"errors"
	"slices"
	"time"
)

// ChangeWord says what kind of change of a week is asked about, or has
// happened.
type ChangeWord string

// The kinds of change.
const (
	WeekVisit       ChangeWord = "visit"        // a visit goes to another crew, day, place or time
	WeekPersonOut   ChangeWord = "person_out"   // somebody can't come
	WeekPersonMoved ChangeWord = "person_moved" // somebody goes with another crew
	WeekCrewOut     ChangeWord = "crew_out"
	WeekPumpBroken  ChangeWord = "pump_broken"
	WeekClosed      ChangeWord = "closed" // a place, an area or everything
	WeekJobIn       ChangeWord = "job_in"
	WeekJobOut      ChangeWord = "job_out"
	WeekJobEarlier  ChangeWord = "job_earlier"
	WeekLonger      ChangeWord = "visit_longer"
	WeekWater       ChangeWord = "water"    // a level that is not what was expected
	WeekAsItIs      ChangeWord = "as_it_is" // what was reported and noted already
)

// ChangeWords lists the kinds.
var ChangeWords = []ChangeWord{WeekVisit, WeekPersonOut, WeekPersonMoved, WeekCrewOut, WeekPumpBroken, WeekClosed, WeekJobIn, WeekJobOut,
	WeekJobEarlier, WeekLonger, WeekWater, WeekAsItIs}

// WeekChange is one change of a week in people's words. Which fields are read
// depends on Kind.
type WeekChange struct {
	Kind         ChangeWord
	VisitID      string
	JobID        string
	CrewID       string
	PersonID     string
	PumpID       string
	Day          Day
	FromDay      Day // first day on which it holds
	ToDay        Day // last day; empty: the first alone
	ByDay        Day
	StartAt      time.Time // zero: not said
	AfterVisitID string    // the stop before it; empty: see First
	First        bool      // before all that has not begun that day; else where it is cheapest
	Seconds      int64     // of a visit, in all
	Closure      *ClosureData
	Reading      *NewReading
	JobAct       string // of a job taken out when it is recorded: park or decline
	FromMinute   *int64 // minutes after midnight from which somebody is out
	Note         string
}

// NewReading is a water reading as somebody says it.
type NewReading struct {
	Text string // as read: 7 1/2
	Unit string
	At   time.Time // zero: now
}

// Clean fills in what was left open.
func (c WeekChange) Clean() WeekChange {
	c.Note = CleanLine(c.Note)
	if c.ToDay == "" {
		c.ToDay = c.FromDay
	}
	if c.Kind == WeekJobOut && c.JobAct == "" {
		c.JobAct = string(ActPark)
	}
	return c
}

// Check refuses what is wrong, all of it at once. at is the path in front of
// the fields: "change.".
func (c WeekChange) Check(at string) error {
	var f Faults
	OneOf(&f, at+"kind", c.Kind, ChangeWords)
	id := func(field, value string) { f.ID(at+field, value) }
	days := func() {
		f.Check(c.FromDay.Valid(), at+"from_day", string(c.FromDay), "a day like 2026-03-08")
		f.Check(c.ToDay.Valid() && c.ToDay >= c.FromDay, at+"to_day", string(c.ToDay), "a day like 2026-03-08, not before from_day")
		f.Check(!c.FromDay.Valid() || !c.ToDay.Valid() || c.ToDay.Sub(c.FromDay) <= 60, at+"to_day", string(c.ToDay), "at most 60 days after from_day")
		f.Check(c.FromMinute == nil || *c.FromMinute >= 0 && *c.FromMinute < 24*60, at+"from_minute", minuteText(c.FromMinute), "minutes from midnight, 0 to 1439")
	}
	switch c.Kind {
	case WeekVisit:
		id("visit_id", c.VisitID)
		if c.CrewID != "" {
			id("crew_id", c.CrewID)
		}
		checkDay(&f, at+"day", c.Day)
		if c.AfterVisitID != "" {
			id("after_visit_id", c.AfterVisitID)
			f.Check(!c.First, at+"first", "true", "either first or after_visit_id, not both")
			f.Check(c.AfterVisitID != c.VisitID, at+"after_visit_id", c.AfterVisitID, "another visit than the one that moves")
		}
		f.Check(c.CrewID != "" || c.Day != "" || !c.StartAt.IsZero() || c.AfterVisitID != "" || c.First, at+"crew_id", "",
			"where it goes: a crew, a day, a place among the stops or an instant")
	case WeekPersonOut:
		id("person_id", c.PersonID)
		days()
	case WeekPersonMoved:
		id("person_id", c.PersonID)
		id("crew_id", c.CrewID)
		days()
	case WeekCrewOut:
		id("crew_id", c.CrewID)
		days()
	case WeekPumpBroken:
		id("pump_id", c.PumpID)
		checkDay(&f, at+"from_day", c.FromDay)
	case WeekClosed:
		if f.Check(c.Closure != nil, at+"closure", "", "what is shut, from when to when"); c.Closure != nil {
			f = append(f, under(at+"closure.", c.Closure.Check())...)
		}
	case WeekJobIn:
		id("job_id", c.JobID)
	case WeekJobOut:
		id("job_id", c.JobID)
		f.Check(slices.Contains([]string{string(ActPark), string(ActDecline)}, c.JobAct), at+"job_act", c.JobAct, "park or decline")
	case WeekJobEarlier:
		id("job_id", c.JobID)
		f.Check(c.ByDay.Valid(), at+"by_day", string(c.ByDay), "a day like 2026-03-08")
	case WeekLonger:
		id("visit_id", c.VisitID)
		f.Check(c.Seconds >= 60 && c.Seconds <= 86_400, at+"seconds", itoa64(c.Seconds), "60 to 86400 seconds, for the whole visit")
	case WeekWater:
		id("job_id", c.JobID)
		f.Check(c.Reading != nil, at+"reading", "", "what was read, such as 7 1/2 in")
	}
	f.Line(at+"note", c.Note, 0, 300)
	return f.Err()
}

func minuteText(m *int64) string {
	if m == nil {
		return ""
	}
	return itoa64(*m)
}

// under are an error's fields with a path in front.
func under(at string, err error) Faults {
	var out Faults
	var e *Error
	if errors.As(err, &e) {
		for _, x := range e.Fields {
			out.Add(at+x.Field, x.Value, x.Want)
		}
	}
	return out
}
