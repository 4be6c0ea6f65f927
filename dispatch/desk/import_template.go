package desk

import (
	"slices"
	"strings"

	"ebbline/dispatch/desk/workbook"
	"ebbline/jobs"
)

// FileForm is the form of a file that goes out.
type FileForm string

// The forms.
const (
	FormCSV  FileForm = "csv"
	FormXLSX FileForm = "xlsx"
)

// FileForms lists the forms.
var FileForms = []FileForm{FormCSV, FormXLSX}

// Type is the media type of a form.
func (f FileForm) Type() string {
	if f == FormXLSX {
		return TypeXLSX
	}
	return "text/csv; charset=utf-8"
}

// TypeXLSX is the media type of a workbook (ECMA-376).
const TypeXLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

// ImportTemplate is a file to fill in, with an example row that taking it in
// leaves out. For ImportWorkbook it has a sheet for each kind of rows.
// CodeInvalid.
func ImportTemplate(kind jobs.ImportKind, form FileForm) ([]byte, error) {
	if err := checkFile(kind, form); err != nil {
		return nil, err
	}
	if form == FormCSV {
		return jobs.Template(kind), nil
	}
	var pages []workbook.Page
	for _, k := range kindsIn(kind) {
		pages = append(pages, workbook.Page{Name: string(k), Columns: jobs.Columns(k), Rows: [][]string{jobs.ExampleRow(k)}, Example: true})
	}
	return workbook.Write(append(pages, howTo(kindsIn(kind))))
}

func checkFile(kind jobs.ImportKind, form FileForm) error {
	var f jobs.Faults
	jobs.OneOf(&f, "kind", kind, jobs.FileKinds)
	jobs.OneOf(&f, "form", form, FileForms)
	f.Check(kind != jobs.ImportWorkbook || form == FormXLSX, "form", string(form), "xlsx: a workbook of several sheets has no other")
	return f.Err()
}

func kindsIn(kind jobs.ImportKind) []jobs.ImportKind {
	if kind == jobs.ImportWorkbook {
		return jobs.ImportOrder
	}
	return []jobs.ImportKind{kind}
}

// howTo is the sheet that says how to fill in the others. Its name is no kind of
// rows, so that it is not read.
func howTo(kinds []jobs.ImportKind) workbook.Page {
	rows := [][]string{
		{"How to fill in"},
		{"One row for each thing. Columns in bold are needed; the others may stay empty or be deleted. Their order does not matter."},
		{"The row that begins with " + jobs.ExampleMark + " only shows the form. It is left out; delete it or write below it."},
		{"A unit stands behind the number (80 ft), in the column for it, or in the header: length (ft)."},
		{"Days as 2026-03-08 and times as 07:30; a sheet's own days and times do as well. Phone numbers and postcodes stay text, so that no zero is lost."},
		{"Take the file in again after mending it: what came in before is known by its key, name or code, and nothing comes in twice."},
	}
	for _, k := range kinds {
		rows = append(rows, []string{""}, []string{string(k)})
		for _, c := range jobs.Columns(k) {
			if hint := c.Hint(); hint != "" {
				rows = append(rows, []string{"    " + c.Name + ": " + hint})
			}
		}
	}
	if slices.Contains(kinds, jobs.ImportSurvey) {
		rows = append(rows, []string{""}, []string{"Fields of a survey"})
		for _, f := range jobs.Fields() {
			rows = append(rows, []string{"    " + fieldHint(f)})
		}
	}
	return workbook.Page{Name: "How to", Rows: rows}
}

// fieldHint says what goes into a field of a survey.
func fieldHint(f jobs.FieldSpec) string {
	text := string(f.Subject) + ", " + f.Name + ": " + f.Label
	switch {
	case len(f.Choices) > 0:
		text += ", one of " + strings.Join(f.Choices, ", ")
	case f.Quantity == jobs.QuantityBool:
		text += ", yes or no"
	case f.Quantity.Measured() && len(jobs.UnitNames(f.Quantity)) > 0:
		text += ", in " + strings.Join(jobs.UnitNames(f.Quantity), ", ")
	}
	return text
}
