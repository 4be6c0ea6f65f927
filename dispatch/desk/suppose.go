package desk

import (
	"slices"

	"ebbline/jobs"
)

// suppose gives the facts of a week as they would be if something had happened.
// The facts that it is given stay as they are.
func suppose(f weekFacts, c jobs.WeekChange) (weekFacts, error) {
	switch c.Kind {
	case jobs.WeekPersonOut, jobs.WeekCrewOut:
		return supposeAway(f, c)
	case jobs.WeekPersonMoved:
		return supposeMoved(f, c)
	case jobs.WeekPumpBroken:
		i := slices.IndexFunc(f.Pumps, func(p jobs.Pump) bool { return p.ID == c.PumpID })
		if i < 0 {
			return f, wrong("pump_id", c.PumpID, "a pump of this branch")
		}
		f.Pumps = slices.Clone(f.Pumps)
		f.Pumps[i].State = jobs.PumpBroken
	case jobs.WeekClosed:
		f.Closures = append(slices.Clone(f.Closures), jobs.Closure{ID: "supposed", ClosureData: *c.Closure})
	}
	return f, nil
}

// away are the absences that a change means, a day each.
func away(c jobs.WeekChange) []jobs.AbsenceData {
	var out []jobs.AbsenceData
	for day := c.FromDay; day <= c.ToDay; day = day.Add(1) {
		a := jobs.AbsenceData{Day: day, ToMinute: 24 * 60, Reason: c.Note}
		if c.Kind == jobs.WeekCrewOut {
			a.CrewID = c.CrewID
		} else {
			a.PersonID = c.PersonID
		}
		if day == c.FromDay && c.FromMinute != nil {
			a.FromMinute = *c.FromMinute
		}
		out = append(out, a)
	}
	return out
}

func supposeAway(f weekFacts, c jobs.WeekChange) (weekFacts, error) {
	if c.Kind == jobs.WeekCrewOut && !slices.ContainsFunc(f.Crews, func(k jobs.Crew) bool { return k.ID == c.CrewID }) {
		return f, wrong("crew_id", c.CrewID, "a crew of this branch")
	}
	if c.Kind == jobs.WeekPersonOut && !slices.ContainsFunc(f.Persons, func(p jobs.Person) bool { return p.ID == c.PersonID }) {
		return f, wrong("person_id", c.PersonID, "a person of this branch")
	}
	f.Absences = slices.Clone(f.Absences)
	for _, a := range away(c) {
		f.Absences = append(f.Absences, jobs.Absence{BranchID: f.Branch.ID, AbsenceData: a})
	}
	return f, nil
}

// supposeMoved has somebody go with another crew, on some days alone: away from
// the own crew, and one more of the other's people. Wages stay as they are.
func supposeMoved(f weekFacts, c jobs.WeekChange) (weekFacts, error) {
	to := slices.IndexFunc(f.Crews, func(k jobs.Crew) bool { return k.ID == c.CrewID })
	who := slices.IndexFunc(f.Persons, func(p jobs.Person) bool { return p.ID == c.PersonID })
	switch {
	case to < 0:
		return f, wrong("crew_id", c.CrewID, "a crew of this branch")
	case who < 0:
		return f, wrong("person_id", c.PersonID, "a person of this branch")
	case slices.Contains(f.Crews[to].People, c.PersonID):
		return f, wrong("crew_id", c.CrewID, "another crew than "+f.Crews[to].Name+", with which "+f.Persons[who].Name+" goes already")
	}
	// Whoever calls looks at the days of the change alone, so the crews may be
	// changed for all of them.
	f.Crews = slices.Clone(f.Crews)
	for i := range f.Crews {
		people := slices.DeleteFunc(slices.Clone(f.Crews[i].People), func(id string) bool { return id == c.PersonID })
		if i == to {
			people = append(people, c.PersonID)
		}
		f.Crews[i].People = people
	}
	return f, nil
}
