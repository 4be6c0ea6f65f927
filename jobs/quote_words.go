package jobs

// QuoteLabels are the words around a quote on page and paper.
type QuoteLabels struct {
	Language string `json:"language"` // as in html lang
	Quote    string `json:"quote"`    // number
	Draft    string `json:"draft"`
	For      string `json:"for"`
	License  string `json:"license"`
	Day      string `json:"day"`   // on which it was made
	Valid    string `json:"valid"` // until when it can be approved
	Price    string `json:"price"`
	Tax      string `json:"tax"`
	Together string `json:"together"`
	Deposit  string `json:"deposit"`
	Down     string `json:"down"` // the same in a line of an option
	Ways     string `json:"ways"`
	Chosen   string `json:"chosen"`
	Water    string `json:"water"`
	Lowering string `json:"lowering"`
	Low      string `json:"low"`
	Filling  string `json:"filling"`
	Done     string `json:"done"`
	Excluded string `json:"excluded"`
	Extra    string `json:"extra"`
	Care     string `json:"care"`
	Terms    string `json:"terms"`
	Sign     string `json:"sign"`
	SignWay  string `json:"sign_way"` // behind Sign where there is a choice
	SignDay  string `json:"sign_day"`
	Page     string `json:"page"` // of how many
	Paper    string `json:"paper"`
}

// quoteWords are the words of a quote in one language. Every language has every
// one of them.
type quoteWords struct {
	QuoteLabels
	Valid, SignDay                      string // day
	Day                                 func(Day) string
	Line                                string // lights
	OneLight, Lights                    string
	OneZone, TwoZones, Zones            string
	OneShort, TwoShort                  string // the most that an estimate can be asked for
	Joined, Apart                       string
	Now, AllNow, Later, LaterCosts      string
	More, Less                          string
	PaidBack                            string // time
	OneMonth, Months, Years             string
	Saves, Between                      string
	SavesLamps, SavesRate               string
	SavesUnknown, SavesNothing          string
	PaybackUnknown                      string
	Course                              string // lowering, filling
	ExtraLimit, ExtraNone               string
	DepositTerm, CancelTerm, SafetyTerm string
	FirstPrice, ChosenDeposit           string // where there is a choice
	Excludes                            []string
	Does                                map[VisitKind]string // empty: not the customer's affair
	Cautions                            map[string]string    // by the key of the estimate's caution; low, shell and power are said always
	Own                                 map[string]string    // what our own price list says in English
}

// quoteEnglish: what a conversion's price leaves out, and how the risks are
// put, is common practice, no source; the sources stand beside the estimate's
// cautions.
var quoteEnglish = quoteWords{
	QuoteLabels: QuoteLabels{
		Language: "en-US", Quote: "Quote %d", Draft: "a draft that was not sent", For: "For", License: "License",
		Price: "Price", Tax: "Tax", Together: "Total", Deposit: "Deposit, part of the total", Down: "deposit", Ways: "Ways to do it; choose one when you approve", Chosen: "approved",
		Water: "The water", Lowering: "lowering", Low: "low: we work", Filling: "filling",
		Done: "What is done", Excluded: "What is not part of it", Extra: "Extra work, only if it turns out to be needed", Care: "Take care", Terms: "Terms",
		Sign: "Approved by, name and signature", SignWay: "number of the way chosen", Page: "page %d of %s", Paper: "On paper",
	},
	Valid: "It can be approved until %s.", SignDay: "Day, until %s", Day: Day.Words,
	Line:     "Conversion of %s to low-voltage LED, work and materials",
	OneLight: "1 pool light", Lights: "%d pool lights",
	OneZone: "all lights in one zone, switched and colored together", TwoZones: "two zones, each switched and colored by itself", Zones: "%d zones, each switched and colored by itself",
	OneShort: "one zone", TwoShort: "two zones", Joined: "all lights are switched and colored together", Apart: "each zone is switched and colored by itself",
	Now: "%s now", AllNow: "all lights now", Later: "later: %s", LaterCosts: "the rest about $%s as a job of its own at today's rates",
	More: "$%s more than the first", Less: "$%s less than the first",
	PaidBack: "by savings alone the price is paid back in about %s",
	OneMonth: "1 month", Months: "%d months", Years: "%d years",
	Saves: "Lit %s hours in a year, the new lights save about %s kWh or $%s of power", Between: " ($%s to $%s)",
	SavesLamps: ", and about $%s of lamps", SavesRate: ", with a kilowatt-hour at %d.%d cents.",
	SavesUnknown:   "What the new lights save in a year is not known yet: it takes the old lamps' watts and how long they are lit.",
	SavesNothing:   "By what is known, the new lights save no power over the old ones.",
	PaybackUnknown: "When savings pay the price back is not known yet.",
	Course:         "The water is lowered below the lights in about %s, stays low while we work, and is back after about %s of filling.",
	ExtraLimit: "None of it is done before you agree to its price. Up to $%s you can agree with the lead of the crew at the pool; above that " +
		"our office sends you the price first.",
	ExtraNone:   "None of it is done before you agree to its price, which our office sends you first.",
	DepositTerm: "A deposit of $%s is due before the work is planned.",
	FirstPrice:  "Price of the first way", ChosenDeposit: "The deposit of the way you choose is due before the work is planned.",
	CancelTerm: "You can cancel without cost until %d days after you approve; no crew comes before.",
	SafetyTerm: english.SafetyTerm,
	Excludes: []string{
		"Opening up a conduit, the deck or the soil, unless it is listed above; see the prices of extra work.",
		"Repair of plaster, tile, liner or deck beyond the light fittings.",
		"Water and sewer charges for lowering and refilling, and the balancing of the water afterwards.",
		"Work that an inspector asks for beyond what the code asks of this conversion.",
	},
	Does: map[VisitKind]string{
		VisitPrepare: "Preparing soil and conduit before the water is lowered", VisitCircuit: "The circuit for the new supply, by a licensed person",
		VisitDrain: "Lowering the water below the lights", VisitConvert: "Taking out the old fiber bundles, fitting the new lights and their cords",
		VisitConnect: "Connecting the supply, by a licensed person", VisitInspect: "Being there when the work is inspected",
		VisitCommission: "Trying the lights under water and showing you how to use them", VisitCollect: "Fetching our equipment",
	},
	Cautions: map[string]string{
		"low":   "While the water is low the pool is a danger to children, pets and anyone who falls in: keep people away, and pump, heater and lights off.",
		"shell": "Do not let the water be lowered beyond the planned level. An empty shell can float, crack or wrinkle.",
		"chlorine": "Water with chlorine in it may not be pumped out. We tell you from when to stop adding it; until the pool is back in your hands " +
			"nobody swims in it.",
		"power":      "Leave the lights, their box and their breaker alone while we work. Never switch a light on unless the water covers it.",
		"filler":     "Close the automatic filler before the water is lowered, and leave it closed until we tell you to fill.",
		"uplift":     "Ground water may stand high here and press on the shell. Somebody must accept that risk by name before the water is lowered.",
		"finish":     "We must know the pool's finish before the water is lowered: vinyl and fiberglass need more care and your consent.",
		"liner":      "A vinyl liner can shift, shrink or tear when the water is low. Somebody must accept that risk by name before the water is lowered.",
		"fibreglass": "A fiberglass shell can bulge or float when the water is low. Somebody must accept that risk by name before the water is lowered.",
		"heat":       "Bare plaster dries and cracks in heat: on hot days we shade and wet it, or come on a cooler day.",
		"rain":       "Heavy rain lifts the ground water. In the rain season the day may have to change.",
		"unattended": "Where the pump runs while nobody is there, somebody must look at the level when we ask for it.",
		"salt":       "Salt water goes into the sewer clean-out only, in most places.",
		"floor":      "The shallow end may run dry before the level is reached: nobody walks in the pool.",
	},
	Own: map[string]string{},
}
