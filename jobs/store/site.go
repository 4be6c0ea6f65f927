package store

import (
	"time"

	"ebbline/jobs"
)

type siteRow struct {
	ID             string
	BranchID       string
	CustomerID     string
	Name           string
	Street         string
	City           string
	Region         string
	Postcode       string
	SearchKey      string
	Zone           string
	LatE7          *int64
	LonE7          *int64
	PrecisionID    string
	GateCode       string
	GateNote       string
	Pets           string
	VendorPass     string
	WorkFromMinute *int64
	WorkToMinute   *int64
	SurveyVersion  int64
	Version        int64
	CreatedAt      int64 `gorm:"autoCreateTime:false"`
	UpdatedAt      int64 `gorm:"autoUpdateTime:false"`
}

func (siteRow) TableName() string { return "sites" }

func (r siteRow) site() jobs.Site {
	return jobs.Site{
		ID: r.ID, BranchID: r.BranchID, CustomerID: r.CustomerID,
		SiteData: jobs.SiteData{
			Name: r.Name, Street: r.Street, City: r.City, Region: r.Region, Postcode: r.Postcode, Zone: r.Zone,
			LatE7: r.LatE7, LonE7: r.LonE7, Precision: jobs.Precision(r.PrecisionID),
			GateCode: r.GateCode, GateNote: r.GateNote, Pets: r.Pets, VendorPass: r.VendorPass,
			WorkFrom: r.WorkFromMinute, WorkTo: r.WorkToMinute,
		},
		SurveyVersion: r.SurveyVersion, Version: r.Version, CreatedAt: instant(r.CreatedAt), UpdatedAt: instant(r.UpdatedAt),
	}
}

// InsertSite adds a site of which nothing is surveyed yet.
func (tx *Tx) InsertSite(s jobs.Site) error {
	return tx.insert(&siteRow{
		ID: s.ID, BranchID: s.BranchID, CustomerID: s.CustomerID,
		Name: s.Name, Street: s.Street, City: s.City, Region: s.Region, Postcode: s.Postcode, SearchKey: s.SearchKey(),
		Zone: s.Zone, LatE7: s.LatE7, LonE7: s.LonE7, PrecisionID: string(s.Precision),
		GateCode: s.GateCode, GateNote: s.GateNote, Pets: s.Pets, VendorPass: s.VendorPass,
		WorkFromMinute: s.WorkFrom, WorkToMinute: s.WorkTo,
		Version: s.Version, CreatedAt: secs(s.CreatedAt), UpdatedAt: secs(s.UpdatedAt),
	})
}

// UpdateSite writes s over the version it was read at. CodeStale, CodeNotFound.
func (tx *Tx) UpdateSite(s jobs.Site) error {
	return tx.update("site", &siteRow{}, s.ID, s.Version, s.UpdatedAt, change{
		"name": s.Name, "street": s.Street, "city": s.City, "region": s.Region, "postcode": s.Postcode,
		"search_key": s.SearchKey(), "zone": s.Zone, "lat_e7": s.LatE7, "lon_e7": s.LonE7, "precision_id": string(s.Precision),
		"gate_code": s.GateCode, "gate_note": s.GateNote, "pets": s.Pets, "vendor_pass": s.VendorPass,
		"work_from_minute": s.WorkFrom, "work_to_minute": s.WorkTo,
	})
}

// Site reads one site. CodeNotFound.
func (tx *Tx) Site(id string) (jobs.Site, error) {
	row, err := first[siteRow](tx, "site", "id = ?", id)
	return row.site(), err
}

// SitesByID reads sites by their ids, in no order.
func (tx *Tx) SitesByID(ids ...string) ([]jobs.Site, error) {
	if len(ids) == 0 {
		return nil, nil
	}
	rows, err := all[siteRow](tx, "id", "id IN ?", ids)
	return sites(rows), err
}

func sites(rows []siteRow) []jobs.Site {
	out := make([]jobs.Site, len(rows))
	for i, r := range rows {
		out[i] = r.site()
	}
	return out
}

// SiteFilter narrows a list of sites; empty fields narrow nothing.
type SiteFilter struct {
	BranchID   string
	CustomerID string
	Query      string // a part of name, street, city or postcode
}

// Sites reads a part of the list by name and address.
func (tx *Tx) Sites(filter SiteFilter, page jobs.Page) (jobs.List[jobs.Site], error) {
	after, err := readCursor(page)
	if err != nil {
		return jobs.List[jobs.Site]{}, err
	}
	q := tx.db.Order("search_key, id").Limit(page.Size() + 1)
	if after.ID != "" {
		q = q.Where("(search_key, id) > (?, ?)", after.Key, after.ID)
	}
	if filter.BranchID != "" {
		q = q.Where("branch_id = ?", filter.BranchID)
	}
	if filter.CustomerID != "" {
		q = q.Where("customer_id = ?", filter.CustomerID)
	}
	if key := jobs.FoldKey(filter.Query); key != "" {
		q = q.Where(`search_key LIKE ? ESCAPE '\'`, "%"+likeText(key)+"%")
	}
	var rows []siteRow
	if err := q.Find(&rows).Error; err != nil {
		return jobs.List[jobs.Site]{}, err
	}
	part := cut(rows, page.Size(), func(r siteRow) cursor { return cursor{r.SearchKey, r.ID} })
	return jobs.List[jobs.Site]{Items: sites(part.Items), Next: part.Next}, nil
}

// raiseSurvey counts up the version of what is known of a site, if it still
// stands at version. CodeStale, CodeNotFound.
func (tx *Tx) raiseSurvey(siteID string, version int64, at time.Time) error {
	done := tx.db.Model(&siteRow{}).Where("id = ? AND survey_version = ?", siteID, version).
		Updates(map[string]any{"survey_version": version + 1, "updated_at": secs(at)})
	if done.Error != nil {
		return done.Error
	}
	if done.RowsAffected == 1 {
		return nil
	}
	if _, err := tx.Site(siteID); err != nil {
		return err
	}
	return jobs.Errorf(jobs.CodeStale, "Somebody changed this survey since you read it; read it again")
}

// CrewGoesTo says whether a visit to the site was handed out to the crew.
func (tx *Tx) CrewGoesTo(crewID, siteID string) (bool, error) {
	var n int64
	err := tx.db.Table("stops").Joins("JOIN jobs ON jobs.id = stops.job_id").
		Where("stops.live AND stops.crew_id = ? AND jobs.site_id = ?", crewID, siteID).Count(&n).Error
	return n > 0, err
}
