package jobs

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// NoticeWords are the names around the facts of a notice. They are not part of
// what is compared: a new name alone tells nobody anything anew.
type NoticeWords struct {
	Language string // of Languages
	To       string
	Company  string
	Phone    string
	License  string
	Site     string
	Street   string
	Zone     *time.Location // in which the reader's clock runs
	Now      int64          // unix seconds: when it was written
	HasGate  bool
	HasPets  bool
}

// NoticeText makes subject and body of a notice in the reader's language. Both
// are empty for a kind that nobody writes yet; a quote has QuoteText, what came
// back BouncedText.
func NoticeText(kind NoticeKind, change ChangeKind, f NoticeFacts, w NoticeWords) (subject, body string) {
	t := texting{phrases: phrasesOf(w.Language), f: f, w: w}
	switch {
	case f.TakenBack:
		subject = t.takenBack()
	case kind == NoticeBooking:
		subject = t.booking()
	case kind == NoticeStopChlorine:
		subject = t.stopChlorine()
	case kind == NoticePrep:
		subject = t.prep()
	case kind == NoticeHalfway:
		subject = t.halfway()
	case kind == NoticeOnTheWay:
		subject = t.onTheWay()
	case kind == NoticeLate:
		subject = t.late()
	case kind == NoticeOpenFill:
		subject = t.openFill()
	case kind == NoticeCloseFill:
		subject = t.closeFill()
	case kind == NoticeLookAfter:
		subject = t.lookAfter()
	case kind == NoticeHowToUse:
		subject = t.howToUse()
	case kind == NoticeLeaveAlone:
		subject = t.leaveAlone()
	case kind == NoticeBackToYou:
		subject = t.backToYou()
	case kind == NoticeCrewSheet:
		subject = t.crewSheet()
	case kind == NoticeUnconfirmed:
		subject = t.unconfirmed()
	default:
		return "", ""
	}
	if change == ChangeChanged && !f.TakenBack {
		subject = fmt.Sprintf(t.Changed, subject)
		t.lines = append([]string{t.Replaces, ""}, t.lines...)
	}
	return subject, t.letter(kind.Reader())
}

// QuoteText makes subject and body of the notice that brings a quote. A frozen
// quote says the same in every language that it was kept in; of an older one in
// English the same is said from its figures, and lines whose figures were not
// kept stay as they were frozen.
func QuoteText(q Quote, b QuoteBody, w NoticeWords) (subject, body string) {
	t := texting{phrases: phrasesOf(w.Language), w: w}
	switch {
	case b.Spanish != nil:
		b = b.In(w.Language)
	case t.phrases != &english && b.LightCount > 0:
		b = t.quoteBody(q, b)
	}
	t.sayf(t.Quote, w.Street)
	t.say("")
	sum := func(name string, c Cents) { t.sayf("  %-44s %12s", name, c) }
	for _, l := range b.Lines {
		sum(l.Name, l.Cents)
	}
	sum(t.Tax, q.Tax)
	sum(t.Total, q.Total)
	sum(t.Deposit, q.Deposit)
	t.say("")
	if len(b.Options) > 0 && b.Words != nil {
		t.sayf("%s:", b.Words.Ways)
		for i, o := range b.Options {
			t.sayf("  %d. %s: $%s, %s $%s", i+1, o.Name, o.Total, b.Words.Down, o.Deposit)
		}
		t.say("")
	}
	t.sayf(t.QuoteUntil, t.civil(q.ValidUntil))
	for _, term := range b.Terms {
		t.sayf("- %s", term)
	}
	return t.QuoteSubject, t.letter(ReaderCustomer)
}

// quoteBody says a quote's lines and terms in the language of the words.
func (t *texting) quoteBody(q Quote, b QuoteBody) QuoteBody {
	line := fmt.Sprintf(t.Lights, b.LightCount)
	if b.LightCount == 1 {
		line = t.OneLight
	}
	b.Lines = slices.Clone(b.Lines)
	b.Lines[0].Name = line
	b.Terms = []string{fmt.Sprintf(t.DepositTerm, q.Deposit), fmt.Sprintf(t.CancelTerm, b.CancelDays), t.SafetyTerm}
	return b
}

// BouncedText tells the office that a message did not reach its reader.
func BouncedText(language, subject, address, why string) (newSubject, body string) {
	p := phrasesOf(language)
	return fmt.Sprintf(p.BouncedSubject, subject), fmt.Sprintf(p.Bounced, subject, address, why) + "\n"
}

// AnswerLine stands above the link with which a customer answers.
func AnswerLine(language string) string { return phrasesOf(language).Answer }

type texting struct {
	*phrases
	f     NoticeFacts
	w     NoticeWords
	lines []string
}

func (t *texting) say(lines ...string) { t.lines = append(t.lines, lines...) }

func (t *texting) sayf(format string, args ...any) {
	t.say(strings.ReplaceAll(fmt.Sprintf(format, args...), "m..", "m.")) // "p. m." ends a sentence by itself
}

// caution says lines of caution, set apart.
func (t *texting) caution(lines ...string) {
	t.say("", strings.Join(lines, " "))
}

// letter puts greeting and signature around the lines.
func (t *texting) letter(reader NoticeReader) string {
	out := []string{}
	if t.w.To != "" && reader != ReaderOffice {
		out = append(out, fmt.Sprintf(t.Hello, t.w.To), "")
	}
	out = append(out, t.lines...)
	if reader == ReaderCustomer || reader == ReaderPoolCare {
		out = append(out, "", t.w.Company)
		if t.w.Phone != "" {
			out = append(out, fmt.Sprintf(t.Questions, t.w.Phone))
		}
		if t.w.License != "" {
			out = append(out, fmt.Sprintf(t.License, t.w.License))
		}
	}
	return strings.Join(out, "\n") + "\n"
}

func (t *texting) booking() string {
	t.sayf(t.Booking, t.w.Site, t.what())
	t.sayf(t.Arrival, t.window(t.f.From, t.f.To))
	if t.w.HasGate {
		t.say(t.Gate)
	}
	if t.w.HasPets {
		t.say(t.Pets)
	}
	t.powerCaution()
	return fmt.Sprintf(t.BookingSubject, t.day(t.f.From), t.w.Site)
}

// what says what the crew comes for.
func (t *texting) what() string {
	if says, ok := t.What[t.f.VisitKind]; ok {
		return says
	}
	return t.What[""]
}

// powerCaution warns before a visit that works on the lights or their circuit.
func (t *texting) powerCaution() {
	switch t.f.VisitKind {
	case VisitConvert, VisitConnect, VisitCircuit, VisitCommission, VisitCallBack:
		t.caution(t.PowerCaution)
	}
}

func (t *texting) stopChlorine() string {
	t.sayf(t.Hold, t.w.Site, t.span(t.f.Hold))
	late := t.f.From <= t.w.Now
	if late {
		t.say(t.StopNow)
	} else {
		t.sayf(t.StopFrom, t.at(t.f.From))
	}
	t.say(t.Measure)
	t.caution(t.SwimCaution, t.WaterCaution)
	if late {
		return fmt.Sprintf(t.StopNowSubject, t.w.Site)
	}
	return fmt.Sprintf(t.StopSubject, t.day(t.f.From), t.w.Site)
}

func (t *texting) prep() string {
	if t.f.WeStart {
		t.sayf(t.WeLower, t.w.Site, t.window(t.f.From, t.f.To))
	} else {
		t.sayf(t.YouLower, t.w.Site, t.window(t.f.From, t.f.To))
		t.say(t.NotEarlier)
	}
	if t.f.LowBy != 0 {
		t.sayf(t.LowBy, t.at(t.f.LowBy))
	}
	if t.f.NeedPower {
		t.say(t.NeedPower)
	}
	if t.f.Filler {
		t.say(t.Filler)
	}
	t.say(t.EquipmentOff)
	if t.w.HasGate {
		t.say(t.Gate)
	}
	if t.w.HasPets {
		t.say(t.PetsAndChildren)
	} else {
		t.say(t.Children)
	}
	t.caution(t.WaterCaution)
	if t.f.WeStart {
		return fmt.Sprintf(t.WeLowerSubject, t.day(t.f.From), t.w.Site)
	}
	return fmt.Sprintf(t.YouLowerSubject, t.day(t.f.From), t.w.Site)
}

func (t *texting) halfway() string {
	t.sayf(t.Halfway, t.w.Site)
	t.say(t.HowToRead)
	t.say(t.HalfwayWhy)
	t.caution(t.WaterCaution)
	return fmt.Sprintf(t.HalfwaySubject, t.w.Site)
}

func (t *texting) onTheWay() string {
	t.sayf(t.OnTheWay, t.w.Site, t.at(t.f.From))
	if t.w.HasGate {
		t.say(t.Gate)
	}
	t.powerCaution()
	return fmt.Sprintf(t.OnTheWaySubject, t.w.Site)
}

func (t *texting) late() string {
	t.sayf(t.Late, t.w.Site, t.at(t.f.From), t.at(t.f.To))
	return fmt.Sprintf(t.LateSubject, t.w.Site)
}

func (t *texting) openFill() string {
	t.sayf(t.OpenFill, t.w.Site, t.at(t.f.From))
	t.sayf(t.Covered, t.at(t.f.Covered))
	if t.f.Limit != 0 {
		t.sayf(t.Limit, t.at(t.f.Limit))
	}
	t.say(t.OffUntilBack)
	t.caution(t.FillCaution, t.WaterCaution)
	return fmt.Sprintf(t.OpenFillSubject, t.w.Site)
}

func (t *texting) closeFill() string {
	t.sayf(t.CloseFill, t.w.Site, t.at(t.f.Covered))
	t.caution(t.OverflowCaution)
	return fmt.Sprintf(t.CloseFillSubject, t.w.Site)
}

func (t *texting) lookAfter() string {
	t.sayf(t.LookAfter, t.w.Site)
	t.say(t.Balance)
	t.caution(t.PowerCaution)
	return fmt.Sprintf(t.LookAfterSubject, t.w.Site)
}

func (t *texting) howToUse() string {
	t.sayf(t.HowToUse, t.w.Site)
	t.say("")
	t.say(t.UseCovered)
	t.say(t.UseCall)
	t.say(t.UseNever)
	return fmt.Sprintf(t.HowToUseSubject, t.w.Site)
}

func (t *texting) leaveAlone() string {
	t.sayf(t.LeaveAlone, t.w.Site, t.at(t.f.From), t.at(t.f.To))
	t.say(t.LeaveAloneWhat)
	t.caution(t.DryCaution, t.WaterCaution)
	return fmt.Sprintf(t.LeaveAloneSubject, t.day(t.f.To), t.w.Site)
}

func (t *texting) backToYou() string {
	t.sayf(t.BackToYou, t.w.Site, t.at(t.f.From))
	t.say(t.BackToYouTest)
	t.caution(t.ChemistryCaution)
	return fmt.Sprintf(t.BackToYouSubject, t.w.Site)
}

func (t *texting) crewSheet() string {
	t.sayf(t.Sheet, t.f.Crew, t.civil(t.f.Day), t.clock(t.f.From), t.clock(t.f.To))
	if t.f.Pumps == 1 {
		t.say(t.OnePump)
	} else if t.f.Pumps > 1 {
		t.sayf(t.Pumps, t.f.Pumps)
	}
	for i, s := range t.f.Stops {
		kind, ok := t.Kinds[s.Kind]
		if !ok {
			kind = t.Kinds[""]
		}
		t.sayf(t.SheetStop, i+1, t.clock(s.Start), t.clock(s.End), kind, s.Site, s.JobNumber)
	}
	t.say(t.SheetMore)
	t.caution(t.CrewCaution)
	return fmt.Sprintf(t.SheetSubject, t.f.Crew, t.civil(t.f.Day), len(t.f.Stops))
}

func (t *texting) unconfirmed() string {
	t.sayf(t.Unconfirmed, t.f.JobNumber, t.w.Site, t.window(t.f.From, t.f.To))
	t.sayf(t.UnconfirmedDo, t.at(t.f.LowBy))
	t.caution(t.WaterCaution)
	return fmt.Sprintf(t.UnconfirmedSubject, t.f.JobNumber, t.w.Site)
}

func (t *texting) takenBack() string {
	switch {
	case t.f.Crew != "":
		t.sayf(t.SheetGone, t.f.Crew, t.civil(t.f.Day))
		return fmt.Sprintf(t.SheetGoneSubject, t.f.Crew, t.civil(t.f.Day))
	case t.f.VisitKind != "":
		t.sayf(t.VisitGone, t.w.Site, t.what(), t.window(t.f.From, t.f.To))
	case t.f.LowBy != 0 || t.f.WeStart:
		t.sayf(t.LowerGone, t.w.Site, t.window(t.f.From, t.f.To))
		t.say(t.LowerGoneCall)
		t.caution(t.WaterCaution)
	default:
		t.sayf(t.OtherGone, t.w.Site, t.window(t.f.From, t.f.To))
	}
	t.say(t.NewDay)
	return fmt.Sprintf(t.GoneSubject, t.day(t.f.From), t.w.Site)
}
