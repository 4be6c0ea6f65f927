package jobs

import (
	"slices"
	"strings"
	"unicode"
)

// headerName is a column's name with all that people write in other ways left
// out: case, blanks, hyphens, dots and the mark of a needed one.
func headerName(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, text)
}

// header is where a file has which column.
type header struct {
	columns []Column          // by place; one without a name is empty
	units   map[string]string // units that stand in the header, by column
}

// readHeader finds the columns that a header names, in any order. where names
// a place: "column 2", "column B".
func readHeader(known []Column, cells []SheetCell, where func(i int) string) (header, error) {
	h := header{units: map[string]string{}}
	var f Faults
	seen := map[string]bool{}
	for i, cell := range cells {
		text := CleanLine(cell.Text)
		if cell.Want != "" {
			f.Add(where(i), Short(cell.Text), cell.Want)
		}
		if text == "" && where(0) != whereCSV(0) { // a sheet may be wider than its table
			h.columns = append(h.columns, Column{})
			continue
		}
		c, unit, want := findColumn(known, text)
		switch {
		case want != "":
			f.Add(where(i), Short(text), want)
		case seen[c.Name]:
			f.Add(where(i), Short(text), "each column once; there is another "+c.Name)
		}
		seen[c.Name] = true
		h.columns = append(h.columns, c)
		if unit != "" {
			h.units[c.Name] = unit
		}
	}
	for _, c := range known {
		f.Check(!c.Needed || seen[c.Name], c.Name, "", "needed as a column")
	}
	return h, f.Err()
}

// findColumn reads one header: a name, in any case, with blanks or underscores,
// perhaps a unit in brackets behind it. want says what would be right.
func findColumn(known []Column, text string) (c Column, unit, want string) {
	if c, ok := columnNamed(known, text); ok {
		return c, "", ""
	}
	name, behind := text, ""
	for _, pair := range []string{"()", "[]"} {
		if at := strings.LastIndexByte(text, pair[0]); at > 0 && strings.HasSuffix(text, pair[1:]) {
			name, behind = text[:at], strings.TrimSpace(text[at+1:len(text)-1])
		}
	}
	c, ok := columnNamed(known, name)
	if !ok || behind == "" {
		return Column{}, "", "one of " + columnNames(known)
	}
	if c.Holds == HoldsMeasure {
		u, ok := UnitNamed(c.Quantity, behind)
		if !ok {
			return c, "", "a unit of " + string(c.Quantity) + " in the brackets, one of " + strings.Join(UnitNames(c.Quantity), ", ")
		}
		return c, u.Name, ""
	}
	fine := map[Holds][]string{
		HoldsMoney: {"$", "usd", "us$", "dollars"}, HoldsDegrees: {"°", "deg", "degrees"}, HoldsYes: {"yes/no", "y/n", "yes or no"}, HoldsCount: {"min", "minutes", "#"},
	}[c.Holds]
	if slices.Contains(append(fine, "needed", "required", "optional"), strings.ToLower(behind)) {
		return c, "", ""
	}
	return c, "", c.Name + " without what stands in brackets"
}

func columnNamed(known []Column, text string) (Column, bool) {
	name := headerName(text)
	for _, c := range known {
		if name != "" && (name == headerName(c.Name) || slices.ContainsFunc(c.Also, func(a string) bool { return name == headerName(a) })) {
			return c, true
		}
	}
	return Column{}, false
}

func columnNames(list []Column) string {
	names := make([]string, len(list))
	for i, c := range list {
		names[i] = c.Name
	}
	return strings.Join(names, ", ")
}
