package jobs

import (
	"slices"
	"strconv"
	"strings"
	"time"
)

// FactState says whether something that gates a job is so.
type FactState string

// How a fact stands.
const (
	FactHolds     FactState = "holds"
	FactLacks     FactState = "lacks"
	FactNotKnown  FactState = "not_known"
	FactNotNeeded FactState = "not_needed"
)

// Fact is something that must hold before a crew may go.
type Fact struct {
	Name      string
	Label     string
	State     FactState
	Says      string // one line for a person
	NotBefore Day    // empty: no limit
	NotAfter  Day
}

// FactsKnown is what the facts of a job are computed from.
type FactsKnown struct {
	Job        Job
	Quote      *Quote // the newest that was sent; nil: none
	Payments   []Payment
	Permit     Permit
	Marking    Marking
	SignOffs   []SignOff
	Parts      []JobPart
	Survey     Survey
	VendorPass string         // of the site
	Today      Day            // in the branch's zone
	Zone       *time.Location // of the branch; nil: UTC
	HighGround int64          // ground water closer than this needs a sign-off, µm
	TrustParts bool           // a promised part counts from the day after its day
	// PartsBehind is what the list of parts lacks against the newest estimate;
	// empty: nothing, or the list was written by hand.
	PartsBehind string
	PlannedLow  *int64 // the planned low level, µm below the tile line; nil: not known yet
	// Versions of the survey: the present one, and that of the newest estimate
	// that was kept; 0: none was.
	SurveyVersion, EstimateVersion int64
}

// Facts lists everything that gates the job, in the order in which the office
// works it off.
func (k FactsKnown) Facts() []Fact {
	if k.Job.Kind == JobCallBack {
		return []Fact{k.parts(false)}
	}
	return []Fact{
		k.approval(), k.deposit(), k.permit(), k.marking(), k.estimate(), k.parts(true), k.drainRisk(), k.shell(), k.groundWater(), k.siteRules(), k.notBefore(),
	}
}

// AllHold says whether no fact keeps the job from being planned.
func AllHold(facts []Fact) bool {
	for _, f := range facts {
		if f.State == FactLacks || f.State == FactNotKnown {
			return false
		}
	}
	return true
}

// Between is the latest not-before and the earliest not-after of the facts;
// empty where there is none.
func Between(facts []Fact) (notBefore, notAfter Day) {
	for _, f := range facts {
		if f.NotBefore > notBefore {
			notBefore = f.NotBefore
		}
		if f.NotAfter != "" && (notAfter == "" || f.NotAfter < notAfter) {
			notAfter = f.NotAfter
		}
	}
	return notBefore, notAfter
}

func (k FactsKnown) approval() Fact {
	f := Fact{Name: "approval", Label: "Quote approved", State: FactLacks}
	switch q := k.Quote; {
	case q == nil:
		f.Says = "no quote has been sent"
	case q.State == QuoteApproved:
		f.State, f.Says = FactHolds, "approved by "+q.AnsweredBy
		if q.CancelUntil != "" {
			f.NotBefore = q.CancelUntil.Add(1)
			f.Says += "; may be taken back until " + q.CancelUntil.Words()
		}
	case q.State == QuoteSent:
		f.Says = "sent, no answer yet; valid until " + q.ValidUntil.Words()
	default:
		f.Says = "the quote is " + string(q.State)
	}
	return f
}

func (k FactsKnown) deposit() Fact {
	f := Fact{Name: "deposit", Label: "Deposit", State: FactNotKnown, Says: "no quote says how much"}
	if k.Quote == nil {
		return f
	}
	var paid Cents
	for _, p := range k.Payments {
		if p.Kind == PaymentRefund {
			paid -= p.Amount
		} else {
			paid += p.Amount
		}
	}
	switch want := k.Quote.Deposit; {
	case want == 0:
		f.State, f.Says = FactNotNeeded, "the quote asks for none"
	case paid >= want:
		f.State, f.Says = FactHolds, "$"+paid.String()+" received"
	default:
		f.State, f.Says = FactLacks, "$"+paid.String()+" of $"+want.String()+" received"
	}
	return f
}

func (k FactsKnown) permit() Fact {
	f := Fact{Name: "permit", Label: "Permit", State: FactLacks, NotBefore: k.Permit.IssuedDay, NotAfter: k.Permit.ExpiresDay}
	switch p := k.Permit; {
	case p.Needed == No:
		return Fact{Name: f.Name, Label: f.Label, State: FactNotNeeded, Says: "not needed, says the office"}
	case p.Needed != Yes:
		return Fact{Name: f.Name, Label: f.Label, State: FactNotKnown, Says: "whether one is needed: ask the authority"}
	case p.IssuedDay == "" && p.AppliedDay != "":
		f.Says = "applied for on " + p.AppliedDay.Words() + ", not issued yet"
	case p.IssuedDay == "":
		f.Says = "needed, not applied for yet; " + p.pulls()
	case p.Number == "":
		f.Says = "its number is missing"
	case p.ExpiresDay != "" && p.ExpiresDay < k.Today:
		f.Says = "expired on " + p.ExpiresDay.Words()
	default:
		f.State, f.Says = FactHolds, "number "+p.Number+", issued "+p.IssuedDay.Words()
	}
	return f
}

// pulls says who takes the permit out.
func (p PermitData) pulls() string {
	switch p.PulledBy {
	case "us":
		return "we take it out"
	case "customer":
		return "the customer takes it out"
	case "other":
		return "somebody else takes it out"
	}
	return "who takes it out is not known yet"
}

// opensSoil is what the survey says of digging.
func opensSoil(s Survey) YesNo {
	for _, site := range s.OfKind(SubjectSite) {
		switch {
		case site.Yes("soil_opened"):
			return Yes
		case site.No("soil_opened"):
			return No
		}
	}
	return NotKnown
}

func (k FactsKnown) marking() Fact {
	f := Fact{Name: "marking", Label: "Buried lines marked", State: FactLacks, NotBefore: k.Marking.LawfulFromDay, NotAfter: k.Marking.ExpiresDay}
	opened := k.Marking.SoilOpened
	if opened == "" || opened == NotKnown {
		opened = opensSoil(k.Survey)
	}
	switch m := k.Marking; {
	case opened == No:
		return Fact{Name: f.Name, Label: f.Label, State: FactNotNeeded, Says: "no soil is opened"}
	case opened != Yes:
		return Fact{Name: f.Name, Label: f.Label, State: FactNotKnown, Says: "whether soil will be opened"}
	case m.Ticket == "":
		f.Says = "soil is opened: a marking ticket is needed"
	case m.LawfulFromDay == "":
		f.Says = "ticket " + m.Ticket + ": from which day digging is lawful"
	case !m.PrivateMarked:
		f.Says = "ticket " + m.Ticket + ": private lines are not marked yet"
	case m.ExpiresDay != "" && m.ExpiresDay < k.Today:
		f.Says = "ticket " + m.Ticket + " expired on " + m.ExpiresDay.Words()
	default:
		f.State, f.Says = FactHolds, "ticket "+m.Ticket+", lawful from "+m.LawfulFromDay.Words()
	}
	return f
}

// estimate holds when the newest estimate knows what the survey knows: parts,
// times and water are taken from it. Once work has begun, what a crew notes
// down of the pool is what it found there, and keeps nobody from coming back.
func (k FactsKnown) estimate() Fact {
	f := Fact{Name: "estimate", Label: "Estimate is from the present survey", State: FactHolds, Says: "nothing was noted since"}
	switch {
	case k.EstimateVersion == 0:
		f.State, f.Says = FactNotNeeded, "no estimate was kept"
	case k.EstimateVersion >= k.SurveyVersion:
	case k.Job.begun():
		f.State, f.Says = FactNotNeeded, "work has begun; the crew goes by what it found"
	default:
		f.State, f.Says = FactLacks, "the survey changed since: make the estimate again and look at the parts"
	}
	return f
}

// begun says whether a crew has begun its work, a look round not counted.
func (j Job) begun() bool {
	return slices.ContainsFunc(j.Visits, func(v Visit) bool {
		return v.Kind != VisitSurvey && (v.State == VisitUnderWay || v.State == VisitDone)
	})
}

// parts holds when every part is there. needed says that a job without any
// part listed has merely not been thought through.
func (k FactsKnown) parts(needed bool) Fact {
	f := Fact{Name: "parts", Label: "Parts", State: FactHolds}
	var lacking []string
	n := 0
	for _, p := range k.Parts {
		switch p.State {
		case PartReturned, PartSentBack, PartNotNeeded:
			continue
		case PartReceived, PartReserved, PartOnTruck, PartUsed:
		case PartPromised, PartBackOrdered:
			if p.Surplus {
				continue
			}
			if after := p.PromisedDay.Add(1); p.PromisedDay >= k.Today && after > f.NotBefore {
				f.NotBefore = after
			}
			if !k.TrustParts || p.State == PartBackOrdered || p.PromisedDay < k.Today {
				lacking = append(lacking, p.Name+" ("+p.State.Label()+p.forDay()+")")
			}
		default:
			if p.Surplus {
				continue
			}
			lacking = append(lacking, p.Name+" ("+p.State.Label()+")")
		}
		n++
	}
	switch {
	case k.PartsBehind != "" && !k.Job.begun():
		f.State, f.Says = FactLacks, "the list is behind the estimate, renew it: "+k.PartsBehind
	case len(lacking) > 0:
		f.State, f.Says = FactLacks, sentence(strings.Join(lacking, ", "))
	case n == 0 && needed:
		f.State, f.Says = FactNotKnown, "which parts the job takes"
	case n == 0:
		f.State, f.Says = FactNotNeeded, "none listed"
	case f.NotBefore != "":
		f.Says = strconv.Itoa(n) + " listed, the last promised for " + string(f.NotBefore.Add(-1))
	default:
		f.Says = strconv.Itoa(n) + " listed, all there"
	}
	return f
}

// forDay says for which day a part is promised; nothing where for none.
func (p JobPart) forDay() string {
	if p.PromisedDay == "" {
		return ""
	}
	return " for " + p.PromisedDay.Words()
}

// signed is the newest sign-off of a kind that was not withdrawn since.
func (k FactsKnown) signed(kind SignOffKind) (SignOff, bool) {
	var last SignOff
	found := false
	for _, s := range k.SignOffs {
		if s.Kind == kind {
			last, found = s, !s.Withdrawn
		}
	}
	return last, found
}

func (k FactsKnown) signOff(f Fact, kind SignOffKind, why string) Fact {
	s, ok := k.signed(kind)
	if !ok {
		f.State, f.Says = FactLacks, why
		return f
	}
	f.State, f.Says = FactHolds, "accepted by "+s.SignedBy
	if !s.SignedAt.IsZero() {
		zone := k.Zone
		if zone == nil {
			zone = time.UTC
		}
		f.Says += ", " + DayOf(s.SignedAt, zone).Words() + ", " + s.SignedAt.In(zone).Format("3:04 PM")
	}
	if s.LeastWater == nil {
		return f
	}
	f.Says += "; leave at least " + FeetInches(*s.LeastWater) + " of water"
	if left, known := k.waterLeft(); known && left < *s.LeastWater {
		f.State = FactLacks
		f.Says += ", and the planned level leaves " + FeetInches(left)
	}
	return f
}

// waterLeft is what the planned level leaves at the deepest place, in µm above
// the floor, of the deepest body of water; false while that is not known.
func (k FactsKnown) waterLeft() (int64, bool) {
	deepest := int64(0)
	for _, b := range k.Survey.OfKind(SubjectBody) {
		if deep, ok := b.Base("depth_deep"); ok {
			deepest = max(deepest, deep)
		}
	}
	if k.PlannedLow == nil || deepest == 0 {
		return 0, false
	}
	return max(deepest-*k.PlannedLow, 0), true
}

func (k FactsKnown) drainRisk() Fact {
	return k.signOff(Fact{Name: "drain_risk", Label: "Risk of draining accepted"}, SignDrainRisk,
		"nobody has accepted the risk of draining by name yet")
}

func (k FactsKnown) shell() Fact {
	f := Fact{Name: "shell", Label: "Sign-off for the shell", State: FactNotNeeded, Says: "neither vinyl nor fibreglass"}
	bodies := k.Survey.OfKind(SubjectBody)
	open := len(bodies) == 0
	for _, b := range bodies {
		switch b.Choice("finish") {
		case FinishVinyl, FinishFibreglass:
			return k.signOff(f, SignShell, b.Label()+" is "+b.Choice("finish")+": a sign-off with the least water to leave is needed")
		case "":
			open = true
		}
	}
	if _, ok := k.signed(SignShell); open && !ok {
		f.State, f.Says = FactNotKnown, "the finish of the pool"
	}
	return f
}

func (k FactsKnown) groundWater() Fact {
	f := Fact{Name: "ground_water", Label: "Sign-off for ground water", State: FactNotNeeded, Says: "ground water lies deep"}
	for _, site := range k.Survey.OfKind(SubjectSite) {
		if site.Yes("rain_season") {
			return k.signOff(f, SignGroundWater, "the work falls into the rain season: a sign-off with the least water to leave is needed")
		}
	}
	bodies := k.Survey.OfKind(SubjectBody)
	open := len(bodies) == 0
	for _, b := range bodies {
		um, ok := b.Base("ground_water")
		if ok && um < k.HighGround {
			return k.signOff(f, SignGroundWater, "ground water "+FeetInches(um)+" below the deck: a sign-off with the least water to leave is needed")
		}
		open = open || !ok && b.Kind == SubjectBody && b.Of == ""
	}
	if _, ok := k.signed(SignGroundWater); ok {
		return k.signOff(f, SignGroundWater, "")
	}
	if open {
		f.State, f.Says = FactNotKnown, "how deep the ground water lies"
	}
	return f
}

func (k FactsKnown) siteRules() Fact {
	f := Fact{Name: "site_rules", Label: "Site's own rules", State: FactNotNeeded, Says: "the site asks for nothing"}
	if k.VendorPass == "" {
		return f
	}
	return k.signOff(f, SignSiteRules, "the site asks for: "+Short(k.VendorPass))
}

func (k FactsKnown) notBefore() Fact {
	f := Fact{Name: "not_before", Label: "Wished not before", State: FactNotNeeded, Says: "no day wished"}
	if d := k.Job.NotBeforeDay; d != "" {
		f.State, f.Says, f.NotBefore = FactHolds, "not before "+string(d), d
	}
	return f
}
