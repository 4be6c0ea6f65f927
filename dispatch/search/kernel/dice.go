package kernel

import "math/bits"

// dice is a small fast random stream (wyrand: one multiplication a draw).
type dice struct{ state uint64 }

func newDice(seed uint64) *dice {
	d := &dice{state: seed*0x9E3779B97F4A7C15 + 0x632BE59BD9B4E019}
	d.next()
	d.next()
	return d
}

func (d *dice) next() uint64 {
	d.state += 0xA0761D6478BD642F
	hi, lo := bits.Mul64(d.state, d.state^0xE7037ED1A0B428DB)
	return hi ^ lo
}

// below draws from 0 to n-1; n is above 0.
func (d *dice) below(n int) int {
	hi, _ := bits.Mul64(d.next(), uint64(n))
	return int(hi)
}

// unit draws from [0, 1).
func (d *dice) unit() float64 { return float64(d.next()>>11) / (1 << 53) }

func (d *dice) shuffle(list []int32) {
	for i := len(list) - 1; i > 0; i-- {
		j := d.below(i + 1)
		list[i], list[j] = list[j], list[i]
	}
}
