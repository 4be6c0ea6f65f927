package workbook

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	xlsx "github.com/tealeg/xlsx/v3" // an independent writer of XLSX

	"ebbline/jobs"
)

// written saves what an independent program writes.
func written(t testing.TB, fill func(f *xlsx.File)) []byte {
	t.Helper()
	f := xlsx.NewFile()
	fill(f)
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// patched changes one part of a workbook: what the writer above has no word for.
func patched(t testing.TB, data []byte, part, old, text string) []byte {
	t.Helper()
	in, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	out := zip.NewWriter(&b)
	found := false
	for _, f := range in.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		all, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if f.Name == part && strings.Contains(string(all), old) {
			found = true
			all = []byte(strings.Replace(string(all), old, text, 1))
		}
		w, err := out.Create(f.Name)
		if err == nil {
			_, err = w.Write(all)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := out.Close(); err != nil || !found {
		t.Fatalf("%s holds no %s: %v", part, old, err)
	}
	return b.Bytes()
}

func addSheet(t testing.TB, f *xlsx.File, name string) *xlsx.Sheet {
	t.Helper()
	s, err := f.AddSheet(name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func show(cells []jobs.SheetCell) string {
	var out []string
	for _, c := range cells {
		text := c.Text
		if c.Want != "" {
			text += " (!" + c.Want + ")"
		}
		out = append(out, text)
	}
	return strings.Join(out, "|")
}

func TestCellsOfAnotherWriter(t *testing.T) {
	day := time.Date(2026, 3, 8, 0, 0, 0, 0, time.UTC)
	for _, from1904 := range []bool{false, true} {
		data := written(t, func(f *xlsx.File) {
			s := addSheet(t, f, "Rows")
			put := func(set ...func(c *xlsx.Cell)) {
				row := s.AddRow()
				for _, one := range set {
					one(row.AddCell())
				}
			}
			text := func(s string) func(c *xlsx.Cell) { return func(c *xlsx.Cell) { c.SetString(s) } }
			number := func(v float64, format string) func(c *xlsx.Cell) {
				return func(c *xlsx.Cell) { c.SetFloatWithFormat(v, format) }
			}
			put(text("plain"), text("ñandú ½ \"q\""), text("  spaces "), text("007"))
			put(number(0.1+0.2, "general"), number(32, "general"), number(-112.0740373, "general"), number(1e-3, "general"), number(5400.5, `"$"#,##0.00`), number(1200000, "#,##0"))
			put(number(0.8, "0%"), number(0.125, "0.0%"), number(0.07, "0.00%"))
			put(number(8501, "00000"), number(5595550123, "(000) 000-0000"), number(85012345, `00000\-0000`), number(4, "00.0"))
			put(func(c *xlsx.Cell) { c.SetBool(true) }, func(c *xlsx.Cell) { c.SetBool(false) })
			serial := xlsx.TimeToExcelTime(day, from1904)
			put(number(serial, "yyyy-mm-dd"), number(serial, `m/d/yy`), number(serial, `[$-409]d\-mmm\-yy;@`), number(serial+0.3125, "yyyy-mm-dd hh:mm"), number(0.3125, "h:mm AM/PM"), number(0.3125, "hh:mm:ss"), number(1, "[h]:mm"), number(0.75, "mm:ss"))
			put(func(c *xlsx.Cell) {
				c.SetRichText([]xlsx.RichTextRun{{Text: "bold "}, {Font: &xlsx.RichTextFont{Bold: true}, Text: "and not"}})
			})
			put(number(1e15, "general"), number(1e-17, "general"), number(-5, "yyyy-mm-dd"), number(1.5, "hh:mm"))
		})
		if from1904 {
			data = patched(t, data, "xl/workbook.xml", `date1904="false"`, `date1904="1"`)
		}
		sheets, notes, err := Read(data)
		if err != nil || len(sheets) != 1 || len(notes) != 0 {
			t.Fatalf("%v %v %v", len(sheets), notes, err)
		}
		want := []string{
			`plain|ñandú ½ "q"|  spaces |007`,
			"0.3|32|-112.0740373|0.001|5400.5|1200000",
			"80%|12.5%|7%",
			"08501|(559) 555-0123|08501-2345|4",
			"yes|no",
			"2026-03-08|2026-03-08|2026-03-08|2026-03-08 07:30|07:30|07:30|24:00|18:00",
			"bold and not",
			"1e+15 (!a number of at most 15 digits; longer ones must be kept as text)|1e-17 (!0, or a number that is not as small as the noise of a calculation)|-5 (!a day from 1900 to 9999, or a time of day)|1.5 (!a time of day up to 24:00)",
		}
		for i, w := range want {
			if got := show(sheets[0].Rows[i].Cells); got != w {
				t.Errorf("1904 %v, row %d:\n got %s\nwant %s", from1904, i+1, got, w)
			}
		}
	}
}

// Serial numbers of days: ECMA-376-1 (2016), 18.17.4.1: in the 1900 system
// 1 is 1900-01-01 and 2 958 465 is 9999-12-31; in the 1904 system 0 is 1904-01-01.
// The 60th, 29 February 1900, is the day that never was (from memory: "lack of
// the 1900 leap year bug" is a known question of these files).
func TestSerialDays(t *testing.T) {
	for _, c := range []struct {
		serial   float64
		from1904 bool
		want     string
	}{
		{1, false, "1900-01-01"}, {59, false, "1900-02-28"}, {60, false, "60 (!a day that there was)"}, {61, false, "1900-03-01"},
		{25_569, false, "1970-01-01"}, {2_958_465, false, "9999-12-31"}, {2_958_466, false, "2958466 (!a day from 1900 to 9999, or a time of day)"},
		{0, true, "1904-01-01"}, {24_107, true, "1970-01-01"}, {46_089.999999999, false, "2026-03-09"},
		{math.NaN(), false, "NaN (!a day from 1900 to 9999, or a time of day)"},
	} {
		if got := show([]jobs.SheetCell{serialCell(c.serial, format{date: true}, c.from1904)}); got != c.want {
			t.Errorf("%v, 1904 %v: %s, want %s", c.serial, c.from1904, got, c.want)
		}
	}
}

func TestFormats(t *testing.T) {
	for code, want := range map[string]format{
		"General": {}, "0.00": {}, "#,##0": {}, `"day "0`: {}, `[Red]0.0`: {}, "0.00E+00": {}, "# ?/?": {}, "@": {},
		"yyyy-mm-dd": {date: true}, "mmm yy": {date: true}, "d/m": {date: true}, "mmm": {date: true}, "[$-F800]dddd, mmmm dd, yyyy": {date: true},
		"hh:mm": {clock: true}, "[h]:mm": {clock: true}, "mm:ss": {clock: true}, "h:mm AM/PM": {clock: true}, "yyyy-mm-dd hh:mm": {date: true, clock: true},
		"0%": {percent: true}, "0.0%;[Red]-0.0%": {percent: true},
		"00000": {digits: true}, `00000\-0000`: {digits: true}, "(000) 000-0000": {digits: true}, "000-00-0000": {digits: true},
		"[<=9999999]###-####;(###) ###-####": {digits: true}, "0": {}, "00.0": {},
	} {
		if got := readFormat(code); got != want {
			t.Errorf("%s: %+v, want %+v", code, got, want)
		}
	}
}

func TestHiddenAndMerged(t *testing.T) {
	data := written(t, func(f *xlsx.File) {
		s := addSheet(t, f, "People")
		for _, line := range []string{"key|name|skills", "p1|Lee|pull", "p2|Ana|pull", "p3|Max|pull", "p4|Ida|dig"} {
			row := s.AddRow()
			for _, text := range strings.Split(line, "|") {
				row.AddCell().SetString(text)
			}
		}
		cell := func(row, col int) *xlsx.Cell {
			c, err := s.Cell(row, col)
			if err != nil {
				t.Fatal(err)
			}
			return c
		}
		for row := 2; row <= 3; row++ {
			cell(row, 2).SetString("")
		}
		cell(1, 2).Merge(0, 2) // C2:C4
		cell(4, 2).SetString("")
		cell(4, 1).Merge(1, 0) // B5:C5
		s.SetColParameters(func() *xlsx.Col { c := xlsx.NewColForRange(1, 1); hide := true; c.Hidden = &hide; return c }())
		addSheet(t, f, "Old").Hidden = true
	})
	data = patched(t, data, "xl/worksheets/sheet1.xml", `<row r="3"`, `<row hidden="1" r="3"`)
	sheets, notes, err := Read(data)
	if err != nil {
		t.Fatal(err)
	}
	got := ""
	for _, r := range sheets[0].Rows {
		got += show(r.Cells) + "\n"
	}
	if want := "key|name|skills\np1|Lee|pull\np2|Ana|pull\np3|Max|pull\np4|Ida (!a value in a cell of its own; B5 to C5 are merged)\n"; got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	if want := "[Sheet Old is hidden and was not read] [Sheet People: row 3 is hidden and read all the same Sheet People: column A is hidden and read all the same]"; fmt.Sprint(notes, sheets[0].Notes) != want {
		t.Errorf("%v %v", notes, sheets[0].Notes)
	}
}
