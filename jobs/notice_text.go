package jobs

import (
	"fmt"
	"strings"
	"time"
)

// NoticeWords are the names around the facts of a notice. They are not part of
// what is compared: a new name alone tells nobody anything anew.
type NoticeWords struct {
	To      string
	Company string
	Phone   string
	License string
	Site    string
	Street  string
	Zone    *time.Location // in which the reader's clock runs
	Now     int64          // unix seconds: when it was written
	HasGate bool
	HasPets bool
}

// Plain lines of caution. The codes themselves stay with those who apply them.
const (
	waterCaution = "Please do not let the water fall below the planned level: an empty shell can float, crack or wrinkle. " +
		"Local rules say where pool water may go."
	powerCaution = "Please leave the pool lights switched off while we work. Electrical work is done by a licensed person, " +
		"by the local code and the maker's instructions."
	crewCaution = "Follow the local code and the maker's instructions; electrical work by the licensed person, dead and tagged before a box opens. " +
		"Never below the planned water level."
)

// NoticeText makes subject and body of a notice in plain English.
func NoticeText(kind NoticeKind, change ChangeKind, f NoticeFacts, w NoticeWords) (subject, body string) {
	t := texting{f: f, w: w}
	switch {
	case f.TakenBack:
		subject = t.takenBack()
	case kind == NoticeBooking:
		subject = t.booking()
	case kind == NoticeStopChlorine:
		subject = t.stopChlorine()
	case kind == NoticePrep:
		subject = t.prep()
	case kind == NoticeOpenFill:
		subject = t.openFill()
	case kind == NoticeCloseFill:
		subject = t.closeFill()
	case kind == NoticeLookAfter:
		subject = t.lookAfter()
	case kind == NoticeLeaveAlone:
		subject = t.leaveAlone()
	case kind == NoticeBackToYou:
		subject = t.backToYou()
	case kind == NoticeCrewSheet:
		subject = t.crewSheet()
	case kind == NoticeUnconfirmed:
		subject = t.unconfirmed()
	}
	if change == ChangeChanged && !f.TakenBack {
		subject = "Changed: " + subject
		t.lines = append([]string{"This replaces what we wrote before.", ""}, t.lines...)
	}
	return subject, t.letter(kind.Reader())
}

type texting struct {
	f     NoticeFacts
	w     NoticeWords
	lines []string
}

func (t *texting) say(format string, args ...any) {
	t.lines = append(t.lines, fmt.Sprintf(format, args...))
}

// letter puts greeting and signature around the lines.
func (t *texting) letter(reader NoticeReader) string {
	out := []string{}
	if t.w.To != "" && reader != ReaderOffice {
		out = append(out, "Hello "+t.w.To+",", "")
	}
	out = append(out, t.lines...)
	if reader == ReaderCustomer || reader == ReaderPoolCare {
		out = append(out, "", t.w.Company)
		if t.w.Phone != "" {
			out = append(out, "Questions, or the time does not suit: "+t.w.Phone)
		}
		if t.w.License != "" {
			out = append(out, "License "+t.w.License)
		}
	}
	return strings.Join(out, "\n") + "\n"
}

func (t *texting) at(unix int64) string {
	return time.Unix(unix, 0).In(t.w.Zone).Format("Mon Jan 2, 3:04 pm")
}

// window says the second day only where it is another one.
func (t *texting) window(from, to int64) string {
	a, b := time.Unix(from, 0).In(t.w.Zone), time.Unix(to, 0).In(t.w.Zone)
	if a.Format(time.DateOnly) == b.Format(time.DateOnly) {
		return a.Format("Mon Jan 2") + ", between " + a.Format("3:04 pm") + " and " + b.Format("3:04 pm")
	}
	return "between " + t.at(from) + " and " + t.at(to)
}

func (t *texting) day(unix int64) string { return time.Unix(unix, 0).In(t.w.Zone).Format("Mon Jan 2") }

// what says in a customer's words what a crew comes for.
func (k VisitKind) what() string {
	switch k {
	case VisitSurvey:
		return "look at your pool and its lights"
	case VisitPrepare:
		return "prepare the place of the new supply"
	case VisitCircuit:
		return "work on the lights' circuit"
	case VisitDrain:
		return "start lowering the water"
	case VisitConvert:
		return "change the lights"
	case VisitConnect:
		return "connect the new lights"
	case VisitInspect:
		return "meet the inspector"
	case VisitCommission:
		return "test the lights under water and show you how to use them"
	case VisitCollect:
		return "collect our equipment"
	case VisitCallBack:
		return "look at the lights again"
	}
	return "come to your pool"
}

func (t *texting) booking() string {
	t.say("Our crew comes to %s to %s.", t.w.Site, t.f.VisitKind.what())
	t.say("Arrival: %s.", t.window(t.f.From, t.f.To))
	if t.w.HasGate {
		t.say("Please make sure that we can get through the gate.")
	}
	if t.w.HasPets {
		t.say("Please keep pets inside.")
	}
	switch t.f.VisitKind {
	case VisitConvert, VisitConnect, VisitCircuit, VisitCommission:
		t.say("")
		t.say(powerCaution)
	}
	return "Your day: " + t.day(t.f.From) + " at " + t.w.Site
}

func (t *texting) stopChlorine() string {
	t.say("Before the water at %s may be pumped out it has to stand %s without chlorine, or it has to be neutralised.", t.w.Site, span(t.f.Hold))
	from := t.at(t.f.From)
	if t.f.From <= t.w.Now {
		from = "now on; what is left we neutralise where the local rules allow it"
	}
	t.say("Please stop adding chlorine, and switch a chlorine cell off, from %s.", from)
	t.say("We measure chlorine and pH before any water goes out.")
	t.say("")
	t.say("Nobody should swim in untreated water. %s", waterCaution)
	if t.f.From <= t.w.Now {
		return "Stop chlorinating now: " + t.w.Site
	}
	return "Stop chlorinating from " + t.day(t.f.From) + ": " + t.w.Site
}

func (t *texting) prep() string {
	if t.f.WeStart {
		t.say("Our crew starts lowering the water at %s: %s.", t.w.Site, t.window(t.f.From, t.f.To))
	} else {
		t.say("Please start the drain at %s: %s.", t.w.Site, t.window(t.f.From, t.f.To))
		t.say("Not earlier, because the pool must not stand low for long; not later, because it has to be low in time.")
	}
	if t.f.LowBy != 0 {
		t.say("Our crew works in the lowered pool from %s.", t.at(t.f.LowBy))
	}
	if t.f.NeedPower {
		t.say("The pump needs a protected outlet within reach.")
	}
	if t.f.Filler {
		t.say("Close the valve of the automatic filler before the water is lowered.")
	}
	t.say("Switch the pool's own pump, heater and timer off while the water is low.")
	if t.w.HasGate {
		t.say("Please make sure that we can get through the gate.")
	}
	if t.w.HasPets {
		t.say("Please keep pets and children away from the lowered pool.")
	} else {
		t.say("Please keep children away from the lowered pool.")
	}
	t.say("")
	t.say(waterCaution)
	if t.f.WeStart {
		return "We lower the water: " + t.day(t.f.From) + " at " + t.w.Site
	}
	return "Start the drain: " + t.day(t.f.From) + " at " + t.w.Site
}

func (t *texting) openFill() string {
	t.say("The lights at %s are in. Please open the fill now, from %s.", t.w.Site, t.at(t.f.From))
	t.say("The lights should be under water again by %s.", t.at(t.f.Covered))
	if t.f.Limit != 0 {
		t.say("The pool should not stand low beyond %s.", t.at(t.f.Limit))
	}
	t.say("Please leave pump, heater and lights off until the water is back at its usual level.")
	t.say("")
	t.say("Never leave a running fill unattended overnight. %s", waterCaution)
	return "Open the fill: " + t.w.Site
}

func (t *texting) closeFill() string {
	t.say("The lights at %s should be under water by %s. Please look at the level and close the fill when it is back at its usual mark.", t.w.Site, t.at(t.f.Covered))
	t.say("")
	t.say("An overflowing pool can wash out the deck and flood equipment. The lights stay off until they are covered.")
	return "Close the fill: " + t.w.Site
}

func (t *texting) lookAfter() string {
	t.say("The water at %s has been back for a day. Please mark the level on the tile and look again tomorrow: more than a quarter of an inch lower in a day without rain or splashing is worth a call.", t.w.Site)
	t.say("Let somebody who treats the pool bring the water back to balance before anybody swims.")
	t.say("")
	t.say(powerCaution)
	return "A look at the water level: " + t.w.Site
}

func (t *texting) leaveAlone() string {
	t.say("We are changing the lights at %s and the water is ours from %s until %s.", t.w.Site, t.at(t.f.From), t.at(t.f.To))
	t.say("Please do not refill, dose or start a pump there until we write that it is back in your hands.")
	t.say("")
	t.say("A pump that runs dry burns out, and lights must not be run dry. %s", waterCaution)
	return "Please leave the pool alone until " + t.day(t.f.To) + ": " + t.w.Site
}

func (t *texting) backToYou() string {
	t.say("Our work at %s is done by %s. The pool is back in your hands.", t.w.Site, t.at(t.f.From))
	t.say("The water was held without chlorine and partly replaced: please test and balance it before anybody swims.")
	t.say("")
	t.say("Follow the chemicals' labels and the local rules.")
	return "The pool is back in your hands: " + t.w.Site
}

func (t *texting) crewSheet() string {
	t.say("%s, %s: out %s, back about %s.", t.f.Crew, t.f.Day, clock(t.f.From, t.w.Zone), clock(t.f.To, t.w.Zone))
	if t.f.Pumps == 1 {
		t.say("Load 1 pump.")
	} else if t.f.Pumps > 1 {
		t.say("Load %d pumps.", t.f.Pumps)
	}
	for i, s := range t.f.Stops {
		t.say("%d. %s to %s  %s, %s (job %d)", i+1, clock(s.Start, t.w.Zone), clock(s.End, t.w.Zone), s.Kind.short(), s.Site, s.JobNumber)
	}
	t.say("Gate codes, lengths and parts stand on each pool's sheet.")
	t.say("")
	t.say(crewCaution)
	return fmt.Sprintf("%s on %s: %d stops", t.f.Crew, t.f.Day, len(t.f.Stops))
}

func (t *texting) unconfirmed() string {
	t.say("Job %d, %s: nobody has said that the drain was started, and it had to start %s.", t.f.JobNumber, t.w.Site, t.window(t.f.From, t.f.To))
	t.say("The crew is due in the lowered pool at %s. Call the customer, send a pump, or move the visit before the truck rolls.", t.at(t.f.LowBy))
	t.say("")
	t.say(waterCaution)
	return fmt.Sprintf("Drain not confirmed: job %d, %s", t.f.JobNumber, t.w.Site)
}

func (t *texting) takenBack() string {
	switch {
	case t.f.Crew != "":
		t.say("The sheet of %s for %s no longer holds: the day has no stops.", t.f.Crew, t.f.Day)
		return fmt.Sprintf("Withdrawn: %s on %s", t.f.Crew, t.f.Day)
	case t.f.VisitKind != "":
		t.say("The visit to %s at %s, %s, is withdrawn.", t.f.VisitKind.what(), t.w.Site, t.window(t.f.From, t.f.To))
	case t.f.LowBy != 0 || t.f.WeStart:
		t.say("Please do NOT lower the water at %s (%s): that day is withdrawn.", t.w.Site, t.window(t.f.From, t.f.To))
		t.say("If the water is already low, please call us now.")
		t.say("")
		t.say(waterCaution)
	default:
		t.say("What we wrote about %s (%s) no longer holds.", t.w.Site, t.window(t.f.From, t.f.To))
	}
	t.say("We write again when there is a new day.")
	return "Withdrawn: " + t.day(t.f.From) + " at " + t.w.Site
}

func (k VisitKind) short() string { return strings.ReplaceAll(string(k), "_", "-") }

func clock(unix int64, zone *time.Location) string {
	return time.Unix(unix, 0).In(zone).Format("3:04 pm")
}

// span says a length of time in whole days, or hours below two days.
func span(seconds int64) string {
	switch h := (seconds + 1800) / 3600; {
	case h == 1:
		return "1 hour"
	case h < 48:
		return fmt.Sprintf("%d hours", h)
	}
	return fmt.Sprintf("%d days", (seconds+43_200)/86_400)
}
