package desk

import (
	"context"
	"slices"
	"time"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// JobFacts is everything that gates a job.
type JobFacts struct {
	Known     jobs.FactsKnown
	Facts     []jobs.Fact
	Ready     bool
	NotBefore jobs.Day
	NotAfter  jobs.Day
}

// Facts reads what gates a job. CodeNotFound.
func (d *Desk) Facts(ctx context.Context, jobID string) (JobFacts, error) {
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) (JobFacts, error) {
		j, err := tx.Job(jobID)
		if err != nil {
			return JobFacts{}, err
		}
		return factsOf(tx, j, now)
	})
}

// factsOf computes what gates a job from what is stored.
func factsOf(tx *store.Tx, j jobs.Job, now time.Time) (JobFacts, error) {
	known, err := factsKnown(tx, j, now)
	if err != nil {
		return JobFacts{}, err
	}
	out := JobFacts{Known: known, Facts: known.Facts()}
	out.Ready = jobs.AllHold(out.Facts)
	out.NotBefore, out.NotAfter = jobs.Between(out.Facts)
	return out, nil
}

func factsKnown(tx *store.Tx, j jobs.Job, now time.Time) (jobs.FactsKnown, error) {
	k := jobs.FactsKnown{Job: j}
	branch, err := tx.Branch(j.BranchID)
	if err != nil {
		return k, err
	}
	zone, err := time.LoadLocation(branch.Zone)
	if err != nil {
		return k, err
	}
	k.Today, k.Zone = jobs.DayOf(now, zone), zone
	quotes, err := tx.Quotes(j.ID)
	if err != nil {
		return k, err
	}
	for i := range quotes {
		if s := quotes[i].State; s != jobs.QuoteDraft && s != jobs.QuoteReplaced {
			k.Quote = &quotes[i]
		}
	}
	if k.Payments, err = tx.Payments(j.ID); err != nil {
		return k, err
	}
	permits, err := tx.Permits(j.ID)
	if err != nil {
		return k, err
	}
	markings, err := tx.Markings(j.ID)
	if err != nil {
		return k, err
	}
	k.Permit, k.Marking = permits[j.ID], markings[j.ID]
	if k.SignOffs, err = tx.SignOffs(j.ID); err != nil {
		return k, err
	}
	if k.Parts, err = tx.JobParts(j.ID); err != nil {
		return k, err
	}
	if j.EstimateID != "" {
		kept, err := tx.Estimate(j.EstimateID)
		if err != nil {
			return k, err
		}
		k.EstimateVersion = kept.SurveyVersion
		listed := fromEstimate(k.Parts)
		if listed || slices.ContainsFunc(k.SignOffs, func(s jobs.SignOff) bool { return s.LeastWater != nil }) {
			e, err := estimate.Decode(kept.Body)
			if err != nil {
				return k, err
			}
			if low, known := lowLevel(&e); known {
				k.PlannedLow = &low
			}
			if listed {
				change, err := renewalOf(tx, j, e, k.Parts)
				if err != nil {
					return k, err
				}
				if change.Behind() {
					k.PartsBehind = change.Says()
				}
			}
		}
	}
	site, err := tx.Site(j.SiteID)
	if err != nil {
		return k, err
	}
	k.VendorPass, k.SurveyVersion = site.VendorPass, site.SurveyVersion
	if k.Survey, err = tx.Survey(site); err != nil {
		return k, err
	}
	settings, err := tx.Settings(j.BranchID)
	k.HighGround, k.TrustParts = settings.Settings.Planning.HighGroundWaterUM, settings.Settings.Planning.TrustPromisedParts
	return k, err
}

// settleReady makes a job ready when everything that gates it holds, and takes
// that back when something no longer does. A job that was handed out stays so;
// its facts say what lacks. It returns the job's version after that.
func (d *Desk) settleReady(tx *store.Tx, call Call, jobID string) (int64, error) {
	// Two facts noted at once must not each miss the other.
	if err := tx.HoldJob(jobID); err != nil {
		return 0, err
	}
	j, err := tx.Job(jobID)
	if err != nil {
		return 0, err
	}
	if j.State != jobs.StateApproved && j.State != jobs.StateReady {
		return j.Version, nil
	}
	facts, err := factsOf(tx, j, call.Now)
	if err != nil {
		return 0, err
	}
	act := jobs.ActFactsHold
	switch {
	case j.State == jobs.StateApproved && facts.Ready:
	case j.State == jobs.StateReady && !facts.Ready:
		act = jobs.ActFactLacks
	default:
		return j.Version, nil
	}
	j, err = d.move(tx, call, j, act, jobs.Standing{FactsHold: facts.Ready}, "")
	return j.Version, err
}

// settleSite looks again at what gates the jobs of a site.
func (d *Desk) settleSite(tx *store.Tx, call Call, siteID string) error {
	list, err := tx.JobsOfSite(siteID)
	for i := 0; err == nil && i < len(list); i++ {
		_, err = d.settleReady(tx, call, list[i].ID)
	}
	return err
}

// SettleDay looks again at every approved and every ready job of a branch,
// because days pass: a permit expires, a promised part has not come. It says
// how many jobs moved. Planning asks for it first.
func (d *Desk) SettleDay(ctx context.Context, call Call, branchID string) (int, error) {
	list, err := read(ctx, d, func(tx *store.Tx) ([]jobs.Job, error) {
		return tx.JobsIn(branchID, jobs.StateApproved, jobs.StateReady)
	})
	moved := 0
	for i := 0; err == nil && i < len(list); i++ {
		var version int64
		err = d.store.InTx(ctx, func(tx *store.Tx) (err error) {
			version, err = d.settleReady(tx, call, list[i].ID)
			return err
		})
		if err == nil && version != list[i].Version {
			moved++
		}
	}
	return moved, err
}

// noteFact runs do for a job as an act, and looks at what gates it afterwards.
// The outcome is the job, because its facts are what people see next.
func (d *Desk) noteFact(ctx context.Context, call Call, name, jobID, note string, do func(tx *store.Tx, j jobs.Job) error) (Outcome, error) {
	return d.act(ctx, call, name, func(tx *store.Tx) (Outcome, error) {
		j, err := tx.Job(jobID)
		if err != nil {
			return Outcome{}, err
		}
		if err := do(tx, j); err != nil {
			return Outcome{}, err
		}
		version, err := d.settleReady(tx, call, jobID)
		return Outcome{Noun: "job", NounID: jobID, Version: version, BranchID: j.BranchID, Note: note}, err
	})
}

// AddPayment notes money received or given back. CodeInvalid, CodeNotFound.
func (d *Desk) AddPayment(ctx context.Context, call Call, p jobs.Payment) (Outcome, error) {
	p.ID, p.MadeBy, p.Method = d.ids.New(), call.Actor.Name, jobs.CleanLine(p.Method)
	if p.ReceivedAt.IsZero() {
		p.ReceivedAt = call.Now
	}
	if err := p.Check(); err != nil {
		return Outcome{}, err
	}
	if p.ReceivedAt.After(call.Now.Add(time.Minute)) {
		return Outcome{}, jobs.Faults{{Field: "received_at", Value: p.ReceivedAt.Format(time.RFC3339), Want: "an instant that has been"}}.Err()
	}
	return d.noteFact(ctx, call, "addPayment", p.JobID, string(p.Kind)+" $"+p.Amount.String(), func(tx *store.Tx, _ jobs.Job) error {
		return tx.InsertPayment(p)
	})
}

// SetPermit notes what is known of a job's permit, over the permit's version
// that the caller read; 0 where none was noted yet. CodeInvalid, CodeNotFound,
// CodeStale.
func (d *Desk) SetPermit(ctx context.Context, call Call, jobID string, version int64, data jobs.PermitData) (Outcome, error) {
	data.Number = jobs.CleanLine(data.Number)
	if err := data.Check(); err != nil {
		return Outcome{}, err
	}
	id := d.ids.New()
	return d.noteFact(ctx, call, "setPermit", jobID, "needed: "+string(data.Needed), func(tx *store.Tx, j jobs.Job) error {
		old, err := tx.Permits(j.ID)
		if err != nil {
			return err
		}
		p := old[j.ID]
		if err := stale("permit", p.Version, version); err != nil {
			return err
		}
		if p.ID == "" {
			p.ID = id
		}
		p.JobID, p.PermitData = j.ID, data
		return tx.PutPermit(p, call.Now)
	})
}

// SetMarking notes what is known of the marking of buried lines, over the
// version that the caller read; 0 where none was noted yet. Lawful days that
// were left out follow from the state's rule. CodeInvalid, CodeNotFound,
// CodeStale.
func (d *Desk) SetMarking(ctx context.Context, call Call, jobID string, version int64, data jobs.MarkingData) (Outcome, error) {
	data.Ticket = jobs.CleanLine(data.Ticket)
	data = data.Filled()
	if err := data.Check(); err != nil {
		return Outcome{}, err
	}
	id := d.ids.New()
	return d.noteFact(ctx, call, "setMarking", jobID, "soil opened: "+string(data.SoilOpened), func(tx *store.Tx, j jobs.Job) error {
		old, err := tx.Markings(j.ID)
		if err != nil {
			return err
		}
		m := old[j.ID]
		if err := stale("marking", m.Version, version); err != nil {
			return err
		}
		if m.ID == "" {
			m.ID = id
		}
		m.JobID, m.MarkingData = j.ID, data
		return tx.PutMarking(m, call.Now)
	})
}

// AddSignOff notes a risk accepted by name. CodeInvalid, CodeNotFound.
func (d *Desk) AddSignOff(ctx context.Context, call Call, s jobs.SignOff) (Outcome, error) {
	s.ID, s.MadeBy, s.SignedAt, s.SignedBy = d.ids.New(), call.Actor.Name, call.Now, jobs.CleanLine(s.SignedBy)
	if err := s.Check(); err != nil {
		return Outcome{}, err
	}
	return d.noteFact(ctx, call, "addSignOff", s.JobID, string(s.Kind)+" by "+s.SignedBy, func(tx *store.Tx, _ jobs.Job) error {
		return tx.InsertSignOff(s)
	})
}
