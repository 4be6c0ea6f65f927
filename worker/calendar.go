package worker

import (
	"time"

	ics "github.com/arran4/golang-ical"
)

// calendarText writes the event as RFC 5545 text with CRLF line ends. It is
// PUBLISH or CANCEL (RFC 5546): the entry informs, nobody answers through it.
func calendarText(e Event, at time.Time, organizer Address) string {
	cal := ics.NewCalendar()
	cal.SetProductId("-//Ebbline//Notices//EN")
	cal.SetMethod(ics.MethodPublish)
	ev := cal.AddEvent(e.UID)
	ev.SetDtStampTime(at.UTC())
	ev.SetStartAt(e.From.UTC())
	ev.SetEndAt(e.To.UTC())
	ev.SetSummary(e.Title)
	ev.SetSequence(int(e.Sequence))
	ev.SetStatus(ics.ObjectStatusConfirmed)
	if e.Where != "" {
		ev.SetLocation(e.Where)
	}
	if e.Says != "" {
		ev.SetDescription(e.Says)
	}
	if organizer.At != "" {
		ev.SetOrganizer("mailto:"+organizer.At, ics.WithCN(organizer.Name))
	}
	if e.Cancelled {
		cal.SetMethod(ics.MethodCancel)
		ev.SetStatus(ics.ObjectStatusCancelled)
	}
	return cal.Serialize(ics.WithNewLineWindows)
}
