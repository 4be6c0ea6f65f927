package jobs

import (
	"strconv"
	"time"
)

// YesNo is an answer that may still be open.
type YesNo string

// The answers.
const (
	Yes      YesNo = "yes"
	No       YesNo = "no"
	NotKnown YesNo = "not_known"
)

var yesNos = []YesNo{Yes, No, NotKnown}

// PaymentKind says what money was for.
type PaymentKind string

// The kinds of payment.
const (
	PaymentDeposit  PaymentKind = "deposit"
	PaymentProgress PaymentKind = "progress"
	PaymentFinal    PaymentKind = "final"
	PaymentRefund   PaymentKind = "refund" // given back
)

// PaymentKinds lists the kinds.
var PaymentKinds = []PaymentKind{PaymentDeposit, PaymentProgress, PaymentFinal, PaymentRefund}

// Payment is money received, or given back. It is never changed.
type Payment struct {
	ID         string
	JobID      string
	Kind       PaymentKind
	Amount     Cents // above zero, also of a refund
	Method     string
	Note       string
	ReceivedAt time.Time
	MadeBy     string
}

// Check refuses what is wrong, all of it at once.
func (p Payment) Check() error {
	var f Faults
	OneOf(&f, "kind", p.Kind, PaymentKinds)
	f.Check(p.Amount > 0 && p.Amount <= maxMoney, "amount_cents", strconv.FormatInt(int64(p.Amount), 10), "cents, above 0; a refund is a kind of its own")
	f.Line("method", p.Method, 1, 60)
	f.Note("note", p.Note)
	return f.Err()
}

// Permit is what is known of a job's permit.
type Permit struct {
	ID      string
	JobID   string
	Version int64 // 0: nobody has noted anything yet
	PermitData
}

// PermitData is what people enter and change.
type PermitData struct {
	Needed     YesNo
	PulledBy   string // us, customer or other; empty: not known yet
	Number     string
	AppliedDay Day
	IssuedDay  Day
	ExpiresDay Day
}

// Check refuses what is wrong, all of it at once.
func (p PermitData) Check() error {
	var f Faults
	OneOf(&f, "needed", p.Needed, yesNos)
	if p.PulledBy != "" {
		OneOf(&f, "pulled_by", p.PulledBy, []string{"us", "customer", "other"})
	}
	f.Line("number", p.Number, 0, 60)
	checkDay(&f, "applied_day", p.AppliedDay)
	checkDay(&f, "issued_day", p.IssuedDay)
	checkDay(&f, "expires_day", p.ExpiresDay)
	f.Check(p.IssuedDay == "" || p.AppliedDay == "" || p.IssuedDay >= p.AppliedDay, "issued_day", string(p.IssuedDay), "not before applied_day "+string(p.AppliedDay))
	f.Check(p.ExpiresDay == "" || p.IssuedDay == "" || p.ExpiresDay >= p.IssuedDay, "expires_day", string(p.ExpiresDay), "not before issued_day "+string(p.IssuedDay))
	return f.Err()
}

// Marking is what is known of the marking of buried lines.
type Marking struct {
	ID      string
	JobID   string
	Version int64 // 0: nobody has noted anything yet
	MarkingData
}

// MarkingData is what people enter and change.
type MarkingData struct {
	SoilOpened    YesNo
	Ticket        string
	LawfulFromDay Day // the first day on which digging is lawful
	ExpiresDay    Day
	PrivateMarked bool // lines that the public service does not mark
	// RequestedDay and State (a postal code of MarkingRules) give the lawful days
	// where nobody entered them; empty: not noted.
	RequestedDay Day
	State        string
}

// Check refuses what is wrong, all of it at once.
func (m MarkingData) Check() error {
	var f Faults
	OneOf(&f, "soil_opened", m.SoilOpened, yesNos)
	f.Line("ticket", m.Ticket, 0, 60)
	checkDay(&f, "lawful_from_day", m.LawfulFromDay)
	checkDay(&f, "expires_day", m.ExpiresDay)
	checkDay(&f, "requested_day", m.RequestedDay)
	m.checkRule(&f)
	f.Check(m.ExpiresDay == "" || m.LawfulFromDay == "" || m.ExpiresDay >= m.LawfulFromDay, "expires_day", string(m.ExpiresDay), "not before lawful_from_day "+string(m.LawfulFromDay))
	return f.Err()
}

// SignOffKind says what was accepted.
type SignOffKind string

// The kinds of sign-off.
const (
	SignDrainRisk   SignOffKind = "drain_risk"   // that lowering a pool has its risks
	SignShell       SignOffKind = "shell"        // vinyl or fibreglass
	SignGroundWater SignOffKind = "ground_water" // high ground water or the rain season
	SignSiteRules   SignOffKind = "site_rules"   // the crew is registered where the site asks for it
)

// SignOffKinds lists the kinds.
var SignOffKinds = []SignOffKind{SignDrainRisk, SignShell, SignGroundWater, SignSiteRules}

// SignOff is a risk accepted by name and time. It is never changed; another
// row withdraws it.
type SignOff struct {
	ID         string
	JobID      string
	Kind       SignOffKind
	SignedBy   string
	SignedAt   time.Time
	LeastWater *int64 // the level that must be left, in micrometres above the floor; nil: none said
	Note       string
	Withdrawn  bool
	MadeBy     string
}

// Check refuses what is wrong, all of it at once.
func (s SignOff) Check() error {
	var f Faults
	OneOf(&f, "kind", s.Kind, SignOffKinds)
	f.Line("signed_by", s.SignedBy, 1, MaxName)
	if s.LeastWater != nil {
		f.Check(*s.LeastWater >= 0 && *s.LeastWater <= 30*ft, "least_water_um", strconv.FormatInt(*s.LeastWater, 10), "micrometres, from 0 to 30 ft")
	}
	shell := s.Kind == SignShell || s.Kind == SignGroundWater
	f.Check(!shell || s.LeastWater != nil || s.Withdrawn, "least_water_um", "", "needed: the least water to leave in the shell")
	f.Note("note", s.Note)
	return f.Err()
}
