package desk

import (
	"encoding/json"
	"fmt"
	"strings"
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
	// text makes subject and body for one reader.
	text func(c jobs.Contact, site jobs.Site, company jobs.CompanySettings, zone *time.Location) (subject, body string)
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
		n.Subject, n.Body = t.text(c, site, settings.Settings.Company, zone)
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
	t.text = func(c jobs.Contact, site jobs.Site, company jobs.CompanySettings, _ *time.Location) (string, string) {
		var body jobs.QuoteBody
		_ = json.Unmarshal(q.Body, &body) // ours: written by priceQuote
		lines := []string{"Hello " + c.Name + ",", "", "this is our quote for the pool lights at " + site.Street + ".", ""}
		for _, l := range body.Lines {
			lines = append(lines, fmt.Sprintf("  %-44s %12s", l.Name, l.Cents))
		}
		lines = append(lines, fmt.Sprintf("  %-44s %12s", "Tax", q.Tax), fmt.Sprintf("  %-44s %12s", "Total in dollars", q.Total),
			fmt.Sprintf("  %-44s %12s", "Deposit on approval", q.Deposit), "",
			"It can be approved until "+string(q.ValidUntil)+".")
		for _, term := range body.Terms {
			lines = append(lines, "- "+term)
		}
		lines = append(lines, "", company.Name)
		if company.Phone != "" {
			lines = append(lines, "Questions: "+company.Phone)
		}
		if company.License != "" {
			lines = append(lines, "License "+company.License)
		}
		return "Your quote for the pool lights", strings.Join(lines, "\n") + "\n"
	}
}

// useTelling tells how to use the new lights, once they are commissioned.
func (d *Desk) useTelling(j jobs.Job, now time.Time) telling {
	t := d.newTelling(jobs.NoticeHowToUse, j.ID, now.Add(7*24*time.Hour))
	t.text = func(c jobs.Contact, _ jobs.Site, company jobs.CompanySettings, _ *time.Location) (string, string) {
		return "Your new pool lights", strings.Join([]string{"Hello " + c.Name + ",", "",
			"your pool lights are converted and tested under water.", "",
			"- Switch them on only while the water covers them: they are cooled by it.",
			"- Call us, and leave them off, if a light flickers, leaks or trips its protection.",
			"- Never open a light, a box or the supply yourself: electrical work by a licensed person, by the local code.", "",
			company.Name, company.Phone}, "\n") + "\n"
	}
	return t
}

// leftTelling tells the next customer that the crew is on its way.
func (d *Desk) leftTelling(visitID string, from, to time.Time) telling {
	t := d.newTelling(jobs.NoticeOnTheWay, visitID, to)
	t.facts = jobs.NoticeFacts{From: from.Unix(), To: to.Unix()}
	t.text = func(c jobs.Contact, site jobs.Site, company jobs.CompanySettings, zone *time.Location) (string, string) {
		return "The crew is on its way", strings.Join([]string{"Hello " + c.Name + ",", "",
			"our crew has left for " + site.Street + " and should arrive about " + from.In(zone).Format("3:04 pm") + ".", "",
			company.Name, company.Phone}, "\n") + "\n"
	}
	return t
}
