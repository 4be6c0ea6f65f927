package desk

import (
	"context"
	"fmt"
	"slices"

	"ebbline/estimate"
	"ebbline/jobs"
	"ebbline/jobs/store"
)

// catalogue is the parts that a branch buys, and which of them are sets.
type catalogue struct {
	parts []jobs.Part
	codes map[string]string       // ids by code
	sizes map[string]jobs.SetSize // of the sets, by id
}

// catalogueOf reads a branch's parts. A set's light is as noted, else where the
// code is the one that the settings' catalogue gives such a set.
func catalogueOf(tx *store.Tx, branchID string, c estimate.CatalogueOffice) (catalogue, error) {
	parts, err := tx.CatalogueParts(branchID)
	out := catalogue{parts: parts, codes: map[string]string{}, sizes: map[string]jobs.SetSize{}}
	for _, p := range parts {
		out.codes[p.Code] = p.ID
		if p.LengthUM == nil {
			continue
		}
		light := p.Light
		for _, l := range c.Lights {
			if light == "" && p.Code == setKey(l.Key, *p.LengthUM) {
				light = l.Key
			}
		}
		if light != "" {
			out.sizes[p.ID] = jobs.SetSize{Light: light, LengthUM: *p.LengthUM}
		}
	}
	return out, err
}

// catalogueNow is catalogueOf by the settings in force.
func catalogueNow(tx *store.Tx, branchID string) (catalogue, estimate.Settings, error) {
	set, err := tx.Settings(branchID)
	if err != nil {
		return catalogue{}, estimate.Settings{}, err
	}
	office, err := estimateSettings(set)
	if err != nil {
		return catalogue{}, office, err
	}
	c, err := catalogueOf(tx, branchID, office.Catalogue)
	return c, office, err
}

// wanted is the list of parts as an estimate has it: a set for each position,
// then everything else. open are the positions whose set is not known.
func (c catalogue) wanted(e estimate.Estimate) (want []jobs.WantedPart, open []string) {
	names := map[string]string{}
	for _, l := range e.Materials.Lines {
		names[l.Key] = l.Name
	}
	sets := map[string]bool{} // keys of the materials' lines that stand by position here
	for _, cord := range e.Cords {
		if !cord.Order.Known || cord.Light == "" {
			open = append(open, cord.Position)
			continue
		}
		key := setKey(cord.Light, cord.Order.Value)
		sets[key] = true
		name := names[key]
		if name == "" {
			name = key
		}
		want = append(want, jobs.WantedPart{LineKey: key, PartID: c.codes[key], Name: name, Quantity: 1, StockUnit: "set", Note: cord.Name,
			SubjectID: cord.Position, Light: cord.Light, LeastUM: cord.Needed.High})
	}
	for _, l := range e.Materials.Lines {
		if !l.Tool && !sets[l.Key] && l.Quantity > 0 {
			want = append(want, jobs.WantedPart{LineKey: l.Key, PartID: c.codes[l.Key], Name: l.Name, Quantity: l.Quantity, StockUnit: l.Stock, Note: l.For})
		}
	}
	return want, open
}

// setKey is the key of a light with a cord of a factory length, as it stands in
// the estimate's materials and as the code of the part.
func setKey(light string, um int64) string { return fmt.Sprintf("%s-%d", light, um/304_800) }

// fromEstimate says that a list came from an estimate; one written by hand is
// nobody's to compare.
func fromEstimate(have []jobs.JobPart) bool {
	return slices.ContainsFunc(have, func(p jobs.JobPart) bool { return p.LineKey != "" })
}

// RenewJobParts brings a job's list of parts up to date with its newest
// estimate: what is still needed is listed, what is no longer needed goes back
// on the shelf, or is marked where it is on its way or on a truck. Nothing that
// was had is lost. CodeNotFound, CodeConflict (no estimate was kept).
func (d *Desk) RenewJobParts(ctx context.Context, call Call, jobID string) (Outcome, error) {
	return d.noteFact(ctx, call, "renewJobParts", jobID, "", func(tx *store.Tx, j jobs.Job) error {
		if err := tx.HoldJob(jobID); err != nil {
			return err
		}
		if j.EstimateID == "" {
			return jobs.Errorf(jobs.CodeConflict, "No estimate was kept for this job: make one first")
		}
		kept, err := tx.Estimate(j.EstimateID)
		if err != nil {
			return err
		}
		e, err := estimate.Decode(kept.Body)
		if err != nil {
			return err
		}
		have, err := tx.JobParts(jobID)
		if err != nil {
			return err
		}
		change, err := renewalOf(tx, j, e, have)
		if err != nil {
			return err
		}
		for _, edit := range change.Edits {
			if err := d.applyEdit(tx, call, jobID, edit); err != nil {
				return err
			}
		}
		return nil
	})
}

// renewalOf compares a job's parts with an estimate.
func renewalOf(tx *store.Tx, j jobs.Job, e estimate.Estimate, have []jobs.JobPart) (jobs.PartListChange, error) {
	c, _, err := catalogueNow(tx, j.BranchID)
	want, open := c.wanted(e)
	return jobs.RenewParts(have, want, c.sizes, open), err
}

func (d *Desk) applyEdit(tx *store.Tx, call Call, jobID string, edit jobs.PartEdit) error {
	p := edit.Part
	p.JobPartData, p.UpdatedAt = edit.After, call.Now
	var err error
	if p.ID == "" {
		p.ID, p.JobID, p.Version, p.CreatedAt = d.ids.New(), jobID, 1, call.Now
		err = tx.InsertJobPart(p)
	} else {
		err = tx.UpdateJobPart(p)
	}
	if err != nil {
		return err
	}
	return onShelf(tx, call, p.PartID, jobs.ShelfChange(edit.From.State, edit.After.State, edit.After.Quantity))
}
