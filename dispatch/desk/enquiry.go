package desk

import (
	"context"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// checkZone refuses a zone that does not exist. The form was checked before.
func checkZone(field, zone string) error {
	if _, err := time.LoadLocation(zone); err != nil || zone == "" || zone == "Local" {
		return jobs.Faults{{Field: field, Value: zone, Want: "an IANA time zone such as America/Phoenix"}}.Err()
	}
	return nil
}

// CreateEnquiry notes a first call: customer, contacts, site, what is known of
// it, the job and its first visits, all or nothing. CodeInvalid, CodeNotFound.
func (d *Desk) CreateEnquiry(ctx context.Context, call Call, in jobs.NewEnquiry) (Outcome, error) {
	do, err := d.enquiry(ctx, call, in)
	if err != nil {
		return Outcome{}, err
	}
	return d.act(ctx, call, "createEnquiry", do)
}

// enquiry checks an enquiry and gives the function that notes it in a
// transaction. The import uses the same.
func (d *Desk) enquiry(ctx context.Context, call Call, in jobs.NewEnquiry) (func(tx *store.Tx) (Outcome, error), error) {
	branch, err := read(ctx, d, func(tx *store.Tx) (jobs.Branch, error) { return tx.Branch(in.BranchID) })
	if jobs.CodeOf(err) == jobs.CodeNotFound && !jobs.ValidID(in.BranchID) {
		return nil, in.Check()
	}
	if err != nil {
		return nil, err
	}
	in.Job = in.Job.Clean()
	if in.Customer != nil {
		c := *in.Customer
		c.Name = jobs.CleanLine(c.Name)
		in.Customer = &c
		for i := range in.Contacts {
			in.Contacts[i] = cleanContact(in.Contacts[i])
		}
	}
	zone := branch.Zone
	if in.Site != nil {
		site := in.Site.Clean()
		if site.Zone == "" {
			site.Zone = branch.Zone
		}
		zone = site.Zone
		in.Site = &site
	}
	if err := in.Check(); err != nil {
		return nil, err
	}
	if in.Site != nil {
		if err := checkZone("site.zone", in.Site.Zone); err != nil {
			return nil, err
		}
	}
	var survey jobs.Survey
	if in.Survey != nil {
		if survey, err = sentSurvey(call, *in.Survey, zone); err != nil {
			return nil, err
		}
	}
	plan := enquiryPlan{in: in, survey: survey, customerID: d.ids.New(), siteID: d.ids.New(), jobID: d.ids.New(), visitID: d.ids.New()}
	return func(tx *store.Tx) (Outcome, error) { return d.noteEnquiry(tx, call, plan) }, nil
}

type enquiryPlan struct {
	in                                 jobs.NewEnquiry
	survey                             jobs.Survey
	customerID, siteID, jobID, visitID string
}

func (d *Desk) noteEnquiry(tx *store.Tx, call Call, p enquiryPlan) (Outcome, error) {
	in := p.in
	customerID, siteID := in.CustomerID, in.SiteID
	if in.Customer != nil {
		customerID = p.customerID
		c := jobs.Customer{ID: customerID, BranchID: in.BranchID, CustomerData: *in.Customer, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
		for _, data := range in.Contacts {
			c.Contacts = append(c.Contacts, d.newContact(call, customerID, data))
		}
		if err := tx.InsertCustomer(c); err != nil {
			return Outcome{}, err
		}
	} else if c, err := tx.Customer(customerID); err != nil {
		return Outcome{}, err
	} else if c.BranchID != in.BranchID {
		return Outcome{}, jobs.Faults{{Field: "customer_id", Value: customerID, Want: "a customer of this branch"}}.Err()
	}
	site, err := d.enquirySite(tx, call, in, siteID, p.siteID, customerID)
	if err != nil {
		return Outcome{}, err
	}
	if in.Survey != nil {
		if err := tx.PutSurvey(site.ID, site.SurveyVersion, p.survey, call.Now, d.ids.New); err != nil {
			return Outcome{}, err
		}
	}
	j := jobs.Job{
		ID: p.jobID, BranchID: in.BranchID, CustomerID: customerID, SiteID: site.ID, State: jobs.StateEnquiry,
		JobData: in.Job, ImportKey: in.ImportKey, Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now,
	}
	if j.WayLow == jobs.LowNotKnown {
		j.WayLow = p.survey.WayLow()
	}
	first := jobs.Visit{ID: p.visitID, JobID: j.ID, Place: 1, Kind: jobs.VisitSurvey, State: jobs.VisitOpen,
		Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	switch {
	case j.Kind == jobs.JobCallBack: // nothing to quote: it waits only for its parts
		j.State, first.Kind = jobs.StateApproved, jobs.VisitCallBack
		j.Visits = []jobs.Visit{first}
	case !p.survey.Complete():
		j.Visits = []jobs.Visit{first}
	}
	if _, err := tx.InsertJob(j); err != nil {
		return Outcome{}, err
	}
	version, err := d.settleReady(tx, call, j.ID)
	return Outcome{Noun: "job", NounID: j.ID, Version: version, BranchID: j.BranchID}, err
}

func (d *Desk) enquirySite(tx *store.Tx, call Call, in jobs.NewEnquiry, siteID, newID, customerID string) (jobs.Site, error) {
	if in.Site != nil {
		s := jobs.Site{ID: newID, BranchID: in.BranchID, CustomerID: customerID, SiteData: *in.Site,
			Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
		var err error
		if s.SiteData, err = d.place(tx, in.BranchID, s.SiteData); err != nil {
			return s, err
		}
		return s, tx.InsertSite(s)
	}
	s, err := tx.Site(siteID)
	if err == nil && s.CustomerID != customerID {
		err = jobs.Faults{{Field: "site_id", Value: siteID, Want: "a site of this customer"}}.Err()
	}
	return s, err
}

// CreateSite notes a place with water of a customer's. CodeInvalid,
// CodeNotFound.
func (d *Desk) CreateSite(ctx context.Context, call Call, in jobs.NewSite) (Outcome, error) {
	in.SiteData = in.SiteData.Clean()
	branch := jobs.Branch{}
	customer, err := read(ctx, d, func(tx *store.Tx) (jobs.Customer, error) {
		c, err := tx.Customer(in.CustomerID)
		if err == nil {
			branch, err = tx.Branch(c.BranchID)
		}
		return c, err
	})
	if err != nil && jobs.ValidID(in.CustomerID) {
		return Outcome{}, err
	}
	if in.Zone == "" {
		in.Zone = branch.Zone
	}
	if err := in.Check(); err != nil {
		return Outcome{}, err
	}
	if err := checkZone("zone", in.Zone); err != nil {
		return Outcome{}, err
	}
	s := jobs.Site{ID: d.ids.New(), BranchID: customer.BranchID, CustomerID: customer.ID, SiteData: in.SiteData,
		Version: 1, CreatedAt: call.Now, UpdatedAt: call.Now}
	return d.act(ctx, call, "createSite", func(tx *store.Tx) (Outcome, error) {
		var err error
		if s.SiteData, err = d.place(tx, s.BranchID, in.SiteData); err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "site", NounID: s.ID, Version: 1, BranchID: s.BranchID}, tx.InsertSite(s)
	})
}

// ChangeSite puts new data in place of the old. What the site asks of crews
// gates its jobs, so they are looked at again. CodeInvalid, CodeNotFound,
// CodeStale.
func (d *Desk) ChangeSite(ctx context.Context, call Call, id string, version int64, in jobs.SiteData) (Outcome, error) {
	in = in.Clean()
	return d.act(ctx, call, "changeSite", func(tx *store.Tx) (Outcome, error) {
		s, err := tx.Site(id)
		if err != nil {
			return Outcome{}, err
		}
		if in.Zone == "" {
			in.Zone = s.Zone
		}
		if err := in.Check(); err != nil {
			return Outcome{}, err
		}
		if err := checkZone("zone", in.Zone); err != nil {
			return Outcome{}, err
		}
		if err := stale("site", s.Version, version); err != nil {
			return Outcome{}, err
		}
		if in, err = d.placeAnew(tx, s, in); err != nil {
			return Outcome{}, err
		}
		s.SiteData, s.UpdatedAt = in, call.Now
		if err := tx.UpdateSite(s); err != nil {
			return Outcome{}, err
		}
		return Outcome{Noun: "site", NounID: id, Version: version + 1, BranchID: s.BranchID}, d.settleSite(tx, call, id)
	})
}

// Site reads one site. CodeNotFound.
func (d *Desk) Site(ctx context.Context, id string) (jobs.Site, error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.Site, error) { return tx.Site(id) })
}

// Sites reads a part of the list by name and address.
func (d *Desk) Sites(ctx context.Context, filter store.SiteFilter, page jobs.Page) (jobs.List[jobs.Site], error) {
	return read(ctx, d, func(tx *store.Tx) (jobs.List[jobs.Site], error) { return tx.Sites(filter, page) })
}
