package jobs

import (
	"strings"
	"testing"
)

func sheetOf(lines ...string) Sheet {
	s := Sheet{Name: "Sheet 1"}
	for i, line := range lines {
		row := SheetRow{Line: int64(i + 1)}
		for _, text := range strings.Split(line, "|") {
			row.Cells = append(row.Cells, SheetCell{Text: text})
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

func TestHeaderIsMatchedForgivingly(t *testing.T) {
	for _, head := range []string{"key|name", "KEY|Name", " Key |NAME*", "key||name", "Name|Key (needed)", "k.e.y|n-a-m-e"} {
		table, err := ReadSheet(ImportCustomers, sheetOf(head, strings.Repeat("x|", strings.Count(head, "|"))+"y"))
		refused := 0
		if strings.Contains(head, "||") {
			refused = 1 // a value with no name above it
		}
		if err != nil || len(table.Rows) != 1-refused || len(table.Refused) != refused {
			t.Errorf("%s: %+v %v", head, table, err)
		}
	}
	for head, says := range map[string]string{
		"key|name|Name":           "each column once",
		"key|name|contact2":       "one of key",
		"key|name|note (ft)":      "without what stands in brackets",
		"key|name|note [private]": "without what stands in brackets",
		"key|nam":                 "one of key",
		"":                        "must name the columns",
	} {
		if _, err := ReadSheet(ImportCustomers, sheetOf(head)); CodeOf(err) != CodeInvalid || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %q", head, err, says)
		}
	}
}

// No header can mean two columns of one kind of rows.
func TestHeadersAreUnambiguous(t *testing.T) {
	for _, kind := range ImportKinds {
		of := map[string]string{}
		for _, c := range Columns(kind) {
			for _, name := range append([]string{c.Name}, c.Also...) {
				if other := of[headerName(name)]; other != "" && other != c.Name {
					t.Errorf("%s: %q is %s and %s", kind, name, other, c.Name)
				}
				of[headerName(name)] = c.Name
			}
			if c.Unit != "" {
				if _, ok := columnNamed(Columns(kind), c.Unit); !ok {
					t.Errorf("%s: %s has no column %s", kind, c.Name, c.Unit)
				}
			}
		}
	}
}

func TestUnitsOfHeaders(t *testing.T) {
	for _, c := range []struct {
		head, row string
		want      int64
		says      string
	}{
		{"length (ft)", "80", 24_384_000, ""}, {"Length [m]", "1.5", 1_500_000, ""}, {"length (ft)", "80 ft", 24_384_000, ""},
		{"length", "80 in", 2_032_000, ""}, {"length (ft)|length_unit", "80|ft", 24_384_000, ""},
		{"length (ft)|length_unit", "80|in", 0, "one unit: the header says ft and length_unit says in"}, {"length (ft)", "80 in", 0, "give one of them"}, {"length", "80", 0, "a unit"},
	} {
		table, err := ReadSheet(ImportParts, sheetOf("code|name|stock unit|cost|price|"+c.head, "a|b|piece|1|2|"+c.row))
		if err != nil || len(table.Rows) != 1 {
			t.Fatalf("%s: %+v %v", c.head, table, err)
		}
		cells := table.Rows[0].Cells()
		got := cells.Measure(QuantityLength, "length", "length_unit")
		switch {
		case c.says != "":
			if len(cells.Refused) != 1 || !strings.Contains(cells.Refused[0].Reason, c.says) || cells.Refused[0].Sheet != "Sheet 1" {
				t.Errorf("%s %s: %+v", c.head, c.row, cells.Refused)
			}
		case got == nil || *got != c.want:
			t.Errorf("%s %s: %v %+v", c.head, c.row, got, cells.Refused)
		}
	}
}

func TestMoneyIsNeverAWrongAmount(t *testing.T) {
	for text, want := range map[string]int64{"1,234.50": 123450, "$ 1,234": 123400, "1,234,567.89": 123456789, "-12": -1200} {
		c := ImportRow{cells: map[string]string{"x": text}}.Cells()
		if m := c.Money("x"); m == nil || int64(*m) != want {
			t.Errorf("%q: %v", text, m)
		}
	}
	for _, text := range append([]string{"1,5", "12,34", "0,500", "1,23,456", ",100", "1,000,", "1234,567", "1.234,50", "$$1", "1,2345"}, hostile...) {
		c := ImportRow{cells: map[string]string{"x": text}}.Cells()
		if m := c.Money("x"); m != nil && text != "" {
			t.Errorf("%q is %d cents", text, *m)
		}
	}
}

func TestTextThatCouldRun(t *testing.T) {
	for text, want := range map[string]string{"=1+1": "'=1+1", "+1 559": "'+1 559", "-cmd": "'-cmd", "@a": "'@a", "\tx": "'\tx", "-112.07": "-112.07", "-5": "-5", "Ann": "Ann", "": "", "'=x": "'=x"} {
		if got := PlainCell(text); got != want {
			t.Errorf("%q: %q", text, got)
		}
		if got := unquoted(PlainCell(text)); text != "'=x" && got != text {
			t.Errorf("%q comes back as %q", text, got)
		}
	}
}
