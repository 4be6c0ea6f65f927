package estimate

import (
	"math"
	"strconv"
)

// weather adds what sun and rain may do while the water is low: allowances to
// think of, not part of the clock.
func (c *calc) weather(w *Water, p basin) {
	s := c.set.Water
	day := num{v: float64(s.Evaporation), lo: float64(s.Evaporation) / 2, hi: float64(s.Evaporation) * 2, ok: true,
		in: []Input{{Name: "Usual evaporation", Text: inches(s.Evaporation) + " a day"}}}
	w.Evaporates = figure("water.evaporates", "Evaporation in a day, an allowance", p.body.ID, UnitVolume, product(p.all.area, day).times(1e-6))
	w.Evaporates.Formula = "area × usual evaporation; left out of the clock"
	w.Evaporates.Source = "trade pages: 1/4 in a day, 1/8 to 1/2; " + evaporationCheck
	w.Evaporates.Margin = "half to twice of it, by sun, wind and dryness of the air"
	rain := fixed(float64(s.Rain), Input{Name: "Rain taken", Text: inches(s.Rain)})
	w.Rain = figure("water.rain", "A rain of "+inches(s.Rain)+", an allowance", p.body.ID, UnitVolume, product(p.all.area, rain).times(1e-6))
	w.Rain.Formula = "area × rain; left out of the clock"
	w.Rain.Source, w.Rain.Margin = "definition", "what runs in from the deck comes on top; heavy rain can cover the lights again"
}

// inches writes micrometres as decimal inches.
func inches(um int64) string {
	return strconv.FormatFloat(float64(um)/umPerInch, 'f', -1, 64) + " in"
}

// evaporates is the water that leaves a surface in pounds an hour and square
// foot, by Carrier's formula (ASHRAE Transactions 1998, vol. 104 part 1A, paper
// 4146, abstract): air speed over the water in feet a minute, vapour pressures
// at the water's temperature and in the air in inches of mercury, latent heat in
// Btu a pound.
func evaporates(speed, water, air, latent float64) float64 {
	return (95 + 0.425*speed) * (water - air) / latent
}

// quietPool is how much of that a pool without bathers loses (same source).
const quietPool = 0.74

// vapour is the pressure of saturated water vapour in inches of mercury at a
// temperature in degrees Fahrenheit, by Magnus's formula with the constants of
// the World Meteorological Organization's Guide to Instruments (No. 8, annex
// 4.B), from memory.
func vapour(fahrenheit float64) float64 {
	celsius := (fahrenheit - 32) / 1.8
	const hPaPerInch = 33.8639
	return 6.112 * math.Exp(17.62*celsius/(243.12+celsius)) / hPaPerInch
}

// evaporationCheck holds the usual figure against the formula, for one warm day.
var evaporationCheck = func() string {
	const poundsPerInch = 62.4 / 12 // on a square foot
	day := 24 * quietPool * evaporates(200, vapour(80), 0.4*vapour(90), 1048) / poundsPerInch
	return "Carrier's formula (ASHRAE Transactions 1998) gives " + strconv.FormatFloat(day, 'f', 2, 64) +
		" in a day for a quiet pool at 80 °F in air of 90 °F and 40 % with a light wind"
}()
