package jobs

import (
	"sort"
	"time"
)

// ToldPlan is what was handed out and still lies ahead, with everything that
// its notices need to know. It is all that PlanNotices looks at.
type ToldPlan struct {
	Now      time.Time
	BranchID string
	Zone     *time.Location // the branch's
	ZoneName string
	Planning PlanningSettings
	Company  CompanySettings
	Jobs     []ToldJob
	Days     []ToldDay
}

// ToldJob is a job's part of it.
type ToldJob struct {
	Job      Job
	Site     Site
	Zone     *time.Location // the site's
	Contacts []Contact
	Visits   []ToldVisit // handed out, by start
	Drain    *Drain      // nil: no water is moved
	Hold     int64       // seconds without chlorine before pumping
	Filler   bool        // an automatic filler must be closed
	Opens    string      // who opens the fill: customer, pool_care, crew; empty: not known
	Closes   string      // who closes it
	Started  bool        // somebody said that the drain has started
}

// ToldVisit is one handed-out visit.
type ToldVisit struct {
	Visit   Visit
	Stop    Stop
	Promise *Promise
}

// ToldDay is one crew's day.
type ToldDay struct {
	Crew   Crew
	People []Person
	Tour   Tour
	Stops  []StopFact // in order
}

// WantedNotice is a notice that follows from what was handed out.
type WantedNotice struct {
	Thing       string
	Kind        NoticeKind
	JobID       string
	VisitID     string
	ContactID   string
	PersonID    string
	Channel     Channel
	Address     string
	Language    string
	Zone        string
	ICalUID     string // empty: no calendar entry
	DueAt       time.Time
	UsefulUntil time.Time
	Facts       NoticeFacts
	Words       NoticeWords
}

// Fixed lengths of time around a job's water and days; common practice, no
// source.
const (
	stopChlorineLead = 24 * time.Hour // told so long before chlorine must stop
	lookAfterDelay   = 24 * time.Hour // after the lights are covered
	closeFillLead    = time.Hour      // before the pool should be full
	fillUseful       = 24 * time.Hour
	sheetMinute      = 17 * 60 // of the day before, in the branch's zone
)

// PlanNotices are the notices that follow from what was handed out, in the
// order of their things.
func PlanNotices(p ToldPlan) []WantedNotice {
	n := noticing{plan: p}
	for i := range p.Jobs {
		n.job(&p.Jobs[i])
	}
	for i := range p.Days {
		n.day(&p.Days[i])
	}
	sort.Slice(n.out, func(i, j int) bool { return n.out[i].Thing < n.out[j].Thing })
	return n.out
}

type noticing struct {
	plan ToldPlan
	out  []WantedNotice
}

// add keeps a notice unless nobody could use it any more. due is moved into the
// reader's decent hours.
func (n *noticing) add(w WantedNotice, due time.Time, zone *time.Location) {
	if !w.UsefulUntil.After(n.plan.Now) {
		return
	}
	if due.Before(n.plan.Now) {
		due = n.plan.Now
	}
	w.DueAt = NextWithin(n.plan.Planning.NoticeHours, due, zone)
	n.out = append(n.out, w)
}

// tell addresses a job's notice to all its readers.
func (n *noticing) tell(j *ToldJob, kind NoticeKind, about string, due, until time.Time, facts NoticeFacts, visitID, uid string) {
	facts.JobNumber = j.Job.Number
	for _, c := range Readers(j.Contacts, kind) {
		w := WantedNotice{
			Thing: string(kind) + "/" + about + "/" + c.ID, Kind: kind, JobID: j.Job.ID, VisitID: visitID, ContactID: c.ID,
			Channel: c.Channel, Address: address(c.Channel, c.Email, c.Phone), Language: c.Language, Zone: j.Site.Zone,
			ICalUID: uid, UsefulUntil: until, Facts: facts, Words: n.words(j, c.Name, c.Language),
		}
		n.add(w, due, j.Zone)
	}
}

func (n *noticing) words(j *ToldJob, to, language string) NoticeWords {
	return NoticeWords{Language: language, To: to, Company: n.plan.Company.Name, Phone: n.plan.Company.Phone, License: n.plan.Company.License,
		Site: j.Site.Label(), Street: j.Site.Street, Zone: j.Zone, Now: n.plan.Now.Unix(), HasGate: j.Site.GateCode != "" || j.Site.GateNote != "",
		HasPets: j.Site.Pets != ""}
}

func address(c Channel, email, phone string) string {
	if c == ChannelEmail {
		return email
	}
	return phone
}

func (n *noticing) job(j *ToldJob) {
	for _, v := range j.Visits {
		if v.Visit.Kind == VisitDrain || v.Promise == nil {
			continue
		}
		n.tell(j, NoticeBooking, v.Visit.ID, n.plan.Now, v.Promise.ToAt,
			NoticeFacts{VisitKind: v.Visit.Kind, From: v.Promise.FromAt.Unix(), To: v.Promise.ToAt.Unix()},
			v.Visit.ID, "booking-"+v.Visit.ID+"@ebbline")
	}
	if j.Drain != nil {
		n.water(j, *j.Drain)
	}
}

// water tells of a pool's way down and up again.
func (n *noticing) water(j *ToldJob, d Drain) {
	drainVisit, firstLow, lastLow := j.stops()
	from, to, weStart := d.ToldFrom, d.ToldTo, false
	if from.IsZero() && drainVisit != nil {
		from, to, weStart = drainVisit.Stop.StartAt, drainVisit.Stop.EndAt, true
		if p := drainVisit.Promise; p != nil {
			from, to = p.FromAt, p.ToAt
		}
	}
	onArrival := d.WayLow == LowArrival
	if from.IsZero() && onArrival && firstLow != nil {
		from, to, weStart = firstLow.Stop.StartAt, firstLow.Stop.EndAt, true
	}
	if !from.IsZero() {
		n.lower(j, d, from, to, weStart, onArrival, drainVisit, firstLow)
	}
	if lastLow != nil && !d.CoveredAt.IsZero() {
		n.fill(j, d, lastLow.Stop.EndAt)
	}
	n.poolCare(j, d, from)
}

// stops finds the drain visit and the first and last that work in a low pool.
func (j *ToldJob) stops() (drain, firstLow, lastLow *ToldVisit) {
	for i := range j.Visits {
		v := &j.Visits[i]
		switch v.Visit.Kind {
		case VisitDrain:
			drain = v
		case VisitConvert:
			if firstLow == nil {
				firstLow = v
			}
			lastLow = v
		}
	}
	return drain, firstLow, lastLow
}

func (n *noticing) lower(j *ToldJob, d Drain, from, to time.Time, weStart, onArrival bool, drainVisit, firstLow *ToldVisit) {
	visitID := ""
	if drainVisit != nil {
		visitID = drainVisit.Visit.ID
	}
	if d.WayLow != LowOthers && j.Hold > 0 {
		stop := from.Add(-time.Duration(j.Hold) * time.Second)
		n.tell(j, NoticeStopChlorine, j.Job.ID, stop.Add(-stopChlorineLead), from,
			NoticeFacts{From: stop.Unix(), To: from.Unix(), Hold: j.Hold}, "", "")
	}
	facts := NoticeFacts{From: from.Unix(), To: to.Unix(), WeStart: weStart, Filler: j.Filler,
		NeedPower: d.WayLow == LowCrewPump || d.WayLow == LowArrival}
	if firstLow != nil && !onArrival {
		facts.LowBy = firstLow.Stop.StartAt.Unix()
	}
	n.tell(j, NoticePrep, j.Job.ID, n.plan.Now, to, facts, visitID, "prep-"+j.Job.ID+"@ebbline")
	if !weStart && d.WayLow == LowCustomer {
		n.halfway(j, d, from, to)
	}
	if !weStart && !j.Started && n.plan.Company.Email != "" && firstLow != nil {
		w := WantedNotice{Thing: string(NoticeUnconfirmed) + "/" + j.Job.ID, Kind: NoticeUnconfirmed, JobID: j.Job.ID,
			Channel: ChannelEmail, Address: n.plan.Company.Email, Language: n.plan.Company.Language, Zone: n.plan.ZoneName,
			UsefulUntil: firstLow.Stop.StartAt, Words: n.words(j, n.plan.Company.Name, n.plan.Company.Language),
			Facts: NoticeFacts{JobNumber: j.Job.Number, From: from.Unix(), To: to.Unix(), LowBy: firstLow.Stop.StartAt.Unix()}}
		n.add(w, to, n.plan.Zone)
	}
}

// halfway asks for a reading while there is still time to help a slow drain.
// Its facts are what the customer was told, not the half itself: each reading
// moves what is predicted, and nobody is asked twice for that.
func (n *noticing) halfway(j *ToldJob, d Drain, from, to time.Time) {
	low := d.LowLateAt
	if !low.After(from) {
		return // not known yet
	}
	half := from.Add(low.Sub(from) / 2)
	if half.Before(n.plan.Now) {
		half = n.plan.Now
	}
	if !NextWithin(n.plan.Planning.NoticeHours, half, j.Zone).Before(low) {
		return // a night drain: by the morning the answer comes too late
	}
	n.tell(j, NoticeHalfway, j.Job.ID, half, low, NoticeFacts{From: from.Unix(), To: to.Unix()}, "", "")
}

func (n *noticing) fill(j *ToldJob, d Drain, from time.Time) {
	facts := NoticeFacts{From: from.Unix(), Covered: d.CoveredAt.Unix()}
	if !d.LimitAt.IsZero() {
		facts.Limit = d.LimitAt.Unix()
	}
	if j.Opens == "customer" {
		n.tell(j, NoticeOpenFill, j.Job.ID, from, d.CoveredAt, facts, "", "")
	}
	if j.Closes == "customer" {
		n.tell(j, NoticeCloseFill, j.Job.ID, d.CoveredAt.Add(-closeFillLead), d.CoveredAt.Add(fillUseful), facts, "", "")
	}
	due := d.CoveredAt.Add(lookAfterDelay)
	n.tell(j, NoticeLookAfter, j.Job.ID, due, due.Add(2*lookAfterDelay), NoticeFacts{From: due.Unix()}, "", "")
}

// poolCare asks the pool's own firm to keep off while the water is ours.
func (n *noticing) poolCare(j *ToldJob, d Drain, from time.Time) {
	if len(j.Visits) == 0 {
		return
	}
	if from.IsZero() {
		from = j.Visits[0].Stop.StartAt
	}
	back := j.Visits[len(j.Visits)-1].Stop.EndAt
	if d.CoveredAt.After(back) {
		back = d.CoveredAt
	}
	n.tell(j, NoticeLeaveAlone, j.Job.ID, n.plan.Now, back, NoticeFacts{From: from.Unix(), To: back.Unix()}, "", "")
	n.tell(j, NoticeBackToYou, j.Job.ID, back, back.Add(72*time.Hour), NoticeFacts{From: back.Unix()}, "", "")
}

// day tells a crew its day, on the evening before.
func (n *noticing) day(d *ToldDay) {
	if len(d.Stops) == 0 {
		return
	}
	due := MinuteOf(d.Tour.Day.Add(-1), sheetMinute, n.plan.Zone)
	for _, person := range d.People {
		channel := ChannelEmail
		if person.Email == "" {
			channel = ChannelSMS
		}
		to := address(channel, person.Email, person.Phone)
		if to == "" {
			continue // the office sees the sheet; there is no address to send it to
		}
		w := WantedNotice{
			Thing: string(NoticeCrewSheet) + "/" + d.Crew.ID + "/" + string(d.Tour.Day) + "/" + person.ID, Kind: NoticeCrewSheet,
			PersonID: person.ID, Channel: channel, Address: to, Language: n.plan.Company.Language, Zone: n.plan.ZoneName,
			UsefulUntil: d.Tour.ReturnAt,
			Facts: NoticeFacts{Crew: d.Crew.Name, Day: d.Tour.Day, From: d.Tour.DepartAt.Unix(), To: d.Tour.ReturnAt.Unix(),
				Pumps: d.Tour.MorningPumps, Stops: d.Stops},
			Words: NoticeWords{Language: n.plan.Company.Language, To: person.Name, Company: n.plan.Company.Name, Phone: n.plan.Company.Phone, Zone: n.plan.Zone},
		}
		n.add(w, due, n.plan.Zone)
	}
}
