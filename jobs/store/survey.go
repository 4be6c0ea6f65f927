package store

import (
	"time"

	"ebbline/jobs"
)

type subjectRow struct {
	ID        string
	SiteID    string
	Key       string
	Kind      string
	Name      string
	ParentID  *string
	Place     int64
	Live      bool
	CreatedAt int64 `gorm:"autoCreateTime:false"`
}

func (subjectRow) TableName() string { return "survey_subjects" }

type conduitEndRow struct {
	ConduitID string
	SubjectID string
	Place     int64
}

func (conduitEndRow) TableName() string { return "conduit_ends" }

type valueRow struct {
	ID        string
	SiteID    string
	SubjectID string
	Field     string
	Text      string
	Unit      string
	Base      *int64
	Known     string
	Note      string
	At        int64
	ByName    string
	PhotoID   *string
	Live      bool
}

func (valueRow) TableName() string { return "survey_values" }

func (r valueRow) value() jobs.Value {
	v := jobs.Value{Text: r.Text, Unit: r.Unit, Known: jobs.Known(r.Known), At: r.At, By: r.ByName, Note: r.Note}
	if r.Base != nil {
		v.Base = *r.Base
	}
	return v
}

// same says whether two values say the same; when and by whom does not count.
func same(a, b jobs.Value) bool {
	return a.Text == b.Text && a.Unit == b.Unit && a.Known == b.Known && a.Note == b.Note
}

// Survey reads what is known of a site now.
func (tx *Tx) Survey(site jobs.Site) (jobs.Survey, error) {
	list, err := tx.Surveys(site)
	if err != nil {
		return jobs.Survey{}, err
	}
	return list[site.ID], nil
}

// Surveys reads what is known of several sites, by site id, in three
// statements however many they are.
func (tx *Tx) Surveys(list ...jobs.Site) (map[string]jobs.Survey, error) {
	out, ids := map[string]jobs.Survey{}, make([]string, len(list))
	for i, site := range list {
		ids[i] = site.ID
		out[site.ID] = jobs.Survey{Version: jobs.SurveyVersion, Zone: site.Zone, Subjects: []jobs.Subject{}}
	}
	if len(ids) == 0 {
		return out, nil
	}
	subjects, err := all[subjectRow](tx, "site_id, place, id", "site_id IN ? AND live", ids)
	if err != nil {
		return nil, err
	}
	values, err := all[valueRow](tx, "id", "site_id IN ? AND live", ids)
	if err != nil {
		return nil, err
	}
	var ends []conduitEndRow
	err = tx.db.Where("conduit_id IN (?)", tx.db.Model(&subjectRow{}).Select("id").Where("site_id IN ? AND live AND kind = ?", ids, string(jobs.SubjectConduit))).
		Order("conduit_id, place").Find(&ends).Error
	if err != nil {
		return nil, err
	}
	of, joins, key := map[string]map[string]jobs.Value{}, map[string][]string{}, map[string]string{}
	for _, s := range subjects {
		key[s.ID] = s.Key
	}
	for _, v := range values {
		if of[v.SubjectID] == nil {
			of[v.SubjectID] = map[string]jobs.Value{}
		}
		of[v.SubjectID][v.Field] = v.value()
	}
	for _, e := range ends {
		joins[e.ConduitID] = append(joins[e.ConduitID], key[e.SubjectID])
	}
	for _, s := range subjects {
		survey := out[s.SiteID]
		survey.Subjects = append(survey.Subjects, jobs.Subject{
			ID: s.Key, Kind: jobs.SubjectKind(s.Kind), Name: s.Name, Of: key[text(s.ParentID)], Ends: joins[s.ID], Values: of[s.ID],
		})
		out[s.SiteID] = survey
	}
	return out, nil
}

// PutSurvey makes survey what is known of a site, over the version of the
// survey that the caller read. Values that changed or went stay in the table as
// not live. newID makes the ids of new rows. CodeStale, CodeNotFound.
func (tx *Tx) PutSurvey(siteID string, version int64, survey jobs.Survey, at time.Time, newID func() string) error {
	if err := tx.raiseSurvey(siteID, version, at); err != nil {
		return err
	}
	old, err := all[subjectRow](tx, "place, id", "site_id = ?", siteID)
	if err != nil {
		return err
	}
	ids, gone := map[string]string{}, map[string]bool{}
	known := map[string]subjectRow{}
	for _, s := range old {
		ids[s.Key], known[s.Key] = s.ID, s
		if s.Live {
			gone[s.ID] = true
		}
	}
	for _, parents := range []bool{true, false} { // what others hang on first
		for i, s := range survey.Subjects {
			if (s.Of == "") != parents {
				continue
			}
			row := subjectRow{ID: ids[s.ID], SiteID: siteID, Key: s.ID, Kind: string(s.Kind), Name: s.Name,
				ParentID: maybeText(ids[s.Of]), Place: int64(i), Live: true, CreatedAt: secs(at)}
			if row.ID == "" {
				row.ID = newID()
				ids[s.ID] = row.ID
			}
			if err := tx.putSubject(row, known[s.ID]); err != nil {
				return err
			}
			delete(gone, row.ID)
		}
	}
	for _, s := range old { // in an order that does not change from try to try
		if !gone[s.ID] {
			continue
		}
		if err := tx.db.Model(&subjectRow{}).Where("id = ?", s.ID).Updates(map[string]any{"live": false}).Error; err != nil {
			return err
		}
	}
	if err := tx.putEnds(survey, ids); err != nil {
		return err
	}
	return tx.putValues(siteID, survey, ids, newID)
}

func (tx *Tx) putSubject(row, old subjectRow) error {
	if old.ID == "" {
		return tx.insert(&row)
	}
	if old.Kind == row.Kind && old.Name == row.Name && text(old.ParentID) == text(row.ParentID) && old.Place == row.Place && old.Live {
		return nil
	}
	return tx.db.Model(&subjectRow{}).Where("id = ?", row.ID).Updates(map[string]any{
		"kind": row.Kind, "name": row.Name, "parent_id": row.ParentID, "place": row.Place, "live": true}).Error
}

func (tx *Tx) putEnds(survey jobs.Survey, ids map[string]string) error {
	for _, s := range survey.OfKind(jobs.SubjectConduit) {
		if err := tx.db.Where("conduit_id = ?", ids[s.ID]).Delete(&conduitEndRow{}).Error; err != nil {
			return err
		}
		for i, end := range s.Ends {
			if err := tx.insert(&conduitEndRow{ConduitID: ids[s.ID], SubjectID: ids[end], Place: int64(i)}); err != nil {
				return err
			}
		}
	}
	return nil
}

func (tx *Tx) putValues(siteID string, survey jobs.Survey, ids map[string]string, newID func() string) error {
	live, err := all[valueRow](tx, "id", "site_id = ? AND live", siteID)
	if err != nil {
		return err
	}
	type place struct{ subject, field string }
	want := map[place]jobs.Value{}
	for _, s := range survey.Subjects {
		for name, v := range s.Values {
			want[place{ids[s.ID], name}] = v
		}
	}
	for _, r := range live {
		at := place{r.SubjectID, r.Field}
		if v, ok := want[at]; ok && same(v, r.value()) {
			delete(want, at)
			continue
		}
		if err := tx.db.Model(&valueRow{}).Where("id = ?", r.ID).Updates(map[string]any{"live": false}).Error; err != nil {
			return err
		}
	}
	var rows []valueRow
	for _, s := range survey.Subjects {
		for _, spec := range jobs.FieldsOf(s.Kind) {
			v, ok := want[place{ids[s.ID], spec.Name}]
			if !ok {
				continue
			}
			row := valueRow{ID: newID(), SiteID: siteID, SubjectID: ids[s.ID], Field: spec.Name, Text: v.Text, Unit: v.Unit,
				Known: string(v.Known), Note: v.Note, At: v.At, ByName: v.By, Live: true}
			if v.Known != jobs.KnownNot && (spec.Quantity.Measured() || spec.Quantity == jobs.QuantityBool) {
				base := v.Base
				row.Base = &base
			}
			rows = append(rows, row)
		}
	}
	if len(rows) == 0 {
		return nil
	}
	return tx.db.CreateInBatches(&rows, 200).Error
}

// OldValue is a value that was once known of a site and no longer counts.
type OldValue struct {
	Subject string // its id in the survey
	Field   string
	jobs.Value
}

// SurveyPast reads the values that no longer count, oldest first.
func (tx *Tx) SurveyPast(siteID string) ([]OldValue, error) {
	var rows []struct {
		valueRow
		Key string
	}
	err := tx.db.Table("survey_values").Select("survey_values.*, survey_subjects.key AS key").
		Joins("JOIN survey_subjects ON survey_subjects.id = survey_values.subject_id").
		Where("survey_values.site_id = ? AND NOT survey_values.live", siteID).
		Order("survey_values.at, survey_values.id").Find(&rows).Error
	out := make([]OldValue, len(rows))
	for i, r := range rows {
		out[i] = OldValue{Subject: r.Key, Field: r.Field, Value: r.value()}
	}
	return out, err
}

// LightPositions counts the light positions that the sites' surveys know.
func (tx *Tx) LightPositions(siteIDs ...string) (map[string]int64, error) {
	counts := map[string]int64{}
	if len(siteIDs) == 0 {
		return counts, nil
	}
	var rows []struct {
		SiteID string
		N      int64
	}
	err := tx.db.Table("survey_subjects").Select("site_id, COUNT(*) AS n").
		Where("site_id IN ? AND kind = ? AND live", siteIDs, string(jobs.SubjectPosition)).Group("site_id").Scan(&rows).Error
	for _, r := range rows {
		counts[r.SiteID] = r.N
	}
	return counts, err
}
