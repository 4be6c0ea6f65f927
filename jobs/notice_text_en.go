package jobs

var english = phrases{
	Weekdays: map[int]string{0: "Sun", 1: "Mon", 2: "Tue", 3: "Wed", 4: "Thu", 5: "Fri", 6: "Sat"},
	Months: map[int]string{1: "Jan", 2: "Feb", 3: "Mar", 4: "Apr", 5: "May", 6: "Jun", 7: "Jul", 8: "Aug", 9: "Sep",
		10: "Oct", 11: "Nov", 12: "Dec"},
	Day: "%[1]s %[2]s %[3]d", AM: "am", PM: "pm", Clock: "%d:%02d %s", At: "%s, %s",
	SameDay: "%s, between %s and %s", TwoDays: "between %s and %s",
	OneHour: "1 hour", Hours: "%d hours", Days: "%d days",

	Hello:     "Hello %s,",
	Changed:   "Changed: %s",
	Replaces:  "This replaces what we wrote before.",
	Questions: "Questions, or the time does not suit: %s",
	License:   "License %s",
	Answer:    "To answer, open this link (it is for you alone):",

	WaterCaution: "Please do not let the water fall below the planned level: an empty shell can float, crack or wrinkle. " +
		"Local rules say where pool water may go.",
	PowerCaution: "Please leave the pool lights switched off while we work. Electrical work is done by a licensed person, " +
		"by the local code and the maker's instructions.",
	CrewCaution: "Follow the local code and the maker's instructions; electrical work by the licensed person, dead and tagged before a box opens. " +
		"Never below the planned water level.",
	ChemistryCaution: "Follow the chemicals' labels and the local rules.",
	SwimCaution:      "Nobody should swim in untreated water.",
	FillCaution:      "Never leave a running fill unattended overnight.",
	OverflowCaution:  "An overflowing pool can wash out the deck and flood equipment. The lights stay off until they are covered.",
	DryCaution:       "A pump that runs dry burns out, and lights must not be run dry.",

	Gate:            "Please make sure that we can get through the gate.",
	Pets:            "Please keep pets inside.",
	Children:        "Please keep children away from the lowered pool.",
	PetsAndChildren: "Please keep pets and children away from the lowered pool.",

	What: map[VisitKind]string{
		VisitSurvey: "look at your pool and its lights", VisitPrepare: "prepare the place of the new supply",
		VisitCircuit: "work on the lights' circuit", VisitDrain: "start lowering the water", VisitConvert: "change the lights",
		VisitConnect: "connect the new lights", VisitInspect: "meet the inspector",
		VisitCommission: "test the lights under water and show you how to use them", VisitCollect: "collect our equipment",
		VisitCallBack: "look at the lights again", "": "come to your pool",
	},
	Kinds: map[VisitKind]string{
		VisitSurvey: "survey", VisitPrepare: "prepare", VisitCircuit: "circuit", VisitDrain: "drain", VisitConvert: "convert",
		VisitConnect: "connect", VisitInspect: "inspect", VisitCommission: "commission", VisitCollect: "collect", VisitCallBack: "call-back",
		"": "visit",
	},

	Booking:        "Our crew comes to %[1]s to %[2]s.",
	Arrival:        "Arrival: %s.",
	BookingSubject: "Your day: %s at %s",

	Hold:           "Before the water at %s may be pumped out it has to stand %s without chlorine, or it has to be neutralised.",
	StopFrom:       "Please stop adding chlorine, and switch a chlorine cell off, from %s.",
	StopNow:        "Please stop adding chlorine, and switch a chlorine cell off, from now on; what is left we neutralise where the local rules allow it.",
	Measure:        "We measure chlorine and pH before any water goes out.",
	StopSubject:    "Stop chlorinating from %s: %s",
	StopNowSubject: "Stop chlorinating now: %s",

	WeLower:         "Our crew starts lowering the water at %s: %s.",
	YouLower:        "Please start the drain at %s: %s.",
	NotEarlier:      "Not earlier, because the pool must not stand low for long; not later, because it has to be low in time.",
	LowBy:           "Our crew works in the lowered pool from %s.",
	NeedPower:       "The pump needs a protected outlet within reach.",
	Filler:          "Close the valve of the automatic filler before the water is lowered.",
	EquipmentOff:    "Switch the pool's own pump, heater and timer off while the water is low.",
	WeLowerSubject:  "We lower the water: %s at %s",
	YouLowerSubject: "Start the drain: %s at %s",

	Halfway:        "The drain at %s should be about half way down. Please tell us how far the water stands below the tile line.",
	HowToRead:      "Measure straight down from the lower edge of the tile to the water, to a quarter of an inch, from the deck: nobody should climb into the pool. A photo helps.",
	HalfwayWhy:     "From it we see whether the pool is low in time. If the drain has not started or has stopped, please call us.",
	HalfwaySubject: "How low is the water? %s",

	OnTheWay:        "Our crew has left for %s and should arrive about %s.",
	OnTheWaySubject: "The crew is on its way: %s",

	Late:        "We are sorry: our crew is late for %s. It should arrive about %s; we had said by %s.",
	LateSubject: "Our crew is late: %s",

	OpenFill:        "The lights at %s are in. Please open the fill now, from %s.",
	Covered:         "The lights should be under water again by %s.",
	Limit:           "The pool should not stand low beyond %s.",
	OffUntilBack:    "Please leave pump, heater and lights off until the water is back at its usual level.",
	OpenFillSubject: "Open the fill: %s",

	CloseFill:        "The lights at %s should be under water by %s. Please look at the level and close the fill when it is back at its usual mark.",
	CloseFillSubject: "Close the fill: %s",

	LookAfter: "The water at %s has been back for a day. Please mark the level on the tile and look again tomorrow: " +
		"more than a quarter of an inch lower in a day without rain or splashing is worth a call.",
	Balance:          "Let somebody who treats the pool bring the water back to balance before anybody swims.",
	LookAfterSubject: "A look at the water level: %s",

	HowToUse:        "Your pool lights at %s are converted and tested under water.",
	UseCovered:      "- Switch them on only while the water covers them: they are cooled by it.",
	UseCall:         "- Call us, and leave them off, if a light flickers, leaks or trips its protection.",
	UseNever:        "- Never open a light, a box or the supply yourself: electrical work by a licensed person, by the local code.",
	HowToUseSubject: "Your new pool lights: %s",

	LeaveAlone:        "We are changing the lights at %s and the water is ours from %s until %s.",
	LeaveAloneWhat:    "Please do not refill, dose or start a pump there until we write that it is back in your hands.",
	LeaveAloneSubject: "Please leave the pool alone until %s: %s",

	BackToYou:        "Our work at %s is done by %s. The pool is back in your hands.",
	BackToYouTest:    "The water was held without chlorine and partly replaced: please test and balance it before anybody swims.",
	BackToYouSubject: "The pool is back in your hands: %s",

	Sheet:        "%s, %s: out %s, back about %s.",
	OnePump:      "Load 1 pump.",
	Pumps:        "Load %d pumps.",
	SheetStop:    "%d. %s to %s  %s, %s (job %d)",
	SheetMore:    "Gate codes, lengths and parts stand on each pool's sheet.",
	SheetSubject: "%s on %s, stops: %d",

	Unconfirmed: "Job %d, %s: nobody has said that the drain was started, and it had to start %s.",
	UnconfirmedDo: "The crew is due in the lowered pool at %s. Call the customer, send a pump, or move the visit " +
		"before the truck rolls.",
	UnconfirmedSubject: "Drain not confirmed: job %d, %s",

	SheetGone:        "The sheet of %s for %s no longer holds: the day has no stops.",
	SheetGoneSubject: "Withdrawn: %s on %s",
	VisitGone:        "The visit to %[2]s at %[1]s, %[3]s, is withdrawn.",
	LowerGone:        "Please do NOT lower the water at %s (%s): that day is withdrawn.",
	LowerGoneCall:    "If the water is already low, please call us now.",
	OtherGone:        "What we wrote about %s (%s) no longer holds.",
	NewDay:           "We write again when there is a new day.",
	GoneSubject:      "Withdrawn: %s at %s",

	Bounced:        "The message %q to %s could not be delivered.\n\nWhy: %s\n\nPlease tell them another way.",
	BouncedSubject: "A message came back: %s",

	Quote:        "This is our quote for the pool lights at %s.",
	QuoteSubject: "Your quote for the pool lights",
	Tax:          "Tax", Total: "Total in dollars", Deposit: "Deposit on approval",
	QuoteUntil:  "It can be approved until %s.",
	OneLight:    "Conversion of 1 pool light to low-voltage LED, work and materials",
	Lights:      "Conversion of %d pool lights to low-voltage LED, work and materials",
	DepositTerm: "A deposit of $%s is due before the work is planned.",
	CancelTerm:  "It can be cancelled without cost until %d days after approval.",
	SafetyTerm: "Follow the local code and the manufacturer's instructions. Electrical work by a licensed person; the authority having jurisdiction decides. " +
		"Do not empty a pool below the planned level: an empty shell can float, crack or wrinkle.",
}
