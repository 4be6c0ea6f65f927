package estimate

// wire is one way a cord's copper is made; a table column.
type wire int

// The columns of the table.
const (
	stranded wire = iota // seven strands, uncoated: what cords have
	coated               // seven strands, tinned
	solid
)

// milliohms is the resistance of 1 000 ft of copper at 75 °C, by AWG size and in
// the order of the columns: NEC chapter 9, table 8 (2017).
var milliohms = map[int][3]int64{
	18: {7950, 8450, 7770},
	16: {4990, 5290, 4890},
	14: {3140, 3260, 3070},
	12: {1980, 2050, 1930},
	10: {1240, 1290, 1210},
	8:  {778, 809, 764},
}

// wire is how the light's cord is made.
func (l Light) wire() wire {
	switch {
	case l.Coated:
		return coated
	case l.Solid:
		return solid
	}
	return stranded
}

func (w wire) String() string { return [...]string{"stranded", "tinned stranded", "solid"}[w] }

// atCelsius is the part of the 75 °C resistance that copper has at another
// temperature: NEC chapter 9, table 8, note 2.
func atCelsius(celsius float64) float64 { return 1 + .00323*(celsius-75) }

// loopOhms is the resistance there and back of a cord of the given length in
// feet, at 75 °C; false for a size that is not in the table.
func loopOhms(awg int, w wire, feet float64) (float64, bool) {
	perKft, ok := milliohms[awg]
	return 2 * feet * float64(perKft[w]) / 1e6, ok
}
