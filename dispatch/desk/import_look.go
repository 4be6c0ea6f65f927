package desk

import (
	"context"
	"errors"

	"ebbline/jobs"
	"ebbline/jobs/store"
)

// RowState is what becomes of a row of a file.
type RowState string

// What becomes of rows.
const (
	RowNew     RowState = "new"
	RowKnown   RowState = "known"
	RowRefused RowState = "refused"
	RowLeft    RowState = "left" // nobody looked at it yet
)

// ImportLook is what taking in a file would come to, with some of its rows.
type ImportLook struct {
	jobs.Import
	Pages []LookPage
}

// LookPage is a sheet with the rows that show best what it holds: the first ones
// and those that would be refused.
type LookPage struct {
	Sheet   string
	Kind    jobs.ImportKind
	Columns []string
	Rows    []LookRow
}

// LookRow is one row as it stands there.
type LookRow struct {
	Line  int64
	State RowState
	Cells []string
}

// How many rows of a sheet are shown.
const (
	lookFirst   = 20
	lookRefused = 200
)

// errLooked rolls back what was only tried.
var errLooked = errors.New("only looked at")

// LookAtImport says what taking in a file would come to and keeps nothing of it:
// each row is tried in a transaction that is rolled back. CodeInvalid,
// CodeNotFound (branch), CodeTooLarge.
func (d *Desk) LookAtImport(ctx context.Context, call Call, in ImportFile) (ImportLook, error) {
	im, parts, err := d.beginImport(ctx, call, in)
	if err != nil {
		return ImportLook{}, err
	}
	im.looking = true
	if err := d.takeParts(ctx, im, parts); err != nil {
		return ImportLook{}, err
	}
	out := ImportLook{Import: *im.im}
	out.ID = ""
	for _, p := range parts {
		out.Pages = append(out.Pages, im.page(p))
	}
	return out, nil
}

func (im *importing) page(p importPart) LookPage {
	page := LookPage{Sheet: p.sheet.Name, Kind: p.kind, Columns: p.table.Columns}
	shown := map[int64]bool{}
	for _, r := range p.table.Rows {
		shown[r.Line] = true
	}
	refused := 0
	for _, r := range p.sheet.Rows {
		state := im.states[rowAt{p.sheet.Name, r.Line}]
		switch {
		case state == RowRefused:
			if refused++; refused > lookRefused {
				continue
			}
		case !shown[r.Line] || len(page.Rows)-refused >= lookFirst:
			continue
		case state == "":
			state = RowLeft
		}
		row := LookRow{Line: r.Line, State: state}
		for i := range min(len(r.Cells), len(page.Columns)) {
			row.Cells = append(row.Cells, jobs.Short(printable(r.Cells[i].Text)))
		}
		page.Rows = append(page.Rows, row)
	}
	return page
}

// printable leaves out what no contract lets through.
func printable(text string) string {
	if jobs.PlainText(text, true) {
		return text
	}
	return "?"
}

func wouldKey(noun, key string) string { return noun + "\n" + key }

// wouldOnce tries what once would do. A thing that would have come in with an
// earlier row of the same file is known.
func (d *Desk) wouldOnce(ctx context.Context, im *importing, noun, key string, do func(tx *store.Tx) (Outcome, error)) error {
	if im.would[wouldKey(noun, key)] {
		return errKnown
	}
	err := d.store.InTx(ctx, func(tx *store.Tx) error {
		if _, err := do(tx); err != nil {
			return err
		}
		return errLooked
	})
	if !errors.Is(err, errLooked) {
		return err
	}
	im.would[wouldKey(noun, key)] = true
	for _, k := range im.along {
		im.would[k] = true
	}
	return nil
}
