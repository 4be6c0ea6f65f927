package desk

import (
	"encoding/json"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// maxReaders bounds who is told one thing.
const maxReaders = 10

// telling is something a job's contacts are told that does not follow from a
// plan: a quote, that the crew has left, how to use the lights.
type telling struct {
	ids   []string // maxReaders of them, taken before the transaction
	kind  jobs.NoticeKind
	about string // with kind and contact it names the notice: the job's id, the visit's
	until time.Time
	facts jobs.NoticeFacts
	// text makes subject and body for one reader; nil: as the facts have it.
	text func(w jobs.NoticeWords) (subject, body string)
}

func (d *Desk) newTelling(kind jobs.NoticeKind, about string, until time.Time) telling {
	t := telling{kind: kind, about: about, until: until}
	for range maxReaders {
		t.ids = append(t.ids, d.ids.New())
	}
	return t
}

// tell writes the notices into the outbox; what the same thing said before and
// has not left is replaced. They go at the next decent hour of the site.
func (d *Desk) tell(tx *store.Tx, j jobs.Job, now time.Time, t telling) error {
	customer, err := tx.Customer(j.CustomerID)
	if err != nil {
		return err
	}
	site, err := tx.Site(j.SiteID)
	if err != nil {
		return err
	}
	zone, err := time.LoadLocation(site.Zone)
	if err != nil {
		return err
	}
	settings, err := tx.Settings(j.BranchID)
	if err != nil {
		return err
	}
	company := settings.Settings.Company
	var list []jobs.Notice
	for i, c := range jobs.Readers(customer.Contacts, t.kind) {
		if i == maxReaders {
			break
		}
		thing := string(t.kind) + "/" + t.about + "/" + c.ID
		before, err := tx.NoticesOf(thing)
		if err != nil {
			return err
		}
		n := jobs.Notice{ID: t.ids[i], BranchID: j.BranchID, JobID: j.ID, ContactID: c.ID, Kind: t.kind, Thing: thing, Revision: 1,
			Channel: c.Channel, Language: c.Language, Zone: site.Zone, Facts: t.facts, MessageID: messageID(t.ids[i]),
			DueAt: jobs.NextWithin(settings.Settings.Planning.NoticeHours, now, zone), UsefulUntil: t.until, State: jobs.NoticeDue, CreatedAt: now}
		if n.Address = c.Phone; c.Channel == jobs.ChannelEmail {
			n.Address = c.Email
		}
		n.Facts.JobNumber = j.Number
		w := jobs.NoticeWords{Language: c.Language, To: c.Name, Company: company.Name, Phone: company.Phone, License: company.License,
			Site: site.Label(), Street: site.Street, Zone: zone, Now: now.Unix(), HasGate: site.GateCode != "" || site.GateNote != "", HasPets: site.Pets != ""}
		if t.text != nil {
			n.Subject, n.Body = t.text(w)
		} else {
			n.Subject, n.Body = jobs.NoticeText(t.kind, jobs.ChangeNew, n.Facts, w)
		}
		if c.Channel == jobs.ChannelNone {
			n.State, n.Error = jobs.NoticeSuppressed, "The office calls by hand: no address is known"
		}
		for _, old := range before {
			n.Revision = max(n.Revision, old.Revision+1)
			if err := tx.SupersedeNotice(old.ID, n.ID); err != nil {
				return err
			}
		}
		list = append(list, n)
	}
	return tx.InsertNotices(list)
}

// quote makes the telling one of a quote that was sent. It is of use until the
// last day on which it can be approved is over in the branch's zone.
func (t *telling) quote(q jobs.Quote, zone *time.Location) {
	t.until = q.ValidUntil.Add(1).Start(zone)
	t.text = func(w jobs.NoticeWords) (string, string) {
		var body jobs.QuoteBody
		_ = json.Unmarshal(q.Body, &body) // ours: written by quoting.write
		return jobs.QuoteText(q, body, w)
	}
}

// useTelling tells how to use the new lights, once a visit commissioned them.
func (d *Desk) useTelling(visitID string, now time.Time) telling {
	return d.newTelling(jobs.NoticeHowToUse, visitID, now.Add(7*24*time.Hour))
}

// leftTelling tells the next customer that the crew is on its way and when to
// expect it. An hour later the notice is of no use.
func (d *Desk) leftTelling(v jobs.Visit, at time.Time) telling {
	t := d.newTelling(jobs.NoticeOnTheWay, v.ID, at.Add(time.Hour))
	t.facts = jobs.NoticeFacts{VisitKind: v.Kind, From: at.Unix(), To: t.until.Unix()}
	return t
}
