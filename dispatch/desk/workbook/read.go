// Package workbook reads and writes XLSX workbooks (ECMA-376). It is the only
// home of excelize. Reading gives each cell as the very text that a CSV file
// would hold, so that both take the same way in; what a spreadsheet keeps in
// another way than it shows is refused rather than guessed.
package workbook

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/xuri/excelize/v2"

	"ebbline/jobs"
)

// Is says whether a file begins like a workbook: a ZIP archive, or the older
// form that Read refuses by name.
func Is(data []byte) bool {
	return bytes.HasPrefix(data, []byte("PK")) || bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0"))
}

// one lets in one workbook after the other: the largest one that is read takes
// some 500 MB and 6 s while it is.
var one sync.Mutex

// Read reads the sheets that show, in their order. Notes name what is hidden.
// CodeInvalid, CodeTooLarge.
func Read(data []byte) (sheets []jobs.Sheet, notes []string, err error) {
	if err := measure(data); err != nil {
		return nil, nil, err
	}
	one.Lock()
	defer one.Unlock()
	// Sound XML that is no sound workbook: whatever the library makes of it, one
	// bad file must not end the program.
	defer func() {
		if r := recover(); r != nil {
			sheets, notes, err = nil, nil, notOne(fmt.Errorf("%v", r))
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue: true, UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked})
	if err != nil {
		return nil, nil, notOne(err)
	}
	defer f.Close()
	props, err := f.GetWorkbookProps()
	if err != nil {
		return nil, nil, notOne(err)
	}
	r := reader{f: f, from1904: props.Date1904 != nil && *props.Date1904, formats: map[int]format{}}
	for _, name := range f.GetSheetList() {
		visible, err := f.GetSheetVisible(name)
		if err != nil {
			return nil, nil, notOne(err)
		}
		if !visible {
			notes = append(notes, "Sheet "+name+" is hidden and was not read")
			continue
		}
		s, err := r.sheet(name)
		if err != nil {
			return nil, nil, notOne(fmt.Errorf("sheet %s: %w", name, err))
		}
		sheets = append(sheets, s)
	}
	return sheets, notes, nil
}

type reader struct {
	f        *excelize.File
	from1904 bool
	formats  map[int]format
}

// sheet reads one sheet. The raw values come first, as a stream; types and
// formats are looked up only where there is a value.
func (r *reader) sheet(name string) (jobs.Sheet, error) {
	s := jobs.Sheet{Name: name}
	rows, err := r.f.Rows(name)
	if err != nil {
		return s, err
	}
	var raw [][]string
	for rows.Next() {
		cells, err := rows.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return s, err
		}
		raw = append(raw, cells)
	}
	if err := errors.Join(rows.Error(), rows.Close()); err != nil {
		return s, err
	}
	width := 0
	var hidden []int
	for i, cells := range raw {
		row := jobs.SheetRow{Line: int64(i + 1)}
		for at, text := range cells {
			cell, err := r.cell(name, at+1, i+1, text)
			if err != nil {
				return s, err
			}
			row.Cells = append(row.Cells, cell)
		}
		width = max(width, len(cells))
		s.Rows = append(s.Rows, row)
		if len(cells) == 0 {
			continue
		}
		visible, err := r.f.GetRowVisible(name, i+1)
		if err != nil {
			return s, err
		}
		if !visible {
			hidden = append(hidden, i+1)
		}
	}
	if err := r.spread(&s); err != nil {
		return s, err
	}
	if len(hidden) > 0 {
		s.Notes = append(s.Notes, "Sheet "+name+": "+ranges("row", hidden)+" hidden and read all the same")
	}
	return s, r.hiddenColumns(&s, width)
}

func (r *reader) hiddenColumns(s *jobs.Sheet, width int) error {
	for at := range width {
		visible, err := r.f.GetColVisible(s.Name, jobs.ColumnLetters(at))
		if err != nil {
			return err
		}
		if !visible {
			s.Notes = append(s.Notes, "Sheet "+s.Name+": column "+jobs.ColumnLetters(at)+" is hidden and read all the same")
		}
	}
	return nil
}

// spread gives the value of cells merged downwards to each of their rows: that
// is what the person who merged them sees. Cells merged across columns belong to
// no one column and are refused.
func (r *reader) spread(s *jobs.Sheet) error {
	merged, err := r.f.GetMergeCells(s.Name, true)
	if err != nil {
		return err
	}
	for _, m := range merged {
		left, top, err := excelize.CellNameToCoordinates(m.GetStartAxis())
		if err != nil {
			return err
		}
		right, bottom, err := excelize.CellNameToCoordinates(m.GetEndAxis())
		if err != nil {
			return err
		}
		if top > len(s.Rows) || left > len(s.Rows[top-1].Cells) {
			continue // an empty one
		}
		value := s.Rows[top-1].Cells[left-1]
		if right > left && strings.TrimSpace(value.Text) != "" {
			value.Want = "a value in a cell of its own; " + m.GetStartAxis() + " to " + m.GetEndAxis() + " are merged"
			s.Rows[top-1].Cells[left-1] = value
		}
		for y := top + 1; y <= min(bottom, len(s.Rows)); y++ {
			row := &s.Rows[y-1]
			if len(row.Cells) == 0 {
				continue // nothing else in the row
			}
			for len(row.Cells) < left {
				row.Cells = append(row.Cells, jobs.SheetCell{})
			}
			row.Cells[left-1] = value
		}
	}
	return nil
}

// cell turns a raw value into the text that goes in.
func (r *reader) cell(sheet string, x, y int, raw string) (jobs.SheetCell, error) {
	at, err := excelize.CoordinatesToCellName(x, y)
	if err != nil {
		return jobs.SheetCell{}, err
	}
	if raw == "" {
		formula, err := r.f.GetCellFormula(sheet, at)
		if err == nil && formula != "" {
			return jobs.SheetCell{Text: "=" + formula, Want: "a value; this formula was never worked out: open the file in a spreadsheet program and save it"}, nil
		}
		return jobs.SheetCell{}, nil //nolint:nilerr // an empty cell has nothing that could be wrong
	}
	kind, err := r.f.GetCellType(sheet, at)
	if err != nil {
		return jobs.SheetCell{}, err
	}
	switch kind {
	case excelize.CellTypeBool:
		return jobs.SheetCell{Text: map[bool]string{true: "yes", false: "no"}[raw == "1" || strings.EqualFold(raw, "true")]}, nil
	case excelize.CellTypeError:
		return jobs.SheetCell{Text: raw, Want: "a value; the cell holds an error"}, nil
	case excelize.CellTypeDate:
		return isoCell(raw), nil
	case excelize.CellTypeNumber, excelize.CellTypeUnset:
		return r.number(sheet, at, raw)
	}
	return jobs.SheetCell{Text: raw}, nil
}

func (r *reader) number(sheet, at, raw string) (jobs.SheetCell, error) {
	id, err := r.f.GetCellStyle(sheet, at)
	if err != nil {
		return jobs.SheetCell{}, err
	}
	form, ok := r.formats[id]
	if !ok {
		if form, err = r.format(id); err != nil {
			return jobs.SheetCell{}, err
		}
		r.formats[id] = form
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(raw), 64)
	if err != nil {
		return jobs.SheetCell{Text: raw, Want: "a number or a text"}, nil //nolint:nilerr // the cell's fault, named
	}
	switch {
	case form.date || form.clock:
		return serialCell(v, form, r.from1904), nil
	case form.percent:
		cell := numberCell(v * 100)
		cell.Text += "%"
		return cell, nil
	case form.digits:
		shown, err := r.f.GetCellValue(sheet, at, excelize.Options{RawCellValue: false})
		plain := numberCell(v)
		if err == nil && plain.Want == "" && strings.TrimLeft(onlyDigits(shown), "0") == strings.TrimLeft(onlyDigits(plain.Text), "0") {
			return jobs.SheetCell{Text: shown}, nil
		}
	}
	return numberCell(v), nil
}

func onlyDigits(text string) string {
	return strings.Map(func(c rune) rune {
		if c < '0' || c > '9' {
			return -1
		}
		return c
	}, text)
}

// ranges writes "row 5 is", "rows 5, 7 to 9 are".
func ranges(what string, of []int) string {
	var parts []string
	slices.Sort(of)
	for i := 0; i < len(of); {
		j := i
		for j+1 < len(of) && of[j+1] == of[j]+1 {
			j++
		}
		part := strconv.Itoa(of[i])
		if j > i {
			part += " to " + strconv.Itoa(of[j])
		}
		parts = append(parts, part)
		i = j + 1
	}
	if len(of) == 1 {
		return what + " " + parts[0] + " is"
	}
	return what + "s " + strings.Join(parts, ", ") + " are"
}
