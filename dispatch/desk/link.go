package desk

import (
	"context"
	"slices"
	"time"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// LinkView is what a customer sees behind a link, and nothing more.
type LinkView struct {
	Link     jobs.CustomerLink
	Company  string
	Customer string
	Site     string
	Zone     string
	Language string      // of the contact
	Quote    *jobs.Quote // of a quote's link
	ToldFrom time.Time   // zero: nothing was told
	ToldTo   time.Time
	Promise  jobs.Promise // without an id: none
	Answers  []jobs.Answer
	Readings []jobs.Reading
	Caution  string
	May      []string
}

// stopMessages is what may be answered behind every link.
const stopMessages = "stop_messages"

// opened is an open link with what stands behind it.
type opened struct {
	link    jobs.CustomerLink
	contact jobs.Contact
	job     jobs.Job
}

// errLink says the same of links that never were, that are over and that were
// ended.
func errLink() error {
	return jobs.Errorf(jobs.CodeNotFound, "This link does not work any more; ask us for a new one")
}

func openLink(tx *store.Tx, secret string, now time.Time) (o opened, err error) {
	o.link, err = tx.LinkByHash(jobs.LinkHash(secret))
	if jobs.CodeOf(err) == jobs.CodeNotFound || err == nil && !o.link.Open(now) {
		return o, errLink()
	}
	if err != nil {
		return o, err
	}
	if o.contact, err = tx.Contact(o.link.ContactID); err != nil {
		if jobs.CodeOf(err) == jobs.CodeNotFound {
			err = errLink()
		}
		return o, err
	}
	o.job, err = tx.Job(o.link.JobID)
	return o, err
}

// may lists what the contact can answer: deciding is for those who may.
func (o opened) may(quote *jobs.Quote, stopped bool) []string {
	list := []string{}
	for _, kind := range o.link.Purpose.May() {
		switch kind {
		case "approved", "declined":
			if !o.contact.MayDecide || quote == nil || quote.State != jobs.QuoteSent && !(kind == "declined" && quote.State == jobs.QuoteApproved) {
				continue
			}
		case "window_accepted", "window_declined", "another_asked":
			if !o.contact.MayDecide {
				continue
			}
		}
		list = append(list, kind)
	}
	if o.contact.Channel != jobs.ChannelNone && !stopped {
		list = append(list, stopMessages)
	}
	return list
}

// ShowLink reads what is behind a customer's link. It changes nothing: programs
// open links in mail before people do. CodeNotFound.
func (d *Desk) ShowLink(ctx context.Context, secret string) (LinkView, error) {
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) (LinkView, error) {
		o, err := openLink(tx, secret, now)
		if err != nil {
			return LinkView{}, err
		}
		return o.view(tx, now)
	})
}

func (o opened) view(tx *store.Tx, now time.Time) (LinkView, error) {
	v := LinkView{Link: o.link, Customer: o.job.CustomerName, Language: o.contact.Language, Caution: estimate.Safety}
	k, err := knowOf(tx, o.job)
	if err != nil {
		return v, err
	}
	v.Site, v.Zone = k.site.Label(), k.site.Zone
	set, err := tx.Settings(o.job.BranchID)
	if err != nil {
		return v, err
	}
	v.Company = set.Settings.Company.Name
	switch o.link.Purpose {
	case jobs.LinkQuote:
		if o.link.QuoteID != "" {
			q, err := tx.Quote(o.link.QuoteID)
			if err != nil {
				return v, err
			}
			v.Quote = &q
		}
	case jobs.LinkPrep:
		if k.drain != nil {
			v.ToldFrom, v.ToldTo = k.drain.ToldFrom, k.drain.ToldTo
		}
		if um, ok := lowLevel(k.estimate); ok {
			v.Caution = "Stop when the water stands " + jobs.FeetInches(um) + " below the tile line. " + v.Caution
		}
	case jobs.LinkFill:
		v.Caution = "Keep the lights off until the water covers them. Close the fill when the water is at the tile line, and do not leave it open over night. " + v.Caution
	}
	if o.link.Purpose == jobs.LinkPrep || o.link.Purpose == jobs.LinkWindow {
		if v.Promise, _, err = nextPromise(tx, o.job, now); err != nil {
			return v, err
		}
	}
	if o.link.Purpose != jobs.LinkQuote {
		if v.Answers, err = tx.Answers(o.job.ID); err != nil {
			return v, err
		}
		if v.Readings, err = tx.Readings(o.job.ID); err != nil {
			return v, err
		}
	}
	stopped, err := o.stopped(tx)
	v.May = o.may(v.Quote, stopped)
	return v, err
}

// address is where the contact is written to, in the form consents hang on.
func (o opened) address() string {
	if o.contact.Channel == jobs.ChannelEmail {
		return jobs.FoldEmail(o.contact.Email)
	}
	return o.contact.Phone
}

func (o opened) stopped(tx *store.Tx) (bool, error) {
	said, err := tx.Stopped(o.address())
	return said[store.Address{Channel: o.contact.Channel, Key: o.address()}], err
}

// LinkAnswer is what a customer answers behind a link.
type LinkAnswer struct {
	Kind       string
	By         string // empty: the contact
	EstimateID string // of the option of a quote that is approved; empty: the first
	Version    *int64 // of the quote that is answered, as it was read; nil: as it is now
	Note       string
	Reading    *NewReading // of kind reading
}

// AnswerLink notes what a customer answers. The call carries key, fingerprint
// and instant; who acts follows from the link. CodeInvalid, CodeNotFound,
// CodeConflict.
func (d *Desk) AnswerLink(ctx context.Context, call Call, secret string, in LinkAnswer) error {
	in.By = jobs.CleanLine(in.By)
	var f jobs.Faults
	f.Line("by", in.By, 0, jobs.MaxName)
	f.Note("note", in.Note)
	if err := f.Err(); err != nil {
		return err
	}
	view := LinkView{}
	o, err := read(ctx, d, func(tx *store.Tx) (o opened, err error) {
		if o, err = openLink(tx, secret, call.Now); err == nil {
			view, err = o.view(tx, call.Now)
		}
		return o, err
	})
	if err != nil {
		return err
	}
	if in.By == "" {
		in.By = o.contact.Name
	}
	call.Actor = jobs.Actor{Role: jobs.RoleCustomer, Name: o.contact.Name + ", by link", BranchID: o.job.BranchID, LinkID: o.link.ID}
	switch in.Kind {
	case "approved", "declined":
		if view.Quote == nil || !o.contact.MayDecide {
			return jobs.Errorf(jobs.CodeConflict, "This cannot be answered with this link")
		}
		version := view.Quote.Version
		if in.Version != nil {
			version = *in.Version
		}
		_, err := d.AnswerQuote(ctx, call, view.Quote.ID, version,
			jobs.QuoteAnswer{Answer: jobs.QuoteState(in.Kind), EstimateID: in.EstimateID, By: in.By, Note: in.Note})
		if err != nil {
			return err
		}
		return d.store.InTx(ctx, func(tx *store.Tx) error { return tx.UseLink(o.link.ID, call.Now) })
	}
	return d.noteLink(ctx, call, o, view, in)
}

// noteLink notes an answer that is no decision about a quote.
func (d *Desk) noteLink(ctx context.Context, call Call, o opened, view LinkView, in LinkAnswer) error {
	var reading jobs.Reading
	if in.Kind == "reading" {
		if in.Reading == nil {
			return jobs.Faults{{Field: "reading", Want: "the water's distance below the tile line"}}.Err()
		}
		var err error
		if reading, err = readingOf(call, *in.Reading); err != nil {
			return err
		}
		reading.ID, reading.JobID, reading.LinkID, reading.MadeBy = d.ids.New(), o.job.ID, o.link.ID, in.By
	}
	id := d.ids.New()
	_, err := d.act(ctx, call, "answerLink", func(tx *store.Tx) (Outcome, error) {
		if !slices.Contains(view.May, in.Kind) {
			return Outcome{}, jobs.Errorf(jobs.CodeConflict, "This cannot be answered with this link")
		}
		out := Outcome{Noun: "link", NounID: o.link.ID, Version: 1, BranchID: o.job.BranchID, Note: in.Kind}
		if err := tx.UseLink(o.link.ID, call.Now); err != nil {
			return out, err
		}
		switch in.Kind {
		case "reading":
			return out, noteReading(tx, o.job, reading)
		case stopMessages:
			return out, tx.InsertConsent(jobs.Consent{ID: id, Channel: o.contact.Channel, Address: o.address(), Given: false, How: "link", SaidAt: call.Now})
		}
		return out, noteAnswer(tx, o.job, jobs.Answer{ID: id, JobID: o.job.ID, ContactID: o.contact.ID, LinkID: o.link.ID,
			Kind: jobs.AnswerKind(in.Kind), Note: in.Note, At: call.Now, MadeBy: in.By}, call.Now)
	})
	return err
}
