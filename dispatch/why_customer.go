package dispatch

import (
	"strings"
	"time"

	"ebbline/dispatch/search"
	"ebbline/dispatch/week"
)

// customerText says why a job is not planned in a sentence that its customer could be
// told: it names no other customer, no crew and no price.
func customerText(w *week.Week, job *week.Job, f search.Fit) string {
	when := "after this week"
	if f.Tour != "" {
		when = dayName(w, f.Start)
	}
	if len(f.Facts) == 0 {
		return "We could come " + when + "; please ask us whether that day is still free."
	}
	var say []string
	for _, k := range f.Facts {
		say = append(say, customerFact(job, k))
	}
	return "We have no day for you yet: " + strings.Join(say, ", and ") + ". If that changes, we could come " + when + "."
}

// customerFact says a fact from where the customer stands.
func customerFact(job *week.Job, f search.Fact) string {
	switch f {
	case search.FactSkill:
		return "the work needs a licensed or specially trained person, and theirs is a full week"
	case search.FactPeople:
		return "the work needs more people than we have free at once"
	case search.FactHours:
		return "our crews are fully booked"
	case search.FactPumps:
		return "our pumps and trucks are all in use"
	case search.FactDrain:
		return "your pool takes longer to drain than the time that is left"
	case search.FactLowLimit:
		return "your pool may not stand low for as long as it would have to"
	case search.FactNotBefore:
		if job.NotBefore != nil {
			return "the parts or papers for your pool are still to come"
		}
		return "it can't begin yet"
	case search.FactAllowed:
		if job.NotAfter != nil {
			return "it would have to be over sooner than we can come"
		}
		return "the hours in which we may work at your place are taken"
	case search.FactClosure:
		return "weather or access keeps us from your place on the days that are left"
	case search.FactNotice:
		return "there is not enough time left to ask you to start the drain"
	case search.FactCommission:
		return "the visits to your pool have to follow each other within a few days, and we can't make them all"
	default:
		return "the day that was agreed is not possible"
	}
}

// dayName is the weekday and date of an instant, Monday 9 March.
func dayName(w *week.Week, x int64) string {
	d := len(w.Days) - 1
	for d > 0 && w.Days[d].Start > x {
		d--
	}
	day, err := time.Parse(time.DateOnly, w.Days[d].Date)
	if err != nil {
		return "on " + w.Days[d].Date
	}
	return "on " + day.Format("Monday 2 January")
}
