package workbook

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"

	xlsx "github.com/tealeg/xlsx/v3"
	"github.com/xuri/excelize/v2"

	"ebbline/jobs"
)

const sheetPart = "xl/worksheets/sheet1.xml"

// oneCell is a sound workbook to spoil.
func oneCell(t testing.TB) []byte {
	return written(t, func(f *xlsx.File) { addSheet(t, f, "people").AddRow().AddCell().SetString("key") })
}

// withPart adds a part full of zeros to a workbook.
func withPart(t testing.TB, data []byte, name string, size int) []byte {
	t.Helper()
	in, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	out := zip.NewWriter(&b)
	for _, f := range in.File {
		if err := out.Copy(f); err != nil {
			t.Fatal(err)
		}
	}
	w, err := out.Create(name)
	for chunk := make([]byte, 1<<20); err == nil && size > 0; size -= len(chunk) {
		_, err = w.Write(chunk)
	}
	if err != nil {
		t.Fatal(err)
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A small file that unpacks to much, reaches far or nests deep is refused before
// anything is kept of it.
func TestBombs(t *testing.T) {
	bomb := withPart(t, oneCell(t), "xl/media/image1.png", 200<<20)
	if len(bomb) > 1<<20 {
		t.Fatalf("no bomb: %d bytes", len(bomb))
	}
	liar := bytes.Clone(bomb) // states that the part is small
	for at := 0; ; {
		next := bytes.Index(liar[at:], []byte{0x00, 0x00, 0x80, 0x0c}) // 200 MiB, little-endian
		if next < 0 {
			break
		}
		at += next
		copy(liar[at:], []byte{0x10, 0, 0, 0})
	}
	rows := func(inner string) []byte {
		return patched(t, oneCell(t), sheetPart, "</sheetData>", inner+"</sheetData>")
	}
	for name, c := range map[string]struct {
		data []byte
		code jobs.Code
		says string
	}{
		"bomb":       {bomb, jobs.CodeTooLarge, "64 MiB unpacked"},
		"liar":       {liar, "", ""},
		"low row":    {rows(`<row r="1048576"><c r="A1048576"><v>1</v></c></row>`), jobs.CodeTooLarge, "down to row 1048576"},
		"far column": {rows(`<row r="2"><c r="XFD2"><v>1</v></c></row>`), jobs.CodeTooLarge, "columns up to IV"},
		"wide rows":  {rows(strings.Repeat(`<row><c r="IV1"/></row>`, 4000)), jobs.CodeTooLarge, "cells"},
		"many rows":  {rows(strings.Repeat(`<row/>`, 30_000)), jobs.CodeTooLarge, "at most 21000"},
		"deep":       {rows(strings.Repeat(`<a>`, 100) + strings.Repeat(`</a>`, 100)), jobs.CodeTooLarge, "64 levels"},
		"merged":     {patched(t, oneCell(t), sheetPart, "</worksheet>", "<mergeCells>"+strings.Repeat(`<mergeCell ref="A1:A2"/>`, 600)+"</mergeCells></worksheet>"), jobs.CodeTooLarge, "merged"},
		"no zip":     {[]byte("PK but no archive"), jobs.CodeInvalid, "no workbook"},
		"old form":   {[]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1rest"), jobs.CodeInvalid, "old form .xls"},
		"broken xml": {rows(`<row`), jobs.CodeInvalid, "no workbook"},
		"other zip":  {withPart(t, emptyZip(t), "notes.txt", 1<<20), jobs.CodeInvalid, "no workbook"},
	} {
		_, _, err := Read(c.data)
		if name == "liar" {
			if err == nil {
				t.Error("a part larger than it states was read")
			}
			continue
		}
		if jobs.CodeOf(err) != c.code || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %s with %q", name, err, c.code, c.says)
		}
	}
}

func emptyZip(t testing.TB) []byte {
	var b bytes.Buffer
	if err := zip.NewWriter(&b).Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Formulas that nobody worked out, errors, days as text and cells that point
// nowhere are named.
func TestCellsThatAreNoText(t *testing.T) {
	data := patched(t, oneCell(t), sheetPart, "</sheetData>", `<row r="2"><c r="A2"><f>1+1</f></c><c r="B2" t="e"><v>#DIV/0!</v></c><c r="C2" t="d"><v>2026-03-08T07:30:00</v></c>`+
		`<c r="D2" t="str"><f>"a"&amp;"b"</f><v>ab</v></c><c r="E2"><f>0.1+0.2</f><v>0.30000000000000004</v></c><c r="F2" t="inlineStr"><is><r><t>in </t></r><r><t>line</t></r></is></c><c r="G2"><v>1e999</v></c><c r="H2" t="d"><v>soon</v></c></row></sheetData>`)
	sheets, _, err := Read(data)
	if err != nil {
		t.Fatal(err)
	}
	want := "=1+1 (!a value; this formula was never worked out: open the file in a spreadsheet program and save it)|#DIV/0! (!a value; the cell holds an error)|2026-03-08 07:30|ab|0.3|in line|1e999 (!a number or a text)|soon (!a day like 2026-03-08)"
	if got := show(sheets[0].Rows[1].Cells); got != want {
		t.Errorf("\n got %s\nwant %s", got, want)
	}
}

// What is written is read back as it was, also by the independent reader, and
// nothing of it is a formula.
func TestWriteReadsBack(t *testing.T) {
	rows := [][]string{{"c-1", "=1+1", "+1 559 555 0123"}, {"007", "@home", "-5"}, {"", "two\nlines", "½ ñ"}}
	data, err := Write([]Page{{Name: "customers", Columns: jobs.Columns(jobs.ImportCustomers)[:3], Rows: rows}})
	if err != nil {
		t.Fatal(err)
	}
	sheets, notes, err := Read(data)
	if err != nil || len(notes) > 0 {
		t.Fatal(err, notes)
	}
	got := ""
	for _, r := range sheets[0].Rows {
		got += show(r.Cells) + "\n"
	}
	if want := "key|name|note\nc-1|'=1+1|'+1 559 555 0123\n007|'@home|-5\n|two\nlines|½ ñ\n"; got != want {
		t.Errorf("got %q", got)
	}
	f, err := xlsx.OpenBinary(data)
	if err != nil {
		t.Fatal(err)
	}
	other, err := f.ToSlice()
	if err != nil || fmt.Sprint(other[0][1]) != "[c-1 '=1+1 '+1 559 555 0123]" {
		t.Errorf("%v %v", other, err)
	}
}

// Headers say what goes in, and columns of choices offer them.
func TestFormsHaveNotesAndLists(t *testing.T) {
	data, err := Write([]Page{{Name: "people", Columns: jobs.Columns(jobs.ImportPeople), Rows: [][]string{jobs.ExampleRow(jobs.ImportPeople)}, Example: true}})
	if err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	found, err := f.GetDataValidations("people")
	if err != nil {
		t.Fatal(err)
	}
	notes, lists := 0, ""
	for _, dv := range found {
		if dv.Prompt != nil && *dv.Prompt != "" {
			notes++
		}
		if dv.Type == "list" {
			lists += dv.Sqref + " " + dv.Formula1 + ";"
		}
	}
	// key and name are needed, skills and active say what they hold.
	if notes != 4 || lists != `F2:F2000 "yes,no";` {
		t.Errorf("%d notes, lists %s", notes, lists)
	}
}

func FuzzRead(f *testing.F) {
	good := written(f, func(file *xlsx.File) {
		s := addSheet(f, file, "people")
		for _, line := range []string{"key|name", "p1|Lee"} {
			row := s.AddRow()
			for _, text := range strings.Split(line, "|") {
				row.AddCell().SetString(text)
			}
		}
	})
	f.Add(good, "", "")
	for _, sheet := range []string{`<row r="2"><c r="A2"><v>NaN</v></c></row>`, `<row r="0"/>`, `<row r="-1"><c r="A-1"/></row>`, `<row><c r="A1" s="99"><v>1</v></c></row>`, `<row r="2"><c r="A2" t="s"><v>99</v></c></row>`,
		`<row r="2"><c r="A2" t="s"><v>-1</v></c></row>`, `<row r="3"/><row r="2"/>`, `<row r="2"><c r="C2"/><c r="A2"><v>5</v></c></row>`, `<row hidden="x" r="2"/>`} {
		f.Add(good, sheet, "")
	}
	f.Add(good, "", `<mergeCells><mergeCell ref="A1"/><mergeCell ref="B9:A1"/></mergeCells>`)
	f.Fuzz(func(t *testing.T, data []byte, rows, after string) {
		if bytes.Equal(data, good) && (rows != "" || after != "") { // spoil the XML inside, where chance seldom gets
			data = patched(t, data, sheetPart, "</sheetData>", rows+"</sheetData>"+after)
		}
		sheets, _, err := Read(data)
		if err != nil {
			if c := jobs.CodeOf(err); c != jobs.CodeInvalid && c != jobs.CodeTooLarge {
				t.Fatalf("%s: %v", c, err)
			}
			return
		}
		for _, s := range sheets {
			if _, err := jobs.ReadSheet(jobs.ImportPeople, s); err != nil && jobs.CodeOf(err) != jobs.CodeInvalid && jobs.CodeOf(err) != jobs.CodeTooLarge {
				t.Fatal(err)
			}
			for _, r := range s.Rows {
				for _, c := range r.Cells {
					if c.Want == "" && strings.ContainsAny(c.Text, "\x00") || c.Text == "NaN" && c.Number {
						t.Fatalf("%+v", c)
					}
				}
			}
		}
	})
}
