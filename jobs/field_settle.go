package jobs

import (
	"fmt"
	"strconv"
	"strings"
)

// Settle checks one value against its field and derives its Base. A fault
// names the field, the value as entered and what would be right.
func (f FieldSpec) Settle(v Value) (Value, *FieldError) {
	shown := strings.TrimSpace(v.Text + " " + v.Unit)
	fault := func(want string) *FieldError { return &FieldError{Field: f.Name, Value: shown, Want: want} }
	switch {
	case v.Known.Rank() < 0:
		return v, &FieldError{Field: f.Name + ".known", Value: string(v.Known), Want: "one of " + joinKnowns()}
	case len(v.Text) > maxText || len(v.Note) > maxText || len(v.By) > 200:
		return v, fault(fmt.Sprintf("at most %d letters", maxText))
	case !PlainText(v.Text, true) || !PlainText(v.Note, true) || !PlainText(v.By, false) || !PlainText(v.Unit, false):
		return v, &FieldError{Field: f.Name, Value: Short(v.Text), Want: "plain text without control characters"}
	case v.At < 0:
		return v, &FieldError{Field: f.Name + ".at", Value: strconv.FormatInt(v.At, 10), Want: "unix seconds, not negative"}
	case v.Known == KnownNot:
		if v.Text != "" || strings.TrimSpace(v.Note) == "" {
			return v, fault("no text, and in the note why it is not known")
		}
		v.Base, v.Unit = 0, ""
		return v, nil
	case strings.TrimSpace(v.Text) == "":
		return v, fault("a value; leave the field out while it is not known")
	}
	base, err := f.parse(v)
	if err != nil {
		return v, fault(err.Error())
	}
	if f.Quantity.Measured() && (f.Min != 0 || f.Max != 0) && (base < f.Min || base > f.Max) {
		if f.Min == f.Max {
			return v, fault(f.show(f.Min))
		}
		return v, fault("between " + f.show(f.Min) + " and " + f.show(f.Max))
	}
	if v.Base != 0 && v.Base != base {
		return v, &FieldError{Field: f.Name + ".base", Value: strconv.FormatInt(v.Base, 10), Want: fmt.Sprintf("%d, or left out: it follows from %s", base, shown)}
	}
	v.Base = base
	return v, nil
}

func (f FieldSpec) parse(v Value) (int64, error) {
	if !f.Quantity.Measured() && v.Unit != "" {
		return 0, fmt.Errorf("no unit")
	}
	switch f.Quantity {
	case QuantityText:
		return 0, nil
	case QuantityChoice:
		for _, c := range f.Choices {
			if c == v.Text {
				return 0, nil
			}
		}
		return 0, fmt.Errorf("one of %s", strings.Join(f.Choices, ", "))
	case QuantityBool:
		switch v.Text {
		case "yes":
			return 1, nil
		case "no":
			return 0, nil
		}
		return 0, fmt.Errorf("yes or no")
	case QuantityDay:
		_, err := ParseDay(v.Text)
		return 0, err
	case QuantityRun:
		parts, err := ParseRun(v.Text)
		return RunLength(parts), err
	case QuantityLengths:
		list, err := ParseLengths(v.Text, v.Unit)
		if err != nil {
			return 0, err
		}
		for _, um := range list {
			if um < 0 || um > 500*ft {
				return 0, fmt.Errorf("widths from 0 to 500 ft")
			}
		}
		return int64(len(list)), nil
	case QuantityPoints:
		points, err := ParsePoints(v.Text, v.Unit)
		return int64(len(points)), err
	}
	base, _, err := ParseMeasure(f.Quantity, v.Text, v.Unit)
	return base, err
}

// show writes base units as a person reads them, for errors and hints.
func (f FieldSpec) show(base int64) string {
	switch {
	case f.Quantity == QuantityPoints && base == 1:
		return "1 place"
	case f.Quantity == QuantityPoints:
		return strconv.FormatInt(base, 10) + " places"
	case f.Quantity == QuantityLengths:
		return strconv.FormatInt(base, 10) + " lengths"
	}
	unit := f.Unit
	if unit == "" {
		unit = UnitsOf(f.Quantity)[0].Name
	}
	text, err := FormatMeasure(f.Quantity, base, unit, 2)
	if err != nil || f.Quantity.bare() {
		return text
	}
	return text + " " + unit
}

// Show writes a value for a sheet: text and unit as entered; choices with
// blanks for underscores.
func (f FieldSpec) Show(v Value) string {
	switch {
	case v.Known == KnownNot || v.Text == "":
		return "not known yet"
	case f.Quantity == QuantityChoice:
		return strings.ReplaceAll(v.Text, "_", " ")
	case v.Unit == "":
		return v.Text
	}
	return v.Text + " " + v.Unit
}

func joinKnowns() string {
	var names []string
	for _, k := range Knowns {
		names = append(names, string(k))
	}
	return strings.Join(names, ", ")
}
