package jobs

import (
	"fmt"
	"strings"
	"testing"
)

func TestReadRows(t *testing.T) {
	file := "\xef\xbb\xbfname,key,note\r\n" + // a mark at the start, columns in another order
		"Ann,a-1,\"two\nlines\"\r\n" + // line 2 to 3
		"\r\n" +
		",a-2,nameless\r\n" + // line 5
		"Bo,a-3,x,too many\r\n" + // 6
		"Cy \"the\" Kay,a-4,\r\n" + // 7: a bare quote
		"D\xff,a-5,\r\n" + // 8: not UTF-8
		"Eve,a-6\r\n" // 9: a short row is fine
	rows, refused, err := ReadRows(ImportCustomers, []byte(file))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, r := range rows {
		got = append(got, fmt.Sprint(r.Line, " ", r.cells["name"]))
	}
	if strings.Join(got, "; ") != "2 Ann; 9 Eve" {
		t.Errorf("rows %q", got)
	}
	want := []RefusedCell{
		{5, "name", "", "needed", ""},
		{6, "", "too many", "there are 4 values for 3 columns", ""},
		{7, "", "", `the quotes are not right: bare " in non-quoted-field`, ""},
		{8, "name", "D?", "text in UTF-8 without control characters", ""},
	}
	if len(refused) != len(want) {
		t.Fatalf("refused %+v", refused)
	}
	for i, w := range want {
		if refused[i] != w {
			t.Errorf("refused %+v, want %+v", refused[i], w)
		}
	}
}

func TestFilesThatAreNone(t *testing.T) {
	for file, says := range map[string]string{
		"":                       "first line",
		"name\nAnn\n":            "key: needed as a column",
		"key,name,nmae\n":        "one of key, name",
		"key,name,name\n":        "each column once",
		"key;name\na;Ann\n":      "one of key, name",
		"\x00\x01\x02binary\xff": "one of key, name",
	} {
		if _, _, err := ReadRows(ImportCustomers, []byte(file)); CodeOf(err) != CodeInvalid || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %q", file, err, says)
		}
	}
	if _, _, err := ReadRows("horses", nil); CodeOf(err) != CodeInvalid {
		t.Errorf("%v", err)
	}
}

func TestTemplatesReadBack(t *testing.T) {
	for _, kind := range ImportKinds {
		rows, refused, err := ReadRows(kind, Template(kind))
		if err != nil || len(rows) != 0 || len(refused) != 0 {
			t.Errorf("%s: %v %v %v", kind, rows, refused, err)
		}
		seen := map[string]bool{}
		for _, c := range Columns(kind) {
			if seen[c.Name] {
				t.Errorf("%s has %s twice", kind, c.Name)
			}
			seen[c.Name] = true
		}
	}
}

func TestCells(t *testing.T) {
	cell := func(text string) *Cells { return ImportRow{Line: 3, cells: map[string]string{"x": text}}.Cells() }
	for text, want := range map[string]int64{"1234.5": 123450, "$1,234.56": 123456, "0": 0, "7": 700} {
		if c := cell(text); c.Money("x") == nil || *c.Money("x") != Cents(want) {
			t.Errorf("%q: %v %v", text, c.Money("x"), c.Refused)
		}
	}
	for text, want := range map[string]int64{"33.4151": 334151000, "-112.0740373": -1120740373, "-112.07403734999": -1120740373, "-0.5": -5000000, "90": 900000000} {
		if c := cell(text); c.Degrees("x") == nil || *c.Degrees("x") != want {
			t.Errorf("%q: %v %v", text, c.Degrees("x"), c.Refused)
		}
	}
	for text, want := range map[string]int64{"07:30": 450, "7:05": 425, "24:00": 1440, "00:00": 0} {
		if c := cell(text); c.Minute("x") == nil || *c.Minute("x") != want {
			t.Errorf("%q: %v %v", text, c.Minute("x"), c.Refused)
		}
	}
	for _, c := range []struct {
		text string
		read func(c *Cells)
		want string
	}{
		{"1.005", func(c *Cells) { c.Money("x") }, "dollars"}, {"12 usd", func(c *Cells) { c.Money("x") }, "dollars"},
		{"NaN", func(c *Cells) { c.Money("x") }, "dollars"}, {"1e3", func(c *Cells) { c.Money("x") }, "dollars"},
		{"33°", func(c *Cells) { c.Degrees("x") }, "degrees"}, {"24:01", func(c *Cells) { c.Minute("x") }, "time of day"},
		{"7.30", func(c *Cells) { c.Minute("x") }, "time of day"}, {"2026-02-30", func(c *Cells) { c.Day("x") }, "a day like"},
		{"03/08/2026", func(c *Cells) { c.Day("x") }, "a day like"}, {"maybe", func(c *Cells) { c.Yes("x", false) }, "yes or no"},
		{"4.5", func(c *Cells) { c.Count("x") }, "whole number"},
	} {
		cells := cell(c.text)
		c.read(cells)
		if len(cells.Refused) != 1 || cells.Refused[0].Line != 3 || cells.Refused[0].Value != c.text || !strings.Contains(cells.Refused[0].Reason, c.want) {
			t.Errorf("%q: %+v, want %q", c.text, cells.Refused, c.want)
		}
	}
}

func TestParseShifts(t *testing.T) {
	for text, want := range map[string]string{
		"mon-wed 07:00-16:00":                "[{1 420 960 60} {2 420 960 60} {3 420 960 60}]",
		"Mon 07:00-16:00; sat 8:00-12:00":    "[{1 420 960 60} {6 480 720 60}]",
		"sat-sun 08:00-12:00":                "[{6 480 720 60} {0 480 720 60}]",
		"mon-tue 07:00-16:00; tue 8:00-9:00": "",
		"mon 7-16":                           "",
		"":                                   "",
		"moon 07:00-16:00":                   "",
		"mon-fri 07:00":                      "",
	} {
		got, ok := ParseShifts(text, 60)
		if !ok && want != "" || ok && fmt.Sprint(got) != want {
			t.Errorf("%q: %v %v", text, got, ok)
		}
	}
}

// Whatever bytes come, every line is either a row or refused, and nothing
// breaks.
func FuzzReadRows(f *testing.F) {
	f.Add([]byte("key,name\na,b\n"))
	f.Add([]byte("key,name\n\"a,b\n"))
	f.Add(Template(ImportCustomers))
	f.Fuzz(func(t *testing.T, data []byte) {
		rows, refused, err := ReadRows(ImportCustomers, data)
		if err != nil && CodeOf(err) != CodeInvalid && CodeOf(err) != CodeTooLarge {
			t.Errorf("%v", err)
		}
		for _, r := range rows {
			if r.cells["key"] == "" || r.cells["name"] == "" || r.Line < 2 {
				t.Errorf("row %+v", r)
			}
		}
		for _, r := range refused {
			if r.Reason == "" || r.Line < 2 {
				t.Errorf("refused %+v", r)
			}
		}
	})
}
