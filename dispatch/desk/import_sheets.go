package desk

import (
	"context"
	"slices"
	"strings"

	"ebbline/dispatch/desk/workbook"
	"ebbline/jobs"
)

// importPart is a sheet of a file, and what its rows are.
type importPart struct {
	kind  jobs.ImportKind
	sheet jobs.Sheet
	table jobs.Table
}

// readParts reads a file into its sheets, in the order in which their rows must
// come in. Notes name what was left out.
func readParts(in ImportFile) (parts []importPart, notes []string, err error) {
	var f jobs.Faults
	if jobs.OneOf(&f, "kind", in.Kind, jobs.FileKinds); len(f) > 0 {
		return nil, nil, f.Err()
	}
	switch {
	case workbook.Is(in.Data):
		parts, notes, err = workbookParts(in)
	case in.Kind == jobs.ImportWorkbook:
		return nil, nil, jobs.Errorf(jobs.CodeInvalid, "The file is no workbook; of a CSV file, say what its rows are")
	default:
		var s jobs.Sheet
		s, err = jobs.ReadCSV(in.Data)
		parts = []importPart{{kind: in.Kind, sheet: s}}
	}
	if err != nil {
		return nil, nil, err
	}
	rows := 0
	for i := range parts {
		p := &parts[i]
		if p.table, err = jobs.ReadSheet(p.kind, p.sheet); err != nil {
			return nil, nil, err
		}
		notes = append(notes, p.table.Notes...)
		rows += len(p.sheet.Rows)
	}
	if rows > jobs.MaxImportRows+len(parts) {
		return nil, nil, jobs.Errorf(jobs.CodeTooLarge, "At most %d rows in all sheets; part the file", jobs.MaxImportRows)
	}
	return parts, notes, nil
}

// workbookParts picks the sheets of a workbook: all whose names begin with a kind
// of rows, or for rows of one kind the only sheet, or those named so.
func workbookParts(in ImportFile) (parts []importPart, notes []string, err error) {
	sheets, notes, err := workbook.Read(in.Data)
	if err != nil {
		return nil, nil, err
	}
	var full []jobs.Sheet
	var names []string
	for _, s := range sheets {
		names = append(names, s.Name)
		if s.Empty() {
			notes = append(notes, "Sheet "+s.Name+" is empty")
			continue
		}
		full = append(full, s)
	}
	var aside []string
	for _, s := range full {
		kind := kindOfSheet(s.Name)
		if in.Kind != jobs.ImportWorkbook {
			if len(full) == 1 {
				kind = in.Kind
			}
			if kind != in.Kind {
				aside = append(aside, "Sheet "+s.Name+" was not read")
				continue
			}
		}
		if kind == "" {
			aside = append(aside, "Sheet "+s.Name+" was not read: its name is no kind of rows")
			continue
		}
		parts = append(parts, importPart{kind: kind, sheet: s})
	}
	if len(parts) == 0 {
		want := "a sheet named after what its rows are: one of " + kindNames()
		if in.Kind != jobs.ImportWorkbook {
			want = "a sheet named " + string(in.Kind)
		}
		return nil, nil, jobs.Faults{{Field: "sheets", Value: jobs.Short(strings.Join(names, ", ")), Want: want}}.Err()
	}
	slices.SortStableFunc(parts, func(a, b importPart) int {
		return slices.Index(jobs.ImportOrder, a.kind) - slices.Index(jobs.ImportOrder, b.kind)
	})
	return parts, append(notes, aside...), nil
}

func kindNames() string {
	names := make([]string, len(jobs.ImportKinds))
	for i, k := range jobs.ImportKinds {
		names[i] = string(k)
	}
	return strings.Join(names, ", ")
}

// kindOfSheet reads a kind off a sheet's name, like Customers or "crews 2026";
// empty for none.
func kindOfSheet(name string) jobs.ImportKind {
	for _, kind := range jobs.ImportKinds {
		rest, ok := strings.CutPrefix(jobs.FoldKey(name), string(kind))
		if ok && (rest == "" || !(rest[0] >= 'a' && rest[0] <= 'z')) {
			return kind
		}
	}
	return ""
}

// takeParts takes in one sheet after the other, and sums up.
func (d *Desk) takeParts(ctx context.Context, im *importing, parts []importPart) error {
	im.im.Sheets = make([]jobs.ImportTally, len(parts))
	for i, p := range parts {
		im.tally = &im.im.Sheets[i]
		im.tally.Sheet, im.tally.Kind = p.sheet.Name, p.kind
		im.refuseUnread(p.table.Refused)
		if err := d.takeIn(ctx, im, p.table.Rows); err != nil {
			return err
		}
		im.im.New += im.tally.New
		im.im.Known += im.tally.Known
		im.im.NotTaken += im.tally.NotTaken
		im.im.Left += im.tally.Left
	}
	im.im.Read = im.im.New + im.im.Known + im.im.NotTaken
	return nil
}

// refuseUnread notes rows that could not be read at all: they cost no time, so
// that they do not count against the bound.
func (im *importing) refuseUnread(cells []jobs.RefusedCell) {
	left := im.left
	im.refuse(cells...)
	im.left = left
}
