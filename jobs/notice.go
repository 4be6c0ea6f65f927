package jobs

import (
	"time"
)

// NoticeKind is what a notice is about.
type NoticeKind string

// The kinds of notice; table notice_kinds holds their names and readers.
const (
	NoticeQuote        NoticeKind = "quote"
	NoticeBooking      NoticeKind = "booking"
	NoticeStopChlorine NoticeKind = "stop_chlorine"
	NoticePrep         NoticeKind = "prep"
	NoticeHalfway      NoticeKind = "halfway"
	NoticeOnTheWay     NoticeKind = "on_the_way"
	NoticeLate         NoticeKind = "late"
	NoticeOpenFill     NoticeKind = "open_fill"
	NoticeCloseFill    NoticeKind = "close_fill"
	NoticeLookAfter    NoticeKind = "look_after"
	NoticeHowToUse     NoticeKind = "how_to_use"
	NoticeWithdrawn    NoticeKind = "withdrawn"
	NoticeLeaveAlone   NoticeKind = "leave_alone"
	NoticeBackToYou    NoticeKind = "back_to_you"
	NoticeCrewSheet    NoticeKind = "crew_sheet"
	NoticeUnconfirmed  NoticeKind = "office_unconfirmed"
	NoticeFillOpen     NoticeKind = "office_fill"
	NoticeBounced      NoticeKind = "office_bounced"
	NoticeLowNoCrew    NoticeKind = "office_low"
)

// NoticeReader is who reads a notice.
type NoticeReader string

// The readers.
const (
	ReaderCustomer NoticeReader = "customer"
	ReaderPoolCare NoticeReader = "pool_care"
	ReaderCrew     NoticeReader = "crew"
	ReaderOffice   NoticeReader = "office"
)

// Reader is who reads notices of the kind.
func (k NoticeKind) Reader() NoticeReader {
	switch k {
	case NoticeLeaveAlone, NoticeBackToYou:
		return ReaderPoolCare
	case NoticeCrewSheet:
		return ReaderCrew
	case NoticeUnconfirmed, NoticeFillOpen, NoticeBounced, NoticeLowNoCrew:
		return ReaderOffice
	}
	return ReaderCustomer
}

// PlanKinds are the kinds that follow from what was handed out, and so change
// with it.
var PlanKinds = []NoticeKind{NoticeBooking, NoticeStopChlorine, NoticePrep, NoticeHalfway, NoticeOpenFill, NoticeCloseFill,
	NoticeLookAfter, NoticeLeaveAlone, NoticeBackToYou, NoticeCrewSheet, NoticeUnconfirmed}

// takenBack says whether a reader who was told must hear that it no longer
// holds. The others are told so late that nothing is left to take back, or are
// questions the office asks itself.
func (k NoticeKind) takenBack() bool {
	switch k {
	case NoticeBooking, NoticeStopChlorine, NoticePrep, NoticeLeaveAlone, NoticeCrewSheet:
		return true
	}
	return false
}

// NoticeState says how far a notice is on its way.
type NoticeState string

// The states of a notice.
const (
	NoticeDue        NoticeState = "due"
	NoticeClaimed    NoticeState = "claimed"
	NoticeHandedOver NoticeState = "handed_over"
	NoticeSent       NoticeState = "sent"
	NoticeFailed     NoticeState = "failed"
	NoticeSuperseded NoticeState = "superseded"
	NoticeUnknown    NoticeState = "unknown" // it may have left before the sender died
	NoticeSuppressed NoticeState = "suppressed"
)

// NoticeStates lists the states.
var NoticeStates = []NoticeState{NoticeDue, NoticeClaimed, NoticeHandedOver, NoticeSent, NoticeFailed, NoticeSuperseded, NoticeUnknown, NoticeSuppressed}

// Notice is a message to one reader: the row of the outbox. Thing is the stable
// name of what it is about (prep/JOB/CONTACT), Revision counts what was said of
// it; one revision replaces the other.
type Notice struct {
	ID           string
	BranchID     string
	JobID        string // empty where it is about no one job
	VisitID      string
	PlanID       string
	ContactID    string
	PersonID     string
	Kind         NoticeKind
	Thing        string
	Revision     int64
	Channel      Channel
	Address      string
	Language     string
	Zone         string
	Subject      string
	Body         string
	Facts        NoticeFacts
	ICalUID      string // empty: no calendar entry
	ICalSequence int64
	MessageID    string // the same however often it is tried
	DueAt        time.Time
	UsefulUntil  time.Time
	State        NoticeState
	Fence        int64
	Attempts     int64
	LeaseUntil   int64 // unix seconds by the database's clock, as are the next two
	NextTryAt    int64
	RungAt       int64
	SentAt       time.Time // zero: not sent
	File         string    // where it lies when there is no mail server
	Error        string
	SupersededBy string
	CreatedAt    time.Time

	JobNumber int64  // read along
	ToName    string // read along
}

// Seen says whether the reader has seen it or may have.
func (n Notice) Seen() bool {
	switch n.State {
	case NoticeClaimed, NoticeHandedOver, NoticeSent, NoticeUnknown:
		return true
	case NoticeSuppressed:
		return n.Channel == ChannelNone // the office calls these by hand
	}
	return false
}

// NoticeFacts is what a notice says, as data: the text is made from it, the
// calendar entry too, and two plans say the same when their facts are equal.
// Instants are unix seconds; absent values do not apply.
type NoticeFacts struct {
	JobNumber int64      `json:"job_number,omitempty"`
	VisitKind VisitKind  `json:"visit_kind,omitempty"`
	From      int64      `json:"from,omitempty"` // arrival window, told interval, or the instant it is about
	To        int64      `json:"to,omitempty"`
	WeStart   bool       `json:"we_start,omitempty"` // a crew starts the drain, not the customer
	LowBy     int64      `json:"low_by,omitempty"`   // the crew works in the low pool from then on
	Covered   int64      `json:"covered,omitempty"`  // lights under water again
	Limit     int64      `json:"limit,omitempty"`    // must be covered by then
	Hold      int64      `json:"hold,omitempty"`     // seconds without chlorine before pumping
	NeedPower bool       `json:"need_power,omitempty"`
	Filler    bool       `json:"filler,omitempty"`
	Crew      string     `json:"crew,omitempty"`
	Day       Day        `json:"day,omitempty"`
	Pumps     int64      `json:"pumps,omitempty"` // on the truck in the morning
	Stops     []StopFact `json:"stops,omitempty"`
	TakenBack bool       `json:"taken_back,omitempty"` // what was said before no longer holds
}

// StopFact is a line of a crew's sheet.
type StopFact struct {
	JobNumber int64     `json:"job_number"`
	Kind      VisitKind `json:"kind"`
	Site      string    `json:"site"`
	Start     int64     `json:"start"`
	End       int64     `json:"end"`
}

// Same says whether two notices say the same.
func (f NoticeFacts) Same(g NoticeFacts) bool {
	if len(f.Stops) != len(g.Stops) {
		return false
	}
	for i := range f.Stops {
		if f.Stops[i] != g.Stops[i] {
			return false
		}
	}
	f.Stops, g.Stops = nil, nil
	return f.plain() == g.plain()
}

// plain is the comparable rest of the facts.
func (f NoticeFacts) plain() any {
	return [...]any{f.JobNumber, f.VisitKind, f.From, f.To, f.WeStart, f.LowBy, f.Covered, f.Limit, f.Hold,
		f.NeedPower, f.Filler, f.Crew, f.Day, f.Pumps, f.TakenBack}
}

// UsualNotices are the kinds that a contact gets who chose none.
func UsualNotices(role ContactRole) []NoticeKind {
	switch role {
	case ContactPayer, ContactOwner, ContactManager:
		return []NoticeKind{NoticeQuote, NoticeBooking, NoticeWithdrawn, NoticeHowToUse}
	case ContactOccupant:
		return []NoticeKind{NoticeBooking, NoticeStopChlorine, NoticePrep, NoticeHalfway, NoticeOnTheWay, NoticeLate,
			NoticeOpenFill, NoticeCloseFill, NoticeLookAfter, NoticeHowToUse, NoticeWithdrawn}
	case ContactGate:
		return []NoticeKind{NoticeOnTheWay, NoticeLate}
	case ContactPoolCare:
		return []NoticeKind{NoticeLeaveAlone, NoticeBackToYou}
	}
	return nil
}

// Gets says whether the contact gets notices of the kind.
func (c Contact) Gets(kind NoticeKind) bool {
	if c.Notices == nil {
		for _, k := range UsualNotices(c.Role) {
			if k == kind {
				return true
			}
		}
		return false
	}
	for _, n := range c.Notices {
		if n == string(kind) {
			return true
		}
	}
	return false
}

// Readers are the contacts who get a kind of notice. Where nobody was chosen
// for one that the work depends on, the first contact gets it who is no gate
// and no pool-care firm: somebody must hear of it.
func Readers(contacts []Contact, kind NoticeKind) []Contact {
	var out []Contact
	for _, c := range contacts {
		if (c.Role == ContactPoolCare) == (kind.Reader() == ReaderPoolCare) && c.Gets(kind) {
			out = append(out, c)
		}
	}
	if len(out) > 0 || kind.Reader() != ReaderCustomer || kind == NoticeLookAfter || kind == NoticeHowToUse {
		return out
	}
	for _, c := range contacts {
		if c.Role != ContactPoolCare && c.Role != ContactGate {
			return []Contact{c}
		}
	}
	return nil
}
