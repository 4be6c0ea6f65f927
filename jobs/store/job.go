package store

import (
	"strconv"
	"strings"

	"ebbline/jobs"
)

type jobRow struct {
	ID           string
	BranchID     string
	Number       int64
	CustomerID   string
	SiteID       string
	Kind         string
	State        string
	CameFrom     string
	ValueCents   *int64
	DueDay       string
	NotBeforeDay string
	CanComeEarly bool
	WayLow       string
	Note         string
	ImportKey    *string
	LowDecision  string
	LowUntil     *int64
	ConvertedAt  *int64
	ClosedAt     *int64
	Version      int64
	CreatedAt    int64 `gorm:"autoCreateTime:false"`
	UpdatedAt    int64 `gorm:"autoUpdateTime:false"`
}

func (jobRow) TableName() string { return "jobs" }

func (r jobRow) job() jobs.Job {
	return jobs.Job{
		ID: r.ID, BranchID: r.BranchID, Number: r.Number, CustomerID: r.CustomerID, SiteID: r.SiteID,
		State: jobs.State(r.State), CameFrom: jobs.State(r.CameFrom),
		JobData: jobs.JobData{
			Kind: jobs.JobKind(r.Kind), Value: (*jobs.Cents)(r.ValueCents), DueDay: jobs.Day(r.DueDay),
			NotBeforeDay: jobs.Day(r.NotBeforeDay), CanComeEarly: r.CanComeEarly, WayLow: jobs.WayLow(r.WayLow), Note: r.Note,
		},
		ImportKey: text(r.ImportKey), LowDecision: jobs.LowDecision(r.LowDecision), LowUntil: maybeInstant(r.LowUntil),
		ConvertedAt: maybeInstant(r.ConvertedAt), ClosedAt: maybeInstant(r.ClosedAt),
		Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt),
	}
}

// InsertJob adds a job with its visits and gives it the next number of its
// branch, which it returns.
func (tx *Tx) InsertJob(j jobs.Job) (int64, error) {
	if err := tx.holdBranch(j.BranchID); err != nil {
		return 0, err
	}
	var last int64
	err := tx.db.Model(&jobRow{}).Where("branch_id = ?", j.BranchID).Select("COALESCE(MAX(number), 0)").Scan(&last).Error
	if err != nil {
		return 0, err
	}
	err = tx.insert(&jobRow{
		ID: j.ID, BranchID: j.BranchID, Number: last + 1, CustomerID: j.CustomerID, SiteID: j.SiteID,
		Kind: string(j.Kind), State: string(j.State), CameFrom: string(j.CameFrom), ValueCents: (*int64)(j.Value),
		DueDay: string(j.DueDay), NotBeforeDay: string(j.NotBeforeDay), CanComeEarly: j.CanComeEarly,
		WayLow: string(j.WayLow), Note: j.Note, ImportKey: maybeText(j.ImportKey),
		LowDecision: string(j.LowDecision), LowUntil: maybeSecs(j.LowUntil),
		ConvertedAt: maybeSecs(j.ConvertedAt), ClosedAt: maybeSecs(j.ClosedAt),
		Version: j.Version, CreatedAt: secs(j.CreatedAt), UpdatedAt: secs(j.UpdatedAt),
	})
	for i := 0; err == nil && i < len(j.Visits); i++ {
		err = tx.InsertVisit(j.Visits[i])
	}
	return last + 1, err
}

// holdBranch makes others wait who count up numbers of the branch. On SQLite
// writers stand in line anyway.
func (tx *Tx) holdBranch(id string) error {
	if tx.dialect != Postgres {
		return nil
	}
	var got string
	return tx.db.Raw(`SELECT id FROM branches WHERE id = ? FOR NO KEY UPDATE`, id).Scan(&got).Error
}

// HoldJob makes others wait who settle the same job, so that the later one sees
// what the earlier one noted. On SQLite writers stand in line anyway.
func (tx *Tx) HoldJob(id string) error {
	if tx.dialect != Postgres {
		return nil
	}
	var got string
	return tx.db.Raw(`SELECT id FROM jobs WHERE id = ? FOR NO KEY UPDATE`, id).Scan(&got).Error
}

// UpdateJob writes what may change of a job over the version it was read at;
// its visits are things of their own. CodeStale, CodeNotFound.
func (tx *Tx) UpdateJob(j jobs.Job) error {
	return tx.update("job", &jobRow{}, j.ID, j.Version, j.UpdatedAt, change{
		"state": string(j.State), "came_from": string(j.CameFrom), "value_cents": (*int64)(j.Value),
		"due_day": string(j.DueDay), "not_before_day": string(j.NotBeforeDay), "can_come_early": j.CanComeEarly,
		"way_low": string(j.WayLow), "note": j.Note, "low_decision": string(j.LowDecision), "low_until": maybeSecs(j.LowUntil),
		"converted_at": maybeSecs(j.ConvertedAt), "closed_at": maybeSecs(j.ClosedAt),
	})
}

// Job reads one job with its chain. CodeNotFound.
func (tx *Tx) Job(id string) (jobs.Job, error) {
	row, err := first[jobRow](tx, "job", "id = ?", id)
	if err != nil {
		return jobs.Job{}, err
	}
	list, err := tx.wholeJobs([]jobRow{row})
	if err != nil {
		return jobs.Job{}, err
	}
	return list[0], nil
}

// JobByImportKey finds the job that came in under a key. CodeNotFound.
func (tx *Tx) JobByImportKey(branchID, key string) (jobs.Job, error) {
	row, err := first[jobRow](tx, "job", "branch_id = ? AND import_key = ?", branchID, key)
	return row.job(), err
}

// JobsOfSite reads the jobs of a site by number.
func (tx *Tx) JobsOfSite(siteID string) ([]jobs.Job, error) {
	rows, err := all[jobRow](tx, "number, id", "site_id = ?", siteID)
	if err != nil {
		return nil, err
	}
	return tx.wholeJobs(rows)
}

// JobsIn reads every job of a branch that is in one of the states, by number.
func (tx *Tx) JobsIn(branchID string, states ...jobs.State) ([]jobs.Job, error) {
	rows, err := all[jobRow](tx, "number, id", "branch_id = ? AND state IN ?", branchID, states)
	if err != nil {
		return nil, err
	}
	return tx.wholeJobs(rows)
}

// JobFilter narrows a list of jobs; empty fields narrow nothing.
type JobFilter struct {
	BranchID   string
	States     []jobs.State
	CustomerID string
	Query      string // a part of the customer's name or the site's address, or the number
}

// Jobs reads a part of the list, the newest number first.
func (tx *Tx) Jobs(filter JobFilter, page jobs.Page) (jobs.List[jobs.Job], error) {
	after, err := readCursor(page)
	if err != nil {
		return jobs.List[jobs.Job]{}, err
	}
	q := tx.db.Order("number DESC, id DESC").Limit(page.Size() + 1)
	if after.ID != "" {
		number, err := strconv.ParseInt(after.Key, 10, 64)
		if err != nil {
			return jobs.List[jobs.Job]{}, wrongCursor(page)
		}
		q = q.Where("(number, id) < (?, ?)", number, after.ID)
	}
	if filter.BranchID != "" {
		q = q.Where("branch_id = ?", filter.BranchID)
	}
	if len(filter.States) > 0 {
		q = q.Where("state IN ?", filter.States)
	}
	if filter.CustomerID != "" {
		q = q.Where("customer_id = ?", filter.CustomerID)
	}
	if key := jobs.FoldKey(filter.Query); key != "" {
		like := "%" + likeText(key) + "%"
		customers := tx.db.Model(&customerRow{}).Select("id").Where(`name_key LIKE ? ESCAPE '\'`, like)
		places := tx.db.Model(&siteRow{}).Select("id").Where(`search_key LIKE ? ESCAPE '\'`, like)
		number, err := strconv.ParseInt(strings.TrimPrefix(key, "#"), 10, 64)
		if err != nil {
			number = -1
		}
		q = q.Where("(customer_id IN (?) OR site_id IN (?) OR number = ?)", customers, places, number)
	}
	var rows []jobRow
	if err := q.Find(&rows).Error; err != nil {
		return jobs.List[jobs.Job]{}, err
	}
	part := cut(rows, page.Size(), func(r jobRow) cursor { return cursor{strconv.FormatInt(r.Number, 10), r.ID} })
	items, err := tx.wholeJobs(part.Items)
	return jobs.List[jobs.Job]{Items: items, Next: part.Next}, err
}

// wholeJobs adds names, chains and the newest papers: three statements however
// many jobs there are.
func (tx *Tx) wholeJobs(rows []jobRow) ([]jobs.Job, error) {
	out := make([]jobs.Job, len(rows))
	if len(rows) == 0 {
		return out, nil
	}
	at, ids := map[string]int{}, make([]string, len(rows))
	for i, r := range rows {
		out[i], at[r.ID], ids[i] = r.job(), i, r.ID
	}
	var names []struct{ ID, Customer, Site, Street string }
	err := tx.db.Table("jobs").Select("jobs.id, customers.name AS customer, sites.name AS site, sites.street").
		Joins("JOIN customers ON customers.id = jobs.customer_id").Joins("JOIN sites ON sites.id = jobs.site_id").
		Where("jobs.id IN ?", ids).Find(&names).Error
	if err != nil {
		return nil, err
	}
	for _, n := range names {
		j := &out[at[n.ID]]
		j.CustomerName, j.SiteName = n.Customer, jobs.SiteData{Name: n.Site, Street: n.Street}.Label()
	}
	visits, err := tx.Visits(ids...)
	if err != nil {
		return nil, err
	}
	for _, v := range visits {
		j := &out[at[v.JobID]]
		j.Visits = append(j.Visits, v)
	}
	var papers []struct{ JobID, ID, Paper string }
	err = tx.db.Raw(`SELECT job_id, id, number, 'estimate' AS paper FROM estimates WHERE job_id IN ?
		UNION ALL SELECT job_id, id, number, 'quote' AS paper FROM quotes WHERE job_id IN ? ORDER BY number`, ids, ids).Scan(&papers).Error
	for _, p := range papers { // the last of each is the newest
		if j := &out[at[p.JobID]]; p.Paper == "quote" {
			j.QuoteID = p.ID
		} else {
			j.EstimateID = p.ID
		}
	}
	return out, err
}
