package jobs

// Quantity is the kind of thing a survey value measures or says. It fixes the
// whole-number base unit the value is kept in.
type Quantity string

// The quantities, each with the base unit that whole numbers count.
const (
	QuantityLength        Quantity = "length"        // micrometres
	QuantityLengths       Quantity = "lengths"       // a list of lengths; the base counts its items
	QuantityRun           Quantity = "run"           // straights and bends in order; the base is the length of all straights, micrometres
	QuantityPoints        Quantity = "points"        // places on the site's plan, each x,y in a unit of length; the base counts them
	QuantityArea          Quantity = "area"          // square millimetres
	QuantityVolume        Quantity = "volume"        // millilitres
	QuantityFlow          Quantity = "flow"          // millilitres per minute
	QuantityPower         Quantity = "power"         // milliwatts
	QuantityVoltage       Quantity = "voltage"       // millivolts
	QuantityCurrent       Quantity = "current"       // milliamperes
	QuantityTemperature   Quantity = "temperature"   // thousandths of a degree Celsius
	QuantityPressure      Quantity = "pressure"      // pascals
	QuantityAngle         Quantity = "angle"         // thousandths of a degree of arc
	QuantityDuration      Quantity = "duration"      // seconds
	QuantityConcentration Quantity = "concentration" // micrograms per litre
	QuantityPH            Quantity = "ph"            // thousandths of a pH unit
	QuantityCount         Quantity = "count"         // pieces
	QuantityText          Quantity = "text"          // free text; no base
	QuantityChoice        Quantity = "choice"        // one of the field's choices; no base
	QuantityBool          Quantity = "bool"          // yes or no; base 1 or 0
	QuantityDay           Quantity = "day"           // a civil day, 2026-03-08; no base
)

// Unit is a unit that people enter and read. One of it is num/den base units,
// exactly; offset is added to the entered number first (only for degrees
// Fahrenheit).
type Unit struct {
	Name     string
	Quantity Quantity
	Aliases  []string
	num, den int64
	offset   int64
}

// units is the one table of conversions. Factors: NIST Special Publication 811
// (2008), appendix B, and NIST Handbook 44, appendix C: inch 25.4 mm exactly,
// US gallon 231 cubic inches, pound-force 4.4482216152605 N exactly. The first
// unit of a quantity is the one that forms offer first.
var units = []Unit{
	{"ft", QuantityLength, []string{"'", "′", "’", "foot", "feet"}, 304_800, 1, 0},
	{"in", QuantityLength, []string{`"`, "″", "”", "inch", "inches"}, 25_400, 1, 0},
	{"yd", QuantityLength, []string{"yard", "yards"}, 914_400, 1, 0},
	{"mi", QuantityLength, []string{"mile", "miles"}, 1_609_344_000, 1, 0},
	{"m", QuantityLength, []string{"metre", "metres", "meter", "meters"}, 1_000_000, 1, 0},
	{"cm", QuantityLength, nil, 10_000, 1, 0},
	{"mm", QuantityLength, nil, 1_000, 1, 0},

	{"ft2", QuantityArea, []string{"ft²", "sqft", "sq ft", "square feet"}, 9_290_304, 100, 0},
	{"in2", QuantityArea, []string{"in²", "sqin", "sq in", "square inches"}, 64_516, 100, 0},
	{"m2", QuantityArea, []string{"m²", "sqm", "square metres", "square meters"}, 1_000_000, 1, 0},

	{"gal", QuantityVolume, []string{"gallon", "gallons"}, 3_785_411_784, 1_000_000, 0},
	{"ft3", QuantityVolume, []string{"ft³", "cuft", "cu ft", "cubic feet"}, 28_316_846_592, 1_000_000, 0},
	{"L", QuantityVolume, []string{"l", "litre", "litres", "liter", "liters"}, 1_000, 1, 0},
	{"m3", QuantityVolume, []string{"m³", "cubic metres", "cubic meters"}, 1_000_000, 1, 0},

	{"gpm", QuantityFlow, []string{"gal/min"}, 3_785_411_784, 1_000_000, 0},
	{"gph", QuantityFlow, []string{"gal/h"}, 3_785_411_784, 60_000_000, 0},
	{"L/min", QuantityFlow, []string{"l/min"}, 1_000, 1, 0},
	{"m3/h", QuantityFlow, []string{"m³/h"}, 1_000_000, 60, 0},

	{"W", QuantityPower, []string{"w", "watt", "watts"}, 1_000, 1, 0},
	{"kW", QuantityPower, []string{"kw"}, 1_000_000, 1, 0},
	{"V", QuantityVoltage, []string{"v", "volt", "volts"}, 1_000, 1, 0},
	{"A", QuantityCurrent, []string{"a", "amp", "amps"}, 1_000, 1, 0},

	{"°F", QuantityTemperature, []string{"F", "degF", "f"}, 5_000, 9, -32},
	{"°C", QuantityTemperature, []string{"C", "degC", "c"}, 1_000, 1, 0},

	{"psi", QuantityPressure, nil, 44_482_216_152_605, 6_451_600_000, 0},
	{"kPa", QuantityPressure, []string{"kpa"}, 1_000, 1, 0},
	{"bar", QuantityPressure, nil, 100_000, 1, 0},

	{"°", QuantityAngle, []string{"deg", "degree", "degrees"}, 1_000, 1, 0},

	{"h", QuantityDuration, []string{"hr", "hrs", "hour", "hours"}, 3_600, 1, 0},
	{"min", QuantityDuration, []string{"minute", "minutes"}, 60, 1, 0},
	{"d", QuantityDuration, []string{"day", "days"}, 86_400, 1, 0},
	{"s", QuantityDuration, []string{"sec", "second", "seconds"}, 1, 1, 0},

	{"ppm", QuantityConcentration, []string{"mg/L", "mg/l"}, 1_000, 1, 0},
	{"pH", QuantityPH, []string{"ph", "PH"}, 1_000, 1, 0},
	{"pc", QuantityCount, []string{"pcs", "piece", "pieces"}, 1, 1, 0},
}

// bare says that a number of this quantity may stand without a unit, because
// only one unit is in use.
func (q Quantity) bare() bool { return q == QuantityCount || q == QuantityPH }

// Measured says that q is a number in a base unit (not text, choice, yes/no,
// day, and not a run, whose parts carry units of their own).
func (q Quantity) Measured() bool {
	switch q {
	case QuantityText, QuantityChoice, QuantityBool, QuantityDay, QuantityRun:
		return false
	}
	return true
}

// counts says that the base of q is how many items the text holds.
func (q Quantity) counts() bool { return q == QuantityLengths || q == QuantityPoints }

// measuredIn is the quantity whose units q is entered in.
func (q Quantity) measuredIn() Quantity {
	if q.counts() {
		return QuantityLength
	}
	return q
}

// UnitsOf lists the units of a quantity, the usual one first. A list of
// lengths and places on a plan have the units of length; text, choices, yes/no
// and days have none.
func UnitsOf(q Quantity) []Unit {
	q = q.measuredIn()
	var of []Unit
	for _, u := range units {
		if u.Quantity == q {
			of = append(of, u)
		}
	}
	return of
}

// UnitNamed finds a unit of a quantity by its name or an alias; case matters
// only where it tells units apart.
func UnitNamed(q Quantity, name string) (Unit, bool) {
	q = q.measuredIn()
	for _, u := range units {
		if u.Quantity != q {
			continue
		}
		if u.Name == name {
			return u, true
		}
		for _, a := range u.Aliases {
			if a == name {
				return u, true
			}
		}
	}
	return Unit{}, false
}

// UnitNames is the list a person may choose from, for forms and errors.
func UnitNames(q Quantity) []string {
	var names []string
	for _, u := range UnitsOf(q) {
		names = append(names, u.Name)
	}
	return names
}
