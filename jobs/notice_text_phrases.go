package jobs

// phrases are the words of one language. Every language has every phrase; what
// is said when, and in what order, stands once, in notice_text.go. Verbs of
// formats are counted (%[2]s) where a language turns them round.
type phrases struct {
	Weekdays, Months map[int]string
	Day              string // weekday, month, day of the month
	AM, PM           string
	Clock            string // hour, minutes, am or pm
	At               string // day, clock
	SameDay          string // day, clock, clock
	TwoDays          string // at, at
	OneHour          string
	Hours, Days      string

	Hello, Changed, Replaces, Questions, License, Answer string

	// Plain lines of caution. The codes themselves stay with those who apply
	// them.
	WaterCaution, PowerCaution, CrewCaution, ChemistryCaution, SwimCaution, FillCaution, OverflowCaution, DryCaution string

	Gate, Pets, Children, PetsAndChildren string

	What  map[VisitKind]string // what a crew comes for, in a customer's words; "": anything else
	Kinds map[VisitKind]string // on a crew's sheet

	Booking, Arrival, BookingSubject string

	Hold, StopFrom, StopNow, Measure, StopSubject, StopNowSubject string

	WeLower, YouLower, NotEarlier, LowBy, NeedPower, Filler, EquipmentOff, WeLowerSubject, YouLowerSubject string

	Halfway, HowToRead, HalfwayWhy, HalfwaySubject string

	OnTheWay, OnTheWaySubject string

	Late, LateSubject string

	OpenFill, Covered, Limit, OffUntilBack, OpenFillSubject string

	CloseFill, CloseFillSubject string

	LookAfter, Balance, LookAfterSubject string

	HowToUse, UseCovered, UseCall, UseNever, HowToUseSubject string

	LeaveAlone, LeaveAloneWhat, LeaveAloneSubject string

	BackToYou, BackToYouTest, BackToYouSubject string

	Sheet, OnePump, Pumps, SheetStop, SheetMore, SheetSubject string

	Unconfirmed, UnconfirmedDo, UnconfirmedSubject string

	SheetGone, SheetGoneSubject, VisitGone, LowerGone, LowerGoneCall, OtherGone, NewDay, GoneSubject string

	Bounced, BouncedSubject string

	Quote, QuoteSubject, Tax, Total, Deposit, QuoteUntil string
	OneLight, Lights                                     string // the line of a conversion
	DepositTerm, CancelTerm, SafetyTerm                  string
}

// languages are the words by language; Languages lists them.
var languages = map[string]*phrases{"en": &english, "es": &spanish}

// phrasesOf are the words of a language; of one that nobody wrote yet, the
// English ones.
func phrasesOf(language string) *phrases {
	if p := languages[language]; p != nil {
		return p
	}
	return &english
}
