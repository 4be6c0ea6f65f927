package workbook

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"ebbline/jobs"
)

// Page is a sheet to write. Every cell is text: a phone number keeps its first
// zero, and nothing in it can become a formula, here or once it is saved as CSV
// (see jobs.PlainCell).
type Page struct {
	Name    string
	Columns []jobs.Column // of the first row; nil for a sheet of plain text
	Rows    [][]string
	Example bool // the first row under the header is an example
}

// formRows is how far down a form offers its choices.
const formRows = 2000

// Write writes a workbook. Headers carry what goes in as a note that shows when
// the cell is chosen; columns of choices offer them as a list.
func Write(pages []Page) ([]byte, error) {
	f := excelize.NewFile()
	defer f.Close()
	w, err := newWriter(f)
	if err != nil {
		return nil, err
	}
	// No name but ours, and the library's fixed instant: the same things make the same file.
	if err := errFirst(f.SetDocProps(&excelize.DocProperties{Creator: "Ebbline", LastModifiedBy: "Ebbline"}),
		f.SetAppProps(&excelize.AppProperties{Application: "Ebbline"})); err != nil {
		return nil, err
	}
	for i, p := range pages {
		if i == 0 {
			err = f.SetSheetName("Sheet1", p.Name)
		} else {
			_, err = f.NewSheet(p.Name)
		}
		if err == nil {
			err = w.page(p)
		}
		if err != nil {
			return nil, fmt.Errorf("sheet %s: %w", p.Name, err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

type writer struct {
	f                            *excelize.File
	text, need, may, example, by int // styles
}

func newWriter(f *excelize.File) (*writer, error) {
	w := &writer{f: f}
	text := "@" // cells that a person fills in stay as typed
	wrap := &excelize.Alignment{WrapText: true, Vertical: "top"}
	bold := &excelize.Font{Bold: true}
	for to, s := range map[*int]*excelize.Style{
		&w.text:    {CustomNumFmt: &text},
		&w.need:    {CustomNumFmt: &text, Font: bold, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"DCE9E6"}}},
		&w.may:     {CustomNumFmt: &text, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"F1F3F2"}}},
		&w.example: {CustomNumFmt: &text, Font: &excelize.Font{Italic: true, Color: "6B7573"}},
		&w.by:      {CustomNumFmt: &text, Alignment: wrap},
	} {
		id, err := f.NewStyle(s)
		if err != nil {
			return nil, err
		}
		*to = id
	}
	return w, nil
}

func (w *writer) page(p Page) error {
	s, err := w.f.NewStreamWriter(p.Name)
	if err != nil {
		return err
	}
	if err := w.widths(s, p); err != nil {
		return err
	}
	line := 1
	if p.Columns != nil {
		var head []any
		for _, c := range p.Columns {
			style := w.may
			if c.Needed {
				style = w.need
			}
			head = append(head, excelize.Cell{StyleID: style, Value: c.Name})
		}
		if err := errFirst(s.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}), s.SetRow("A1", head)); err != nil {
			return err
		}
		line++
	}
	for i, row := range p.Rows {
		style := w.text
		switch {
		case p.Columns == nil:
			style = w.by
		case p.Example && i == 0:
			style = w.example
		}
		cells := make([]any, len(row))
		for at, text := range row {
			if text != "" {
				cells[at] = excelize.Cell{StyleID: style, Value: jobs.PlainCell(text)}
			}
		}
		if err := s.SetRow(fmt.Sprintf("A%d", line+i), cells); err != nil {
			return err
		}
	}
	if err := w.hints(p); err != nil { // what is added after the stream's end is lost
		return err
	}
	return s.Flush()
}

func errFirst(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func (w *writer) widths(s *excelize.StreamWriter, p Page) error {
	if p.Columns == nil {
		return s.SetColWidth(1, 1, 110)
	}
	for at, c := range p.Columns {
		if err := errFirst(s.SetColStyle(at+1, at+1, w.text), s.SetColWidth(at+1, at+1, float64(max(12, min(30, len(c.Name)+3, max(len(c.Name), len(c.Example))+3))))); err != nil {
			return err
		}
	}
	return nil
}

// hints puts the notes at the headers and the lists under them.
func (w *writer) hints(p Page) error {
	for at, c := range p.Columns {
		letters := jobs.ColumnLetters(at)
		if hint := c.Hint(); hint != "" {
			dv := excelize.NewDataValidation(true)
			dv.SetSqref(letters + "1")
			dv.SetInput(c.Name, cut(hint, 255))
			if err := w.f.AddDataValidation(p.Name, dv); err != nil {
				return err
			}
		}
		if c.Choices == nil || len(strings.Join(c.Choices, ",")) > 255 { // what a list in a sheet can hold
			continue
		}
		dv := excelize.NewDataValidation(true)
		dv.SetSqref(fmt.Sprintf("%s2:%s%d", letters, letters, formRows))
		dv.SetError(excelize.DataValidationErrorStyleStop, c.Name, cut("One of "+strings.Join(c.Choices, ", "), 255))
		if err := errFirst(dv.SetDropList(c.Choices), w.f.AddDataValidation(p.Name, dv)); err != nil {
			return err
		}
	}
	return nil
}

func cut(text string, most int) string {
	if r := []rune(text); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return text
}
