package store

import (
	"encoding/json"
	"errors"
	"strings"

	"gorm.io/gorm"

	"ebbline/jobs"
)

type importRow struct {
	ID          string
	BranchID    string
	FileName    string
	SHA256      string `gorm:"column:sha256"`
	Kind        string
	RowsRead    int64
	RowsNew     int64
	RowsKnown   int64
	RowsRefused int64
	Report      string
	MadeAt      int64
	MadeBy      string
}

func (importRow) TableName() string { return "imports" }

// InsertImport keeps what an import did.
func (tx *Tx) InsertImport(i jobs.Import) error {
	report, err := json.Marshal(importReport{i.Refused, i.Notes, i.Sheets, i.Left})
	if err != nil {
		return err
	}
	return tx.insert(&importRow{ID: i.ID, BranchID: i.BranchID, FileName: i.FileName, SHA256: i.SHA256, Kind: string(i.Kind),
		RowsRead: i.Read, RowsNew: i.New, RowsKnown: i.Known, RowsRefused: i.NotTaken, Report: string(report),
		MadeAt: secs(i.MadeAt), MadeBy: i.MadeBy})
}

// importReport is what an import had to say. Earlier ones are a bare list of
// what was refused.
type importReport struct {
	Refused []jobs.RefusedCell `json:"refused"`
	Notes   []string           `json:"notes,omitempty"`
	Sheets  []jobs.ImportTally `json:"sheets,omitempty"`
	Left    int64              `json:"left,omitempty"`
}

// Import reads what an import did. CodeNotFound.
func (tx *Tx) Import(id string) (jobs.Import, error) {
	r, err := first[importRow](tx, "import", "id = ?", id)
	if err != nil {
		return jobs.Import{}, err
	}
	return r.noun()
}

// Imports lists imports, the latest first, at most so many. An empty branch id is
// all branches.
func (tx *Tx) Imports(branchID string, most int) ([]jobs.Import, error) {
	q := tx.db.Order("made_at DESC, id DESC").Limit(most)
	if branchID != "" {
		q = q.Where("branch_id = ?", branchID)
	}
	var rows []importRow
	if err := q.Find(&rows).Error; err != nil {
		return nil, err
	}
	list := make([]jobs.Import, 0, len(rows))
	for _, r := range rows {
		i, err := r.noun()
		if err != nil {
			return nil, err
		}
		list = append(list, i)
	}
	return list, nil
}

func (r importRow) noun() (jobs.Import, error) {
	out := jobs.Import{ID: r.ID, BranchID: r.BranchID, FileName: r.FileName, SHA256: r.SHA256, Kind: jobs.ImportKind(r.Kind),
		Read: r.RowsRead, New: r.RowsNew, Known: r.RowsKnown, NotTaken: r.RowsRefused, MadeAt: instant(r.MadeAt), MadeBy: r.MadeBy}
	if strings.HasPrefix(r.Report, "{") {
		var report importReport
		if err := json.Unmarshal([]byte(r.Report), &report); err != nil {
			return out, err
		}
		out.Refused, out.Notes, out.Sheets, out.Left = report.Refused, report.Notes, report.Sheets, report.Left
		return out, nil
	}
	return out, json.Unmarshal([]byte(r.Report), &out.Refused)
}

type importKeyRow struct {
	BranchID string
	Noun     string
	Key      string
	NounID   string
}

func (importKeyRow) TableName() string { return "import_keys" }

// ImportedAs is the id of the thing that came in under a key of a file; empty
// for none.
func (tx *Tx) ImportedAs(branchID, noun, key string) (string, error) {
	var row importKeyRow
	err := tx.db.Where("branch_id = ? AND noun = ? AND key = ?", branchID, noun, key).Take(&row).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return "", nil
	}
	return row.NounID, err
}

// InsertImportKey remembers under which key a thing came in. CodeConflict where
// it did already.
func (tx *Tx) InsertImportKey(branchID, noun, key, nounID string) error {
	return tx.insert(&importKeyRow{BranchID: branchID, Noun: noun, Key: key, NounID: nounID})
}

// ImportKeys tells under which key of a file the things of a noun came in, by
// their ids.
func (tx *Tx) ImportKeys(branchID, noun string) (map[string]string, error) {
	var rows []importKeyRow
	if err := tx.db.Where("branch_id = ? AND noun = ?", branchID, noun).Find(&rows).Error; err != nil {
		return nil, err
	}
	keys := make(map[string]string, len(rows))
	for _, r := range rows {
		keys[r.NounID] = r.Key
	}
	return keys, nil
}
