package main

import (
	"fmt"

	"ebbline/dispatch/week"
	"ebbline/jobs"
)

// name is the text for people, or the id where there is none.
func name(id, label string) string {
	if label != "" {
		return label
	}
	return id
}

// count says how many: 1 pump, 2 pumps. An odd plural is given.
func count(n int, one string, many ...string) string {
	switch {
	case n == 1:
		return "1 " + one
	case len(many) > 0:
		return fmt.Sprintf("%d %s", n, many[0])
	default:
		return fmt.Sprintf("%d %ss", n, one)
	}
}

func (s *sheet) times(day int, from, to int64) string {
	return s.hourFrom(day, from) + "-" + s.hourFrom(day, to)
}

func (s *sheet) crewName(tour *week.Tour) string {
	for _, crew := range s.week.Crews {
		if crew.ID == tour.Crew {
			return name(crew.ID, crew.Label)
		}
	}
	return name(tour.ID, tour.Label)
}

func (s *sheet) placeName(id string) string {
	if i, ok := s.index.Place[id]; ok {
		return name(id, s.week.Places[i].Label)
	}
	return id
}

// visit finds a visit and its job; nil where the week has no such visit.
func (s *sheet) visit(id string) (*week.Visit, *week.Job) {
	at, ok := s.index.Visit[id]
	if !ok {
		return nil, nil
	}
	job := &s.week.Jobs[at.Job]
	return &job.Visits[at.Number], job
}

// jobName is the job's text for people; the id as it is where the week has no such job.
func (s *sheet) jobName(id string) string {
	if j, ok := s.index.Job[id]; ok {
		return name(id, s.week.Jobs[j].Label)
	}
	return id
}

// visitAndJob names a visit where its job is not named beside it.
func (s *sheet) visitAndJob(id string) string {
	visit, job := s.visit(id)
	if visit == nil {
		return id
	}
	return s.visitName(visit) + ", " + name(job.ID, job.Label)
}

// visitName is the visit's own text, or its kind's.
func (s *sheet) visitName(visit *week.Visit) string {
	if visit.Label != "" {
		return visit.Label
	}
	for _, kind := range s.week.Kinds {
		if kind.ID == visit.Kind {
			return name(kind.ID, kind.Label)
		}
	}
	return visit.Kind
}

// driven shows the road between two places: 12.3 km. Where the other drives are
// by road, it says which are not.
func (s *sheet) driven(from, to string) string {
	i, okFrom := s.index.Place[from]
	k, okTo := s.index.Place[to]
	if !okFrom || !okTo {
		return ""
	}
	metres := s.week.Travel.Metres[i][k]
	text := fmt.Sprintf("%d.%d km", metres/1000, metres%1000/100)
	if s.week.Places[i].OffRoad || s.week.Places[k].OffRoad {
		text += ", straight line"
	}
	return text
}

// money shows cents as dollars: 1,234.50.
func money(cents int64) string { return jobs.Cents(cents).String() }
