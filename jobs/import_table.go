package jobs

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Sheet is a table as it was read: a sheet of a workbook, or a CSV file, which
// has no name. Its first row that says anything is the header.
type Sheet struct {
	Name  string
	Rows  []SheetRow
	Notes []string // what was left out or is hidden
}

// SheetRow is one row, with its number in the file.
type SheetRow struct {
	Line   int64
	Cells  []SheetCell
	Broken string // why the row cannot be read at all
}

// SheetCell is a cell as the text that goes in. Where Want is not empty the cell
// holds no such text: Text is then how it shows, and Want what would be right.
// Number says that the sheet holds a bare number, so that leading zeros are lost.
type SheetCell struct {
	Text   string
	Want   string
	Number bool
}

// ImportRow is one row of a file.
type ImportRow struct {
	Sheet string
	Line  int64
	cells map[string]string
	units map[string]string // units of the header, by column
}

// Table is what the rows of a sheet came to.
type Table struct {
	Columns []string // names by place; empty where nothing stands above
	Rows    []ImportRow
	Refused []RefusedCell
	Notes   []string // rows left out, and what the sheet hides
}

// ReadRows reads a CSV file (RFC 4180; UTF-8, with or without a mark at its
// start) whose first line names the columns, in any order: see ReadSheet. The
// error is for a file that is none: no header, an unknown or doubled column, a
// needed one missing.
func ReadRows(kind ImportKind, data []byte) ([]ImportRow, []RefusedCell, error) {
	s, err := ReadCSV(data)
	if err != nil {
		return nil, nil, err
	}
	t, err := ReadSheet(kind, s)
	return t.Rows, t.Refused, err
}

// ReadCSV reads a CSV file into a sheet. Rows whose quotes are not right are
// kept as broken ones. CodeInvalid, CodeTooLarge.
func ReadCSV(data []byte) (Sheet, error) {
	var s Sheet
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	r.FieldsPerRecord = -1
	for {
		record, err := r.Read()
		if err == io.EOF {
			return s, nil
		}
		var broken *csv.ParseError
		switch {
		case errors.As(err, &broken):
			s.Rows = append(s.Rows, SheetRow{Line: int64(broken.StartLine), Broken: "the quotes are not right: " + broken.Err.Error()})
		case err != nil:
			return s, Wrap(CodeInvalid, err, "The file cannot be read")
		default:
			line, _ := r.FieldPos(0)
			row := SheetRow{Line: int64(line)}
			for _, text := range record {
				row.Cells = append(row.Cells, SheetCell{Text: text})
			}
			s.Rows = append(s.Rows, row)
		}
		if len(s.Rows) > MaxImportRows+1 {
			return s, tooManyRows()
		}
	}
}

func tooManyRows() error {
	return Errorf(CodeTooLarge, "At most %d rows; part the file", MaxImportRows)
}

// ReadSheet reads the rows of a sheet whose first row names the columns, in any
// order, in any case, with blanks or underscores, perhaps with a unit in
// brackets. Rows that cannot be read or lack what they need come back as
// refused; the others are kept; notes name the rows left out as examples. The
// error is for a sheet that is none. CodeInvalid, CodeTooLarge.
func ReadSheet(kind ImportKind, s Sheet) (Table, error) {
	known := Columns(kind)
	if known == nil {
		var f Faults
		OneOf(&f, "kind", kind, ImportKinds)
		return Table{}, f.Err()
	}
	head := headerAt(known, s)
	if head >= len(s.Rows) || s.Rows[head].Broken != "" {
		return Table{}, Errorf(CodeInvalid, "%sThe first line must name the columns: %s", s.prefix(), columnNames(known))
	}
	where := whereCSV
	if s.Name != "" {
		where = func(i int) string { return s.Name + ", column " + ColumnLetters(i) }
	}
	h, err := readHeader(known, s.Rows[head].Cells, where)
	if err != nil {
		return Table{}, err
	}
	t := Table{Notes: slices.Clone(s.Notes)}
	for _, c := range h.columns {
		t.Columns = append(t.Columns, c.Name)
	}
	for _, r := range s.Rows[:head] {
		if !r.empty() {
			t.Notes = append(t.Notes, s.prefix()+"row "+itoa(int(r.Line))+" stands above the header and was left out")
		}
	}
	for _, r := range s.Rows[head+1:] {
		if r.Broken != "" {
			t.Refused = append(t.Refused, RefusedCell{Line: r.Line, Reason: r.Broken, Sheet: s.Name})
			continue
		}
		row, bad := oneRow(known, h, r, s.Name)
		switch {
		case isExample(row.cells[known[0].Name]):
			t.Notes = append(t.Notes, s.prefix()+"row "+itoa(int(r.Line))+" is marked as an example and was left out")
		case len(bad) > 0:
			t.Refused = append(t.Refused, bad...)
		case len(row.cells) > 0: // an empty line is nothing
			t.Rows = append(t.Rows, row)
		}
	}
	if len(s.Rows)-head-1 > MaxImportRows {
		return Table{}, tooManyRows()
	}
	return t, nil
}

// headerAt finds the row that names the columns. In a file it is the first; in a
// sheet a title may stand above it, so it is the first row that names two of
// them, or else the first that says anything.
func headerAt(known []Column, s Sheet) int {
	if s.Name == "" {
		return 0
	}
	first := len(s.Rows)
	for i, r := range s.Rows[:min(len(s.Rows), 20)] {
		if r.empty() {
			continue
		}
		first = min(first, i)
		named := 0
		for _, cell := range r.Cells {
			if c, _, want := findColumn(known, CleanLine(cell.Text)); want == "" && c.Name != "" {
				named++
			}
		}
		if named >= 2 {
			return i
		}
	}
	return first
}

// Empty says whether nothing stands in a sheet.
func (s Sheet) Empty() bool {
	return !slices.ContainsFunc(s.Rows, func(r SheetRow) bool { return !r.empty() })
}

func (s Sheet) prefix() string {
	if s.Name == "" {
		return ""
	}
	return "Sheet " + s.Name + ": "
}

func whereCSV(i int) string { return "column " + itoa(i+1) }

func (r SheetRow) empty() bool {
	return r.Broken == "" && !slices.ContainsFunc(r.Cells, func(c SheetCell) bool { return strings.TrimSpace(c.Text) != "" || c.Want != "" })
}

// ColumnLetters names a column as spreadsheets do: A, B, ..., Z, AA. Places
// count from 0.
func ColumnLetters(place int) string {
	name := ""
	for n := place + 1; n > 0; n = (n - 1) / 26 {
		name = string(rune('A'+(n-1)%26)) + name
	}
	return name
}

// maxCell bounds a cell's text in bytes: what a sheet can hold, in UTF-8.
const maxCell = 4 * 32_767

func oneRow(known []Column, h header, r SheetRow, sheet string) (ImportRow, []RefusedCell) {
	row := ImportRow{Sheet: sheet, Line: r.Line, cells: map[string]string{}, units: h.units}
	refuse := func(column, value, reason string) RefusedCell {
		return RefusedCell{r.Line, column, Short(strings.Map(printable, strings.ToValidUTF8(value, "?"))), reason, sheet}
	}
	if sheet == "" && len(r.Cells) > len(h.columns) {
		return row, []RefusedCell{refuse("", r.Cells[len(h.columns)].Text, "there are "+itoa(len(r.Cells))+" values for "+itoa(len(h.columns))+" columns")}
	}
	var bad []RefusedCell
	for i, cell := range r.Cells {
		if i >= len(h.columns) || h.columns[i].Name == "" {
			if strings.TrimSpace(cell.Text) != "" {
				bad = append(bad, refuse(ColumnLetters(i), cell.Text, "nothing here, or a column name above it"))
			}
			continue
		}
		c := h.columns[i]
		if want := wrongCell(c, cell); want != "" {
			bad = append(bad, refuse(c.Name, cell.Text, want))
			continue
		}
		if text := unquoted(strings.TrimSpace(cell.Text)); text != "" {
			row.cells[c.Name] = text
		}
	}
	if len(row.cells) == 0 {
		return row, bad
	}
	for _, c := range known {
		told := slices.ContainsFunc(bad, func(r RefusedCell) bool { return r.Column == c.Name })
		if c.Needed && row.cells[c.Name] == "" && !told {
			bad = append(bad, refuse(c.Name, "", "needed"))
		}
	}
	return row, bad
}

// wrongCell says what would be right where a cell cannot be taken at all.
func wrongCell(c Column, cell SheetCell) string {
	switch {
	case cell.Want != "":
		return cell.Want
	case len(cell.Text) > maxCell:
		return "a shorter text"
	case !PlainText(cell.Text, true):
		return "text in UTF-8 without control characters"
	case utf8.RuneCountInString(cell.Text) > MaxName && isKey(c.Name):
		return "at most " + itoa(MaxName) + " characters"
	case cell.Number && c.Holds == HoldsPostcode && len(cell.Text) < 5:
		return "a postcode kept as text: as a number it loses the zeros it begins with"
	}
	return ""
}

// isKey says whether a column holds what rows are known by: one too long for a
// database's index would stop the whole file.
func isKey(column string) bool {
	return column == "name" || column == "code" || column == "key" || strings.HasSuffix(column, "_key")
}

// printable leaves a sign that can be shown, or a question mark.
func printable(r rune) rune {
	if unicode.IsControl(r) {
		return '?'
	}
	return r
}

// Refuse turns an error of an act into cells of the row: each field error
// names its own column, by the table given or by its last part.
func (r ImportRow) Refuse(err error, columns map[string]string) []RefusedCell {
	var e *Error
	if !errors.As(err, &e) || e.Code == CodeInternal || e.Code == CodeUnavailable {
		return nil
	}
	if len(e.Fields) == 0 {
		return []RefusedCell{{Line: r.Line, Reason: e.Text, Sheet: r.Sheet}}
	}
	var out []RefusedCell
	for _, f := range e.Fields {
		column, ok := columns[f.Field]
		if !ok {
			column = f.Field[strings.LastIndexByte(f.Field, '.')+1:]
		}
		value := f.Value
		if text, ok := r.cells[column]; ok {
			value = text
		}
		out = append(out, RefusedCell{r.Line, column, Short(value), f.Want, r.Sheet})
	}
	return out
}

// Texts gives the row's values in the order of its kind's columns.
func (r ImportRow) Texts(kind ImportKind) []string {
	out := make([]string, 0, len(columns[kind]))
	for _, c := range columns[kind] {
		text := r.cells[c.Name]
		if unit := r.units[c.Name]; unit != "" && text != "" && r.cells[c.Unit] == "" {
			text += " " + unit
		}
		out = append(out, text)
	}
	return out
}
