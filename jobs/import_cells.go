package jobs

import (
	"fmt"
	"strconv"
	"strings"
)

// Cells reads the values of a row and gathers what is wrong with them.
type Cells struct {
	row     ImportRow
	Refused []RefusedCell
}

// Cells begins to read a row.
func (r ImportRow) Cells() *Cells { return &Cells{row: r} }

// Refuse notes what would be right in a column.
func (c *Cells) Refuse(column, want string) {
	c.Refused = append(c.Refused, RefusedCell{c.row.Line, column, Short(c.row.cells[column]), want, c.row.Sheet})
}

// Text is the value of a column; empty where there is none.
func (c *Cells) Text(column string) string { return c.row.cells[column] }

// Count is a whole number; nil where there is none.
func (c *Cells) Count(column string) *int64 {
	text := c.Text(column)
	if text == "" {
		return nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		c.Refuse(column, "a whole number")
		return nil
	}
	return &n
}

// Yes is true for yes and false for no; otherwise where there is none.
func (c *Cells) Yes(column string, otherwise bool) bool {
	switch strings.ToLower(c.Text(column)) {
	case "yes":
		return true
	case "no":
		return false
	case "":
		return otherwise
	}
	c.Refuse(column, "yes or no")
	return otherwise
}

// Day is a day like 2026-03-08.
func (c *Cells) Day(column string) Day {
	d := Day(c.Text(column))
	if d != "" && !d.Valid() {
		c.Refuse(column, "a day like 2026-03-08")
		return ""
	}
	return d
}

// Minute is a time of day like 07:30 as minutes from midnight; nil where there
// is none.
func (c *Cells) Minute(column string) *int64 {
	text := c.Text(column)
	if text == "" {
		return nil
	}
	m, ok := parseClock(text)
	if !ok {
		c.Refuse(column, "a time of day like 07:30")
		return nil
	}
	return &m
}

// parseClock reads 07:30, up to 24:00.
func parseClock(text string) (int64, bool) {
	h, m, ok := strings.Cut(text, ":")
	if !ok || len(h) < 1 || len(h) > 2 || len(m) != 2 || !allDigits(h) || !allDigits(m) {
		return 0, false
	}
	hours, _ := strconv.ParseInt(h, 10, 64)
	minutes, _ := strconv.ParseInt(m, 10, 64)
	return hours*60 + minutes, minutes < 60 && hours*60+minutes <= 24*60
}

// Money is dollars like 1,234.50, as cents; nil where there is none.
func (c *Cells) Money(column string) *Cents {
	if c.Text(column) == "" {
		return nil
	}
	text, grouped := ungroup(strings.TrimSpace(strings.TrimPrefix(c.Text(column), "$")))
	n, ok := decimal(text, 2)
	if !ok || !grouped {
		c.Refuse(column, "dollars like 1234.50")
		return nil
	}
	return (*Cents)(&n)
}

// Degrees are like 33.4151, as ten-millionths; nil where there is none.
func (c *Cells) Degrees(column string) *int64 {
	text := c.Text(column)
	if text == "" {
		return nil
	}
	// Maps give more places than the 11 mm of the seventh; those are cut.
	if dot := strings.IndexByte(text, '.'); dot >= 0 && len(text) > dot+8 && allDigits(text[dot+1:]) {
		text = text[:dot+8]
	}
	n, ok := decimal(text, 7)
	if !ok {
		c.Refuse(column, "degrees like 33.4151")
		return nil
	}
	return &n
}

// Measure is a number with its unit behind it or in a column of its own, in
// base units; nil where there is none.
func (c *Cells) Measure(q Quantity, column, unitColumn string) *int64 {
	text := c.Text(column)
	if text == "" {
		return nil
	}
	unit, above := c.Text(unitColumn), c.row.units[column]
	if unit == "" {
		unit = above
	}
	base, _, err := ParseMeasure(q, text, unit)
	if err == nil && above != "" && unit != above {
		err = fmt.Errorf("one unit: the header says %s and %s says %s", above, unitColumn, unit)
	}
	if err != nil {
		c.Refuse(column, err.Error())
		return nil
	}
	return &base
}

// ungroup drops the commas of 1,234,567.50. ok is false where they part anything
// but groups of three: 1,5 is no fifteen.
func ungroup(text string) (plain string, ok bool) {
	whole, frac, dot := strings.Cut(text, ".")
	groups := strings.Split(whole, ",")
	first := func(g string) string { return strings.TrimPrefix(g, "-") }
	for i, g := range groups {
		if len(groups) > 1 && (i == 0 && (first(g) == "" || len(first(g)) > 3 || first(g)[0] == '0') || i > 0 && len(g) != 3) {
			return text, false
		}
	}
	plain = strings.Join(groups, "")
	if dot {
		plain += "." + frac
	}
	return plain, true
}

// decimal reads a number with at most so many places as a whole number of the
// last place: no floating point on the way.
func decimal(text string, places int) (int64, bool) {
	digits, sign := text, int64(1)
	if rest, ok := strings.CutPrefix(digits, "-"); ok {
		digits, sign = rest, -1
	}
	whole, frac, _ := strings.Cut(digits, ".")
	if whole == "" || len(whole) > 11 || len(frac) > places || !allDigits(whole) || !allDigits(frac) {
		return 0, false
	}
	n, err := strconv.ParseInt(whole+frac+strings.Repeat("0", places-len(frac)), 10, 64)
	return sign * n, err == nil
}
