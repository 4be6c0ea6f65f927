package desk

import (
	"context"
	"time"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// figureWeeks is how far back the figures look where nobody says how far.
const figureWeeks = 12

// maxFigureDays bounds what one question reads.
const maxFigureDays = 800

// Figures reckons what a branch did from the first to the last day. Empty days
// are the last twelve weeks. CodeInvalid, CodeNotFound.
func (d *Desk) Figures(ctx context.Context, branchID string, from, to jobs.Day) (jobs.Figures, error) {
	now := d.Now()
	return read(ctx, d, func(tx *store.Tx) (jobs.Figures, error) {
		_, zone, err := branchZone(tx, branchID)
		if err != nil {
			return jobs.Figures{}, err
		}
		if to == "" {
			to = jobs.DayOf(now, zone)
		}
		if from == "" && to.Valid() {
			from = to.Monday().Add(-7 * (figureWeeks - 1))
		}
		var f jobs.Faults
		f.Check(from.Valid(), "from", string(from), "a day like 2026-03-08")
		f.Check(to.Valid(), "to", string(to), "a day like 2026-03-08")
		if err := f.Err(); err != nil {
			return jobs.Figures{}, err
		}
		f.Check(to >= from, "to", string(to), "not before from "+string(from))
		f.Check(to <= from.Add(maxFigureDays), "to", string(to), "at most "+itoa(maxFigureDays)+" days after from")
		if err := f.Err(); err != nil {
			return jobs.Figures{}, err
		}
		start, end := from.Start(zone), to.Add(1).Start(zone)
		records, err := tx.EndedRecords(branchID, start, end)
		if err != nil {
			return jobs.Figures{}, err
		}
		crews, err := tx.Crews(branchID)
		if err != nil {
			return jobs.Figures{}, err
		}
		names := map[string]string{}
		for _, c := range crews {
			names[c.ID] = c.Name
		}
		visits := visitFigures(records, names)
		converted, err := tx.ConvertedJobs(branchID, start, end)
		if err != nil {
			return jobs.Figures{}, err
		}
		done, err := jobFigures(tx, converted)
		if err != nil {
			return jobs.Figures{}, err
		}
		pipeline, err := tx.StateFigures(branchID)
		if err != nil {
			return jobs.Figures{}, err
		}
		out := jobs.Reckon(from, to, zone, visits, done, pipeline)
		for i, c := range out.Crews {
			if c.Name == "" {
				out.Crews[i].Name = names[c.Key]
			}
		}
		return out, nil
	})
}

// visitFigures are what finished visits tell the figures.
func visitFigures(records []jobs.FieldRecord, names map[string]string) []jobs.VisitFigure {
	visits := make([]jobs.VisitFigure, len(records))
	for i, r := range records {
		visits[i] = jobs.VisitFigure{JobID: r.JobID, CrewID: r.CrewID, CrewName: names[r.CrewID], Kind: r.Kind, Outcome: r.Outcome, Reason: r.Reason,
			ArrivedAt: r.ArrivedAt, LeftAt: r.LeftAt, PlannedSeconds: r.PlannedSeconds, MedianSeconds: r.MedianSeconds, Lights: r.Lights,
			Promised: !r.PromisedTo.IsZero(), Kept: r.Kept()}
	}
	return visits
}

// jobFigures sums what was planned and done on each converted job.
func jobFigures(tx *store.Tx, list []jobs.Job) ([]jobs.JobFigure, error) {
	ids := make([]string, len(list))
	at := map[string]int{}
	out := make([]jobs.JobFigure, len(list))
	for i, j := range list {
		ids[i], at[j.ID] = j.ID, i
		out[i] = jobs.JobFigure{JobID: j.ID, Number: j.Number, CustomerName: j.CustomerName, SiteName: j.SiteName, ConvertedAt: j.ConvertedAt}
		if j.Value != nil {
			out[i].ValueCents = *j.Value
		}
	}
	records, err := tx.RecordsOf(ids...)
	for _, r := range records { // by when the crew left
		f := &out[at[r.JobID]]
		if r.Outcome != "" && !r.LeftAt.IsZero() {
			f.Planned += r.PlannedSeconds
			f.Actual += int64(r.LeftAt.Sub(r.ArrivedAt).Seconds())
		}
		f.Lights += r.Lights
		if r.Kind == string(jobs.VisitConvert) || f.CrewID == "" {
			f.CrewID = r.CrewID
		}
	}
	if err != nil {
		return out, err
	}
	// Where no light was reported one by one, those that the survey knows were
	// converted: the job is.
	var sites []string
	for _, j := range list {
		sites = append(sites, j.SiteID)
	}
	known, err := tx.LightPositions(sites...)
	for i, j := range list {
		if out[i].Lights == 0 {
			out[i].Lights = known[j.SiteID]
		}
	}
	return out, err
}

// Zone is the zone of a branch's civil days. CodeNotFound.
func (d *Desk) Zone(ctx context.Context, branchID string) (*time.Location, error) {
	return read(ctx, d, func(tx *store.Tx) (*time.Location, error) {
		_, zone, err := branchZone(tx, branchID)
		return zone, err
	})
}
