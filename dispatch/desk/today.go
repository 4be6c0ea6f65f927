package desk

import (
	"context"
	"fmt"
	"slices"
	"time"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// Today is a crew's day with everything prefilled.
type Today struct {
	Day    jobs.Day
	Zone   string
	Crew   jobs.Crew
	People []string
	Tour   jobs.Tour // without an id: the crew stays at home
	Load   []string
	Stops  []TodayStop
	Crews  []jobs.Crew // for the office, to choose from
}

// TodayStop is one stop with what the crew needs there.
type TodayStop struct {
	Stop       jobs.Stop
	Visit      jobs.Visit
	Job        jobs.Job
	Site       jobs.Site
	Contacts   []jobs.Contact
	Promise    jobs.Promise // without an id: none
	Drain      *jobs.Drain
	Water      string
	Specs      []Spec
	Parts      []jobs.JobPart
	Steps      []jobs.Step
	Done       []jobs.Operation
	Cautions   []string
	Allowances []jobs.Allowance

	tools []string
	sets  []estimate.SetUse // of the positions, for the spares
}

// Today reads a crew's day as handed out. A tech sees the own crew's; the
// office names a crew, or gets the branch's first. An empty day is today in
// the branch's zone. CodeNotFound, CodeInvalid.
func (d *Desk) Today(ctx context.Context, who jobs.Actor, day jobs.Day, branchID, crewID string) (Today, error) {
	if day != "" && !day.Valid() {
		return Today{}, jobs.Faults{{Field: "day", Value: string(day), Want: "a day like 2026-03-08"}}.Err()
	}
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) (Today, error) {
		t := Today{Day: day}
		if err := t.choose(tx, who, branchID, crewID); err != nil {
			return t, err
		}
		branch, zone, err := branchZone(tx, t.Crew.BranchID)
		if err != nil {
			return t, err
		}
		t.Zone = branch.Zone
		if t.Day == "" {
			t.Day = jobs.DayOf(now, zone)
		}
		for _, id := range t.Crew.People {
			p, err := tx.Person(id)
			if err != nil {
				return t, err
			}
			t.People = append(t.People, p.Name)
		}
		tours, stops, err := tx.CrewDay(t.Crew.ID, t.Day)
		if err != nil || len(tours) == 0 {
			return t, err
		}
		t.Tour = tours[0]
		fill := filler{tx: tx, zone: zone}
		for _, s := range stops {
			one, err := fill.stop(s)
			if err != nil {
				return t, err
			}
			t.Stops = append(t.Stops, one)
		}
		if t.Load, err = loadOf(tx, t); err != nil {
			return t, err
		}
		return t, nil
	})
}

func (t *Today) choose(tx *store.Tx, who jobs.Actor, branchID, crewID string) (err error) {
	if !who.Office() {
		if who.CrewID == "" || crewID != "" && crewID != who.CrewID {
			return jobs.Errorf(jobs.CodeNotFound, "There is no such crew, or it is not yours")
		}
		t.Crew, err = tx.Crew(who.CrewID)
		return err
	}
	if crewID != "" {
		if t.Crew, err = tx.Crew(crewID); err != nil {
			return err
		}
		if branchID == "" {
			branchID = t.Crew.BranchID
		}
	}
	if branchID == "" {
		branchID = who.BranchID
	}
	all, err := tx.Crews(branchID)
	if err != nil {
		return err
	}
	for _, c := range all {
		if c.Active {
			t.Crews = append(t.Crews, c)
		}
	}
	if t.Crew.ID != "" {
		return nil
	}
	if len(t.Crews) == 0 {
		return jobs.Errorf(jobs.CodeNotFound, "The branch has no crew yet")
	}
	t.Crew = t.Crews[0]
	return nil
}

// filler fills in stops; it reads the steps once.
type filler struct {
	tx    *store.Tx
	zone  *time.Location
	steps map[string][]jobs.Step
	kinds []jobs.VisitKindInfo
	set   map[string]jobs.SettingsInForce
}

func (f *filler) stop(s jobs.Stop) (TodayStop, error) {
	one := TodayStop{Stop: s}
	var err error
	if one.Job, err = f.tx.Job(s.JobID); err != nil {
		return one, err
	}
	i := slices.IndexFunc(one.Job.Visits, func(v jobs.Visit) bool { return v.ID == s.VisitID })
	if i < 0 {
		return one, fmt.Errorf("stop %s is of a visit that job %s does not have", s.ID, s.JobID)
	}
	one.Visit = one.Job.Visits[i]
	known, err := knowOf(f.tx, one.Job)
	if err != nil {
		return one, err
	}
	one.Site, one.Drain = known.site, known.drain
	customer, err := f.tx.Customer(one.Job.CustomerID)
	if err != nil {
		return one, err
	}
	one.Contacts = customer.Contacts
	windows, err := f.tx.PromisesOf(s.VisitID)
	if err != nil {
		return one, err
	}
	one.Promise = windows[s.VisitID]
	one.Specs = append(specsOf(known.estimate, known.survey, known.drain, f.zone), duskSpecs(one)...)
	one.Cautions = cautionsOf(known.estimate)
	if one.Parts, err = f.tx.JobParts(s.JobID); err != nil {
		return one, err
	}
	if one.Done, err = f.tx.Operations(s.VisitID); err != nil {
		return one, err
	}
	if err := f.rules(&one); err != nil {
		return one, err
	}
	if e := known.estimate; e != nil {
		one.sets = setsOf(*e, one.Parts)
		for _, l := range e.Materials.Lines {
			if l.Tool {
				one.tools = append(one.tools, l.Name)
			}
		}
	}
	one.Water = f.water(one.Visit.Kind, known)
	return one, nil
}

// rules adds what the database and the branch's settings say of the kind.
func (f *filler) rules(one *TodayStop) (err error) {
	if f.steps == nil {
		if f.steps, err = f.tx.Steps(); err != nil {
			return err
		}
		if f.kinds, err = f.tx.VisitKinds(); err != nil {
			return err
		}
		f.set = map[string]jobs.SettingsInForce{}
	}
	set, ok := f.set[one.Job.BranchID]
	if !ok {
		if set, err = f.tx.Settings(one.Job.BranchID); err != nil {
			return err
		}
		f.set[one.Job.BranchID] = set
	}
	one.Steps = f.steps[string(one.Visit.Kind)]
	one.Allowances, err = priceList(set)
	return err
}

// priceList is what extra work costs: the office's own fixed prices, then what
// follows from rates and usual surprises, unless the office named a price for it.
func priceList(s jobs.SettingsInForce) ([]jobs.Allowance, error) {
	set, err := estimateSettings(s)
	if err != nil {
		return nil, err
	}
	list := slices.Clone(s.Settings.Company.Allowances)
	for _, a := range estimate.Allowances(set) {
		if !slices.ContainsFunc(list, func(have jobs.Allowance) bool { return have.Name == a.Name }) {
			list = append(list, jobs.Allowance{Name: a.Name, AmountCents: a.Cents})
		}
	}
	return list, nil
}

// water says in a few words how the water must stand for a visit.
func (f *filler) water(kind jobs.VisitKind, k knowing) string {
	need := ""
	for _, info := range f.kinds {
		if info.ID == kind {
			need = info.Water
		}
	}
	level := ""
	if um, ok := lowLevel(k.estimate); ok {
		level = ": " + jobs.FeetInches(um) + " below the tile line"
	}
	switch {
	case kind == jobs.VisitDrain:
		return "to be lowered" + level + "; never below the planned level"
	case need == "low":
		return "must stand low" + level
	case need == "covered":
		return "must cover every light"
	}
	return "no need"
}

// knowing is what is known of a job beside itself.
type knowing struct {
	site     jobs.Site
	survey   jobs.Survey
	estimate *estimate.Estimate // that was kept last; nil: none
	drain    *jobs.Drain        // as handed out; nil: nothing
}

func knowOf(tx *store.Tx, j jobs.Job) (k knowing, err error) {
	if k.site, err = tx.Site(j.SiteID); err != nil {
		return k, err
	}
	if k.survey, err = tx.Survey(k.site); err != nil {
		return k, err
	}
	if j.EstimateID != "" {
		kept, err := tx.Estimate(j.EstimateID)
		if err != nil {
			return k, err
		}
		e, err := estimate.Decode(kept.Body)
		if err != nil {
			return k, err
		}
		k.estimate = &e
	}
	drain, err := tx.LiveDrain(j.ID)
	switch jobs.CodeOf(err) {
	case "":
		k.drain = &drain
	case jobs.CodeNotFound:
	default:
		return k, err
	}
	return k, nil
}
