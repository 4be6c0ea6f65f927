package estimate

import "math"

// piece is a straight or a bend of a conduit. Feet and radians.
type piece struct {
	feet   float64
	slope  float64 // up in the order of the pieces; of a straight
	bend   float64
	radius float64 // to the centre line; 0: the least of the table
}

// pulling is what a pull through pieces takes. Pounds, pounds for each foot.
type pulling struct {
	feed     float64 // tension as the cord goes in
	weight   float64 // of all cords, for each foot, weight correction counted in
	friction float64
	radius   float64 // least radius of bends that have none of their own, to the centre line
	inside   float64 // of the conduit, feet
	scale    float64 // of lengths
}

// pull gives the largest tension and the largest side-wall pressure of a pull,
// fed at the first piece, or at the last when back is set.
//
// Straight: T2 = T1 + L·w·(sin A + f·cos A), A the slope upward in the way of
// the pull (a utility's pulling-tension appendix). Bend: T2 = T1·e^(f·a).
// Side-wall pressure T2/R with R to the inside of the bend (cable-engineering
// text). A cord that slides down by itself pulls nothing.
func (p pulling) pull(pieces []piece, back bool) (tension, press float64) {
	t := p.feed
	tension = t
	for i := range pieces {
		at, sign := pieces[i], 1.0
		if back {
			at, sign = pieces[len(pieces)-1-i], -1.0
		}
		t = max(0, t+at.feet*p.scale*p.weight*(math.Sin(sign*at.slope)+p.friction*math.Cos(at.slope)))
		if at.bend > 0 {
			t *= math.Exp(p.friction * at.bend)
			radius := at.radius
			if radius == 0 {
				radius = p.radius
			}
			if inside := radius - p.inside/2; inside > 0 {
				press = max(press, t/inside)
			} else {
				press = math.Inf(1)
			}
		}
		tension = max(tension, t)
	}
	return tension, press
}

// evenly spreads a number of equal bends over a length.
func evenly(feet, bends float64, count int) []piece {
	if count <= 0 || bends <= 0 {
		return []piece{{feet: feet}}
	}
	count = min(count, 100)
	pieces := make([]piece, 0, 2*count+1)
	for range count {
		pieces = append(pieces, piece{feet: feet / float64(count+1)}, piece{bend: bends / float64(count)})
	}
	return append(pieces, piece{feet: feet / float64(count+1)})
}

// weightCorrection is by how much cords that lie together press harder than
// their weight: none for one, three cradled 1 + 4/3·(d/(D−d))² (IEEE 1185, from
// memory), taken for two and for more as well. Infinite where they don't fit.
func weightCorrection(cords int, inside, outside float64) float64 {
	if cords <= 1 {
		return 1
	}
	if inside <= outside {
		return math.Inf(1)
	}
	part := outside / (inside - outside)
	return 1 + 4.0/3*part*part
}

// cmils are circular mils by AWG size: NEC chapter 9, table 8.
var cmils = map[int]float64{18: 1_620, 16: 2_580, 14: 4_110, 12: 6_530, 10: 10_380, 8: 16_510}

// conductorLimit is the pull in pounds that soft copper bears: 0.008 lb for each
// circular mil, times the number of conductors, of more than three only eight
// tenths (published pulling-tension pages).
func conductorLimit(awg, conductors int) float64 {
	part := 1.0
	if conductors > 3 {
		part = .8
	}
	return .008 * cmils[awg] * float64(conductors) * part
}
