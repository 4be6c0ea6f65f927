package dispatch

import (
	"fmt"
	"time"

	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// speaker says numbers of an answer in the names of its week.
type speaker struct {
	w *week.Week
	s *search.Warm
}

func (x *speaker) visit(v int) *week.Visit {
	j, n := x.s.VisitAt(v)
	return &x.w.Jobs[j].Visits[n]
}

func (x *speaker) visitID(v int) string { return x.visit(v).ID }

func (x *speaker) visitName(v int) string {
	if v < 0 {
		return "a visit"
	}
	return label(x.visit(v).Label, x.visit(v).ID)
}

func (x *speaker) jobName(j int) string {
	if j < 0 {
		return "a job"
	}
	return label(x.w.Jobs[j].Label, x.w.Jobs[j].ID)
}

func (x *speaker) tourName(t int) string {
	if t < 0 {
		return "the crew"
	}
	return label(x.w.Tours[t].Label, x.w.Tours[t].ID)
}

func label(text, id string) string {
	if text != "" {
		return text
	}
	return id
}

// limit says a limit in words.
func (x *speaker) limit(l *search.Limit) Limit {
	out := Limit{Rule: l.Rule, By: l.By, Unit: l.Unit, Text: x.text(l)}
	if l.Visit >= 0 {
		out.Visit = x.visitID(l.Visit)
	}
	if l.Tour >= 0 {
		out.Tour = x.w.Tours[l.Tour].ID
	}
	if l.Job >= 0 {
		out.Job = x.w.Jobs[l.Job].ID
	}
	return out
}

func (x *speaker) text(l *search.Limit) string {
	by := span(l.By)
	visit, tour, job := x.visitName(l.Visit), x.tourName(l.Tour), x.jobName(l.Job)
	switch l.Rule {
	case search.RuleSkills:
		return fmt.Sprintf("%s needs %s, which %s does not have.", visit, x.skillName(l.Skill), tour)
	case search.RulePeople:
		if l.By == 1 {
			return fmt.Sprintf("%s needs 1 person more than %s has.", visit, tour)
		}
		return fmt.Sprintf("%s needs %d people more than %s has.", visit, l.By, tour)
	case search.RuleRoom:
		return fmt.Sprintf("%s would carry %d litres more than its truck takes.", tour, l.By)
	case search.RuleTruck:
		switch l.Kind {
		case "no home":
			return fmt.Sprintf("%s has no pumps to load, and %s takes one.", tour, visit)
		case "loaded":
			return fmt.Sprintf("%s would be %s short on its truck.", tour, pumps(l.By))
		}
		return fmt.Sprintf("%s has no berth for %s more.", tour, pumps(l.By))
	case search.RuleStock:
		return fmt.Sprintf("%s is %s short on %s.", label(x.w.Homes[l.Home].Label, x.w.Homes[l.Home].ID), pumps(l.By), dateName(x.w, l.Day))
	case search.RuleCollect:
		return fmt.Sprintf("The pump of %s belongs to another yard, or no visit collects it.", job)
	case search.RuleShift:
		if l.Kind == "waits" {
			return fmt.Sprintf("%s would be back %s after its last overtime (%s): %s can't start before %s.", tour, by, clock(x.w, l.At), visit, clock(x.w, l.Until))
		}
		return fmt.Sprintf("%s would be back %s after its last overtime (%s).", tour, by, clock(x.w, l.At))
	case search.RuleCrew:
		return fmt.Sprintf("The crew of %s would be on two tours at once for %s.", tour, by)
	case search.RuleHorizon:
		return fmt.Sprintf("%s would end %s after the planned days.", visit, by)
	case search.RuleNotAfter:
		return fmt.Sprintf("%s would end %s after its job must be over.", visit, by)
	case search.RuleAllowed:
		return fmt.Sprintf("%s would come %s after its last allowed hours.", visit, by)
	case search.RuleArrival:
		return fmt.Sprintf("%s would drain the pool %s after the last water hours.", visit, by)
	case search.RuleTold:
		return fmt.Sprintf("The customer of %s would have to start the drain %s later than can be told.", job, by)
	case search.RuleLowLimit:
		return fmt.Sprintf("The pool of %s would stay low %s past its limit.", job, by)
	case search.RuleOwed:
		return x.owedText(l)
	case search.RulePin:
		return x.pinText(l)
	case search.RulePromise:
		return fmt.Sprintf("%s fits only where a promise would be broken or moved.", job)
	case search.RulePlaced:
		return fmt.Sprintf("%s fits nowhere, with all other tours and orders kept.", job)
	}
	return x.linkText(l)
}

func (x *speaker) owedText(l *search.Limit) string {
	if l.Kind == "begun" {
		return fmt.Sprintf("%s belongs to a job that has begun, and can't be left for after these days.", x.visitName(l.Visit))
	}
	return fmt.Sprintf("%s is left for after these days, and would then come %s too late.", x.visitName(l.Visit), span(l.By))
}

func (x *speaker) pinText(l *search.Limit) string {
	switch l.Kind {
	case "tour":
		return fmt.Sprintf("%s is pinned to another crew or day than %s.", x.visitName(l.Visit), x.tourName(l.Tour))
	case "frozen":
		return fmt.Sprintf("The order of stops is frozen, and %s does not go there.", x.visitName(l.Visit))
	}
	return fmt.Sprintf("%s can't start before %s, which is %s later than asked.", x.visitName(l.Visit), clock(x.w, l.At+l.By), span(l.By))
}

// linkText says limits between visits of a job.
func (x *speaker) linkText(l *search.Limit) string {
	visit, by := x.visitName(l.Visit), span(l.By)
	other := "the draining"
	if l.Home >= 0 && (l.Kind == "back" || l.Kind == "order") {
		other = x.visitName(l.Home)
	}
	switch l.Kind {
	case "unknown":
		return fmt.Sprintf("No times for %s were found with lunch where the crew could have it.", visit)
	case "undecided":
		return fmt.Sprintf("The times of %s push each other in a circle.", x.jobName(l.Job))
	case "back":
		return fmt.Sprintf("%s would come %s too long after %s.", visit, by, other)
	case "order":
		return fmt.Sprintf("%s and %s of one job would be %s too close, or in the wrong order.", visit, other, by)
	case "begun":
		return fmt.Sprintf("%s would be %s too late for what of its job has begun.", visit, by)
	case "table":
		return fmt.Sprintf("%s would come %s after the last instant for which the pool's level is known.", visit, by)
	}
	switch l.Rule {
	case search.RuleLow:
		return fmt.Sprintf("The pool is not low soon enough for %s, by %s.", visit, by)
	case search.RuleCovered:
		return fmt.Sprintf("%s would leave the lights uncovered %s too long.", visit, by)
	case search.RuleLunch:
		return fmt.Sprintf("%s would have lunch %s too late.", x.tourName(l.Tour), by)
	}
	return fmt.Sprintf("%s would come %s too late.", visit, by)
}

func (x *speaker) skillName(id string) string {
	for _, s := range x.w.Skills {
		if s.ID == id {
			return label(s.Label, id)
		}
	}
	return id
}

func pumps(n int64) string {
	if n == 1 {
		return "1 pump"
	}
	return fmt.Sprintf("%d pumps", n)
}

// span writes a length of time.
func span(s int64) string {
	switch {
	case s < 60 || s%60 != 0 && s < 3600:
		return fmt.Sprintf("%d s", s)
	case s%60 != 0:
		return fmt.Sprintf("%d h %d min %d s", s/3600, s/60%60, s%60)
	case s < 3600:
		return fmt.Sprintf("%d min", s/60)
	case s%3600 == 0:
		return fmt.Sprintf("%d h", s/3600)
	}
	return fmt.Sprintf("%d h %d min", s/3600, s/60%60)
}

// dateName says a day by its number: weekday and date.
func dateName(w *week.Week, day int) string {
	at, err := time.Parse(time.DateOnly, w.Days[day].Date)
	if err != nil {
		return w.Days[day].Date
	}
	return at.Format("Mon 2 Jan")
}
