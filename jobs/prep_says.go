package jobs

import "time"

// PrepSays is one sentence for Prep watch: how a pool's lowering stands and
// what can be done, before a truck rolls.
func PrepSays(f PrepFacts, state PrepState, way WayLow, phone string, zone *time.Location) string {
	clock := func(t time.Time) string { return t.In(zone).Format("Mon 3:04 pm") }
	call := "Call the customer"
	if phone != "" {
		call = "Call " + phone
	}
	needed := ""
	if f.NeededAt != nil {
		needed = "; the crew starts in the low pool " + clock(*f.NeededAt)
	}
	started := func() string {
		for _, a := range f.Answers {
			if a.Kind == AnswerStarted {
				return " since " + clock(a.At)
			}
		}
		return ""
	}
	read := func() string {
		says := ""
		if f.LowEarly != nil && f.LowLate != nil && f.LowLate.Sub(*f.LowEarly) >= 10*time.Minute {
			says = ", most likely between " + clock(*f.LowEarly) + " and " + clock(*f.LowLate)
		}
		return says
	}
	doubt := ""
	if f.Doubt != "" {
		doubt = " " + f.Doubt
	}
	switch state {
	case PrepNotDue:
		return "To be started between " + clock(*f.ToldFrom) + " and " + clock(*f.ToldTo) + needed + "."
	case PrepUnconfirmed:
		return "Nobody has said that it was started by " + clock(*f.ConfirmBy) + needed + ". " + call + "; else send a pump, or move the work and hand out again."
	case PrepWaiting:
		switch {
		case f.ToldTo != nil:
			return "Told to start by " + clock(*f.ToldTo) + ", nothing said yet" + needed + "."
		case way == LowArrival:
			return "The crew lowers it on arrival" + needed + "."
		case way == LowCrewPump || way == LowOwnOutlet:
			return "A crew starts it" + needed + "."
		}
		return "Nothing is known of the water yet" + needed + ". " + call + "."
	case PrepStarted:
		return "Draining" + started() + needed + ". A reading half way tells when it will be low."
	case PrepReading:
		if f.LowAt == nil {
			if doubt != "" {
				return "Draining" + needed + "." + doubt
			}
			return "One more reading, some hours later, tells when it will be low" + needed + "."
		}
		if f.LowLate != nil && f.NeededAt != nil && f.LowLate.After(*f.NeededAt) {
			doubt = " It may not be low in time." + doubt
		}
		return "By its readings low " + clock(*f.LowAt) + read() + needed + "." + doubt
	case PrepLate:
		late := f.LowAt.Sub(*f.NeededAt).Round(time.Minute)
		return "By its readings low only " + clock(*f.LowAt) + read() + ", " + Duration(late) + " too late" + needed +
			". Send a second pump, start later in the day, or move the work and hand out again." + doubt
	}
	return "Low" + needed + "."
}

// Duration writes a span of time in hours and minutes: 2 h 5 min.
func Duration(d time.Duration) string {
	h, m := int(d/time.Hour), int(d%time.Hour/time.Minute)
	switch {
	case h == 0:
		return itoa(m) + " min"
	case m == 0:
		return itoa(h) + " h"
	}
	return itoa(h) + " h " + itoa(m) + " min"
}
